"""The program run inside the tests' own process: as it is from a shell, without the quarter second that a start takes."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path
from unittest import mock

from stepcut import cli
from stepcut.__main__ import joined


@contextlib.contextmanager
def _with(variables: Mapping[str, str]) -> Iterator[None]:
    """Set variables; the time zone is read anew where it is one of them."""
    with mock.patch.dict(os.environ, variables):
        if "TZ" in variables:
            time.tzset()
        yield
    if "TZ" in variables:
        time.tzset()


@contextlib.contextmanager
def _in(folder: str | Path | None) -> Iterator[None]:
    if folder is None:
        yield
        return
    with contextlib.chdir(folder):
        yield


def run_here(
    arguments: tuple[str, ...],
    *,
    input: str | None = None,  # named as subprocess.run names it
    env: Mapping[str, str] | None = None,
    encoding: str = "utf-8",
    cwd: str | Path | None = None,
) -> subprocess.CompletedProcess[str]:
    """Run a command line with streams of its own, none of them a terminal, and return what came of it.

    Parameters
    ----------
    arguments, input, cwd
        As :func:`subprocess.run` takes them; no input is an empty one.
    env : mapping of str, optional
        Variables beside those of the test.
    encoding : str
        Of the three streams, strict as those of a real output.
    """
    given = io.TextIOWrapper(io.BytesIO((input or "").encode(encoding)), encoding=encoding)
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=encoding, errors=how) for how in ("strict", "backslashreplace"))
    streams = mock.patch.multiple(sys, stdin=given, stdout=out, stderr=err)
    with streams, _with(env or {}), _in(cwd):
        status = cli.run(joined(list(arguments)))
        out.flush()
        err.flush()
    printed = [stream.buffer.getvalue().decode(encoding) for stream in (out, err)]  # type: ignore[attr-defined]
    return subprocess.CompletedProcess(["stepcut", *arguments], status, *printed)
