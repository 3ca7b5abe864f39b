"""What each size means on the part: a small drawing of every shape, for a person who is asked for its sizes.

Drawn in half blocks, or in plain ASCII where a terminal has no others.  Words in capitals are the sizes that are asked for.
"""

from __future__ import annotations

ASCII = str.maketrans(
    {"█": "#", "▀": '"', "▄": "_", "░": ":", "│": "|", "◄": "<", "►": ">", "─": "-", "┬": "+", "┴": "+"}
)

PICTURES = {
    "ramp": """\
  from above                the wall laid flat, seen from outside
     ▄▄████▄▄               high
   ▄██▀▀  ▀▀██▄             █▄▄▄                │      █▄▄▄
  ██▀        ▀██            █████▄▄▄         AMOUNT    █████▄▄▄
  ██   BORE   ██ ◄ OUTSIDE  █████████▄▄▄        │      █████████▄
  ██▄        ▄██            █████████████▄▄▄▄▄▄▄▄▄▄▄▄▄▄██████████
   ▀██▄▄  ▄▄██▀             │◄─── SPAN ────►│ low     next of the RAMPS
     ▀▀████▀▀
""",
    "helix": """\
        │◄───────── LENGTH ─────────►│
  ████████████████████████████████████  ─┬─
  █████░░░█████████░░░█████████░░░████   │
  ███████░░░█████████░░░█████████░░░██  DIAMETER   ░ the groove, DEPTH deep
  █████████░░░█████████░░░█████████░░░   │         drawn: a right HAND, it
  ████████████████████████████████████  ─┴─        falls to the right
       │◄── LEAD ──►│ for one turn
""",
    "taper": """\
         │◄──── LENGTH ────►│
         █▄▄▄
         ████████▄▄▄▄
  LARGE  ██████████████████▄▄  small
  end    ██████████████████▀▀  end      TAPER: how fast it shrinks
         ████████▀▀▀▀
         █▀▀▀
""",
    "radius": """\
  ball                     fillet                  cove
        ▄▄███▄▄            ███                     ▄▄▄▄▄▄
  ▄▄▄▄█████████▄           ███▄  ◄ RADIUS          ██████   ◄ RADIUS, hollow
  ███████████████ face     █████▄▄                 ████████▄
  ▀▀▀▀█████████▀           ██████████████ face     ███████████▄▄▄ face
        ▀▀███▀▀            - - axis - - -          - - axis - - -
    RADIUS from its        DIAMETER of the         DIAMETER of the cylinder
    centre                 thin shaft              before
""",
    "profile": """\
           │◄─ place ─►│ face
  ▄▄▄▄▄▄
  ███████████▄▄▄▄▄         each place, counted from the face,
  ████████████████▄▄▄▄▄▄▄  with the DIAMETER there; they grow
  - - - - axis - - - - - -
""",
    "cam": """\
         ▄▄█████▄▄
      ▄███████████▀▄    SEGMENTS, one after the other round the rim:
     ███████████████      rise   so much in so many degrees
     ██████ +──BASE►      dwell  the radius stays
      █████████████       fall   so much in so many degrees
        ▀███████▀       BASE: the radius where the first segment begins
""",
}


def picture(shape: str, blocks: bool) -> str:
    """Return the drawing of a shape, in half blocks or plain ASCII; empty for a shape that has none.

    Examples
    --------
    >>> print(picture("taper", blocks=False).splitlines()[3])
      LARGE  ##################__  small
    """
    drawn = PICTURES.get(shape, "")
    return drawn if blocks else drawn.translate(ASCII)
