"""What is left of a ramp when its upright faces are finished and its seats cut: the same sections with one more cut for each.

Such a cut goes straight across the wall, so that beside its line it covers r sin(t) where the ring has turned t.  From its lowest place
that beside a face rises evenly to both sides; a seat is a circle, and as wide all the way up from its middle.  Where a seat goes below
the wanted line nothing is left to file, and what is measured has a gap there.  No outside source: derived here, and laid over a raster
in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from stepcut.kernel.envelope import Piece, Traced
from stepcut.kernel.line import WALL, Stretch
from stepcut.kernel.marks import closed
from stepcut.kernel.measure import Left, summed
from stepcut.kernel.search import crossing, valley
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Task
from stepcut.shapes.ramp.bench import Bench
from stepcut.shapes.ramp.faces import Face, faces, sharpest, tilt_of
from stepcut.shapes.ramp.free import BESIDE, Foot, risers
from stepcut.shapes.ramp.seats import Seat

SHARES = (0.0, 0.5, 1.0)  # of a piece: two curves are compared there, and where one comes nearest to the other
HAIR = 1e-9  # degrees
EDGE = 1e-6  # degrees: at the very edge of a cut its neighbour is looked at


class Finished(Section, frozen=True, dict=True):
    """A section with faces that are finished and seats: a cut at a place of these is their own, any other the section's.

    Parameters
    ----------
    faces : tuple of (Place, Face)
        Where along the section they are cut.
    seats : tuple of (Place, float)
        Where along the section seats are cut, and with which radius, mm.
    reach : float
        How far the end of a tilted cutter reaches from its lowest corner, mm; infinite for a single-angle cutter.
    """

    faces: tuple[tuple[Place, Face], ...] = ()
    seats: tuple[tuple[Place, float], ...] = ()
    reach: float = math.inf

    @property
    def stepped(self) -> bool:
        """Whether a cut is equally deep all over: those beside the faces are not."""
        return False

    def cut(self, place: Place, at: float) -> float:
        """Return the depth that a cut makes at a coordinate, mm; minus infinity outside the cutter."""
        round_ = next((radius for known, radius in self.seats if known is place), None)
        if round_ is not None:
            return self.hollow(place, round_, at)
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

    def hollow(self, place: Place, radius: float, at: float) -> float:
        """Return the depth of a seat at a coordinate, mm; minus infinity beside it."""
        turn = math.radians(abs(at - place.at))
        beside = self.radius * math.sin(turn) if turn <= math.pi / 2 else math.inf
        return place.depth - radius + math.sqrt(radius**2 - beside**2) if beside <= radius else WALL

    def away(self, place: Place, face: Face, at: float) -> float | None:
        """Return how far from a face a coordinate lies, square to it, mm; None beyond the face or a quarter turn away."""
        turn = math.radians(place.at - at if face.before else at - place.at)
        return self.radius * math.sin(turn) if 0.0 <= turn <= math.pi / 2 else None

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return the coordinates where a cut's formula changes."""
        straight = any(known is place for known, _ in (*self.faces, *self.seats))
        return () if straight else Section.seams(self, place)

    def stretch(self, place: Place, face: Face) -> tuple[float, ...]:
        """Return where the cut beside a face begins and ends to be deeper than the blank, and its lowest place; in order."""
        out, _ = face.slopes
        beside = float(face.beside)
        far = min(beside + min(self.reach, (place.depth - self.blank) / out), self.radius)
        turns = {math.degrees(math.asin(min(1.0, way / self.radius))) for way in (0.0, beside, far)}
        return tuple(sorted(place.at + (-turn if face.before else turn) for turn in turns))

    def brim(self, place: Place, radius: float) -> tuple[float, float, float]:
        """Return where a seat begins, is deepest and ends."""
        turn = math.degrees(math.asin(min(1.0, radius / self.radius)))
        return place.at - turn, place.at, place.at + turn


class Sparing(Section, frozen=True, dict=True):
    """A section as spacing looks at it: what stands in the foot of an upright face beside its deepest cut no other lowers.

    Parameters
    ----------
    feet : tuple of (Place, float)
        The cut that goes deepest in each foot, which stands in every plan, and where the face is.
    """

    feet: tuple[tuple[Place, float], ...] = ()

    def square(self, at: float, stock: float) -> float:
        """Return stock as height above the stock line, mm; none in a foot."""
        return 0.0 if any(self.in_foot(foot, face, at) for foot, face in self.feet) else Section.square(self, at, stock)

    def in_foot(self, foot: Place, face: float, at: float) -> bool:
        """Whether a coordinate lies between a face and the far end of the bottom of the cut that goes deepest in its foot.

        That end is its neighbour's, and under a round end so is all that rises from it: beyond, toward the face, every other cut is
        both shallower and farther away.
        """
        if self.extent(foot) is None:
            return False  # the cut is nowhere in the section
        low, high = self.foot.extent(self.radius, 0.0) or self.foot.level
        return (
            foot.at + low + EDGE < at <= face + HAIR if foot.at <= face else face - HAIR <= at < foot.at + high - EDGE
        )


def with_faces(bench: Bench, angle: Fraction | None, tilted: bool) -> Bench:
    """Return a bench that knows the upright faces which are finished last, by a cutter of an angle or a tilted head; where these serve."""
    ramp = bench.ramp
    most, tilt = (sharpest(ramp), tilt_of(ramp)) if ramp.free and (angle is not None or tilted) else (None, None)
    if most is None or tilt is None or bench.cutting.approach == "side" or not 0 < (angle or 1) <= most:
        return bench
    made = faces(ramp, angle or tilt, 0.0, bench.leave, (bench.first, bench.second), tilted=angle is None)
    return replace(bench, faces=tuple(made))


def spacing_of(bench: Bench) -> Task:
    """Return the task that cuts are spaced in: without what stands in the feet of upright faces below a slope."""
    task, ramp = bench.task, bench.ramp
    below = [foot for foot in risers(ramp) if foot.slope > 0] if ramp.free else []
    feet = tuple(found for foot in below for found in _deepest_in(bench, foot))
    if not feet:
        return task
    sections = tuple(
        Sparing(each.line, each.foot, each.leave, each.radius, each.width, each.blank, feet) for each in task.sections
    )
    if not closed(task):
        return replace(task, sections=sections)
    # Round a ring the walk begins with the last cut that must stand, in the foot of a face: behind it nothing can be cut.
    turn = task.first.down(ramp.sector)
    begin = task.musts[-1] - turn
    marks = sorted({begin, *((mark - begin) % turn + begin for mark in task.musts)})
    return replace(task, sections=sections, begin=task.at(begin), musts=tuple(marks))


def _deepest_in(bench: Bench, foot: Foot) -> Iterator[tuple[Place, float]]:
    """Yield the cut that goes deepest in the foot of a face, in each turn of the ramps that a section may be asked for."""
    task, sector = bench.task, float(bench.ramp.sector)
    face = foot.at + (BESIDE if foot.before else -BESIDE)
    near = task.guards[0].width + 2 * float(task.first.division)
    for mark in task.musts:
        place = task.place((mark, task.depth(mark)))
        for k in (-1, 0, 1):
            past = (foot.at - place.at - sector * k) * (1 if foot.before else -1)
            if place.depth > 0.0 and 0.0 <= past <= near:
                yield from (
                    (place._replace(at=place.at + sector * j), face + sector * (j - k)) for j in (k - 1, k, k + 1)
                )


def as_finished(bench: Bench, left: Left) -> Left:
    """Return what is left when the faces that are asked for are finished too."""
    return finished(bench, left, bench.faces, _beginning(bench)) if bench.faces else left


def _beginning(bench: Bench) -> float:
    """Return the coordinate of the table where the first ramp begins, degrees."""
    return float(bench.first.value(bench.first.up(Fraction(0))))


def _placed(bench: Bench, made: Sequence[Face], beginning: float) -> tuple[tuple[Place, Face], ...]:
    return tuple(
        (Place(float(bench.first.value(face.marks[0])) - beginning, float(bench.second.value(face.depth))), face)
        for face in made
    )


def _reach(bench: Bench, made: Sequence[Face]) -> float:
    """Return how far the end of a tilted cutter reaches from its lowest corner, mm; infinite for a single-angle cutter."""
    if not made[0].tilted:
        return math.inf
    return float(bench.cutting.cutter.diameter) * math.cos(math.radians(made[0].angle))


def finished(bench: Bench, left: Left, made: Sequence[Face], beginning: float) -> Left:
    """Return what is left when faces are finished after the cuts that left something.

    Parameters
    ----------
    bench : Bench
        The ramp on its machine.
    left : Left
        What the end mill left.
    made : sequence of Face
        The faces.
    beginning : float
        Coordinate of the table where the first ramp begins, degrees.
    """
    placed, reach = _placed(bench, made, beginning), _reach(bench, made)
    found = summed([_laid_over(traced, placed, (), reach) for traced in left.traced])
    return replace(found, least=min(left.least, found.least))


def hollowed(bench: Bench, left: Left, seats: Sequence[Seat], beginning: float) -> Left:
    """Return what is left to file when seats are cut after the cuts that left something; the least of it is still that of these cuts.

    Parameters
    ----------
    bench : Bench
        The ramp on its machine.
    left : Left
        What the other cuts left.
    seats : sequence of Seat
        The seats; those of the ramps before and behind reach in where they are near enough.
    beginning : float
        Coordinate of the table where the first ramp begins, degrees.
    """
    sector = float(bench.ramp.sector)
    placed = tuple(
        (
            Place(
                float(bench.first.value(seat.marks[0])) - beginning + sector * k, float(bench.second.value(seat.depth))
            ),
            float(seat.pin) / 2,
        )
        for seat in seats
        for k in (-1, 0, 1)
    )
    rows = [_laid_over(traced, (), placed, math.inf) for traced in left.traced]
    found = summed([_above(traced) for traced in rows])
    return replace(found, least=left.least, traced=tuple(rows))


def _laid_over(
    traced: Traced, faces: tuple[tuple[Place, Face], ...], seats: tuple[tuple[Place, float], ...], reach: float
) -> Traced:
    """Return a section with the cuts of more faces or seats laid over those that it has; faces come before seats."""
    old = traced.section
    known = (old.faces, seats, old.reach) if isinstance(old, Finished) else (faces, seats, reach)
    section = Finished(old.line, old.foot, old.leave, old.radius, old.width, old.blank, *known)
    pieces = traced.pieces
    for place, face in faces:
        pieces = tuple(_overlaid(section, pieces, place, section.stretch(place, face)))
    for place, radius in seats:
        pieces = tuple(_overlaid(section, pieces, place, section.brim(place, radius)))
    return Traced(section, pieces)


def _above(traced: Traced) -> Traced:
    """Return a section without what seats cut below its wanted line: there is nothing to file there."""
    section = traced.section
    assert isinstance(section, Finished)  # noqa: S101  # made by hollowed
    places = [place for place, _ in section.seats]
    kept: list[Piece] = []
    for piece in traced.pieces:
        if not any(piece.place is place for place in places):
            kept.append(piece)
            continue
        kept += _over_line(section, piece)
    return Traced(section, tuple(kept))


def _over_line(section: Finished, piece: Piece) -> Iterator[Piece]:
    """Yield the stretches of a seat's piece that lie above the wanted line."""
    place = piece.place
    assert place is not None  # noqa: S101  # a seat's own
    for stretch in section.line.over(piece.low, piece.high):
        below = _below(section, place, stretch)
        for low, high in _parted(below, stretch.begin, stretch.end):
            if below((low + high) / 2) < 0.0:
                yield Piece(low, high, place)


def _below(section: Finished, place: Place, stretch: Stretch) -> Callable[[float], float]:
    """Return how far a cut goes below a stretch of the wanted line, as a function of the coordinate; mm."""
    return lambda at: section.cut(place, at) - stretch.depth(at)


def _overlaid(section: Finished, pieces: Sequence[Piece], place: Place, marks: Sequence[float]) -> Iterator[Piece]:
    """Yield pieces with what one more cut takes of them; its marks are where it begins, changes and ends."""
    for piece in pieces:
        inside = [x for x in marks if piece.low < x < piece.high]
        for low, high in pairwise([piece.low, *inside, piece.high]):
            if high <= marks[0] + HAIR or low >= marks[-1] - HAIR:
                yield Piece(low, high, piece.place)
            else:
                yield from _split(section, Piece(low, high, piece.place), place)


def _split(section: Finished, piece: Piece, place: Place) -> Iterator[Piece]:
    """Yield a piece as it is, or parted where one more cut and its own are equally deep."""

    def deeper(at: float) -> float:
        own = section.blank if piece.place is None else max(section.blank, section.cut(piece.place, at))
        return section.cut(place, at) - own

    for low, high in _parted(deeper, piece.low, piece.high):
        yield Piece(low, high, place if deeper((low + high) / 2) > 0.0 else piece.place)


def _parted(gain: Callable[[float], float], begin: float, end: float) -> Iterator[tuple[float, float]]:
    """Yield a stretch in parts, at each of whose inner ends a curve passes nought.

    A straight cut may pass a round one twice in a short way: on both sides of where their difference is least.
    """
    low, high = begin + HAIR, end - HAIR
    marks = [low + (high - low) * share for share in SHARES]
    if all(math.isfinite(gain(at)) for at in marks):
        marks = sorted({*marks, valley(gain, low, high)[0], valley(lambda x: -gain(x), low, high)[0]})
    parted = [begin]
    for a, b in pairwise(marks):
        at_a, at_b = gain(a), gain(b)
        if at_a * at_b < 0.0:
            parted.append(crossing(gain, a, b) if at_a < 0.0 else crossing(lambda x: -gain(x), a, b))
    parted.append(end)
    yield from pairwise(parted)
