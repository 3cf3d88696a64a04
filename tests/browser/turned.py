"""The demo's dishes to be turned, in Chromium without a window.

    cargo run --release -- proof --out OUT    makes the pages of the demo
    python turned.py TREEN OUT                fails where a page is not as it should be

Asked of a page: it is painted in the colours of its proof, keys and drag turn it and Home
puts it back, it fills its window undistorted whatever the size, it can be reached and is
described without being seen, it asks for nothing from outside and complains of nothing; without
3-D and without scripts it shows the picture; markup in a name stays text.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import numpy
from devtools import NO_3D, SOFTWARE, Browser

PAPER = numpy.array([0xFC, 0xF9, 0xF2])
MARKUP = "<script>alert(1)</script>]]>&\"'<img src=x onerror=alert(2)>"
TURNS = "document.getElementById('dish').classList.contains('turns')"
BOX = """(() => { const { x, y, width, height } =
    document.getElementById('dish').getBoundingClientRect(); return { x, y, width, height } })()"""


def wood(picture):
    """Where a picture shows neither paper nor a shade on it: wood is yellower."""
    return picture[..., 0] - picture[..., 2] > 25


def frame(picture):
    """Left, top, right and bottom of what is wood."""
    seen = wood(picture)
    columns, rows = numpy.flatnonzero(seen.any(0)), numpy.flatnonzero(seen.any(1))
    assert columns.size and rows.size, "there is no wood"
    return columns[0], rows[0], columns[-1], rows[-1]


def apart(one, other):
    """Share of pixels that are not the same."""
    return float((abs(one - other).max(-1) > 8).mean())


def opened(browser, path):
    browser.open(path.resolve().as_uri())
    browser.until(lambda: browser.run(TURNS), "the dish can be turned")
    return browser.run(BOX)


def turned(browser, path, order):
    browser.size(520, 560)
    box = opened(browser, path)
    first = browser.picture(box)
    assert 0.15 < wood(first).mean() < 0.95, "too little or too much wood"
    still = browser.run("document.getElementById('picture').currentSrc.length > 1000")
    assert still, "the picture is there too"
    tone(browser, box, first)

    browser.run("document.body.focus()")
    browser.key("Tab")
    assert browser.run("document.activeElement.id") == "dish", "reached by key"
    assert browser.run("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    label = browser.run("document.activeElement.getAttribute('aria-label')")
    assert order["name"] in label and browser.run("document.activeElement.role") == "img"

    seen = {"at first": first}
    for key in ("ArrowLeft", "ArrowUp", "+"):
        browser.key(key)
        now = browser.picture(box)
        for name, before in seen.items():
            assert apart(now, before) > 0.01, f"{key} shows the same as {name}"
        seen[key] = now
    assert browser.run("document.getElementById('told').textContent").startswith("Leaning")
    browser.key("Home")
    assert apart(browser.picture(box), first) < 1e-3, "Home puts it back"
    middle = [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2]
    browser.drag(middle, [middle[0] + 80, middle[1] - 20])
    assert apart(browser.picture(box), first) > 0.05, "a drag turns it"
    browser.key("Home")
    resized(browser, first)
    quiet(browser, path)


def tone(browser, box, first):
    """Its wood is as bright and as yellow as that of the picture."""
    hide = "document.getElementById('dish').classList.%s('turns')"
    browser.run(hide % "remove")
    picture = browser.picture(box)
    browser.run(hide % "add")
    ours, proof = (numpy.median(it[wood(it)], axis=0) for it in (first, picture))
    assert abs(ours - proof).max() < 26, (ours, proof)


def resized(browser, first):
    """The same shape, as large as the window allows."""
    left, top, right, bottom = frame(first)
    shape = (right - left) / (bottom - top)
    for width, height in ((820, 560), (360, 640)):
        browser.size(width, height)
        box = browser.run(BOX)
        now = browser.picture(box)
        left, top, right, bottom = frame(now)
        wide, high = (right - left) / box["width"], (bottom - top) / box["height"]
        assert max(wide, high) > 0.6, f"{wide:.2f} by {high:.2f} of {width} by {height}"
        assert max(wide, high) < 0.99, "it is cut off"
        other = (right - left) / (bottom - top)
        assert abs(other / shape - 1) < 0.03, f"{shape:.3f} becomes {other:.3f}"
        overflow = "document.documentElement.scrollWidth - innerWidth"
        assert browser.run(overflow) <= 0, f"wider than {width}"


def quiet(browser, path):
    outside = [url for url in browser.requests if not url.startswith("data:")]
    assert outside == [path.resolve().as_uri()], outside
    assert not browser.complaints, browser.complaints


def shown(browser, path):
    """The picture, where there is nothing to turn."""
    browser.size(520, 560)
    browser.open(path.resolve().as_uri())
    picture = browser.picture(browser.run(BOX))
    assert wood(picture).mean() > 0.1, "the picture is shown"
    assert not browser.run(TURNS), "and nothing else"
    assert browser.run("getComputedStyle(document.getElementById('hint')).display") == "none"
    quiet(browser, path)


def inert(browser, treen):
    """A name that looks like markup is shown as it is written."""
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        order = {"id": "m-1", "name": MARKUP, "recipe": "cloud", "note": MARKUP}
        (folder / "orders.yaml").write_text(json.dumps({"orders": [order]}), encoding="utf-8")
        subprocess.run([treen, "proof", "orders.yaml", "--dpi", "30", "--quiet"], cwd=folder,
                       stderr=subprocess.DEVNULL, check=False)
        path = folder / "out" / "m-1-proof.html"
        opened(browser, path)
        assert browser.run("document.querySelector('h1').textContent") == MARKUP
        assert browser.run("document.querySelectorAll('img').length") == 1, "no picture of theirs"
        quiet(browser, path)


def main():
    treen, out = pathlib.Path(sys.argv[1]).resolve(), pathlib.Path(sys.argv[2])
    orders = json.loads((out / "manifest.json").read_text(encoding="utf-8"))["orders"]
    pages = [(out / f"{order['id']}-proof.html", order) for order in orders]
    for path, _ in pages:
        size = path.stat().st_size
        assert size < 400_000, f"{path} has {size} bytes"
    calm = [{"name": "prefers-reduced-motion", "value": "reduce"}]
    with Browser(SOFTWARE) as browser:
        browser.ask("Emulation.setEmulatedMedia", features=calm)
        for path, order in (pages[0], pages[5]):
            turned(browser, path, order)
        inert(browser, treen)
        browser.ask("Emulation.setScriptExecutionDisabled", value=True)
        browser.size(520, 560)
        browser.open(pages[1][0].resolve().as_uri())
        assert wood(browser.picture()).mean() > 0.1, "the picture without scripts"
    with Browser(NO_3D) as browser:
        shown(browser, pages[0][0])
    print(f"{len(pages)} pages, 2 of them turned: as they should be")


main()
