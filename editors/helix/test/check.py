"""Reads the installed Helix configuration and does with it what Helix would."""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
import tomllib

config, score = map(pathlib.Path, sys.argv[1:])
passed = 0


def test(name, held, shown=""):
    """Counts what held; ends the run at the first thing that did not."""
    global passed
    if not held:
        print(f"not ok {name} {shown}")
        sys.exit(1)
    passed += 1
    print(f"ok {name}")


languages = tomllib.loads((config / "languages.toml").read_text())
by_name = {language["name"]: language for language in languages["language"]}
for name, language in by_name.items():
    known = all(server in languages["language-server"] for server in language["language-servers"])
    test(f"{name} has its server", known)

for grammar in languages["grammar"]:
    source = pathlib.Path(grammar["source"]["path"]) / "src"
    if not source.exists():
        print(f"# {grammar['name']} has no grammar here yet")
        continue
    parser = config / f"{grammar['name']}.so"
    files = [source / "parser.c"] + [file for file in [source / "scanner.c"] if file.exists()]
    built = subprocess.run(["cc", "-O1", "-fPIC", "-shared", "-I", source, "-o", parser, *files], capture_output=True, text=True)
    test(f"the parser for {grammar['name']} is built", built.returncode == 0, built.stderr)
    test(f"the queries for {grammar['name']} are there", (config / "runtime/queries" / grammar["name"] / "highlights.scm").exists())

before = score.read_text()


def formatted(path, name=None):
    """What :format makes of a score, in a Helix started in the folder above all scores, and its exit code."""
    formatter = by_name[LANGUAGES[path.suffix]]["formatter"]
    # An older Helix hands the name over as it stands.
    args = [arg if name is None else arg.replace("%{buffer_name}", name) for arg in formatter["args"]]
    ran = subprocess.run([formatter["command"], *args], input=path.read_bytes(), capture_output=True, cwd=home)
    return ran.stdout, ran.returncode


LANGUAGES = {f".{ending}": language["name"] for language in languages["language"] for ending in language["file-types"]}
test("both endings of Humdrum are known", LANGUAGES[".krn"] == LANGUAGES[".kern"] == "kern")
home = pathlib.Path(tempfile.mkdtemp(dir=config))
shutil.copytree(score.parent / "house", home / "house")
scores = sorted(file for file in (home / "house").glob("**/*") if file.suffix in LANGUAGES)
test("the house has a score in each notation", {LANGUAGES[file.suffix] for file in scores} == set(by_name), scores)
for file in scores:
    name = str(file.relative_to(home))
    # The command line reads the house's settings beside the file.
    fixed = file.with_name(f"fixed-{file.name}")
    fixed.write_bytes(file.read_bytes())
    subprocess.run(["bellhand", "fix", fixed], capture_output=True)
    wanted = fixed.read_bytes()
    after, code = formatted(file, name)
    test(f":format brings {name} to the house's own wording", code == 0 and after == wanted != file.read_bytes(), code)
    file.write_bytes(after)
    test(f"{name} stays as it was saved when it is saved again", formatted(file, name) == (after, 0))
after, code = formatted(score)
test("an older Helix, which fills in no name, formats too", code == 0 and b"K:Bb" not in after)
after, code = formatted(score, "[scratch]")
test("and so does one of a text without a name", code == 0 and "K:Bb" in before and b"K:Bb" not in after)

server = languages["language-server"]["bellhand"]
messages = [
    {"id": 1, "method": "initialize", "params": {"processId": None, "rootUri": None, "capabilities": {}, "initializationOptions": server["config"]}},
    {"method": "initialized", "params": {}},
    {"method": "textDocument/didOpen", "params": {"textDocument": {"uri": score.resolve().as_uri(), "languageId": "abc", "version": 1, "text": before}}},
]
process = subprocess.Popen([server["command"], *server["args"]], stdin=subprocess.PIPE, stdout=subprocess.PIPE)


def send(message):
    body = json.dumps({"jsonrpc": "2.0", **message}).encode()
    process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
    process.stdin.flush()


def receive():
    length = 0
    while (line := process.stdout.readline().strip()) or not length:
        if line.lower().startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    return json.loads(process.stdout.read(length))


send(messages[0])
test("the server answers", "capabilities" in receive()["result"])
send(messages[1])
send(messages[2])
while (message := receive()).get("method") != "textDocument/publishDiagnostics":
    pass
rules = {finding["code"] for finding in message["params"]["diagnostics"]}
test("the server finds", {"notation/key-signature", "mute/other-kind"} <= rules, rules)
send({"id": 2, "method": "shutdown"})
while receive().get("id") != 2:
    pass
send({"method": "exit"})
test("the server leaves", process.wait(120) == 0)
print(f"{passed} passed, 0 failed")
