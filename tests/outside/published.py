"""What the program writes for other programs, held to the published schemas of its formats by general validators.

published.py BELLHAND JUNIT-XSD SARIF-SCHEMA

- The schema of bellhand.toml is itself valid by the meta schema it declares, and says of settings what the program says.
- Reports as JUnit XML are valid by the schema of those who read them; reports as SARIF by the standard's own.

Each check is also shown something wrong, which it must refuse.
"""

import itertools
import json
import re
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import jsonschema
from lxml import etree

HOME = Path(__file__).parents[2]
DEMO = HOME / "tests/demo"
STYLES = ["concert-band", "film-desk", "opera-orchestra", "historical-edition", "beginners"]

# What neither the program nor the schema understands.
WRONG = [
    'levle = "student"',
    'level = "loud"',
    "level = 3",
    "courtesy = true",
    "assumed-tempo = 5",
    'assumed-tempo = "fast"',
    'extend = 1',
    "[parts]\nSolo = 1",
    '[words]\nlanguage = "latin"',
    "[words]\nmute-in = 3",
    '[words]\nhum = "hum"',
    '[names]\nnumerals = "greek"',
    '[rules]\nall = "loud"',
    '[rules]\n"range/too-hihg" = "off"',
    '[rules]\n"range/too-high" = { severty = "off" }',
    '[rules]\n"stopped/too-low" = { lowest = "H9" }',
    '[rules]\n"mute/no-time" = { insert = "long" }',
    '[rules]\n"mute/no-time" = { insert = 601 }',
    '[[where]]\nlevel = "student"',
    '[[where]]\nfiles = "cues/*"\nextend = "house.toml"',
    'where = "cues"',
]

passed = failed = 0


def check(what, holds, why=""):
    """Counts a check, and tells one that fails."""
    global passed, failed
    if holds:
        passed += 1
    else:
        failed += 1
        print(f"not ok {what}: {why}")


def main():
    program, junit, sarif = sys.argv[1:4]

    def said(*words, code=(0, 1)):
        ran = subprocess.run([program, *map(str, words)], capture_output=True, cwd=HOME)
        assert ran.returncode in code, (words, ran.stderr)
        return ran.stdout

    with tempfile.TemporaryDirectory() as scratch:
        settings(said, program, Path(scratch))
        reports(said, Path(scratch), etree.XMLSchema(etree.parse(junit)), json.loads(Path(sarif).read_bytes()))
    print(f"published: {passed} passed, {failed} failed")
    sys.exit(failed > 0)


def settings(said, program, scratch):
    """The schema of settings, and settings by it."""
    schema = json.loads(said("explain", "--settings-schema"))
    known = jsonschema.validators.validator_for(schema, default=None)
    check("the settings schema declares a meta schema that is known", known is not None, schema["$schema"])
    meta = [error.message for error in known(known.META_SCHEMA).iter_errors(schema)]
    check("the settings schema keeps to its meta schema", not meta, meta[:1])
    broken = {**schema, "type": "tabel"}
    check("the meta schema refuses", not known(known.META_SCHEMA).is_valid(broken))
    judge = known(schema)

    def faults(text):
        return [f"{'.'.join(map(str, error.path))}: {error.message[:200]}" for error in judge.iter_errors(tomllib.loads(text))]

    def understood(text):
        file = scratch / "bellhand.toml"
        file.write_text(text, encoding="utf-8")
        return subprocess.run([program, "settings", scratch], capture_output=True).returncode == 0

    readme = (HOME / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"^```toml\n(.*?)^```", readme, flags=re.M | re.S)
    right = {f"the README's settings {at}": text for at, text in enumerate(shown, 1)}
    right |= {str(file.relative_to(HOME)): file.read_text(encoding="utf-8") for file in DEMO.glob("**/*.toml")}
    for style, learned in itertools.product(["none", *STYLES], [[], [DEMO / "house"], [DEMO]]):
        words = [] if style == "none" else ["--style", style]
        of = "nothing" if learned == [] else learned[0].name
        right[f"settings --new, style {style}, learned from {of}"] = said("settings", "--new", *words, *learned).decode()
    assert len(right) > 20 and shown
    for what, text in right.items():
        check(f"the schema takes {what}", not faults(text), faults(text)[:1])
        # What is extended does not lie beside it here.
        alone = re.sub(r"^extend = .*$", "", text, flags=re.M)
        check(f"the program takes {what}", understood(alone), text)
        # What stands there to be taken in is meant to be valid as well.
        offered = re.sub(r"^# ?((?:\[|\"?[a-z/-]+\"? = ).*)$", r"\1", text, flags=re.M)
        check(f"the schema takes what is offered in {what}", not faults(offered), faults(offered)[:1])
    for text in WRONG:
        check("the schema refuses", faults(text), text)
        check("the program refuses", not understood(text), text)


def reports(said, scratch, junit, sarif):
    """Reports by the schemas of those who read them."""
    odd = scratch / 'a "b" <c> & d\'é.abc'
    odd.write_text((DEMO / "evening-ferry.abc").read_text(encoding="utf-8"), encoding="utf-8")
    clean = scratch / "clean.abc"
    clean.write_text('X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name="Horn in F" transpose=-7\nc4 |]\n', encoding="utf-8")
    scores = {
        "the demo": [DEMO],
        "scores by Beethoven": [HOME / "tests/scores/abc"],
        "odd names": [odd, clean],
        "nothing found": [clean],
        "a file that is not there": [clean, scratch / "gone.abc"],
        "the house": [DEMO / "house", "--known", DEMO / "house/known.jsonl"],
    }
    known = jsonschema.validators.validator_for(sarif, default=None)
    known.check_schema(sarif)
    judge = known(sarif, format_checker=known.FORMAT_CHECKER)
    assert {"uri", "date-time"} <= known.FORMAT_CHECKER.checkers.keys()
    results = cases = 0
    for what, words in scores.items():
        for fail_on in ["warning", "never"]:
            report = etree.fromstring(said("check", "--format", "junit", "--fail-on", fail_on, *words, code=(0, 1, 2)))
            cases += len(report.findall(".//testcase"))
            check(f"JUnit of {what}", junit.validate(report), junit.error_log)
        log = json.loads(said("check", "--format", "sarif", *words, code=(0, 1, 2)))
        results += len(log["runs"][0]["results"])
        faults = [f"{list(error.path)}: {error.message[:200]}" for error in judge.iter_errors(log)]
        check(f"SARIF of {what}", not faults, faults[:1])
    print(f"{cases} cases of JUnit, {results} results of SARIF")
    assert cases > 100 and results > 100
    report.find(".//testcase").tag = "case"
    check("the schema of JUnit refuses", not junit.validate(report))
    log["runs"][0]["tool"]["driver"]["informationUri"] = "not an address"
    check("the schema of SARIF refuses", not judge.is_valid(log))


main()
