"""Types for a long time into a score of each notation, and looks whether the server's memory creeps.

    python3 long_session.py BELLHAND [KEYSTROKES [SEED [TEXT...]]]

Random edits, each waited for: signs, stretches, lines and bars put in, taken out, put in another's place and repeated.
Now and then all of them are undone, one by one, as an editor does, and now and then what an editor asks while somebody
writes is asked. Memory is read at shares of the way, each time the text is again what it was at first, and at the end may be no
more than a tenth above what it was after a quarter, when all has been met that takes memory for good (of fewer than 20,000
keystrokes that is not said); what is found must then be what was found at first. Writes a table; the exit code is 1 where memory
creeps.

The C library gives its memory out from an arena for each of several threads, and what one thread lets go of another does not
use: that is no more memory held, but more taken. So that what is held is seen, the server is given one arena, unless
MALLOC_ARENA_MAX says otherwise.
"""

import os
import pathlib
import random
import sys
import tempfile

import busy_scores
from keystrokes import Session

SIZE = 10_000
KINDS = {
    "ABC": ("abc", "abc", busy_scores.abc(SIZE, True), "|", "abcgCDEz0123456789/|:[]()\"!^_=-,' \n"),
    "kern": ("kern", "krn", busy_scores.kern(SIZE, True), "\n=", "abcdefgAr0123456789.#-n[]()*=!\t \n"),
    "MusicXML": ("musicxml", "musicxml", busy_scores.musicxml(SIZE, True), "<note>", "abcstep0123456789<>/=\"& \n"),
}
SHARES = (1, 10, 25, 50, 75, 100)
# How far a text is led away before all is undone.
FAR = 60


class Typist:
    def __init__(self, server, folder, kind, seed):
        language, ending, self.first, self.bar, self.signs = KINDS[kind]
        self.rng = random.Random(f"{kind} {seed}")
        self.session = Session([server, "lsp"], pull=True)
        self.session.initialize(folder)
        assert self.session.utf8 and self.session.pull and self.first.isascii()
        self.uri = (folder / f"score.{ending}").as_uri()
        self.text, self.version, self.undo, self.asked = self.first, 1, [], 0
        self.session.open(self.uri, language, self.text)

    def place(self, byte):
        return {"line": self.text.count("\n", 0, byte), "character": byte - self.text.rfind("\n", 0, byte) - 1}

    def put(self, at, cut, typed):
        """One keystroke, until its findings are here; what takes it back."""
        self.version += 1
        change = {"range": {"start": self.place(at), "end": self.place(at + cut)}, "text": typed}
        back = (at, len(typed), self.text[at:at + cut])
        self.text = self.text[:at] + typed + self.text[at + cut:]
        self.session.send({"method": "textDocument/didChange", "params": {
            "textDocument": {"uri": self.uri, "version": self.version}, "contentChanges": [change]}})
        self.session.fresh(self.uri, self.version)
        return back

    def stretch(self, sign):
        """From a sign that divides the text to the next one."""
        begin = self.text.find(sign, self.rng.randrange(len(self.text)))
        end = self.text.find(sign, begin + 1)
        return (begin, end) if 0 <= begin < end else (0, 0)

    def edit(self):
        rng, at = self.rng, self.rng.randrange(len(self.text))
        what = rng.randrange(8)
        if what < 3:
            return at, 0, rng.choice(self.signs)
        if what == 3:
            return at, min(rng.randrange(1, 5), len(self.text) - at), ""
        if what == 4:
            return at, min(rng.randrange(1, 3), len(self.text) - at), rng.choice(self.signs)
        begin, end = self.stretch("\n" if rng.random() < .3 else self.bar)
        if what == 5:
            return begin, end - begin, ""
        other = self.text[slice(*self.stretch(self.bar))]
        return (begin, 0, other) if what == 6 else (begin, end - begin, other)

    def ask(self):
        document, at = {"uri": self.uri}, self.place(self.rng.randrange(len(self.text)))
        spot = {"textDocument": document, "position": at}
        for method, asked in (
            ("hover", spot), ("completion", spot), ("documentHighlight", spot),
            ("codeAction", {"textDocument": document, "range": {"start": at, "end": at}, "context": {"diagnostics": []}}),
            ("documentSymbol", {"textDocument": document}), ("foldingRange", {"textDocument": document}),
            ("semanticTokens/full", {"textDocument": document}), ("inlayHint", {"textDocument": document, "range": {"start": at, "end": at}}),
        ):
            number = next(self.session.ids)
            self.session.send({"id": number, "method": "textDocument/" + method, "params": asked})
            self.session.wait(lambda message: message.get("id") == number)
            self.asked += 1

    def found(self):
        """All findings of the text as it is now, asked for anew."""
        number = next(self.session.ids)
        self.session.send({"id": number, "method": "textDocument/diagnostic", "params": {"textDocument": {"uri": self.uri}}})
        return self.session.wait(lambda message: message.get("id") == number)[2]["result"]["items"]

    def memory(self):
        status = pathlib.Path(f"/proc/{self.session.p.pid}/status").read_text()
        return int(next(line for line in status.splitlines() if line.startswith("VmRSS")).split()[1]) / 1024

    def type(self, keystrokes):
        """Memory in MiB at each share of so many keystrokes."""
        before, told, typed = self.found(), [], 0
        for share in SHARES:
            while typed < keystrokes * share // 100:
                for _ in range(FAR):
                    self.undo.append(self.put(*self.edit()))
                    typed += 1
                    # Most that is typed is soon taken back or written over.
                    if self.rng.random() < .3:
                        self.put(*self.undo.pop())
                        typed += 1
                self.ask()
                while self.undo:
                    self.put(*self.undo.pop())
                    typed += 1
            assert self.text == self.first
            told.append(self.memory())
            print(f"{typed} keystrokes, {told[-1]:.1f} MiB", file=sys.stderr, flush=True)
        assert self.found() == before, "the same text, other findings"
        return typed, len(before), told

    def leave(self):
        number = next(self.session.ids)
        self.session.send({"id": number, "method": "shutdown"})
        self.session.wait(lambda message: message.get("id") == number)
        self.session.send({"method": "exit"})
        self.session.p.wait(10)


def main():
    os.environ.setdefault("MALLOC_ARENA_MAX", "1")
    bellhand = str(pathlib.Path(sys.argv[1]).resolve())
    keystrokes = int(sys.argv[2]) if len(sys.argv) > 2 else 100_000
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    print(f"Seed {seed}.\n")
    print("| text | kB | findings | keystrokes | other questions | " + " | ".join(f"{share} %" for share in SHARES) + " |")
    print("| --- |" + " ---: |" * (4 + len(SHARES)))
    creeps = []
    for kind in sys.argv[4:] or KINDS:
        text = KINDS[kind][2]
        with tempfile.TemporaryDirectory(prefix="session-") as folder:
            typist = Typist(bellhand, pathlib.Path(folder), kind, seed)
            typed, findings, told = typist.type(keystrokes)
            typist.leave()
        print(f"| {kind} | {len(text) / 1e3:.0f} | {findings} | {typed} | {typist.asked} | " + " | ".join(f"{one:.1f}" for one in told) + " |", flush=True)
        if typed >= 20_000 and told[-1] > told[SHARES.index(25)] * 1.1:
            creeps.append(kind)
    if creeps:
        sys.exit("memory creeps: " + ", ".join(creeps))


main()
