"""The pictures in the README are small, and of today's card."""

from __future__ import annotations

import pytest

from tests.gallery import face


@pytest.mark.parametrize("name", list(face.PICTURES))
def test_the_picture_is_of_todays_card(name: str) -> None:
    """When this fails, look at the card, then run: python tests/gallery/face.py (with Chromium for the phone)."""
    path = face.HERE / f"{name}.png"
    picture = path.read_bytes()
    assert (face.HERE / f"{name}.sha256").read_text("utf-8") == face.mark(name, picture)
    assert picture.startswith(b"\x89PNG")
    assert len(picture) < 80_000
    assert path.relative_to(face.ROOT).as_posix() in (face.ROOT / "README.md").read_text("utf-8")
