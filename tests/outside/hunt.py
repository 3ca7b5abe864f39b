"""Hunts: random jobs that are new at each run, and looks at models that take minutes; `STEPCUT_HYPOTHESIS=long` asks for them."""

from __future__ import annotations

import os

import pytest

HUNT = os.environ.get("STEPCUT_HYPOTHESIS") == "long"  # new jobs at each run, and all of them
HUNTED = pytest.mark.skipif(not HUNT, reason="takes the model minutes: looked at in a hunt, STEPCUT_HYPOTHESIS=long")
