"""How cams move, ridges, and facts of circles."""

from __future__ import annotations

from math import pi, sin, sqrt

from stepcut.kernel.motions import MOTIONS as LAWS
from tests.outside.references.printed import acceleration, peak_acceleration, peak_speed, ridge, seconds, segment
from tests.outside.references.values import Value

NORTON = 'Norton, Design of Machinery, cam chapter table "Factors for peak velocity and acceleration"'
DRAFTING = "drafting-room rule for uniformly accelerated cams (French; Machinery's Handbook)"
SEGMENTS = "Machinery's Handbook, segments of circles table"

# One row a line: this is a table.
# fmt: off
MOTIONS = (
    Value("parabolic (constant acceleration): peak velocity factor (h/beta)", "2", 2, 0.0005, "", NORTON, "MEMORY", lambda: peak_speed("parabolic")),
    Value("parabolic (constant acceleration): peak acceleration factor (h/beta^2)", "4", 4, 0.0005, "", NORTON, "MEMORY", lambda: peak_acceleration("parabolic")),
    Value("cycloidal: peak velocity factor (h/beta)", "2", 2, 0.0005, "", NORTON, "MEMORY", lambda: peak_speed("cycloidal")),
    Value("3-4-5 polynomial: peak velocity factor (h/beta)", "15/8", 1.875, 0.0005, "", NORTON, "MEMORY", lambda: peak_speed("3-4-5")),
    Value("4-5-6-7 polynomial: peak velocity factor (h/beta)", "35/16", 2.1875, 0.0005, "", NORTON, "MEMORY", lambda: peak_speed("4-5-6-7")),
    Value("modified sine: peak acceleration factor (h/beta^2)", "4pi^2/(4+pi)", 5.5279571, 0.0005, "", NORTON, "MEMORY", lambda: peak_acceleration("modified-sine")),
    Value("modified trapezoid: peak acceleration factor (h/beta^2)", "8pi/(2+pi)", 4.8881238, 0.0005, "", NORTON, "MEMORY", lambda: peak_acceleration("modified-trapezoid")),
    Value("SHM max acceleration, rise", "lift 4 cm in 60 deg, 300 rpm", 177.65288, 0.2, "m/s2", "Sarkar, Theory of Machines, ch.9 (textbook companion notebook, FOSSEE repository commit d34b2ae) Ill.2 p.247", "SEEN", lambda: acceleration("harmonic", 0.04, 60, 300)),
    Value("SHM max acceleration, rise", "5 cm in 120 deg, 100 rpm", 6.1685028, 0.01, "m/s2", "Khurmi & Gupta exercise answer; Sarkar Ill.3 p.249 prints 6.2", "SEEN", lambda: acceleration("harmonic", 0.05, 120, 100)),
    Value("parabolic max acceleration, return", "2.5 cm in 90 deg, 1000 rpm", 44444.444, 5, "cm/s2", "Sarkar, Theory of Machines, ch.9 (textbook companion notebook, FOSSEE repository commit d34b2ae) Ill.5", "SEEN", lambda: acceleration("parabolic", 2.5, 90, 1000)),
    Value("parabolic rise in 6 equal steps: drafting rule 1:3:5:5:3:1", "step 1 of 6", 0.055555556, 1e-09, "", DRAFTING, "MEMORY", lambda: LAWS["parabolic"].share(1 / 6)),
    Value("parabolic rise in 6 equal steps: drafting rule 1:3:5:5:3:1", "step 3 of 6", 0.5, 1e-09, "", DRAFTING, "MEMORY", lambda: LAWS["parabolic"].share(3 / 6)),
)
RIDGES = (
    Value("turning, round nose: peak-to-valley", "f=0.125, r=0.7: f^2/(8r)", 0.0027901786, 1e-05, "mm", "Ghosh & Mallik, Manufacturing Science (textbook companion, FOSSEE commit d34b2ae) prob.24", "SEEN", lambda: ridge(0.125, 0.7)),
    Value("slab milling: peak-to-valley", "25 mm/min, 60 rpm, Z=12, d=100: (f/NZ)^2/(4d)", 3.0140818e-06, 1e-08, "mm", "Ghosh & Mallik, Manufacturing Science (textbook companion, FOSSEE commit d34b2ae) prob.25 p.262", "SEEN", lambda: ridge(25 / 60 / 12, 50)),
)
CIRCLES = (
    Value("circular segment, r=1, 30 deg: area", "(t-sin t)/2", 0.011799388, 1e-05, "", SEGMENTS, "MEMORY", lambda: segment(2 * sin(pi / 12))),
    Value("circular segment, r=1, 60 deg: area", "(t-sin t)/2", 0.090586074, 1e-05, "", SEGMENTS, "MEMORY", lambda: segment(1.0)),
    Value("circular segment, r=1, 90 deg: height", "1-cos(t/2)", 0.29289322, 1e-05, "", SEGMENTS, "MEMORY", lambda: ridge(sqrt(2), 1.0)),
    Value("chordal tooth thickness", "m=5, n=34: m n sin(90/n)", 7.851188, 0.001, "mm", "Sharma Ex.16.1 p.648 (textbook companion)", "SEEN", None, "gear teeth are no shape here"),
    Value("DMS: 18.92464442 deg -> seconds part", "18d55m s", 28.7199, 0.001, "arcsec", "ISO 1119 values as in GOST R 53440-2009 Table 1", "SEEN", lambda: seconds("18d55m28.7199s")),
)
# fmt: on
