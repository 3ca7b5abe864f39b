"""The table of cuts, as data: a line for each cut, checks between them, changes, groups and columns.

:mod:`stepcut.routine.lay` makes it of acts; it is the middle of a :class:`stepcut.acts.Card`.
"""

from __future__ import annotations

from msgspec import Struct

from stepcut.one_act import Act, Reading


class Move(Struct, frozen=True):
    """One of the two moves of a line: turn the table, set the depth, set the slide.

    Parameters
    ----------
    reads : Reading
        The big number: what rim, readout or scale must read when the move has ended.
    handle : str
        The handle's name: crank, knee, cross-slide; empty when its scale has no dial.
    turns : str
        Of a table: turns of the crank from the line before, such as ``2 1/2 turns``.  Of a straight scale: whole turns
        from its nought, such as ``1 turn``; empty without a dial.
    dial : str
        What the handle's dial reads where the move ends; empty without a dial.
    """

    reads: Reading
    handle: str = ""
    turns: str = ""
    dial: str = ""


class Line(Struct, frozen=True):
    """One cut of the table of cuts, with two boxes: the first move made, and cut.

    Parameters
    ----------
    n : int
        Number of the cut in the order of cutting (``Stop.n``).
    start : int
        Ramp, groove or tool corner, from 1.
    first, second : Move
        Table (or z) and depth (or slide, x, height).
    acts : tuple of Act
        Its acts in order: what is done from the end of the line before to the end of this cut.
    note : str
        What differs here from the cycle: a sweep, roughing passes, past and back; usually empty.
    change : str
        How much the second reading differs from that of the line before, with its sign; empty on the first.
    """

    n: int
    start: int
    first: Move
    second: Move
    acts: tuple[Act, ...]
    note: str = ""
    change: str = ""


class Check(Struct, frozen=True):
    """The one line that closes a group: both readings, read off the scales or measured on the part; may pause here."""

    act: Act
    readings: tuple[Reading, ...]
    title: str  # CHECK after 5
    text: str  # rim 50°, depth 0.0320
    closes: str = ""  # what ends here: a ramp, a round, a tool corner; empty inside one
    measured: bool = False

    @property
    def told(self) -> str:
        """Its readings, and that they are measured where no scale shows them."""
        return f"measured {self.text}" if self.measured else self.text


class Change(Struct, frozen=True):
    """What stands between two groups that are not alike; a bar on paper, a black screen.

    Parameters
    ----------
    acts : tuple of Act
        Begins with the cutter clear.
    clear : str
        The first words, in capitals: CUTTER UP CLEAR.
    title : str
        What comes: RAMP 2, GROOVE 2, NEXT DEPTH, OTHER TOOL CORNER.
    text : str
        How to get clear, and where to begin then.
    black : bool
        Whether its bar is black; between the depths of one round of ramps bars come too often for that.
    """

    acts: tuple[Act, ...]
    clear: str
    title: str
    text: str
    black: bool = True


class Group(Struct, frozen=True):
    """Lines that stand together: at most five, and the check that closes them."""

    lines: tuple[Line, ...]
    check: Check
    change: Change | None = None  # before its first line


class Column(Struct, frozen=True):
    """The cuts of one ramp, groove or tool corner (or of the whole job when cut by depth).

    Parameters
    ----------
    title : str
        RAMP 1, GROOVE 2, CUTS.
    starts : str
        Where it starts, such as ``starts at rim 0°``.
    alike : str
        What is alike on its lines and is said once above them, such as ``every line 2 1/2 turns``; may be empty.
    groups : tuple of Group
        Split at changes first, then after every five.
    """

    title: str
    starts: str
    alike: str
    groups: tuple[Group, ...]

    @property
    def lines(self) -> tuple[Line, ...]:
        """All its lines."""
        return tuple(line for group in self.groups for line in group.lines)
