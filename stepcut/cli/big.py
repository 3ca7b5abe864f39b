"""Numbers that are read from a metre: our own five-by-seven font, a dotted nought, drawn in half blocks at any size."""

from __future__ import annotations

from functools import cache

# Seven rows for each character; # is a block.
_FONT = {
    "0": " ### |#   #|#   #|# # #|#   #|#   #| ### ",
    "1": "  #  | ##  |  #  |  #  |  #  |  #  | ### ",
    "2": " ### |#   #|    #|  ## | #   |#    |#####",
    "3": " ### |#   #|    #|  ## |    #|#   #| ### ",
    "4": "   # |  ## | # # |#  # |#####|   # |   # ",
    "5": "#####|#    |#### |    #|    #|#   #| ### ",
    "6": " ### |#    |#    |#### |#   #|#   #| ### ",
    "7": "#####|    #|   # |  #  |  #  |  #  |  #  ",
    "8": " ### |#   #|#   #| ### |#   #|#   #| ### ",
    "9": " ### |#   #|#   #| ####|    #|    #| ### ",
    ".": "  |  |  |  |  |##|##",
    ",": "  |  |  |  |  |##| #",
    "-": "    |    |    |####|    |    |    ",
    "+": "     |  #  |  #  |#####|  #  |  #  |     ",
    "/": "    #|    #|   # |  #  | #   |#    |#    ",
    "°": " ## |#  #|#  #| ## |    |    |    ",
    "'": "##|##|# |  |  |  |  ",
    '"': "## ##|## ##|#  # |     |     |     |     ",
    " ": "   |   |   |   |   |   |   ",
    "A": " ### |#   #|#   #|#####|#   #|#   #|#   #",
    "B": "#### |#   #|#   #|#### |#   #|#   #|#### ",
    "C": " ### |#   #|#    |#    |#    |#   #| ### ",
    "D": "#### |#   #|#   #|#   #|#   #|#   #|#### ",
    "E": "#####|#    |#    |#### |#    |#    |#####",
    "F": "#####|#    |#    |#### |#    |#    |#    ",
    "G": " ### |#   #|#    |#  ##|#   #|#   #| ### ",
    "H": "#   #|#   #|#   #|#####|#   #|#   #|#   #",
    "I": "###| # | # | # | # | # |###",
    "K": "#   #|#  # |# #  |##   |# #  |#  # |#   #",
    "L": "#    |#    |#    |#    |#    |#    |#####",
    "M": "#   #|## ##|# # #|# # #|#   #|#   #|#   #",
    "N": "#   #|##  #|# # #|#  ##|#   #|#   #|#   #",
    "O": " ### |#   #|#   #|#   #|#   #|#   #| ### ",
    "P": "#### |#   #|#   #|#### |#    |#    |#    ",
    "R": "#### |#   #|#   #|#### |# #  |#  # |#   #",
    "S": " ### |#   #|#    | ### |    #|#   #| ### ",
    "T": "#####|  #  |  #  |  #  |  #  |  #  |  #  ",
    "U": "#   #|#   #|#   #|#   #|#   #|#   #| ### ",
    "V": "#   #|#   #|#   #|#   #|#   #| # # |  #  ",
    "W": "#   #|#   #|#   #|# # #|# # #|## ##|#   #",
    "X": "#   #|#   #| # # |  #  | # # |#   #|#   #",
    "Y": "#   #|#   #| # # |  #  |  #  |  #  |  #  ",
    "i": " # |   |## | # | # | # |###",
    "m": "     |     |## # |# # #|# # #|# # #|# # #",
    "n": "     |     |# ## |##  #|#   #|#   #|#   #",
    "o": "     |     | ### |#   #|#   #|#   #| ### ",
    "p": "     |     |#### |#   #|#### |#    |#    ",
    "r": "    |    |# ##|##  |#   |#   |#   ",
    "t": " #  | #  |### | #  | #  | #  | ## ",
    "u": "     |     |#   #|#   #|#   #|#  ##| ## #",
}
TALL = 7  # pixels
_BLOCKS = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}


@cache
def _pixels(text: str) -> tuple[str, ...] | None:
    """Return the seven rows of a text, a column between characters; None when one is unknown."""
    if not text or any(character not in _FONT for character in text):
        return None
    glyphs = [_FONT[character].split("|") for character in text]
    return tuple(" ".join(glyph[k] for glyph in glyphs) for k in range(TALL))


def big(text: str, width: int, height: int) -> list[str] | None:
    """Return a text in the largest digits that fit into so many columns and rows; None where none do.

    A pixel is a whole number of columns wide and of half rows high, from square to twice as high as wide: a terminal's
    cell is about twice as high as it is wide.

    Examples
    --------
    >>> print("\\n".join(row.rstrip() for row in big("1", 10, 4)))
     ▄█
      █
      █
     ▀▀▀
    """
    rows = _pixels(text)
    if rows is None:
        return None
    sizes = [
        (wide, high)
        for wide in range(1, width // len(rows[0]) + 1)
        for high in range(wide, 2 * wide + 1)
        if (TALL * high + 1) // 2 <= height
    ]
    if not sizes:
        return None
    wide, high = max(sizes, key=lambda size: (size[0] * size[1], size[0]))
    halves = [[pixel == "#" for pixel in row for _ in range(wide)] for row in rows for _ in range(high)]
    if len(halves) % 2:
        halves.append([False] * len(halves[0]))
    return [
        "".join(_BLOCKS[above, below] for above, below in zip(halves[k], halves[k + 1], strict=True))
        for k in range(0, len(halves), 2)
    ]
