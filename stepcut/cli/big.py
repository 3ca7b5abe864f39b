"""Digits of seven rows for a screen that is read from a metre: our own five-by-seven font, a dotted nought."""

from __future__ import annotations

# Seven rows of five for each character; # is a block.
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
    ".": "     |     |     |     |     | ##  | ##  ",
    "-": "     |     |     |#####|     |     |     ",
    "+": "     |  #  |  #  |#####|  #  |  #  |     ",
    "°": " ##  |#  # |#  # | ##  |     |     |     ",
    "'": " ##  | ##  | #   |     |     |     |     ",
    '"': "## ##|## ##|#  # |     |     |     |     ",
}
ROWS = 7


def big(text: str, width: int) -> str | None:
    """Return the text in big digits, each pixel one or two columns wide; None where they do not fit or are unknown.

    Examples
    --------
    >>> print(big("1", 10).splitlines()[0].rstrip())
      █
    """
    if any(character not in _FONT for character in text):
        return None
    columns = 6 * len(text)
    if columns > width:
        return None
    scale = 2 if 2 * columns <= width else 1
    rows = [""] * ROWS
    for character in text:
        for k, line in enumerate(_FONT[character].split("|")):
            rows[k] += "".join("█" * scale if pixel == "#" else " " * scale for pixel in line) + " " * scale
    return "\n".join(rows)
