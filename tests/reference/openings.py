"""What closing adds to real outlines and opening takes from them, by two libraries.

    python openings.py OUTLINES openings.tsv            write the numbers
    python openings.py OUTLINES openings.tsv --check    compare with the stored numbers
    python openings.py OUTLINES finer.tsv               the same for the cases listed there,
    python openings.py OUTLINES finer.tsv --check       Clipper alone, on finer chords

OUTLINES is what `cargo bench --bench reach -- outlines FILE [TOLERANCE]` writes: with chords
within 0.0005 mm of the curves for openings.tsv, 0.00002 mm for finer.tsv. GEOS (through
shapely) and Clipper (through pyclipper) have no code in common. Both round corners by chords
at most `arc` mm off. GEOS takes the number of chords in a quarter turn,

    n = ceil(pi / (4 acos(1 - arc / r))),

since a chord over the angle a on radius r has the sagitta r (1 - cos(a / 2)) and a is
pi / (2 n). Clipper takes the distance itself. Its coordinates are whole numbers, 2^20 to the
mm.
"""

import json
import math
import multiprocessing
import pathlib
import sys

import pyclipper
import shapely

RADII = [0.79375, 1.5875, 2.38125, 3.175, 4.7625, 6.35]
ARC = 0.0001  # mm; areas sum up along edges, so a tenth of the 0.001 mm lengths need
FINE = 0.00002  # mm, for finer.tsv
SCALE = 2**20
CASES = [(change, radius) for change in ("closing", "opening") for radius in RADII]
SAME = 1e-6  # relative, with an absolute floor of 1e-6 mm² of rounding


def signed_area(ring):
    return sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1])
    ) / 2


def polygons(rings):
    """Outer rings run counter-clockwise; each hole belongs to the smallest that holds it."""
    outers = sorted((r for r in rings if signed_area(r) > 0), key=signed_area)
    holes = [[] for _ in outers]
    shapes = [shapely.Polygon(r) for r in outers]
    for ring in rings:
        if signed_area(ring) < 0:
            inner = shapely.Polygon(ring).representative_point()
            home = next(i for i, s in enumerate(shapes) if s.covers(inner))
            holes[home].append(ring)
    return shapely.MultiPolygon(list(zip(outers, holes)))


def quarter_chords(radius, arc=ARC):
    return math.ceil(math.pi / (4 * math.acos(1 - arc / radius)))


def geos_change(shape, case, arc=ARC):
    """What closing adds or opening takes, mm²."""
    change, radius = case
    there = radius if change == "closing" else -radius
    n = quarter_chords(radius, arc)
    moved = shape.buffer(there, quad_segs=n).buffer(-there, quad_segs=n)
    return math.copysign(1, there) * (moved.area - shape.area)


def offset(paths, distance, arc):
    work = pyclipper.PyclipperOffset(2.0, arc * SCALE)
    work.AddPaths(paths, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return work.Execute(distance * SCALE)


def clipper_area(paths):
    return sum(pyclipper.Area(path) for path in paths) / SCALE**2


def whole(rings):
    return [[(round(x * SCALE), round(y * SCALE)) for x, y in ring] for ring in rings]


def clipper_change(paths, case, arc=ARC):
    """The same by Clipper, of paths in whole numbers."""
    change, radius = case
    there = radius if change == "closing" else -radius
    moved = offset(paths, there, arc)
    back = offset(moved, -there, arc) if moved else []
    return math.copysign(1, there) * (clipper_area(back) - clipper_area(paths))


def both(line):
    """The twelve lines of one outline."""
    index, rings = json.loads(line)
    shape, paths = polygons(rings), whole(rings)
    return [
        f"{index}\t{case[1]}\t{case[0]}\t"
        f"{geos_change(shape, case):.7f}\t{clipper_change(paths, case):.7f}"
        for case in CASES
    ]


def lines(outlines):
    yield f"# shapely {shapely.__version__}, GEOS {shapely.geos_version_string}"
    yield f"# pyclipper {pyclipper.__version__}, which carries Clipper 6.4.2"
    yield f"# chords within {ARC} mm of their arcs; areas in mm2"
    yield "outline\tradius\tchange\tgeos\tclipper"
    with open(outlines) as file, multiprocessing.Pool() as pool:
        for twelve in pool.imap(both, file):
            yield from twelve


def finer(work):
    """The line of one case."""
    line, case = work
    index, rings = json.loads(line)
    area = clipper_change(whole(rings), case, FINE)
    return f"{index}\t{case[1]}\t{case[0]}\t{area:.7f}"


def finer_lines(outlines, stored):
    """For the cases that are listed in what is stored."""
    yield f"# pyclipper {pyclipper.__version__}, which carries Clipper 6.4.2"
    yield f"# outline chords and arcs within {FINE} mm; areas in mm2"
    yield "outline\tradius\tchange\tclipper"
    listed = [row.split("\t") for row in stored if row[0].isdigit()]
    with open(outlines) as file:
        texts = {line[1 : line.index(",")]: line for line in file}
    work = [(texts[row[0]], (row[2], float(row[1]))) for row in listed]
    with multiprocessing.Pool() as pool:
        yield from pool.imap(finer, work)


def differ(new, old):
    """Two lines say other things."""
    new, old = new.split("\t"), old.split("\t")
    if not new[0].isdigit() or new[:3] != old[:3]:
        return new != old
    pairs = zip(map(float, new[3:]), map(float, old[3:]))
    return any(abs(a - b) > SAME * max(1, abs(a)) for a, b in pairs)


def check(name, new, old):
    changed = [pair for pair in zip(new, old) if differ(*pair)]
    for pair in changed[:10]:
        print("now    {}\nstored {}".format(*pair))
    cases = sum(row[0].isdigit() for row in old)
    print(f"{name}: {cases} cases by other libraries, {len(changed)} lines changed")
    return 1 if changed or len(new) != len(old) else 0


def main():
    outlines, path = sys.argv[1], pathlib.Path(sys.argv[2])
    old = path.read_text().splitlines() if path.exists() else []
    fine = path.name == "finer.tsv"
    new = list(finer_lines(outlines, old) if fine else lines(outlines))
    if "--check" in sys.argv:
        sys.exit(check(path.name, new, old))
    path.write_text("".join(row + "\n" for row in new))


if __name__ == "__main__":
    main()
