"""What is left: one measuring for every shape, from the rounded cuts.

In each section the as-cut line is the upper envelope of the cuts: a row of pieces, each made by one cut.  Ridges stand where
pieces meet, or inside a piece where the wanted line bends away from a round cutter.  Stock is integrated piece by piece.
No outside source: derived here.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from stepcut.kernel.contact import Contact, Strip
from stepcut.kernel.envelope import SEE, Piece, Traced, drawn_in, trace
from stepcut.kernel.line import FREE, WALL, Stretch
from stepcut.kernel.search import lowest, valley
from stepcut.kernel.section import Guard, Place
from stepcut.kernel.task import Task

# Gauss-Legendre abscissae and weights on [0, 1]: M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions",
# table 25.4 (n = 4 and n = 8, moved from [-1, 1]); checked against numpy in the tests.
GAUSS_4 = (
    (0.06943184420297371, 0.17392742256872693), (0.33000947820757187, 0.32607257743127307),
    (0.66999052179242813, 0.32607257743127307), (0.93056815579702629, 0.17392742256872693),
)  # fmt: skip
GAUSS_8 = (
    (0.01985507175123188, 0.05061426814518813), (0.10166676129318664, 0.11119051722668724),
    (0.23723379504183550, 0.15685332293894364), (0.40828267875217510, 0.18134189168918099),
    (0.59171732124782490, 0.18134189168918099), (0.76276620495816450, 0.15685332293894364),
    (0.89833323870681336, 0.11119051722668724), (0.98014492824876812, 0.05061426814518813),
)  # fmt: skip

AGREE = 1e-4  # two rules for one integral that agree to this share of it: the better one is far nearer
TINY = 1e-8  # of all that is added up: less is not looked into
EVEN = 1e-3  # share by which the area of a strip may change from one end to the other
PEAK = 16  # places looked at for a summit near a corner of the line
DEEPEST_SPLIT = 14  # halvings of a piece, enough for an end that stands as steep as a wall


Stock = Callable[[float], float]  # stock at a coordinate, mm


class Top(NamedTuple):
    """The highest ridge of a section, and where it stands."""

    scallop: float
    where: float


class _Sum(Struct):
    """What is added up over a section."""

    volume: float = 0.0
    stock: float = 0.0  # height times area
    area: float = 0.0
    least: float = math.inf
    most: float = 0.0
    top: Top = Top(0.0, 0.0)  # a named tuple cannot be changed


class _Scale:
    """One section being measured: stock along its pieces, added up and looked over."""

    def __init__(self, traced: Traced, strips: list[Strip]) -> None:
        self.traced, self.section, self.strips, self.sum = traced, traced.section, strips, _Sum()

    def run(self) -> _Sum:
        """Return the sums over every piece, each cut up where the wanted line or the cutter changes its formula."""
        line = self.section.line
        for piece in self.traced.pieces:
            seams = () if piece.place is None else self.section.seams(piece.place)
            for s in line.over(piece.low, piece.high):
                stock = self._stock(piece, s)
                marks = [s.begin, *sorted(x for x in seams if s.begin < x < s.end), s.end]
                for low, high in pairwise(marks):
                    if high - low > SEE and s.first != FREE:
                        self._part(piece, s, stock, low, high)
        return self.sum

    def _stock(self, piece: Piece, s: Stretch) -> Stock:
        """Return the stock along a piece as a function of the coordinate: it is asked most of all."""
        wanted, blank, place, cut = s.depth, self.section.blank, piece.place, self.section.cut
        if place is None:
            return lambda at: wanted(at) - blank

        def stock(at: float) -> float:
            depth = cut(place, at)
            return wanted(at) - (depth if depth > WALL else blank)

        return stock

    def _part(self, piece: Piece, s: Stretch, stock: Stock, low: float, high: float) -> None:
        a, b = drawn_in(low, high)
        at_a, at_b = stock(a), stock(b)
        self._look(a, at_a)
        self._look(b, at_b)
        if self.section.peaked(low, high):
            self._peak(stock, a, b)
        if s.straight and (piece.place is None or self.section.stepped):
            self._even(low, high, at_a, at_b)
            return
        self._bent(stock, (low, high), (at_a, at_b), 0)

    def _peak(self, stock: Stock, low: float, high: float) -> None:
        """Look for the summit of the ridge itself, where it does not stand at the summit of the stock."""
        at, _ = lowest(lambda x: -self.section.square(x, stock(x)), low, high, PEAK)
        self._look(at, stock(at))

    def _look(self, at: float, stock: float) -> None:
        found = self.sum
        found.most = max(found.most, stock)
        found.least = min(found.least, stock)
        if stock - self.section.leave > found.top.scallop:
            square = self.section.square(at, stock)
            if square > found.top.scallop:
                found.top = Top(square, at)

    def _even(self, low: float, high: float, first: float, last: float) -> None:
        """Add a stretch whose stock changes evenly; its volume is at most a cubic, so Simpson's rule is exact.

        Where the area changes along it too, its strips are made shorter.
        """
        section, middle, length = self.section, (low + high) / 2, high - low
        a, b = drawn_in(low, high)
        self.sum.volume += (
            (section.volume(a, first) + 4 * section.volume(middle, (first + last) / 2) + section.volume(b, last))
            * length
            / 6
        )
        at_a, area, at_b = (section.area(at) * length for at in (a, middle, b))
        self.sum.area += area
        self.sum.stock += (first * at_a + 2 * (first + last) * area + last * at_b) / 6
        parts = 1 if abs(at_a - at_b) <= EVEN * area else 8
        for k in range(parts if area else 0):
            shares = k / parts, (k + 1) / parts
            ends = [first + (last - first) * share for share in shares]
            here = at_a + (at_b - at_a) * sum(shares) / 2 if parts > 1 else area
            self.strips.append((ends[0], ends[1], here / parts))

    def _bent(self, stock: Stock, ends: tuple[float, float], stocks: tuple[float, float], split: int) -> None:
        """Add a stretch by Gauss's rule, halved until Simpson's rule agrees."""
        (low, high), section = ends, self.section
        length, middle = high - low, (low + high) / 2
        points = [(low + length * x, weight) for x, weight in GAUSS_4]
        found = [stock(at) for at, _ in points]
        at_middle = stock(middle)
        gauss = length * sum([w * section.volume(at, height) for (at, w), height in zip(points, found, strict=True)])
        a, b = drawn_in(low, high)
        simpson = (
            length
            / 6
            * (section.volume(a, stocks[0]) + 4 * section.volume(middle, at_middle) + section.volume(b, stocks[1]))
        )
        apart = abs(gauss - simpson)
        if apart > AGREE * abs(gauss) + SEE and apart > TINY * self.sum.volume and split < DEEPEST_SPLIT:
            self._look(middle, at_middle)
            self._bent(stock, (low, middle), (stocks[0], at_middle), split + 1)
            self._bent(stock, (middle, high), (at_middle, stocks[1]), split + 1)
            return
        self.sum.volume += gauss
        areas = [length * w * section.area(at) for at, w in points]
        area = sum(areas)
        self.sum.area += area
        self.sum.stock += sum([part * height for part, height in zip(areas, found, strict=True)])
        row = [stocks[0], found[0], found[1], at_middle, found[2], found[3], stocks[1]]
        self._inside(stock, ends, row)
        if area:
            shares = (0.0, GAUSS_4[0][0], GAUSS_4[1][0], 0.5, GAUSS_4[2][0], GAUSS_4[3][0], 1.0)
            for k in range(6):
                self.strips.append((row[k], row[k + 1], (shares[k + 1] - shares[k]) * area))

    def _inside(self, stock: Stock, ends: tuple[float, float], row: list[float]) -> None:
        """Look for a summit or a touching place between the ends of a stretch."""
        inner = row[1:-1]
        low, high = ends
        if max(inner) > max(row[0], row[-1]):
            at, lack = valley(lambda x: -stock(x), low, high)
            self._look(at, -lack)
        if min(inner) < min(row[0], row[-1]) and min(inner) < self.sum.least:
            at, least = valley(stock, low, high)
            self._look(at, least)


class Left(Struct, frozen=True, dict=True):
    """What is left after the cut; mm, mm^2, mm^3.

    Parameters
    ----------
    scallop : float
        Highest ridge over the stock line, square to the wanted surface.
    least, mean, most : float
        Stock over the wanted line; least over all of the guards.
    volume, area : float
        Of the stock, and of the wanted surface, for the sections' widths together.
    tops : tuple of Top
        The highest ridge of each section, in the order of the task.
    mosts : tuple of float
        The largest stock of each section.
    traced : tuple of Traced
        The sections as cut.
    strips : tuple of Strip
        What the contact curve is made of.
    """

    scallop: float
    least: float
    mean: float
    most: float
    volume: float
    area: float
    tops: tuple[Top, ...]
    mosts: tuple[float, ...]
    traced: tuple[Traced, ...]
    strips: tuple[Strip, ...]

    @cached_property
    def contact(self) -> Contact:
        """The contact curve of everything together."""
        return Contact(self.strips)


def measure(task: Task, places: Sequence[Place]) -> Left:
    """Return what the cuts leave.

    Parameters
    ----------
    task : Task
        What was to be cut.
    places : sequence of Place
        The cuts, in order of their coordinate.
    """
    key = tuple(places)
    kept = task.kept.get(key)
    if isinstance(kept, Left):
        return kept
    task.kept.clear()
    left = task.kept[key] = _measured(task, places)
    return left


def _measured(task: Task, places: Sequence[Place]) -> Left:
    cuts = [*_reaching_back(task, places), *places]
    left = summed(tuple(trace(section, cuts) for section in task.sections))
    if not places or not task.guards:
        return left
    least = min(left.least, *(tight(task, place) for place in places))
    return replace(left, least=least if abs(least) > 1e-8 else 0.0)


def summed(traced: Sequence[Traced]) -> Left:
    """Return what stands along sections as they are cut; the least of it along them alone."""
    strips: list[Strip] = []
    sums = [_Scale(each, strips).run() for each in traced]
    least = min(one.least for one in sums)
    volume, area = sum(one.volume for one in sums), sum(one.area for one in sums)
    return Left(
        scallop=max(one.top.scallop for one in sums),
        least=least if abs(least) > 1e-8 else 0.0,
        mean=sum(one.stock for one in sums) / area if area else 0.0,
        most=max(one.most for one in sums),
        volume=volume,
        area=area,
        tops=tuple(one.top for one in sums),
        mosts=tuple(one.most for one in sums),
        traced=tuple(traced),
        strips=tuple(strips),
    )


def _reaching_back(task: Task, places: Sequence[Place]) -> list[Place]:
    """Return the cuts of the part before this one that reach over its beginning: the last ones, one part back."""
    if task.again is None:
        return []
    far = max(guard.foot.window[1] for guard in task.guards)
    return [place._replace(at=place.at - task.again) for place in places if place.at + far > task.again]


def tight(task: Task, place: Place) -> float:
    """Return the smallest stock that a cut leaves anywhere on the wall, mm; what lies beyond a line is not part of it."""
    touches = (guard.deepest(place.at) for guard in task.guards)
    return min((touch.depth for touch in touches if task.line.wants(touch.where)), default=math.inf) - place.depth


def trespass(fences: Sequence[Guard], places: Sequence[Place], leave: float) -> tuple[float, Place] | None:
    """Return how far the worst cut goes below the stock line of something that stands near, mm, and which cut it is."""
    worst: tuple[float, Place] | None = None
    for fence in fences:
        for place in places:
            below = place.depth - (fence.deepest(place.at).depth - leave)
            if below > 1e-9 and (worst is None or below > worst[0]):
                worst = below, place
    return worst
