"""The routine: what the hands do, worked out once from a plan and its machine, for every kind of card.

``acts(plan)`` lists the acts; ``card(plan, heading)`` gives the whole card, finished, that paper, phone, ``tick``, terminal,
CSV and JSON print.  :mod:`stepcut.routine.hands` keeps where every handle stands and which way takes its slack up;
:mod:`stepcut.routine.cycles` knows how one cut of each shape goes, with ``face_cycles``, ``cam_cycles`` and ``passes`` beside it;
:mod:`stepcut.routine.reach` how far they wind each slide; :mod:`stepcut.routine.lay` puts acts into columns, groups and lines, :mod:`stepcut.routine.screens` into what a phone shows at once.
"""

from __future__ import annotations

from stepcut.routine.make import acts, card
from stepcut.routine.reach import reach

__all__ = ["acts", "card", "reach"]
