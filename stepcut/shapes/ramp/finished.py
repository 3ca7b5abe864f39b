"""What is left of a ramp when its upright faces are finished too: the same sections with one more cut beside each face.

That cut goes straight across the wall, so that beside the face it covers r sin(t) where the ring has turned t.  From its lowest place
it rises evenly to both sides.  No outside source: derived here, and laid over a raster in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec.structs import replace

from stepcut.kernel.line import WALL
from stepcut.kernel.measure import Left, Piece, Traced, summed
from stepcut.kernel.search import crossing
from stepcut.kernel.section import Place, Section
from stepcut.shapes.ramp.bench import Bench
from stepcut.shapes.ramp.faces import Face

SHARES = (0.0, 0.5, 1.0)  # of a piece: a round cut and a straight one meet at most once in each half
HAIR = 1e-9  # degrees


class Finished(Section, frozen=True, dict=True):
    """A section with faces that are finished: a cut at a place of ``faces`` is what finishes it, any other the section's own.

    Parameters
    ----------
    faces : tuple of (Place, Face)
        Where along the section they are cut.
    reach : float
        How far the end of a tilted cutter reaches from its lowest corner, mm; infinite for a single-angle cutter.
    """

    faces: tuple[tuple[Place, Face], ...] = ()
    reach: float = math.inf

    @property
    def stepped(self) -> bool:
        """Whether a cut is equally deep all over: those beside the faces are not."""
        return False

    def cut(self, place: Place, at: float) -> float:
        """Return the depth that a cut makes at a coordinate, mm; minus infinity outside the cutter."""
        face = next((face for known, face in self.faces if known is place), None)
        if face is None:
            return Section.cut(self, place, at)
        away = self.away(place, face, at)
        if away is None:
            return WALL
        out, toward = face.slopes
        over = away - float(face.beside)
        if over > self.reach:
            return WALL
        return place.depth - (over * out if over >= 0.0 else -over * toward)

    def away(self, place: Place, face: Face, at: float) -> float | None:
        """Return how far from a face a coordinate lies, square to it, mm; None beyond the face or a quarter turn away."""
        turn = math.radians(place.at - at if face.before else at - place.at)
        return self.radius * math.sin(turn) if 0.0 <= turn <= math.pi / 2 else None

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return the coordinates where a cut's formula changes."""
        return () if any(known is place for known, _ in self.faces) else Section.seams(self, place)

    def stretch(self, place: Place, face: Face) -> tuple[float, ...]:
        """Return where the cut beside a face begins and ends to be deeper than the blank, and its lowest place; in order."""
        out, _ = face.slopes
        beside = float(face.beside)
        far = min(beside + min(self.reach, (place.depth - self.blank) / out), self.radius)
        turns = {math.degrees(math.asin(min(1.0, way / self.radius))) for way in (0.0, beside, far)}
        return tuple(sorted(place.at + (-turn if face.before else turn) for turn in turns))


def finished(bench: Bench, left: Left, faces: Sequence[Face], beginning: float) -> Left:
    """Return what is left when faces are finished after the cuts that left something.

    Parameters
    ----------
    bench : Bench
        The ramp on its machine.
    left : Left
        What the end mill left.
    faces : sequence of Face
        The faces.
    beginning : float
        Coordinate of the table where the first ramp begins, degrees.
    """
    cutter = bench.cutting.cutter
    placed = tuple(
        (Place(float(bench.first.value(face.marks[0])) - beginning, float(bench.second.value(face.depth))), face)
        for face in faces
    )
    rows = []
    for traced in left.traced:
        reach = float(cutter.diameter) * math.cos(math.radians(faces[0].angle)) if faces[0].tilted else math.inf
        old = traced.section
        section = Finished(old.line, old.foot, old.leave, old.radius, old.width, old.blank, placed, reach)
        pieces = traced.pieces
        for place, face in placed:
            pieces = tuple(_overlaid(section, pieces, place, face))
        rows.append(Traced(section, pieces))
    found = summed(rows)
    return replace(found, least=min(left.least, found.least))


def _overlaid(section: Finished, pieces: Sequence[Piece], place: Place, face: Face) -> Iterator[Piece]:
    """Yield pieces with what the cut beside a face takes of them."""
    marks = section.stretch(place, face)
    for piece in pieces:
        inside = [x for x in marks if piece.low < x < piece.high]
        for low, high in pairwise([piece.low, *inside, piece.high]):
            if high <= marks[0] + HAIR or low >= marks[-1] - HAIR:
                yield Piece(low, high, piece.place)
            else:
                yield from _split(section, Piece(low, high, piece.place), place)


def _split(section: Finished, piece: Piece, place: Place) -> Iterator[Piece]:
    """Yield a piece as it is, or parted where the cut beside a face and its own are equally deep."""

    def deeper(at: float) -> float:
        own = section.blank if piece.place is None else max(section.blank, section.cut(piece.place, at))
        return section.cut(place, at) - own

    low, high = piece.low + HAIR, piece.high - HAIR
    marks = [low + (high - low) * share for share in SHARES]
    parted = [piece.low]
    for a, b in pairwise(marks):
        at_a, at_b = deeper(a), deeper(b)
        if at_a * at_b < 0.0:
            parted.append(crossing(deeper, a, b) if at_a < 0.0 else crossing(lambda x: -deeper(x), a, b))
    parted.append(piece.high)
    for a, b in pairwise(parted):
        yield Piece(a, b, place if deeper((a + b) / 2) > 0.0 else piece.place)
