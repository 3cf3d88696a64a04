"""Names shaped by HarfBuzz, through its own binding uharfbuzz.

    cargo bench --bench letters -- FACES      writes the built-in faces into a folder
    python shaping.py FACES                   writes shaping.tsv beside this file
    python shaping.py FACES --check           fails where the table would change

Each name of shaping_names.tsv is put in composed form, given the script of its row and the
direction of that script, and shaped without a language. Written: glyph numbers with advance
and offset in font units, from left to right, the default features on.
"""

import pathlib
import sys
import unicodedata

import uharfbuzz as hb

HERE = pathlib.Path(__file__).parent
BACKWARD = {"Hebr", "Arab", "Nkoo"}


def shaped(face, script, name):
    buffer = hb.Buffer()
    buffer.add_str(unicodedata.normalize("NFC", name))
    buffer.script = script
    buffer.direction = "rtl" if script in BACKWARD else "ltr"
    buffer.flags = hb.BufferFlags.DO_NOT_INSERT_DOTTED_CIRCLE
    hb.shape(hb.Font(face), buffer)
    glyphs = zip(buffer.glyph_infos, buffer.glyph_positions)
    return " ".join(
        f"{info.codepoint}:{at.x_advance}:{at.x_offset}:{at.y_offset}" for info, at in glyphs
    )


def table(folder):
    yield f"# HarfBuzz {hb.version_string()} through uharfbuzz {hb.__version__}"
    faces = {}
    for line in (HERE / "shaping_names.tsv").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        script, face, name = line.split("\t")
        if face not in faces:
            faces[face] = hb.Face((folder / face).read_bytes())
        yield "\t".join([script, face, name, shaped(faces[face], script, name)])


def main():
    new = "\n".join(table(pathlib.Path(sys.argv[1]))) + "\n"
    stored = HERE / "shaping.tsv"
    if "--check" not in sys.argv[2:]:
        stored.write_text(new, encoding="utf-8")
        return
    old = stored.read_text(encoding="utf-8").splitlines()
    changed = [line for line in new.splitlines() if line not in old]
    if changed or len(old) != len(new.splitlines()):
        sys.exit("not what is stored:\n" + "\n".join(changed))
    print(f"{len(old) - 1} names shaped as stored")


main()
