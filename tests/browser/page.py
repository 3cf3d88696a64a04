"""The local page of the proofs, in Chromium without a window.

    python page.py TREEN    starts TREEN in a folder of its own; fails where the page is not as
                            it should be

Asked of the page: names with markup and script stay text, status and words filter by keys alone,
all that can be reached has a name, a saved list shows by itself and leaves filter and focus, a
program that ended is told of, nothing is asked for but from 127.0.0.1, nothing is complained of.
"""

import json
import pathlib
import signal
import subprocess
import sys
import tempfile
import time

from devtools import NO_3D, Browser

COIN = """title: Coin
parameters: {size: {default: 120 mm, min: 90 mm, max: 200 mm}}
outline: [{circle: {radius: size / 2}}]
recess: {shape: {circle: {radius: size / 2 - 12}}, keep_floor: 6 mm}
name: {along: [[-32, -8], [32, -8]], height: 16 mm}
"""
TEXTS = ["<script>alert(1)</script>", "\"><img src=x onerror=alert(2)>",
         "]]>&amp;<!--", "=cmd|' /C calc'!A0", "javascript:alert(3)", "${7*7} {{7*7}}"]
IDS = ["=1+1", "$(touch owned)", "a&b;c", "%s%n", "{{7}}", "a'b"]
ROWS = "document.querySelectorAll('#orders > li')"
NAMES = f"[...{ROWS}].map((row) => row.querySelector('h3').textContent)"
CONTROLS = {"button", "link", "radio", "searchbox", "textbox", "DisclosureTriangle", "listbox",
            "checkbox", "progressbar"}


def orders(folder, rows):
    text = json.dumps({"orders": rows})
    (folder / "orders.yaml").write_text(text, encoding="utf-8")


def started(treen, folder):
    """The program with its page, and the page's address."""
    run = subprocess.Popen(
        [treen, "proof", "orders.yaml", "--dpi", "30", "--watch", "--page=0"], cwd=folder,
        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    line = run.stdout.readline()
    assert line.startswith("page: http://127.0.0.1:"), line
    return run, line.split()[1]


def made(browser):
    return browser.run("document.getElementById('run').textContent")


def inert(browser, folder):
    """Names are shown as they are written, and nothing of them runs."""
    assert browser.run(NAMES) == TEXTS, browser.run(NAMES)
    ids = browser.run(f"[...{ROWS}].map((row) => row.querySelector('.id').textContent)")
    assert ids == IDS, ids
    foreign = browser.run("document.querySelectorAll('script:not([src=\"/page.js\"])').length")
    assert foreign == 0, "a script of theirs"
    pictures = browser.run("[...document.querySelectorAll('img')].map((it) => it.src)")
    assert len(pictures) == len(IDS) and all("/files/" in it for it in pictures), pictures
    ways = browser.run("[...document.querySelectorAll('a')].map((it) => it.protocol)")
    assert set(ways) == {"http:"}, set(ways)
    blocked = browser.run("""(() => { try { document.body.insertAdjacentHTML('beforeend', '<b>');
        return false; } catch (error) { return error instanceof TypeError; } })()""")
    assert blocked, "markup cannot be made of text"
    # The browser tells of that, and of nothing else.
    browser.until(lambda: browser.run("0") == 0 and browser.complaints, "it is told")
    assert all("TrustedHTML" in str(it) for it in browser.complaints), browser.complaints
    browser.complaints.clear()
    assert not (folder / "owned").exists()


def pictures(browser):
    """Proofs are there to be seen once they are scrolled to."""
    for at in range(len(IDS)):
        browser.run(f"{ROWS}[{at}].scrollIntoView()")
        seen = f"{ROWS}[{at}].querySelector('img').naturalWidth > 100"
        browser.until(lambda seen=seen: browser.run(seen), f"picture {at} is shown")
    browser.run("scrollTo(0, 0)")


def named(browser):
    """All that can be reached has a name for those who do not see it."""
    browser.ask("Accessibility.enable")
    tree = browser.ask("Accessibility.getFullAXTree")["nodes"]
    browser.ask("Accessibility.disable")
    count = 0
    for node in tree:
        role = node.get("role", {}).get("value")
        if node.get("ignored") or role not in CONTROLS:
            continue
        assert node.get("name", {}).get("value", "").strip(), node
        count += 1
    assert count > 5 * len(IDS), f"only {count} controls"
    roles = {node.get("role", {}).get("value") for node in tree if not node.get("ignored")}
    for role in ("banner", "main", "contentinfo", "search", "heading", "list", "status", "radio"):
        assert role in roles, f"there is no {role}"
    return count


def keys(browser):
    """Everything is reached by Tab, seen to be, and filters without a mouse."""
    reached = []
    for _ in range(12):
        browser.key("Tab")
        style = "getComputedStyle(document.activeElement.matches('#statuses input') ? " \
            "document.activeElement.parentElement : document.activeElement)"
        assert browser.run(f"{style}.outlineStyle") == "solid", reached
        reached.append(browser.run("document.activeElement.id || document.activeElement.name "
                                   "|| document.activeElement.dataset.key"))
    assert reached[1:4] == ["status", "find", "sheet"], reached
    browser.run("document.querySelector('#statuses input:checked').focus()")
    before = browser.run(f"{ROWS}.length")
    press(browser, "ArrowRight", 39)
    word = browser.run("document.querySelector('#statuses input:checked').value")
    assert word != "all", "an arrow chooses"
    some = browser.run(f"{ROWS}.length")
    assert 0 < some < before, f"{some} of {before} are {word}"
    marks = f"[...{ROWS}].every((row) => row.querySelector('.status').textContent.startsWith('{word}'))"
    assert browser.run(marks), "those of that status"
    assert browser.run("document.getElementById('told').textContent").startswith(f"{some} of ")
    press(browser, "ArrowLeft", 37)
    assert browser.run(f"{ROWS}.length") == before
    browser.run("document.getElementById('find').focus()")
    for letter in "touch":
        browser.key(letter)
    assert browser.run(f"{ROWS}.length") == 1, "one has these letters"


def press(browser, name, number):
    for kind in ("rawKeyDown", "keyUp"):
        browser.ask("Input.dispatchKeyEvent", type=kind, key=name, code=name,
                    windowsVirtualKeyCode=number)


def renewed(browser, folder, rows):
    """A saved list shows by itself; filter, focus and place stay."""
    browser.run(f"{ROWS}[0].querySelector('.sheet').focus()")
    changed = [dict(row) for row in rows]
    changed[1]["name"] = "Ada"
    start = time.monotonic()
    orders(folder, changed)
    browser.until(lambda: browser.run(NAMES) == ["Ada"], "the new name is shown")
    took = time.monotonic() - start
    browser.until(lambda: "orders made" in made(browser), "the run has ended")
    assert browser.run("document.activeElement.className") == "sheet", "focus stays"
    assert browser.run("document.getElementById('find').value") == "touch", "the filter stays"
    browser.until(lambda: "orders made" in browser.run("document.getElementById('told').textContent"),
                  "it is told")
    (folder / "orders.yaml").write_text("orders: 3", encoding="utf-8")
    browser.until(lambda: "could not" in made(browser), "a mistake is told")
    assert browser.run("document.getElementById('said-list').textContent").count(":1:9") == 1
    assert browser.run(NAMES) == ["Ada"], "what was made stays"
    return took


def sizes(browser):
    for width, height in ((1280, 900), (390, 844), (320, 640)):
        browser.size(width, height)
        wide = browser.run("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, f"wider than {width}"


def quiet(browser, url):
    foreign = [it[:80] for it in browser.requests if not it.startswith((url, "data:"))]
    assert not foreign, foreign
    assert not browser.complaints, browser.complaints


def turned(browser, url):
    """The page of one dish keeps to its own script, boxed in."""
    browser.open(url + "files/%24(touch%20owned)-proof.html")
    assert browser.run("document.querySelector('h1').textContent") == TEXTS[1]
    assert browser.run("self.origin") == "null", "apart from the page"
    quiet(browser, url)


def main():
    treen = pathlib.Path(sys.argv[1]).resolve()
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        (folder / "coin.yaml").write_text(COIN, encoding="utf-8")
        rows = [{"id": id, "name": text, "recipe": "coin"} for id, text in zip(IDS, TEXTS)]
        # One that is as it should be, so that there are two statuses.
        rows[5]["name"] = TEXTS[5] = "Bo"
        orders(folder, rows)
        run, url = started(treen, folder)
        try:
            with Browser(NO_3D) as browser:
                browser.size(1280, 900)
                browser.open(url)
                browser.until(lambda: "orders made" in made(browser), "all are made")
                inert(browser, folder)
                pictures(browser)
                sizes(browser)
                browser.size(1280, 900)
                count = named(browser)
                # Some browsers go on with Tab from where a page was scrolled to.
                browser.open(url)
                browser.until(lambda: "orders made" in made(browser), "all are there again")
                keys(browser)
                took = renewed(browser, folder, rows)
                quiet(browser, url)
                orders(folder, rows)
                browser.until(lambda: "orders made" in made(browser), "made again")
                turned(browser, url)
                browser.open(url)
                run.send_signal(signal.SIGINT)
                run.wait(10)
                lost = "!document.getElementById('lost').hidden"
                browser.until(lambda: browser.run(lost), "the end is told")
        finally:
            if run.poll() is None:
                run.kill()
            run.wait()
    print(f"the page: {count} controls with names, a saved list shown after {took:.2f} s")


main()
