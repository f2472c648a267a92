"""Measures a server beside another one, and the commands, and writes the table of tests/speed.md.

    python3 speed.py BELLHAND [RUFF [MUSIC21]] > table.md

Every figure is of one run on one machine; only ratios within it mean anything. RUFF is a server of another language that
is known to be fast, given modules of as many bytes; MUSIC21 is a folder of Python packages with music21 among them, which
parses the real scores. Without either its lines are left out.
"""

import json
import os
import pathlib
import platform
import shutil
import subprocess
import sys
import tempfile
import time

import busy_scores

here = pathlib.Path(__file__).resolve().parent
bellhand = pathlib.Path(sys.argv[1]).resolve()
ruff = sys.argv[2] if len(sys.argv) > 2 else None
music21 = sys.argv[3] if len(sys.argv) > 3 else None
folder = pathlib.Path(tempfile.mkdtemp(prefix="speed-"))
# Where is typed, and what where it is not a space. A space leaves all music as it was; a note, or another length of one, makes
# its part's music another from there to its end.
SPACE, NOTE = ("--at", "|"), ("--at", "|", "--before", "|", "--type", "c")
KINDS = {
    "ABC, one piece": ("abc", "abc", lambda size: busy_scores.abc(size), SPACE),
    "ABC, one piece, a note typed": ("abc", "abc", lambda size: busy_scores.abc(size), NOTE),
    "ABC, many tunes": ("abc", "abc", lambda size: busy_scores.abc(size, many=True), SPACE),
    "ABC, many tunes, a note typed": ("abc", "abc", lambda size: busy_scores.abc(size, many=True), NOTE),
    "ABC, one piece, findings": ("abc", "abc", lambda size: busy_scores.abc(size, True), SPACE),
    "ABC, many tunes, findings": ("abc", "abc", lambda size: busy_scores.abc(size, True, many=True), SPACE),
    "kern, one piece": ("kern", "krn", lambda size: busy_scores.kern(size), ("--at", "4")),
    "kern, one piece, a note typed": ("kern", "krn", lambda size: busy_scores.kern(size), ("--at", "4", "--type", "c")),
    "MusicXML, one piece": ("musicxml", "musicxml", lambda size: busy_scores.musicxml(size), ("--at", "<note>")),
    "MusicXML, one piece, a length typed": ("musicxml", "musicxml", lambda size: busy_scores.musicxml(size),
                                            ("--at", "<duration>", "--before", "</duration>", "--type", "0")),
}
SIZES = [10_000, 20_000, 40_000, 100_000, 1_000_000, 10_000_000]
LONGEST = {name: 10_000_000 if kind[0] == "musicxml" else 1_000_000 for name, kind in KINDS.items()}


def keystrokes(language, path, at, server, mode, size):
    edits = 30 if size <= 100_000 else 8 if size <= 1_000_000 else 4
    command = [sys.executable, here / "keystrokes.py", language, path, "--edits", str(edits), "--mode", mode]
    command += at
    done = subprocess.run([*command, "--", *server], capture_output=True, text=True, timeout=900)
    if done.returncode:
        return None
    return json.loads(done.stdout.splitlines()[-1])


def row(name, size, told):
    """A row of the table; the other server's medians, by size, mode and whether there are findings, are kept to compare with."""
    if told is None:
        print(f"| {name} | {size // 1000} | did not end | | | | | | | |", flush=True)
        return
    alike = (size, told["mode"], told["findings"] > 0)
    if name.startswith("Python"):
        ruffs[alike] = told["p50_ms"]
    beside = f"{told['p50_ms'] / ruffs[alike]:.2f} x" if alike in ruffs else ""
    # What a server holds before it has a score is no matter of the score's size.
    held = max(0.0, told["peak_rss_mib"] - 20) * 2**20 / told["bytes"]
    cells = [told["findings"], told["mode"], told["p50_ms"], beside, told["p95_ms"], told["cpu_ms"], told["peak_rss_mib"], f"{held:.0f}"]
    print(f"| {name} | {size // 1000} | " + " | ".join(str(cell) for cell in cells) + " |", flush=True)


ruffs = {}


def run(command, times=5):
    """The least wall time of a command in milliseconds, its processor time and its most memory in MiB."""
    best = None
    for _ in range(times):
        began = time.perf_counter()
        child = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, status, used = os.wait4(child.pid, 0)
        wall = (time.perf_counter() - began) * 1e3
        child.returncode = status
        told = (wall, (used.ru_utime + used.ru_stime) * 1e3, used.ru_maxrss / 1024)
        best = min(best or told, told)
    return best


def fixing(count):
    """A part with so many safe fixes, one a bar."""
    bars = " | ".join(['"^mute" c2 e2 g2 e2', "z8", '"^senza sord." z8', "z8"] * count)
    return 'X:1\nM:4/4\nL:1/8\nQ:1/4=96\nK:none\nV:1 name="Horn in F" transpose=-7\n!mf! c8 | z8 | ' + bars + " |]\n"


version = subprocess.run([bellhand, "--version"], capture_output=True, text=True).stdout.strip()
print(f"{version}, {os.cpu_count()} cores, {platform.machine()}.", end=" ")
if ruff:
    print("Beside it", subprocess.run([ruff, "--version"], capture_output=True, text=True).stdout.strip(), "on modules of as many bytes.")
print("\n## From a keystroke to its findings\n\nThrough a pipe, in milliseconds; the clock stops at the answer's last byte. The ratio is to "
      "the median of the other server for as many bytes, with findings or without, as here. Memory is the most in MiB, and then what is beyond "
      "20 MiB in bytes for a byte of text.\n")
print("| text | kB | findings | mode | median | ratio | 95 % | CPU | memory | a byte |\n"
      "| --- | ---: | ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: |")
if ruff:
    for size in SIZES[:-1]:
        path = folder / f"module_{size}.py"
        path.write_text(busy_scores.python(size))
        for mode in ["pull", "push"] if size in (100_000, 1_000_000) else ["pull"]:
            row("Python", size, keystrokes("python", path, ("--at", "total"), [ruff, "server"], mode, size))
        # As many findings as bellhand sends of a score of this length.
        path = folder / f"findings_{size}.py"
        path.write_text(busy_scores.python(size, 500))
        row("Python, findings", size, keystrokes("python", path, ("--at", "total"), [ruff, "server"], "pull", size))
for name, (language, ending, make, at) in KINDS.items():
    for size in [size for size in SIZES if size <= LONGEST[name]]:
        path = folder / f"score-{size}.{ending}"
        path.write_text(make(size))
        for mode in ["pull", "push"] if size in (100_000, 1_000_000) else ["pull"]:
            row(name, size, keystrokes(language, path, at, [bellhand, "lsp"], mode, size))

print("\n## From nothing\n\nThe quickest of nine runs, in milliseconds: the bare syntax by the library that the reader stands on, the score read from the "
      "text, and that judged, which is reading what the players do and asking all rules. Ratios are to the bare syntax.\n")
print("| notation | kB | syntax | score | judged |\n| --- | ---: | ---: | ---: | ---: |")
paths = []
for ending, make in (("abc", busy_scores.abc), ("krn", busy_scores.kern), ("musicxml", busy_scores.musicxml)):
    for size in (100_000, 1_000_000):
        paths.append(folder / f"stages-{size}.{ending}")
        paths[-1].write_text(make(size))
print(subprocess.run(["cargo", "bench", "-q", "--profile", "dist", "-p", "bellhand-engine", "--bench", "stages", "--", *paths], cwd=here.parent,
                     capture_output=True, text=True, check=True).stdout.strip(), flush=True)

print("\n## Every rule\n\nHow often a rule looks at a note, a mark or another event, at the score it looks at most, at twice that length and at "
      "four times; counted by `tests/tests/work.rs`.\n")
counted = subprocess.run(["cargo", "test", "-q", "-p", "bellhand-tests", "--test", "crossing", "work::", "--", "--nocapture"], cwd=here.parent,
                         capture_output=True, text=True, check=True).stdout
rows = [line for line in counted.splitlines() if line.startswith("| ")]
print("\n".join([rows[0], "| --- | ---: | ---: | ---: | ---: |", *rows[1:]]), flush=True)

print("\n## Commands\n\nThe least of five runs, in milliseconds; ratios to `check` of the same file.\n")
print("| safe fixes | bytes | check | check --format json | check --format sarif | fix --diff |\n| ---: | ---: | ---: | ---: | ---: | ---: |")
for count in (8, 80, 800):
    path = folder / f"fixing-{count}.abc"
    path.write_text(fixing(count))
    text, *others = (run([bellhand, *words, path])[0] for words in (["check", "--no-cache"], ["check", "--no-cache", "--format", "json"], ["check", "--no-cache", "--format", "sarif"], ["fix", "--diff"]))
    cells = [f"{text:.1f}", *(f"{other:.1f} ({other / text:.2f} x)" for other in others)]
    print(f"| {count} | {path.stat().st_size} | " + " | ".join(cells) + " |", flush=True)

print("\n## A folder of real scores\n\n`check` of `tests/scores`, and of ten and fifty copies of it; memory in MiB, which is to stay where it is. The last column is a run that finds its verdicts kept from the one before.\n")
print("| copies | files | MB | seconds | CPU seconds | memory | seconds, unchanged |\n| ---: | ---: | ---: | ---: | ---: | ---: | ---: |")
scores = here.parent / "scores"
for copies in (1, 10, 50):
    house = folder / f"house-{copies}"
    for copy in range(copies):
        shutil.copytree(scores, house / str(copy))
    files = [file for file in house.rglob("*") if file.suffix in (".abc", ".krn", ".musicxml", ".mxl")]
    wall, cpu, memory = run([bellhand, "check", "--no-cache", "--format", "json", house], 1)
    os.environ["BELLHAND_CACHE_DIR"] = str(folder / f"cache-{copies}")
    run([bellhand, "check", "--format", "json", house], 1)
    again = run([bellhand, "check", "--format", "json", house], 1)[0]
    megabytes = sum(file.stat().st_size for file in files) / 1e6
    print(f"| {copies} | {len(files)} | {megabytes:.1f} | {wall / 1e3:.2f} | {cpu / 1e3:.2f} | {memory:.0f} | {again / 1e3:.2f} |", flush=True)
    shutil.rmtree(house)

if music21:
    print("\n## Beside music21\n\nThe same real scores, all that music21 can parse: its parsing alone, without its start, and `check` from its start to its "
          "last finding, one score and fifty copies of each; in seconds.\n")
    print("| files | music21, parse | check | times as fast | check, 50 copies | times as fast |\n| ---: | ---: | ---: | ---: | ---: | ---: |")
    files = sorted(file for file in scores.rglob("*") if file.suffix in (".abc", ".krn", ".musicxml", ".mxl"))
    done = subprocess.run([sys.executable, here / "parse.py", *files], capture_output=True, text=True, check=True,
                          env=os.environ | {"PYTHONPATH": music21})
    told = json.loads(done.stdout.splitlines()[-1])
    parsed, theirs = [pathlib.Path(path) for path in told["parsed"]], told["seconds"]
    once = run([bellhand, "check", "--no-cache", "--format", "json", *parsed], 3)[0] / 1e3
    house = folder / "parsed"
    for copy in range(50):
        for file in parsed:
            to = house / str(copy) / file.relative_to(scores)
            to.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(file, to)
    many = run([bellhand, "check", "--no-cache", "--format", "json", house], 1)[0] / 1e3
    print(f"| {len(parsed)} | {theirs:.1f} | {once:.2f} | {theirs / once:.0f} x | {many:.2f} | {50 * theirs / many:.0f} x |", flush=True)
shutil.rmtree(folder)
