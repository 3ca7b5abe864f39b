"""A machine file with some of its figures replaced: the rest stays as its owner wrote it, and each old figure stands beside."""

from __future__ import annotations

import re
from collections.abc import Mapping

from stepcut.files import line_of


def mended(text: str, figures: Mapping[str, str]) -> str:
    """Return the text of a machine file with figures replaced.

    Parameters
    ----------
    text : str
        The file as it stands.
    figures : mapping
        New figures by key, such as ``table.division``; the section of each stands in the file.

    Examples
    --------
    >>> print(mended('[table]\\nratio = 90  # from the book\\n', {"table.degrees-per-turn": "5deg"}))
    [table]
    degrees-per-turn = "5deg"  # was ratio = 90
    <BLANKLINE>
    >>> print(mended('[table]\\nratio = 90\\n', {"table.counts-up": "clockwise"}))
    [table]
    counts-up = "clockwise"  # was not said
    ratio = 90
    <BLANKLINE>
    """
    for key, figure in figures.items():
        section, _, entry = key.partition(".")
        lines = text.split("\n")
        stands = entry
        if entry == "degrees-per-turn" and not line_of(text, (section, entry)):
            stands = "ratio"  # says the same
        at = line_of(text, (section, stands))
        if at:
            before, _, _ = lines[at - 1].partition("=")
            old = lines[at - 1].partition("#")[0].strip()
            lines[at - 1] = f'{before.replace(stands, entry).rstrip()} = "{figure}"  # was {old}'
        else:
            lines.insert(line_of(text, (section,)), f'{entry} = "{figure}"  # was not said')
        text = "\n".join(lines)
    return text


def with_depth_error(text: str, figure: str) -> str | None:
    """Return a machine's file with another error of its depth, nothing else changed; None where it has no such line.

    Examples
    --------
    >>> with_depth_error('[depth]\\ndivision = "0.02mm"\\nerror = "0"\\n', "0.03mm")
    '[depth]\\ndivision = "0.02mm"\\nerror = "0.03mm"\\n'
    """
    section = re.search(r"(?ms)^\[depth\].*?(?=^\[|\Z)", text)
    if section is None or not re.search(r"(?m)^error\s*=.*$", section[0]):
        return None
    mended = re.sub(r"(?m)^error\s*=.*$", f'error = "{figure}"', section[0], count=1)
    return text[: section.start()] + mended + text[section.end() :]
