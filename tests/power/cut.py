"""The power fails in the middle of a run: what may then lie on the disk is made from what the run
asked of the system, looked at, and completed by another run.

    python tests/power/cut.py TREEN [TIMES [SEED]]       (2 cuts after each call, seed 1)

strace writes down what a run does to its output folder. A disk keeps for certain only what was
flushed (fsync, fdatasync: IEEE Std 1003.1-2024). Of the rest it may keep anything: so at each cut,
drawn anew,

  - every name in the folder stands for any of the files it stood for since the folder was last
    flushed, or for none if it was new or gone since then, each name by itself;
  - every file holds what was flushed and any length of what was written after, the end of it as it
    was written, as zeros or as other bytes.

That no program's order of calls can be relied on is shown for file systems in use by T. S. Pillai and others,
"All File Systems Are Not Created Equal: On the Complexity of Crafting Crash-Consistent
Applications", OSDI 2014.

Held of each: the manifest is there if it was there before and is read; every file it names is there,
with its digest; every sheet in the folder is one that a run wrote, whole. Then the run is
made again: the folder must hold the same bytes as after a run that nothing disturbed, and nothing
else. Needs Linux and strace (installed where apt-get is).
"""

import hashlib
import json
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile

COIN = """title: Coin
parameters: {size: {default: 120 mm, min: 90 mm, max: 200 mm}}
outline: [{circle: {radius: size / 2}}]
recess: {shape: {circle: {radius: size / 2 - 12}}, keep_floor: 6 mm}
name: {along: [[-32, -8], [32, -8]], height: 16 mm}
"""
CALLS = "openat,open,creat,close,write,pwrite64,writev,ftruncate,rename,renameat,renameat2,link,linkat,unlink,unlinkat,fsync,fdatasync"
LINE = re.compile(r"^([\d.]+) (\w+)\((.*)\)\s+= (-?\d+).*<([\d.]+)>$")
TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')


def plain(text):
    return bytes.fromhex(text.replace("\\x", ""))


class Disk:
    """What is certain of a folder, and what may be besides."""

    def __init__(self, files):
        # All that a name stood for so far, and from which on is not certain.
        self.data, self.flushed, self.names, self.sure = [], [], {}, {}
        for name, content in files.items():
            self.names[name] = [self.file(content)]
            self.flushed[-1] = len(content)

    def file(self, content=b""):
        self.data.append(bytearray(content))
        self.flushed.append(0)
        return len(self.data) - 1

    def name(self, name, file):
        self.names.setdefault(name, [None]).append(file)

    def now(self):
        return {name: len(held) - 1 for name, held in self.names.items()}

    def stands(self):
        """The folder as a program sees it."""
        last = {name: held[-1] for name, held in self.names.items()}
        return {name: bytes(self.data[file]) for name, file in last.items() if file is not None}

    def cut(self, dice, folder):
        made = {}
        for name, held in sorted(self.names.items()):
            file = dice.choice(held[self.sure.get(name, 0):])
            if file is None:
                continue
            if file not in made:
                made[file] = self.content(dice, file)
            (folder / name).write_bytes(made[file])

    def content(self, dice, file):
        data, sure = self.data[file], self.flushed[file]
        length = dice.choice([sure, len(data), dice.randint(sure, len(data))])
        torn = dice.randint(sure, length)
        end = dice.choice([bytes(data[torn:length]), bytes(length - torn), dice.randbytes(length - torn)])
        return bytes(data[:torn]) + end


def calls(folder, trace):
    """The calls that touch the folder: when they ended, what, and when they began."""
    found = []
    for part in pathlib.Path(trace).parent.glob(pathlib.Path(trace).name + ".*"):
        for line in part.read_text().splitlines():
            match = LINE.match(line)
            if match and int(match[4]) >= 0:
                start = float(match[1])
                found.append((start + float(match[5]), start, match[2], match[3], int(match[4])))
            elif not match and "= ?" not in line and re.match(r"^[\d.]+ \w+\(", line) and "= -1 " not in line:
                raise SystemExit(f"a call that was not understood: {line[:200]}")
    return sorted(found)


def steps(folder, trace):
    """What happened to the folder, in order."""
    files, real = {}, str(folder.resolve())

    def inside(path):
        path = pathlib.Path(folder.parent, path.decode()) if not path.startswith(b"/") else pathlib.Path(path.decode())
        return path.name if str(path.parent.resolve()) == real else None

    for end, start, call, words, result in calls(folder, trace):
        paths = [inside(plain(text)) for text in TEXT.findall(words)] if call not in ("write", "pwrite64", "writev") else []
        number = re.match(r"(\d+)", words)
        fd = int(number[1]) if number else None
        if call in ("openat", "open", "creat"):
            path = plain(TEXT.search(words)[1])
            files[result] = None
            if str(pathlib.Path(folder.parent, path.decode()).resolve()) == real:
                files[result] = "folder"
            elif paths[0] and ("O_CREAT" in words or "O_WRONLY" in words or "O_RDWR" in words):
                if "O_TRUNC" in words or "O_APPEND" in words:
                    raise SystemExit(f"a way of writing that is not known here: {words[:200]}")
                files[result] = ("file", paths[0])
                yield end, start, "create", paths[0], result
        elif call == "close":
            files.pop(fd, None)
        elif isinstance(files.get(fd), tuple) and call == "write":
            text = TEXT.search(words)
            yield end, start, "write", fd, plain(text[1])[:result]
        elif isinstance(files.get(fd), tuple) and call in ("fsync", "fdatasync"):
            yield end, start, "flush", fd, None
        elif files.get(fd) == "folder" and call in ("fsync", "fdatasync"):
            yield end, start, "settle", None, None
        elif call.startswith("rename") and all(paths):
            yield end, start, "rename", paths[0], paths[1]
        elif call.startswith("link") and all(paths):
            yield end, start, "link", paths[0], paths[1]
        elif call.startswith("unlink") and paths[0]:
            yield end, start, "unlink", paths[0], None
        elif isinstance(files.get(fd), tuple):
            raise SystemExit(f"a call that is not known here: {call}({words[:200]}")


def played(before, happened):
    """The disk after each step. What a flush makes certain is what was there when it began."""
    disk, files, past = Disk(before), {}, []
    for end, start, what, one, other in happened:
        past.append((end, disk.now(), {file: len(disk.data[file]) for file in files.values()}))
        then = next((entry for entry in past if entry[0] >= start), past[-1])
        if what == "create":
            files[other] = disk.file()
            disk.name(one, files[other])
        elif what == "write":
            disk.data[files[one]] += other
        elif what == "flush":
            disk.flushed[files[one]] = max(disk.flushed[files[one]], then[2].get(files[one], 0))
        elif what == "settle":
            disk.sure.update(then[1])
        elif what == "rename":
            disk.name(other, disk.names[one][-1])
            disk.name(one, None)
        elif what == "link":
            disk.name(other, disk.names[one][-1])
        elif what == "unlink":
            disk.name(one, None)
        yield disk


def content(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def digest(data):
    return hashlib.sha256(data).hexdigest()


def untrue(files, had, whole):
    """What is wrong in a folder after a cut, in words."""
    if "manifest.json" not in files:
        return "the manifest is gone" if had else None
    manifest = json.loads(files["manifest.json"])
    rows = manifest["orders"] + manifest["swap_cards"]
    named = [file for row in rows for file in row["files"]] + manifest["former"]
    for file in named:
        if digest(files.get(file["path"], b"")) != file["sha256"]:
            return f"{file['path']} is not as the manifest says"
    for name, data in files.items():
        if not name.startswith(".") and name != "manifest.json" and digest(data) not in whole:
            return f"{name} is not whole"
    return None


def run(treen, folder, *front):
    words = [*front, treen, "proof", "list.csv", "--dpi", "20", "--quiet", "--threads", "2", "--out", "out"]
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True)
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(words)}: {done.returncode}: {done.stderr}")


def listed(folder, names):
    rows = "".join(f"k-{at},{name},coin\n" for at, name in names)
    (folder / "list.csv").write_text(f"id,name,recipe\n{rows}")


def main():
    treen = str(pathlib.Path(sys.argv[1]).resolve())
    times = int(sys.argv[2]) if len(sys.argv) > 2 else 2
    dice = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    if not shutil.which("strace"):
        subprocess.run(["apt-get", "install", "-qy", "strace"], check=True, stdout=subprocess.DEVNULL)
    with tempfile.TemporaryDirectory() as work:
        failed = sum(scenario(treen, pathlib.Path(work), dice, times, *names) for names in LISTS.items())
    sys.exit(1 if failed else 0)


LISTS = {
    "an empty folder": ([], [(1, "Bo"), (2, "Ida"), (3, "Ada")]),
    "some orders changed, one gone, one new": ([(1, "Bo"), (2, "Bo"), (3, "Bo")], [(1, "Bo"), (2, "Ida"), (4, "Ada")]),
}


def scenario(treen, work, dice, times, title, lists):
    desk = pathlib.Path(tempfile.mkdtemp(dir=work))
    (desk / "coin.yaml").write_text(COIN)
    out = desk / "out"
    whole = set()
    if lists[0]:
        listed(desk, lists[0])
        run(treen, desk)
        whole |= {digest(data) for data in content(out).values()}
    before = content(out) if out.exists() else {}
    out.mkdir(exist_ok=True)
    listed(desk, lists[1])
    trace = desk / "trace"
    run(treen, desk, "strace", "-ff", "-ttt", "-T", "-xx", "-s", "100000000", "-e", f"trace={CALLS}", "-o", str(trace))
    want = content(out)
    whole |= {digest(data) for data in want.values()}
    happened = list(steps(out, trace))
    wrong, lost, stand = 0, 0, 0
    for at, disk in enumerate(played(before, happened)):
        for _ in range(times):
            shutil.rmtree(out)
            out.mkdir()
            disk.cut(dice, out)
            found = content(out)
            why = untrue(found, "manifest.json" in before, whole)
            if why is None:
                run(treen, desk)
                again = content(out)
                names = sorted(name for name in want.keys() | again.keys() if want.get(name) != again.get(name))
                why = f"completed otherwise: {', '.join(names[:6])}" if names else None
            lost += found != disk.stands()
            stand += 1
            if why:
                wrong += 1
                print(f"  after call {at} of {len(happened)} ({happened[at][2]} {happened[at][3]}): {why}", flush=True)
    print(f"{title}: {len(happened)} calls, {stand} cuts, {lost} of them lost something, {wrong} with anything wrong")
    return wrong


if __name__ == "__main__":
    main()
