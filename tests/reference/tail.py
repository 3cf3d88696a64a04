"""What a large cutter leaves of a recess with a pointed tail, by GEOS.

The recess is a disc of 40 mm with the two tangents from a point 110 mm away, rounded for a
cutter of 6 mm (opened by that disc). Written: its area, and what a cutter of 12.7 mm does not
enter (the recess less its opening by 12.7 mm), in mm². Chords lie within 1e-6 mm of the arcs.

    python tail.py tail.tsv           writes the table
    python tail.py tail.tsv --check   fails where the table differs by more than 0.001 mm²
"""

import math
import sys

import shapely
from shapely.geometry import Point, Polygon

R, TIP, SMALL, LARGE, FINE = 40.0, 110.0, 6.0, 12.7, 2048


def opened(shape, radius):
    return shape.buffer(-radius, quad_segs=FINE).buffer(radius, quad_segs=FINE)


def rows():
    turn = math.acos(R / TIP)
    touch = (R * math.cos(turn), R * math.sin(turn))
    kite = Polygon([(0, 0), (touch[0], -touch[1]), (TIP, 0), touch])
    recess = opened(Point(0, 0).buffer(R, quad_segs=FINE).union(kite), SMALL)
    left = recess.area - opened(recess, LARGE).area
    return [("area", recess.area), ("left", left), ("share", left / recess.area)]


def main():
    path, check = sys.argv[1], "--check" in sys.argv[2:]
    new = rows()
    if not check:
        with open(path, "w", encoding="utf-8") as file:
            file.write(f"# GEOS {shapely.geos_version_string} through shapely {shapely.__version__}\n")
            file.writelines(f"{name}\t{value:.6f}\n" for name, value in new)
        return
    with open(path, encoding="utf-8") as file:
        lines = [line.split("\t") for line in file if not line.startswith("#")]
    old = {name: float(value) for name, value in lines}
    wrong = [(name, old[name], value) for name, value in new if abs(old[name] - value) > 0.001]
    if wrong:
        sys.exit(f"not what is stored: {wrong}")


main()
