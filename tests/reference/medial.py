"""Half widths along the medial axes of letters, by scikit-image.

    cargo bench --bench letters -- FACES      writes the built-in faces into a folder
    python medial.py FACES                    writes medial.tsv beside this file
    python medial.py FACES --check            fails where the table would change

A letter's outline is read by HarfBuzz, filled on pixels of 0.02 mm with capitals 20 mm tall and
thinned by skimage.morphology.medial_axis, which gives each pixel left the distance to the
nearest pixel outside. A pixel counts as outside where any of its 16 parts is, so that the tip of
a notch is not lost; its middle then lies on the edge, on the mean. Written: every fifth of the
pixels, row by row; millimetres from the letter's origin on the baseline, y up, and the half
width there.
"""

import pathlib
import sys

import numpy as np
import skimage
import uharfbuzz as hb
from skimage.morphology import medial_axis

HERE = pathlib.Path(__file__).parent
PIXEL = 0.02
TALL = 20.0
PARTS = 4
EACH = 5
LETTERS = [("serif bold", "RgaZ&"), ("sans bold", "Sej8"), ("serif italic", "kfB")]


def outline(font, glyph):
    """Closed chains of points in font units; curves in 64 chords."""
    chains = []

    def curve(start, *handles):
        points = np.array([start, *handles], float)
        t = np.linspace(0, 1, 65)[1:, None]
        while len(points) > 1:
            points = [a * (1 - t) + b * t for a, b in zip(points, points[1:])]
        chains[-1].extend(map(tuple, points[0]))

    funcs = hb.DrawFuncs()
    funcs.set_move_to_func(lambda x, y, _: chains.append([(x, y)]))
    funcs.set_line_to_func(lambda x, y, _: chains[-1].append((x, y)))
    funcs.set_quadratic_to_func(lambda a, b, x, y, _: curve(chains[-1][-1], (a, b), (x, y)))
    funcs.set_cubic_to_func(
        lambda a, b, c, d, x, y, _: curve(chains[-1][-1], (a, b), (c, d), (x, y))
    )
    funcs.set_close_path_func(lambda _: None)
    font.draw_glyph(glyph, funcs, None)
    return [np.array(chain) for chain in chains]


def filled(chains, scale):
    """Pixels all of whose parts the chains wind about, and where the first one lies, mm."""
    points = np.concatenate(chains) * scale
    low = np.floor(points.min(0) / PIXEL) - 3
    wide, high = (np.ceil(points.max(0) / PIXEL) - low + 3).astype(int)
    ends = [(chain * scale / PIXEL - low) * PARTS for chain in chains]
    a = np.concatenate(ends)
    b = np.concatenate([np.roll(chain, -1, axis=0) for chain in ends])
    parts = np.zeros((high * PARTS, wide * PARTS), bool)
    for row, line in enumerate(parts):
        y = row + 0.5
        over = (a[:, 1] <= y) != (b[:, 1] <= y)
        (x0, y0), (x1, y1) = a[over].T, b[over].T
        x = x0 + (y - y0) / (y1 - y0) * (x1 - x0)
        order = np.argsort(x)
        winding = np.cumsum(np.where(y1 > y0, 1, -1)[order])
        x = np.ceil(x[order] - 0.5).astype(int)
        for left, right, turns in zip(x, x[1:], winding):
            line[left:right] = turns != 0
    parts = parts.reshape(high, PARTS, wide, PARTS)
    return parts.all(axis=(1, 3)), (low + 0.5) * PIXEL


def table(folder):
    yield f"# scikit-image {skimage.__version__}, outlines by HarfBuzz {hb.version_string()}"
    for name, letters in LETTERS:
        font = hb.Font(hb.Face((folder / name).read_bytes()))
        capital = outline(font, font.get_nominal_glyph(ord("H")))
        scale = TALL / np.concatenate(capital)[:, 1].max()
        for letter in letters:
            chains = outline(font, font.get_nominal_glyph(ord(letter)))
            area, (x0, y0) = filled(chains, scale)
            axis, distance = medial_axis(area, return_distance=True, rng=0)
            for row, column in np.argwhere(axis)[::EACH]:
                x, y = x0 + column * PIXEL, y0 + row * PIXEL
                half = distance[row, column] * PIXEL
                yield f"{name}\t{letter}\t{x:.3f}\t{y:.3f}\t{half:.4f}"


def main():
    new = "\n".join(table(pathlib.Path(sys.argv[1]))) + "\n"
    stored = HERE / "medial.tsv"
    if "--check" not in sys.argv[2:]:
        stored.write_text(new, encoding="utf-8")
        return
    old = stored.read_text(encoding="utf-8").splitlines()
    changed = [line for line in new.splitlines() if line not in set(old)]
    if changed or len(old) != len(new.splitlines()):
        sys.exit("not what is stored:\n" + "\n".join(changed[:20]))
    print(f"{len(old) - 1} half widths as stored")


main()
