"""The picture in the README is small, and of today's card."""

from __future__ import annotations

from tests.gallery import face


def test_the_picture_is_of_todays_card() -> None:
    """When this fails, look at the card, then run: python tests/gallery/face.py."""
    picture = face.PICTURE.read_bytes()
    assert face.MARK.read_text("utf-8") == face.mark(picture)
    assert picture.startswith(b"\x89PNG")
    assert len(picture) < 150_000
    assert face.PICTURE.relative_to(face.ROOT).as_posix() in (face.ROOT / "README.md").read_text("utf-8")
