"""Kills at random acts in a second or two: windows that are forks of this process; the long ones start programs."""

from __future__ import annotations

import os
import random
import signal
import sys
from pathlib import Path
from typing import NoReturn

from stepcut import cli
from stepcut.machine.files import shipped_path
from tests.attack.shop import Shop

KEYS = ("t\n", "c\n", "k\n", "\n", "\n", "\n", "\n", "u\n")


class Window:
    """A window that ticks line by line."""

    def __init__(self, *words: str) -> None:
        (keys, self.keys), (self.lines, said) = os.pipe(), os.pipe()
        self.pid = os.fork()
        if not self.pid:
            self._tick(keys, said, words)
        os.close(keys)
        os.close(said)
        self.heard = b""

    def _tick(self, keys: int, said: int, words: tuple[str, ...]) -> NoReturn:
        status = 99
        try:
            for other in (self.keys, self.lines):
                os.close(other)
            nothing = os.open(os.devnull, os.O_WRONLY)
            for own, number in ((keys, 0), (said, 1), (nothing, 2)):
                os.dup2(own, number)
            sys.stdin, sys.stdout = open(0, encoding="utf-8"), open(1, "w", encoding="utf-8")  # noqa: SIM115  # to the end
            status = cli.run(["tick", *words, "--lines"])
        finally:
            os._exit(status)

    def until(self, lines: int) -> None:
        """Hear so many lines in all, or the end."""
        while self.heard.count(b"\n") < lines and (more := os.read(self.lines, 4096)):
            self.heard += more

    def kill(self) -> list[str]:
        """Kill it; return all lines that it said whole."""
        os.kill(self.pid, signal.SIGKILL)
        _, status = os.waitpid(self.pid, 0)
        assert os.WIFSIGNALED(status) or os.WEXITSTATUS(status) == 0, status
        self.until(10**9)
        os.close(self.keys)
        os.close(self.lines)
        return self.heard.decode().split("\n")[:-1]


def test_windows_killed_at_random_acts_lose_nothing(own_home: Path) -> None:
    shop = Shop(own_home, shipped_path("inch").read_text("utf-8"), own_home)
    for seed in range(8):
        chance = random.Random(seed)  # noqa: S311  # repeatable attacks, not secrets
        before, alone = shop.ticks(1), seed % 2 == 0
        windows = [Window(str(shop.recipe)) for _ in range(1 if alone else 2)]
        for window in windows:  # what two windows take back from each other tells nothing: only one alone does
            os.write(window.keys, "".join(chance.choice(KEYS if alone else KEYS[:-1]) for _ in range(60)).encode())
        windows[0].until(chance.randrange(2, 40))
        said = [window.kill() for window in windows]
        acts = [shop.acts(lines) for lines in said]
        for lines in said:
            shop.unchanged(lines)
        shop.whole()
        if alone:
            shop.kept(1, before, acts[0])
        else:
            assert {tick for each in acts for _, tick in each} | before <= shop.ticks(1)
    assert shop.counts["acknowledged"] > 30, shop.counts
    assert shop.counts["lines with numbers"] > 30, shop.counts
