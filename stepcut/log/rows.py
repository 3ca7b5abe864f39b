"""What the log holds of a job, and the refusal of an act on a screen that is out of date."""

from __future__ import annotations

from msgspec import Struct

from stepcut.errors import BadValue


class JobRow(Struct, frozen=True):
    """One job of the log; the fields are the columns of its table."""

    id: int
    revision: str
    part: str
    title: str
    shape: str
    stops: int
    machine: str
    begun: str
    ended: str | None
    place: int
    piece: str = "1"
    program: str = ""  # version of the program that began it
    moves: int = 0  # how often it has moved on
    doing: str = ""  # the step to do next, by word and number; empty in a job of an older program
    named: str = ""  # the title it was begun with, by which its recipe finds it again whatever it is called since


class WholeJob(JobRow, frozen=True):
    """A job with what was kept of it when it was begun: some hundred kB, written once."""

    recipe: str = ""
    plan: str = ""
    machine_file: str = ""  # text of the machine's file; empty in a job of an older program
    as_begun: str = ""  # the solved plan and its card, frozen


class MovedOn(BadValue):
    """An act on a screen that is out of date: another window has gone on with the job."""

    def __init__(self, job: int) -> None:
        super().__init__("job", job, "has moved on in another window", "Nothing was ticked; look at the screen anew.")
