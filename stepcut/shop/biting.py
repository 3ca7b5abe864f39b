"""How deep one pass of a lathe tool is.

References
----------
[1] "Machine Tool Speeds and Feeds", workshop table, docslib.org/doc/5103932: suggested depth of cut, inches, with high-speed
    steel and carbide: plain steels 0.03, 0.05; alloy steels 0.025, 0.045; stainless 0.03, 0.05; aluminium and brass 0.05, 0.07.
"""

from __future__ import annotations

from fractions import Fraction

INCH = Fraction(254, 10)
_PLAIN, _ALLOY, _SOFT = ("0.03", "0.05"), ("0.025", "0.045"), ("0.05", "0.07")
TURNED = {  # inches on the radius with high-speed steel and carbide [1]; what is not in it goes with its like
    "": _PLAIN, "mild-steel": _PLAIN, "stainless": _PLAIN, "cast-iron": _PLAIN, "alloy-steel": _ALLOY, "tool-steel": _ALLOY,
    "aluminium": _SOFT, "brass": _SOFT, "bronze": _SOFT, "copper": _SOFT, "plastic": _SOFT,
}  # fmt: skip


def pass_depth(material: str, carbide: bool) -> Fraction:
    """Return the usual depth of a roughing pass, mm on the radius.

    Examples
    --------
    >>> float(pass_depth("mild-steel", carbide=False))
    0.762
    """
    return Fraction(TURNED[material][1 if carbide else 0]) * INCH
