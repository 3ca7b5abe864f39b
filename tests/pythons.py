"""Print the path of a Python of one version, or nothing where there is none.

python tests/pythons.py 3.12 [one to try first]
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path


def places(version: str) -> list[str]:
    """Where a Python may stand: on the path, or with pyenv, whose stand-ins on the path do not all lead to one."""
    kept = Path(os.environ.get("PYENV_ROOT", Path("~/.pyenv").expanduser())) / "versions"
    return [f"python{version}", *(str(found) for found in sorted(kept.glob(f"{version}.*/bin/python{version}")))]


def fits(program: str, version: str) -> bool:
    """Whether a program is a Python of this version that can make virtual environments."""
    say = "import sys, venv, ensurepip; print('%d.%d' % sys.version_info[:2])"
    try:
        done = subprocess.run([program, "-c", say], capture_output=True, text=True)
    except OSError:
        return False
    return done.stdout.strip() == version


if __name__ == "__main__":
    wanted, first = sys.argv[1], sys.argv[2:]
    print(next((program for program in [*first, *places(wanted)] if fits(program, wanted)), ""))
