"""Programs that some tests look at pages and screens with: where one is missing its tests are skipped and say why.

`STEPCUT_NOTHING_MISSING=1` turns every such skip into a failure: `.ci/run` installs the programs and sets it.
"""

from __future__ import annotations

import os
import shutil

import pytest

GET = "apt-get install {}, or run .ci/run as root"


def missing(what: str, how: str) -> None:
    """Skip the test that calls this, or fail it where nothing may be missing."""
    reason = f"{what} is missing. To get it: {how}."
    if os.environ.get("STEPCUT_NOTHING_MISSING"):
        pytest.fail(f"{reason} STEPCUT_NOTHING_MISSING is set, so this is no skip.")
    pytest.skip(reason)


def found(*names: str) -> str:
    """Path of the first of these programs that is there; the first name is its package's too."""
    for name in names:
        if path := shutil.which(name):
            return path
    missing(names[0], GET.format(names[0]))
    raise AssertionError("missing() never returns")
