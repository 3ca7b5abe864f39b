"""Answers that are kept while a machine is described, so that it can be left and taken up again."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

from stepcut.files import write_whole
from stepcut.folders import config_folder


def _path(name: str) -> Path:
    return config_folder() / "drafts" / f"{name}.json"


def kept(name: str) -> dict[str, str]:
    """Return the answers that were given so far; none when there is no draft, or it cannot be read."""
    try:
        content = json.loads(_path(name).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(content, dict):
        return {}
    return {str(key): text for key, text in content.items() if isinstance(text, str)}


def keep(name: str, answers: dict[str, str]) -> None:
    """Write the answers down."""
    write_whole(_path(name), json.dumps(answers, ensure_ascii=False, indent=1), force=True)


def forget(name: str) -> None:
    """Remove a draft that has become a machine."""
    with contextlib.suppress(OSError):
        _path(name).unlink()
