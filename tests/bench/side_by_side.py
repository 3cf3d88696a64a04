"""Reach beside GEOS: the same outlines, the same twelve answers, one core, one run.

    python tests/bench/side_by_side.py [ROUNDS]

from the crate's folder, with the packages of tests/reference/requirements.txt. The twelve
answers are what closing adds and what opening takes for six cutters; GEOS gives each by two
calls of `buffer` with chords within 0.001 mm, on outlines whose chords lie within 0.001 mm of
the curves. Reading and cleaning outlines is counted for neither. Ours includes building the
profile and every self-check. The two take turns; the ratio of each round is taken, then the
median of the rounds.
"""

import json
import os
import pathlib
import re
import statistics
import subprocess
import sys
import time

sys.dont_write_bytecode = True
sys.path.append(str(pathlib.Path(__file__).parent.parent / "reference"))
import openings  # noqa: E402

CHORD = 0.001  # mm
BARS = {"all leftovers": 8, "verdicts": 20}  # times faster than GEOS, on the mean


def bench(*words):
    command = ["cargo", "bench", "--quiet", "--locked", "--bench", "reach", "--", *words]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def outlines():
    path = pathlib.Path("target/tmp/side_by_side.jsonl")
    path.parent.mkdir(parents=True, exist_ok=True)
    bench("outlines", str(path), str(CHORD))
    with open(path) as file:
        rings = [json.loads(line)[1] for line in file]
    print(f"{len(rings)} outlines, {sum(map(len, sum(rings, []))) / len(rings):.0f} chords each")
    return [openings.polygons(r) for r in rings]


def geos(shapes):
    """Mean and median ms an outline."""
    times = []
    for shape in shapes:
        start = time.perf_counter()
        for case in openings.CASES:
            openings.geos_change(shape, case, CHORD)
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.mean(times), statistics.median(times)


def ours():
    """Mean and median ms an outline for the verdicts and for all leftovers, and the rest."""
    text = bench()
    best = {}
    for what in BARS:
        found = re.findall(what + r" mean ([\d.]+) ms, median ([\d.]+) ms", text)
        means, medians = zip(*(map(float, pair) for pair in found))
        best[what] = statistics.median(means), statistics.median(medians)
    return best, text.splitlines()[-1].split("; ")[1]


def main():
    os.sched_setaffinity(0, {0})  # and everything started from here
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    shapes = outlines()
    ratios = {what: [] for what in BARS}
    for _ in range(rounds):
        their_mean, their_median = geos(shapes)
        best, rest = ours()
        words = f"GEOS mean {their_mean:.3f} median {their_median:.3f} ms"
        for what, (mean, median) in best.items():
            ratios[what].append((their_mean / mean, their_median / median))
            words += f" | {what} mean {mean:.3f} median {median:.3f} ms"
        print(words, flush=True)
    for what, pairs in ratios.items():
        mean, median = (statistics.median(column) for column in zip(*pairs))
        said = "met" if mean >= BARS[what] else "MISSED"
        print(f"{what}: {mean:.1f}x on the mean (bar {BARS[what]}x: {said}), {median:.1f}x on the median")
    print(rest)


if __name__ == "__main__":
    main()
