"""Indexing, leads and lead angles."""

from __future__ import annotations

from fractions import Fraction

from stepcut.shapes.helix.wanted import Helix
from stepcut.shop.gears import machine_lead
from stepcut.shop.index import turns_for
from tests.outside.references.printed import INCH, holes, inches, ratio_of_leads, turns
from tests.outside.references.values import Value

ARMY_ANGULAR = "Army OD1644, milling machine subcourse3"
HANDBOOK_1916 = "Machinery's Handbook 1916 excerpt"
FOX_VALLEY = 'Fox Valley Technical College lecture page "Angular indexing"'
HANDBOOK_27 = "Machinery's Handbook 27, p.1995 decimal angular indexing"

# One row a line: this is a table.
# fmt: off
INDEXING = (
    Value("simple indexing, 42 divisions, 40:1", "40/42", 0.95238095, 1e-09, "turns", "Army OD1644, milling machine subcourse0", "SEEN", lambda: turns_for(Fraction(40), divisions=42)),
    Value("angle per crank turn, 40:1", "360/40 deg", 540, 1e-09, "arcmin", ARMY_ANGULAR, "SEEN", lambda: 60 / turns_for(Fraction(40), angle=Fraction(1))),
    Value("54' on a 20-hole circle, 40:1", "54/540 turn", 0.1, 1e-09, "turns", ARMY_ANGULAR, "SEEN", lambda: holes("54'", 20)),
    Value("11-1/2 deg, 40:1", "11.5/9", 1.2777778, 1e-09, "turns", HANDBOOK_1916, "SEEN", lambda: turns("11.5deg")),
    Value("1 deg, 40:1", "1/9", 0.11111111, 1e-09, "turns", HANDBOOK_1916, "SEEN", lambda: turns("1deg")),
    Value("45 deg, 40:1", "45/9", 5, 1e-09, "turns", FOX_VALLEY, "SEEN", lambda: turns("45deg")),
    Value("8d50', 40:1", "530/540", 0.98148148, 1e-09, "turns", FOX_VALLEY, "SEEN", lambda: turns("8d50m")),
    Value("24-hole direct plate: angle per hole", "360/24", 15, 1e-09, "deg", FOX_VALLEY, "SEEN", lambda: 360 * turns_for(Fraction(1), divisions=24)),
    Value("15 deg, 40:1", "15/9", 1.6666667, 1e-09, "turns", 'worksheet "Differential and Angular Indexing Guide"', "SEEN", lambda: turns("15deg")),
    Value("part-turn by one or two hole circles", "7/41 + 1/47", 0.1920083, 0.0001, "turns", HANDBOOK_27, "SEEN", None, "an angle is set in one hole circle; two circles one after the other are not looked for"),
    Value("part-turn by one or two hole circles", "6/27 = 12/54", 0.22222222, 0.0001, "turns", HANDBOOK_27, "SEEN", lambda: holes("2deg", 54)),
    Value("part-turn by one or two hole circles", "28/49 - 16/47", 0.23100304, 0.0001, "turns", HANDBOOK_27, "SEEN", None, "an angle is set in one hole circle; two circles one after the other are not looked for"),
    Value("same gears with the first gear on the spindle", "6.160/40", 0.154, 1e-06, "in", "Brown & Sharpe, Practical Treatise on Milling and Milling Machines (1914), p.63-64", "SEEN", lambda: 6.160 * ratio_of_leads(1, 40)),
    Value("short lead", "10.467/40", 0.261675, 1e-06, "in", "Brown & Sharpe, Practical Treatise on Milling and Milling Machines (1914), p.63-64", "SEEN", lambda: 10.467 * ratio_of_leads(1, 40)),
    Value("lead of machine, 4 tpi screw, 40:1", "40*0.25", 10, 1e-09, "in", "common to all handbooks", "MEMORY", lambda: inches(machine_lead(Fraction(40), INCH / 4))),
    Value("blank diameter for slots cut at an angle", "10 in blank straight; same slots at 19d22'", 10.599781, 0.01, "in", "US Navy training manual 14345 Fig.14-7 text", "SEEN", None, "slots cut at an angle round a blank are no shape here"),
    Value("lead angle of thread", "lead 0.250, pd 1.3429", 3.3912634, 0.005, "deg", "Mott, Machine Elements 4e, Ex.17-1 p.703", "SEEN", lambda: 90 - Helix(Fraction("1.3429"), Fraction("0.25"), Fraction(1), Fraction(1, 10)).angle),
    Value("lead angle of thread", "lead 1/4, pd 1.375", 3.3122712, 0.005, "deg", "Wentzell, Ex.18.3 p.402", "SEEN", lambda: 90 - Helix(Fraction("1.375"), Fraction("0.25"), Fraction(1), Fraction(1, 10)).angle),
)
# fmt: on
