"""Ramps and screws: torque and self-locking."""

from __future__ import annotations

from math import pi, radians, tan

from tests.outside.references.printed import screw, screw_at
from tests.outside.references.values import Value

SHIGLEY = "Shigley 9e Ex.8-1 p.417-418 (eqs 8-1..8-3 on p.416 SEEN: digilib.universitaspertamina.ac.id page441)"

# One row a line: this is a table.
# fmt: off
SCREWS = (
    Value("torque to raise", "d=32 p=4 double start, f=fc=0.08, dc=40, F=6.4 kN", 26.176955, 0.01, "N.m", SHIGLEY, "MEMORY", lambda: screw(30, 8, 6400, 0.08, 20, 0.08).lock / 1000),
    Value("overall efficiency", "F l/(2 pi T)", 0.31129416, 0.001, "", SHIGLEY, "MEMORY", lambda: 6400 * 8 / (2 * pi * screw(30, 8, 6400, 0.08, 20, 0.08).lock)),
    Value("torque to raise", "10,000 lb, 2 tpi, dm=2 in, f=0.2, no collar", 2840.9905, 1, "in.lb", "Statics textbook ch.5.6 problem 2", "SEEN", lambda: screw(2, 0.5, 10000, 0.2).lock),
    Value("efficiency of that thread", "tan(1-f tan)/(tan+f)", 0.33911706, 0.0001, "", "Wentzell, Machine Design, ch.18 (textbook companion, FOSSEE commit d34b2ae) Ex.18.2", "SEEN", None, "the published example\'s lead and diameter are not known to us"),
    Value("screw jack, torque to raise", "d=30 p=6 square, W=20 kN, mu=0.2, collar mu 0.15 rm=12", 110.14757, 0.05, "N.m", "Jindal, Machine Design ch.16 (textbook companion) Ex.16-1 p.450", "SEEN", lambda: screw(27, 6, 20000, 0.2, 12, 0.15).lock / 1000),
    Value("same: ratio raise/lower", "", 4.2433212, 0.05, "", "Khurmi & Gupta, Theory of Machines ch.10 (textbook companion) Ex.10.10", "SEEN", lambda: screw(50, 12.5, 1, 0.13).lock / screw(50, 12.5, 1, 0.13).release),
    Value("spanner force", "core 22.5, p=5, mu .1, collar .16 x 25, W=10 kN, arm 500", 121.17764, 0.5, "N", "Khurmi & Gupta, Theory of Machines ch.10 (textbook companion) Ex.10.6 p.274", "SEEN", lambda: screw(25, 5, 10000, 0.1, 25, 0.16).lock / 500),
    Value("screw: turnbuckle torque, V thread", "W=40 kN d=22 p=3 mu=.15/cos30, two ends", 192.0616, 0.384, "N.m", "Khurmi & Gupta, Theory of Machines ch.10 (textbook companion) Ex.10.13 p.284", "SEEN", lambda: 2 * screw(22, 3, 40000, 0.15, flank=30).lock / 1000),
    Value("screw: load held", "P=300 N x 180, d=28 p=8, mu=.12, collar .15x31", 7.2990421, 0.0073, "kN", "Jindal, Machine Design ch.16 (textbook companion) Ex.16-4 p.453", "SEEN", lambda: 300 * 180 / screw(24, 8, 1, 0.12, 31, 0.15).lock / 1000),
    Value("double-start d=26 p=5 W=10 kN mu=.2, collar .15: torsional stress", "16T/(pi 21^3)", 36.715383, 0.02, "N/mm2", "Sadhu Singh, Machine Design I, ch.9 Ex.9.1 p.256", "SEEN", None, "says no stress: strength is not promised"),
    Value("self-locking test", "lead angle 6 deg, friction angle 8 deg -> holds", 1, 0, "", "Shigley p.416: f > tan(lambda)", "SEEN", lambda: float(screw_at(6, tan(radians(8))).holds)),
)
# fmt: on
