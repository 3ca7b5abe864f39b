"""What other tables of the trade are for: fits, threads, speeds, measuring."""

from __future__ import annotations

from tests.outside.references.printed import spindle
from tests.outside.references.values import Value

JIS_0401 = "JIS B 0401:1999 (= ISO 286-2) shaft table"
SHARMA = "Sharma, Production Engineering ch.9 (textbook companion) Ex.9.1-9.9 p.376-381"
B4_1 = "Machinery's Handbook 31, Tables 8a/8b/12 = ANSI B4.1-1967"
ISO_724_COARSE = "metric coarse chart ISO 724 minor diameters"
ISO_724_FINE = "ISO 724 metric fine table"
TWO_FIGURES = 5  # rpm: the card prints two figures of a spindle's speed, here tens
SHARMA_22 = "Sharma Ex.22.2 p.778 (textbook companion prints truncated)"

# One row a line: this is a table.
# fmt: off
FITS = (
    Value("H7 hole, 3-6 mm", "d=5", 12, 0, "um", "ISO 286 H7 list", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("g6 shaft, 3-6 mm: es/ei -4/-12", "d=5", -4, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("k6 shaft, 3-6 mm: es/ei +9/+1", "d=5", 1, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("p6 shaft, 3-6 mm: es/ei +20/+12", "d=5", 12, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("h6 shaft, 6-10 mm", "d=8", -9, 0, "um", "ISO h table", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("f7 shaft, 6-10 mm: es/ei -13/-28", "d=8", -13, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("k6 shaft, 6-10 mm: es/ei +10/+1", "d=8", 1, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("H7 hole, 10-18 mm", "d=12", 18, 0, "um", "ISO 286 H7 list", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("g6 shaft, 10-18 mm: es/ei -6/-17", "d=12", -6, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("f7 shaft, 10-18 mm: es/ei -16/-34", "d=12", -16, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("p6 shaft, 10-18 mm: es/ei +29/+18", "d=12", 18, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("h6 shaft, 18-30 mm", "d=25", -13, 0, "um", "ISO h table", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("g6 shaft, 18-30 mm: es/ei -7/-20", "d=25", -7, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("k6 shaft, 18-30 mm: es/ei +15/+2", "d=25", 2, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("H7 hole, 30-50 mm", "d=40", 25, 0, "um", "ISO 286 H7 list", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("h6 shaft, 30-50 mm", "d=40", -16, 0, "um", "ISO h table", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("f7 shaft, 30-50 mm: es/ei -25/-50", "d=40", -25, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("p6 shaft, 30-50 mm: es/ei +42/+26", "d=40", 26, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("H7 hole, 50-80 mm", "d=60", 30, 0, "um", "ISO 286 H7 list", "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("g6 shaft, 50-80 mm: es/ei -10/-29", "d=60", -10, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("k6 shaft, 50-80 mm: es/ei +21/+2", "d=60", 2, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("p6 shaft, 50-80 mm: es/ei +51/+32", "d=60", 32, 0, "um", JIS_0401, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("max clearance", "30 mm: hole +20/0, shaft -5/-18", 0.038, 1e-06, "mm", SHARMA, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("allowance", "hole 37.50-37.52, shaft 37.45-37.47", 0.03, 1e-06, "mm", SHARMA, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("shaft high limit", "hole low 75, allowance 0.10", 74.9, 1e-06, "mm", SHARMA, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("interference fit shaft high", "100 mm, 0.12 max", 100.12, 1e-06, "mm", SHARMA, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC1, 0.71-1.19 in: max clearance", "hole +0.4/0, shaft -0.3/-0.55", 0.95, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC2, 0.71-1.19 in: max clearance", "hole +0.5/0, shaft -0.3/-0.7", 1.2, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC4, 0.71-1.19 in: max clearance", "hole +1.2/0, shaft -0.8/-1.6", 2.8, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC2, 1.19-1.97 in: max clearance", "hole +0.6/0, shaft -0.4/-0.8", 1.4, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC3, 1.19-1.97 in: max clearance", "hole +1.0/0, shaft -1.0/-1.6", 2.6, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC4, 1.97-3.15 in: max clearance", "hole +1.8/0, shaft -1.2/-2.4", 4.2, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 RC7, 0.71-1.19 in: max clearance", "hole +2.0/0, shaft -2.5/-3.7", 5.7, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 LN1, 0.71-1.19 in: min interference", "hole +0.5/0, shaft +1.0/+0.5", 0, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 LN3, 0.71-1.19 in: min interference", "hole +0.8/0, shaft +1.7/+1.2", 0.4, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 LN2, 1.97-3.15 in: min interference", "hole +1.2/0, shaft +2.1/+1.4", 0.2, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
    Value("ANSI B4.1 LN3, 1.19-1.97 in: min interference", "hole +1.0/0, shaft +2.0/+1.4", 0.4, 0, "thou", B4_1, "SEEN", None, "fits and limits are not looked up; the user gives the sizes he wants"),
)
THREADS = (
    Value("M3x0.5: basic minor diameter D1", "D-1.082532*0.5", 2.458734, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M5x0.8: basic minor diameter D1", "D-1.082532*0.8", 4.1339744, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M6x1: basic minor diameter D1", "D-1.082532*1", 4.917468, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M12x1.75: basic minor diameter D1", "D-1.082532*1.75", 10.105569, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M20x2.5: basic minor diameter D1", "D-1.082532*2.5", 17.29367, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M24x3: basic minor diameter D1", "D-1.082532*3", 20.752404, 0.0006, "mm", ISO_724_COARSE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M8x1: stress area", "pi/4((d2+d3)/2)^2, d3=d-1.226869P", 39.167103, 0.5, "mm2", ISO_724_FINE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M10x1.25: stress area", "pi/4((d2+d3)/2)^2, d3=d-1.226869P", 61.198598, 0.5, "mm2", ISO_724_FINE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M12x1.5: pitch diameter", "D-0.649519*1.5", 11.025721, 0.0006, "mm", ISO_724_FINE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M16x1.5: pitch diameter", "D-0.649519*1.5", 15.025721, 0.0006, "mm", ISO_724_FINE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("M20x1.5: pitch diameter", "D-0.649519*1.5", 19.025721, 0.0006, "mm", ISO_724_FINE, "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("thread height constant: difference major-minor", "5/4 * 0.866025 P", 1.0825318, 1e-06, "", 'Wikipedia "ISO metric screw thread"', "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
    Value("over-wires, M20x2.5", "D+3w-1.5156P", 20.5415, 0.001, "mm", "Sharma Ex.17.2", "SEEN", None, "threads are not cut in steps; no thread sizes are known here"),
)
SPEEDS = (
    Value("rpm metric", "v=30 m/min, d=60 mm: 1000v/(pi d)", 159.15494, TWO_FIGURES, "rpm", SHARMA_22, "SEEN", lambda: spindle(30, 60)),
    Value("rpm metric", "v=30 m/min, d=10 mm: 1000v/(pi d)", 954.92966, TWO_FIGURES, "rpm", SHARMA_22, "SEEN", lambda: spindle(30, 10)),
    Value("geometric speed series, 6 speeds", "step 1", 227.74588, 1, "rpm", "Sharma Ex.22.2", "SEEN", None, "a machine's speeds are read off it, not laid out"),
    Value("geometric speed series, 6 speeds", "step 3", 466.34899, 1, "rpm", "Sharma Ex.22.2", "SEEN", None, "a machine's speeds are read off it, not laid out"),
    Value("geometric speed series, 6 speeds", "step 4", 667.33098, 1, "rpm", "Sharma Ex.22.2", "SEEN", None, "a machine's speeds are read off it, not laid out"),
    Value("cutting speed", "0.5 in dia, 400 rpm: pi d N", 628.31853, 0.5, "in/min", "Kalpakjian Ex.22.1 p.600 (textbook companion)", "SEEN", None, "a cutting speed comes from a table, it is not worked out of the revolutions"),
    Value("table feed", "0.25 mm/tooth, 20 teeth, 100 rpm", 500, 1e-09, "mm/min", "Sharma Ex.15.2 p.603", "SEEN", None, "feeds and cutting times are the machinist's own"),
    Value("slab mill time", "(300+12.2)/500*60", 37.468518, 0.05, "s", "Sharma Ex.15.2", "SEEN", None, "feeds and cutting times are the machinist's own"),
)
MEASURING = (
    Value("micrometer", "sleeve 7 exposed, thimble 12", 0.712, 1e-09, "in", "US Navy training manual 14001 fig.2-24", "SEEN", None, "reads no micrometer: readings are typed as numbers"),
)
# fmt: on
