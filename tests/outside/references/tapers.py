"""Machine tapers and their set-ups."""

from __future__ import annotations

from stepcut.shop.tapers import compound_setting, half_angle, ratio_of, set_over, sine_block
from tests.outside.references.printed import inches, named, taper
from tests.outside.references.values import Value

STANDARD_TAPERS = 'Table "Dimensions of Standard Tapers"'
LOBBEN = "Lobben, Machinists' and Draftsmen's Handbook, Table 51 p.477"
CONES = "ISO 1119 values as in GOST R 53440-2009 Table 1"
DEGREES_IN_INCHES = 'Turning and Boring Tapers (Derry-Collard 1902), table "Equivalent Tapers of Degrees in Inches"'

# One row a line: this is a table.
# fmt: off
TAPERS = (
    Value("Morse 0: half angle (compound setting)", "taper 0.62460 in/ft", 1.4907862, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 0").ratio)),
    Value("Morse 1: half angle (compound setting)", "taper 0.59858 in/ft", 1.4287083, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 1").ratio)),
    Value("Morse 3: half angle (compound setting)", "taper 0.60235 in/ft", 1.4377029, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 3").ratio)),
    Value("Morse 4-1/2: half angle (compound setting)", "taper 0.62400 in/ft", 1.4893547, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 4-1/2").ratio)),
    Value("Morse 5: half angle (compound setting)", "taper 0.63151 in/ft", 1.5072713, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 5").ratio)),
    Value("Morse 7: half angle (compound setting)", "taper 0.62400 in/ft", 1.4893547, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Morse 7").ratio)),
    Value("Morse 1: taper per foot from the two end diameters", "D=0.475, d=0.369, L=2.125 in (socket depth; table prints 2.12)", 0.59858824, 0.0002, "in/ft", STANDARD_TAPERS, "SEEN", lambda: taper("taper_per_foot", large="0.475in", small="0.369in", length="2.125in")),
    Value("Morse 2: taper per foot from the two end diameters", "D=0.7, d=0.572, L=2.5625 in (socket depth; table prints 2.56)", 0.59941463, 0.0002, "in/ft", STANDARD_TAPERS, "SEEN", lambda: taper("taper_per_foot", large="0.7in", small="0.572in", length="2.5625in")),
    Value("Morse 4: taper per foot from the two end diameters", "D=1.231, d=1.02, L=4.0625 in (socket depth; table prints 4.06)", 0.62326154, 0.0002, "in/ft", STANDARD_TAPERS, "SEEN", lambda: taper("taper_per_foot", large="1.231in", small="1.02in", length="4.0625in")),
    Value("Morse 5: taper per foot from the two end diameters", "D=1.748, d=1.475, L=5.1875 in (socket depth; table prints 5.19)", 0.63151807, 0.0002, "in/ft", STANDARD_TAPERS, "SEEN", lambda: taper("taper_per_foot", large="1.748in", small="1.475in", length="5.1875in")),
    Value("Morse 6: taper per foot from the two end diameters", "D=2.494, d=2.116, L=7.25 in (socket depth; table prints 7.25)", 0.62565517, 0.0002, "in/ft", STANDARD_TAPERS, "SEEN", lambda: taper("taper_per_foot", large="2.494in", small="2.116in", length="7.25in")),
    Value("Morse 0: conicity 1:n", "tpf 0.62460 in/ft; n=12/tpf", 19.212296, 0.002, "", "GOST 25307-82 p.18", "SEEN", lambda: 1 / named("Morse 0").ratio),
    Value("Morse 2: conicity 1:n", "tpf 0.59941 in/ft; n=12/tpf", 20.019686, 0.002, "", "GOST 25307-82 p.18", "SEEN", lambda: 1 / named("Morse 2").ratio),
    Value("Morse 3: conicity 1:n", "tpf 0.60235 in/ft; n=12/tpf", 19.921972, 0.002, "", "GOST 25307-82 p.18", "SEEN", lambda: 1 / named("Morse 3").ratio),
    Value("Morse 5: conicity 1:n", "tpf 0.63151 in/ft; n=12/tpf", 19.002074, 0.002, "", "GOST 25307-82 p.18", "SEEN", lambda: 1 / named("Morse 5").ratio),
    Value("Brown & Sharpe 1: half angle", "taper 0.5020 in/ft", 1.198262, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Brown & Sharpe 1").ratio)),
    Value("Brown & Sharpe 4: half angle", "taper 0.5024 in/ft", 1.1992165, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Brown & Sharpe 4").ratio)),
    Value("Brown & Sharpe 7: half angle", "taper 0.5015 in/ft", 1.1970689, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Brown & Sharpe 7").ratio)),
    Value("Jarno 4: large dia / small dia / length = n/8, n/10, n/2", "n=4", 0.5, 1e-09, "in", LOBBEN, "SEEN", lambda: inches(named("Jarno 4").large)),
    Value("Jarno 8: large dia / small dia / length = n/8, n/10, n/2", "n=8", 1, 1e-09, "in", LOBBEN, "SEEN", lambda: inches(named("Jarno 8").large)),
    Value("Jarno: half angle", "0.600 in/ft", 1.4320962, 0.0005, "deg", STANDARD_TAPERS, "SEEN", lambda: half_angle(named("Jarno 4").ratio)),
    Value("cone angle of taper 1:4", "2 atan(1/8)", 14.250033, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:4", large="37mm", length="12mm")),
    Value("cone angle of taper 1:5", "2 atan(1/10)", 11.421186, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:5", large="37mm", length="12mm")),
    Value("cone angle of taper 1:7", "2 atan(1/14)", 8.1712336, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:7", large="37mm", length="12mm")),
    Value("cone angle of taper 1:10", "2 atan(1/20)", 5.7248105, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:10", large="37mm", length="12mm")),
    Value("cone angle of taper 1:12", "2 atan(1/24)", 4.7718881, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:12", large="37mm", length="12mm")),
    Value("cone angle of taper 1:20", "2 atan(1/40)", 2.8641924, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:20", large="37mm", length="12mm")),
    Value("cone angle of taper 1:50", "2 atan(1/100)", 1.1458774, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:50", large="37mm", length="12mm")),
    Value("cone angle of taper 1:100", "2 atan(1/200)", 0.57295302, 1e-07, "deg", CONES, "SEEN", lambda: taper("included", taper="1:100", large="37mm", length="12mm")),
    Value("conicity 1:x of a 90 deg cone", "x = 1/(2 tan(90/2))", 0.5, 1e-06, "", CONES, "SEEN", lambda: taper("ratio", included="90deg", large="37mm", length="12mm")),
    Value("conicity 1:x of a 60 deg cone", "x = 1/(2 tan(60/2))", 0.8660254, 1e-06, "", CONES, "SEEN", lambda: taper("ratio", included="60deg", large="37mm", length="12mm")),
    Value("conicity 1:x of a 45 deg cone", "x = 1/(2 tan(45/2))", 1.2071068, 1e-06, "", CONES, "SEEN", lambda: taper("ratio", included="45deg", large="37mm", length="12mm")),
    Value("steep taper 7/24: half angle", "atan(7/48)", 8.297145, 0.0001, "deg", "ISO 7388 / ASME B5.50 = 7/24 (MEMORY)", "SEEN", lambda: half_angle(named("7/24").ratio)),
    Value("taper per inch of a 1 deg included angle", "2 tan(a/2)", 0.017453736, 2e-05, "in/in", DEGREES_IN_INCHES, "SEEN", lambda: ratio_of(1 / 2)),
    Value("taper per inch of a 2 deg included angle", "2 tan(a/2)", 0.03491013, 2e-05, "in/in", DEGREES_IN_INCHES, "SEEN", lambda: ratio_of(2 / 2)),
    Value("taper per inch of a 5 deg included angle", "2 tan(a/2)", 0.087321886, 2e-05, "in/in", DEGREES_IN_INCHES, "SEEN", lambda: ratio_of(5 / 2)),
    Value("taper per inch of a 20 deg included angle", "2 tan(a/2)", 0.35265396, 2e-05, "in/in", DEGREES_IN_INCHES, "SEEN", lambda: ratio_of(20 / 2)),
    Value("tailstock set-over", "3.000 to 2.000 in over the full 12 in between centres", 0.5, 1e-09, "in", 'US Navy training manual 14345, "Using the compound rest"', "SEEN", lambda: set_over(3, 2, 12, 12)),
    Value("tailstock set-over", "1 in/ft, work 3 ft long (taper part any length)", 1.5, 1e-09, "in", "Rose, Modern Machine-Shop Practice, p.614", "SEEN", lambda: set_over(2, 1, 12, 36)),
    Value("compound graduations from cross-slide zero", "angle with axis 30", 60, 1e-09, "deg", "Jones, Turning and Boring", "SEEN", lambda: compound_setting(30, "across")),
    Value("sine bar block height", "L=5 in, angle 23.68333 deg", 2.008407, 0.0001, "in", "Army TC 9-524 Appendix C", "SEEN", lambda: sine_block(5, 23.68333)),
    Value("two-disk gauge centre distance", "taper 3/4 in/ft, disks 1.25 and 1.50", 4.0019526, 0.0005, "in", "Jones, Turning and Boring, disk gage rules", "SEEN", None, "tapers are not measured over two disks"),
)
# fmt: on
