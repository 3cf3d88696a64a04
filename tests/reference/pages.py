"""Proof and bench sheets in PDF, read by QPDF (through pikepdf) and by pypdf.

    cargo run --release -- proof --out OUT    makes the sheets of the demo
    python pages.py OUT                       fails where they are not as they should be

Asked of every file: QPDF finds nothing wrong; pages are A4 in true size; every font is embedded
and a part of the whole; title and language are stated; the text that is read out of it holds
the name and the id of the order. The scale bar of a proof measures 100.00 mm.
"""

import json
import pathlib
import sys

import pikepdf
import pypdf

A4 = [210 * 72 / 25.4, 297 * 72 / 25.4]


def fonts(page):
    resources = page["/Resources"]
    for font in resources.get("/Font", {}).values():
        font = font.get_object()
        inner = font["/DescendantFonts"][0].get_object()
        yield font["/BaseFont"], inner["/FontDescriptor"].get_object()


def level(page):
    """Lengths of the level lines that are drawn by themselves, mm."""
    scale, kept, line = 1.0, [], []
    for operands, operator in pikepdf.parse_content_stream(page):
        placed = str(operator) in ("cm", "m", "l")
        numbers = [float(number) for number in operands] if placed else []
        match str(operator):
            case "q":
                kept.append(scale)
            case "Q":
                scale = kept.pop()
            case "cm" if numbers[1] == 0:
                scale *= numbers[0]
            case "m":
                line = [numbers]
            case "l" | "c" | "v" | "y" | "re":
                line.append(numbers)
            case "S":
                if len(line) == 2 and len(line[1]) == 2 and line[0][1] == line[1][1]:
                    yield abs(line[1][0] - line[0][0]) * scale * 25.4 / 72


def look(path, order):
    with pikepdf.open(path) as file:
        problems = file.check_pdf_syntax()
        assert not problems, problems
        if path.stem.endswith("-proof"):
            lines = list(level(file.pages[0]))
            assert any(abs(mm - 100) < 0.005 for mm in lines), lines
    reader = pypdf.PdfReader(path)
    assert order["id"] in reader.metadata.title, reader.metadata.title
    assert reader.trailer["/Root"]["/Lang"] == "en"
    embedded = set()
    for page in reader.pages:
        size = [float(page.mediabox.width), float(page.mediabox.height)]
        assert all(abs(a - b) < 1e-3 for a, b in zip(size, A4)), size
        for name, descriptor in fonts(page):
            assert any(f"/FontFile{kind}" in descriptor for kind in ("", "2", "3")), name
            assert name[7] == "+", f"{name} is embedded whole"
            embedded.add(name[8:])
        text = page.extract_text()
        assert order["name"] in text, (path, order["name"], text[:200])
        assert order["id"] in text, path
    assert embedded
    return len(reader.pages)


def main():
    out = pathlib.Path(sys.argv[1])
    orders = json.loads((out / "manifest.json").read_text(encoding="utf-8"))["orders"]
    paths = [(out / f"{order['id']}-{what}.pdf", order) for order in orders for what in ("proof", "bench")]
    pages = sum(look(path, order) for path, order in paths)
    print(f"{len(paths)} files, {pages} pages: as they should be")


main()
