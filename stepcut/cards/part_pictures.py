"""A small drawing of what each size means on the part, for a person who is asked for its sizes.

Shapes draw themselves in half blocks (``DRAWN`` in their guide); a terminal that has no others gets plain ASCII.
"""

from __future__ import annotations

ASCII = str.maketrans(
    {"█": "#", "▀": '"', "▄": "_", "░": ":", "│": "|", "◄": "<", "►": ">", "─": "-", "┬": "+", "┴": "+", "└": "+"}
)


def picture(drawn: str, blocks: bool) -> str:
    """Return a drawing in half blocks or in plain ASCII.

    Examples
    --------
    >>> print(picture("██▄▄  ◄─ LENGTH ─►", blocks=False))
    ##__  <- LENGTH ->
    """
    return drawn if blocks else drawn.translate(ASCII)
