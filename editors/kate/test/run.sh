#!/usr/bin/env bash
# Colours the demo with KDE's own highlighter, and starts the server as the settings say: run.sh PATH-OF-BELLHAND.
# The highlighter comes from Debian; only when it cannot be had is the test skipped.
set -euo pipefail
name=kate
. "$(dirname "$0")/../../need.sh"
binary=$(realpath "${1:?say where the bellhand binary is}")
here=$(cd "$(dirname "$0")/.." && pwd)
root=$(cd "$here/../.." && pwd)
[ -x "$binary" ] || { echo "kate: $binary is no program" >&2; exit 2; }

find_tool() { command -v kate-syntax-highlighter || command -v ksyntaxhighlighter6 || command -v ksyntaxhighlighter5 || true; }
tool=$(find_tool)
if [ -z "$tool" ]; then
  debian libkf5syntaxhighlighting-tools || true
  tool=$(find_tool)
  [ -n "$tool" ] || skip "KDE's highlighter"
fi

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
mkdir -p "$scratch/org.kde.syntax-highlighting/syntax"
cp "$here/bellhand-abc.xml" "$scratch/org.kde.syntax-highlighting/syntax/"
QT_QPA_PLATFORM=offscreen XDG_DATA_HOME="$scratch" "$tool" -f html "$root/tests/demo/evening-ferry.abc" \
  > "$scratch/coloured.html" 2> "$scratch/said"
# The highlighter complains about faulty definitions and goes on.
if [ -s "$scratch/said" ]; then cat "$scratch/said"; echo "not ok the definition is sound"; exit 1; fi
echo "ok the definition is sound"
python3 - "$scratch/coloured.html" "$here/settings.json" "$binary" <<'PYTHON'
import html, json, re, subprocess, sys
coloured, settings, binary = sys.argv[1:]
page = open(coloured, encoding="utf-8").read()
passed = 1
def test(name, held):
    global passed
    if not held:
        print(f"not ok {name}")
        sys.exit(1)
    passed += 1
    print(f"ok {name}")
test("the demo is known as ABC", "Definition (ABC (bellhand))" in page)
pieces = [(html.unescape(text), style) for style, text in re.findall(r'<span style="([^"]*)">([^<]*)</span>', page)]
style = dict(pieces)
test("fields, titles, words, notes and lengths look different",
     len({style[text] for text in ["K:", "Evening Ferry", '"^cup mute"', "c'", "Bb"]}) == 5)
test("no note is coloured in a title or a comment", not any(text in ("E", "F") and look == style["Evening Ferry"] for text, look in pieces))
server = json.load(open(settings))["servers"]["abc"]
test("the mode is one the server is for", re.search(server["highlightingModeRegex"], "ABC (bellhand)") and re.search(server["highlightingModeRegex"], "ABC"))
body = json.dumps({"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {"processId": None, "rootUri": None,
                   "capabilities": {}, "initializationOptions": server["initializationOptions"]}}).encode()
answer = subprocess.run([binary, *server["command"][1:]], input=b"Content-Length: %d\r\n\r\n%s" % (len(body), body),
                        capture_output=True, timeout=120).stdout
test("the server answers", server["command"][0] == "bellhand" and b'"capabilities"' in answer)
print(f"{passed} passed, 0 failed")
PYTHON
