"""Proofs a second beside librsvg and resvg: the same sheets, one run.

    python tests/bench/sheets.py [ROUNDS] [lossless]

from the crate's folder. Ours lays out, paints anew at 150 pixels to the inch and writes each sheet as
PNG or PDF, in one process on two threads and on one. rsvg-convert and the resvg command draw the SVG
of the same sheets, the dish in it painted as finely and held as a JPEG, as `treen proof --dpi 150`
writes it (with `lossless` as a PNG, every pixel as painted: what our PNG shows as well), a process a
sheet and one after the other; they need neither lay out nor paint. rsvg-convert writes PDF as well. Peers are installed where they are missing: librsvg2-bin by
apt-get, resvg by cargo into target/peers. The built-in faces are installed for them. All take turns
in each round; ratios are taken in each, then their median.
"""

import os
import pathlib
import re
import shutil
import statistics
import subprocess
import sys
import time

WORK = pathlib.Path("target/tmp/sheets")
PEERS = pathlib.Path("target/peers")
DPI = 150
COUNT = 192


def run(*words, **more):
    return subprocess.run([str(word) for word in words], check=True, capture_output=True, text=True, **more).stdout


def bench(name, *words):
    return run("cargo", "bench", "--quiet", "--locked", "--bench", name, "--", *words)


def install():
    if not shutil.which("rsvg-convert"):
        run("apt-get", "update")
        run("apt-get", "install", "-y", "librsvg2-bin")
    if not (PEERS / "bin/resvg").exists():
        run("cargo", "install", "--locked", "--root", PEERS, "resvg")


def rate(draw):
    """Sheets a second, a process a sheet."""
    drawings = sorted(WORK.glob("*.svg"))
    start = time.perf_counter()
    for drawing in drawings:
        draw(drawing)
    return len(drawings) / (time.perf_counter() - start)


def ours(form, threads):
    return float(re.search(r"([\d.]+) a second", bench("sheets", form, threads, COUNT))[1])


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    what = "lossless" if "lossless" in sys.argv[2:] else "files"
    install()
    faces = (WORK / "faces").resolve()
    bench("letters", faces)
    bench("sheets", what, WORK)
    conf = WORK / "fonts.conf"
    conf.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
        f"<dir>{faces}</dir><cachedir>{WORK.resolve() / 'cache'}</cachedir></fontconfig>"
    )
    settings = {**os.environ, "FONTCONFIG_FILE": str(conf.resolve())}
    out = WORK / "out"
    peers = {
        "rsvg-convert": lambda d: run("rsvg-convert", "-d", DPI, "-p", DPI, "-o", out, d, env=settings),
        "resvg": lambda d: run(
            PEERS / "bin/resvg", "--skip-system-fonts", "--use-fonts-dir", faces, "--zoom", DPI / 96, d, f"{out}.png"
        ),
        "rsvg-convert, PDF": lambda d: run("rsvg-convert", "-f", "pdf", "-o", out, d, env=settings),
    }
    bars = {"rsvg-convert": 8, "resvg": 6, "rsvg-convert, PDF": 10, "one thread": 1.85}
    ratios = {name: [] for name in bars}
    for _ in range(rounds):
        rates = {name: rate(draw) for name, draw in peers.items()}
        two, one, pdf = ours("png", 2), ours("png", 1), ours("pdf", 2)
        said = "  ".join(f"{name} {value:.2f}" for name, value in rates.items())
        print(f"sheets a second: {said}  ours PNG {two:.2f} (one thread {one:.2f}) PDF {pdf:.2f}", flush=True)
        rates["one thread"] = one
        for name in bars:
            ratios[name].append((pdf if name.endswith("PDF") else two) / rates[name])
    for name, bar in bars.items():
        value = statistics.median(ratios[name])
        print(f"{value:.2f}x {name} (bar {bar}x: {'met' if value >= bar else 'MISSED'})")


if __name__ == "__main__":
    main()
