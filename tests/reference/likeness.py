"""The three forms of a proof beside each other, as other programs draw them.

    cargo bench --bench letters -- FACES                  writes the built-in faces
    python likeness.py TREEN FOLDER FACES [DPI ...]       fails where a form is not like the PNG

Sheets of the demo are made in FOLDER by the program TREEN, at 150 and 300 pixels per inch where
nothing else is said. The PDF as pdftoppm (Poppler) draws it, the SVG as Chromium and rsvg-convert
(librsvg) do, each at the resolution of the PNG, are set beside our PNG by structural similarity
(Z. Wang, A. C. Bovik, H. R. Sheikh, E. P. Simoncelli, "Image quality assessment: from error
visibility to structural similarity", IEEE Transactions on Image Processing 13, 2004; as
scikit-image computes it, on grey values with the weights of that paper). Every figure is printed.

Asked as well, of the same PDF files and of a few names in other scripts: pdfinfo says A4 and one
page for a proof; pdffonts says that every font is embedded; pdftotext finds the name; qpdf --check
finds nothing. Needs chromium, librsvg2-bin, poppler-utils and qpdf beside requirements.txt.
"""

import json
import os
import pathlib
import subprocess
import sys
import unicodedata

import numpy
from skimage import io
from skimage.color import rgb2gray
from skimage.metrics import structural_similarity

LEAST = 0.97
CSS = 96  # pixels per inch of CSS
ABROAD = {
    "latin": "Łucja", "greek": "Ελένη", "arabic": "ليلى", "hebrew": "נועם",
    "devanagari": "मीरा", "joined": "प्रिया", "stacked": "लक्ष्मी",
}  # fmt: skip


def run(*words, **more):
    words = [str(word) for word in words]
    return subprocess.run(words, check=True, capture_output=True, text=True, **more).stdout


def make(treen, folder, *words):
    run(treen, "proof", "--quiet", "--fresh", *words, "--out", folder)
    return json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["orders"]


def faces(folder, work):
    """Settings under which the built-in faces, and no other font, are installed."""
    path = work / "fonts.conf"
    path.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
        f"<dir>{folder.resolve()}</dir><cachedir>{(work / 'fonts').resolve()}</cachedir></fontconfig>",
        encoding="utf-8",
    )
    return {**os.environ, "FONTCONFIG_FILE": str(path.resolve())}


def grey(path, size=None):
    picture = io.imread(path)
    picture = rgb2gray(picture[..., :3]) if picture.ndim == 3 else picture / 255
    if size is not None:
        assert all(0 <= a - b <= 3 for a, b in zip(picture.shape, size)), (path, picture.shape, size)
        picture = picture[: size[0], : size[1]]
    return picture


def poppler(base, dpi, work, _):
    run("pdftoppm", "-r", dpi, "-png", "-singlefile", base.with_suffix(".pdf"), work / "poppler")
    return work / "poppler.png"


def librsvg(base, dpi, work, settings):
    out = work / "librsvg.png"
    run("rsvg-convert", "--unlimited", "-d", dpi, "-p", dpi, "-o", out, base.with_suffix(".svg"), env=settings)
    return out


def chromium(base, dpi, work, settings):
    out = work / "chromium.png"
    page = work / "page.html"
    drawing = base.with_suffix(".svg").resolve().as_uri()
    page.write_text(
        f'<!doctype html><body style="margin:0"><img src="{drawing}" style="display:block">', encoding="utf-8"
    )
    run(
        "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
        f"--force-device-scale-factor={dpi / CSS}", "--window-size=794,1123", f"--screenshot={out}",
        f"--user-data-dir={work / 'profile'}", page.resolve().as_uri(), env=settings,
    )  # fmt: skip
    return out


FORMS = {"PDF, Poppler": poppler, "SVG, Chromium": chromium, "SVG, librsvg": librsvg}


def likeness(treen, folder, settings, dpi):
    out = folder / str(dpi)
    least = {}
    for order in make(treen, out, "--dpi", dpi):
        base = out / f"{order['id']}-proof"
        ours = grey(base.with_suffix(".png"))
        said = []
        for form, draw in FORMS.items():
            theirs = grey(draw(base, dpi, folder, settings), ours.shape)
            wide = [min(pair) for pair in zip(ours.shape, theirs.shape)]
            pair = [picture[: wide[0], : wide[1]] for picture in (ours, theirs)]
            index = structural_similarity(
                *pair, data_range=1, gaussian_weights=True, sigma=1.5, use_sample_covariance=False
            )
            off = numpy.abs(pair[0] - pair[1]).mean() * 255
            said.append(f"{form} {index:.4f} (mean off {off:.2f} of 255)")
            least[form] = min(index, least.get(form, 1))
        print(f"{dpi} dpi {order['id']:<18} {'  '.join(said)}", flush=True)
    for form, index in least.items():
        print(f"{dpi} dpi, least of {form}: {index:.4f} (bar {LEAST}: {'met' if index >= LEAST else 'MISSED'})")
    return min(least.values()) >= LEAST


def pages(base, name):
    path = base.with_suffix(".pdf")
    info = run("pdfinfo", path)
    assert "(A4)" in info and "Pages:           1\n" in info, info
    for line in run("pdffonts", path).splitlines()[2:]:
        embedded, part = line.split()[-5:-3]
        assert (embedded, part) == ("yes", "yes"), line
    text = unicodedata.normalize("NFKC", run("pdftotext", "-enc", "UTF-8", path, "-"))
    assert name in text, (name, text[:300])
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", path)


def abroad(treen, folder):
    lines = [f"  - {{id: {id}, name: {name}, recipe: cloud}}\n" for id, name in ABROAD.items()]
    orders = folder / "abroad.yaml"
    orders.write_text("orders:\n" + "".join(lines), encoding="utf-8")
    # 1: some dish cannot be made as drawn; it has its proof all the same.
    words = [treen, "proof", orders, "--quiet", "--fresh", "--dpi", "30", "--out", folder / "abroad"]
    assert subprocess.run(words, capture_output=True).returncode in (0, 1)
    for id, name in ABROAD.items():
        pages(folder / "abroad" / f"{id}-proof", name)


def main():
    treen, folder, fonts = map(pathlib.Path, sys.argv[1:4])
    folder.mkdir(parents=True, exist_ok=True)
    settings = faces(fonts, folder)
    sizes = [int(word) for word in sys.argv[4:]] or [150, 300]
    alike = [likeness(treen, folder, settings, dpi) for dpi in sizes]
    manifest = folder / str(sizes[0]) / "manifest.json"
    orders = json.loads(manifest.read_text(encoding="utf-8"))["orders"]
    for order in orders:
        pages(folder / str(sizes[0]) / f"{order['id']}-proof", order["name"])
    abroad(treen, folder)
    print(f"{len(orders) + len(ABROAD)} proofs in PDF: one A4 page, fonts embedded, the name read, qpdf finds nothing")
    sys.exit(0 if all(alike) else 1)


main()
