"""Every note that music21 reads in the ABC files below a folder, one JSON object a line and file.

    python3 notes_of.py FOLDER > notes.jsonl

Each tune is read by itself, so that no unit length of the tune before leaks into it, and as `%abc-2.1` where the file has
no version line: below that music21 lets no accidental reach past its own note. Tokens become notes by music21's own
translation, but are not laid out in measures, since that moves what overfills them.

A line is {"file": path, "version": whether the file says its own, "tunes": [{"base": byte of the X:, "parts": [[note, ...], ...]}
or {"base": ..., "failed": why}]}; a note is [onset, length, MIDI number, grace], times in quarter notes as fractions.
Notes of a chord share their onset; a grace note has no length.
"""

import json
import logging
import re
import sys
from fractions import Fraction
from multiprocessing import Pool
from pathlib import Path

from music21 import abcFormat, chord, environment, note
from music21.abcFormat import translate

environment.Environment.warn = lambda *_, **__: None
logging.disable(logging.CRITICAL)

TUNE = re.compile(r"^X:", re.MULTILINE)
VERSION = re.compile(r"^%abc", re.MULTILINE)


class Sink:
    """Takes what the translation would put into a measure."""

    def __init__(self):
        self.notes = []
        self.now = Fraction(0)

    def coreElementsChanged(self):
        pass

    def coreAppend(self, element, setActiveSite=True):
        if "ChordSymbol" in element.classes or "NoChord" in element.classes:
            return
        grace = element.duration.isGrace
        # What music21 keeps as a float is meant as the nearest small fraction.
        length = Fraction(element.duration.quarterLength).limit_denominator(100_000)
        if isinstance(element, (note.Note, chord.Chord)):
            for pitch in element.pitches:
                self.notes.append([str(self.now), str(Fraction(0) if grace else length), int(pitch.midi), grace])
        if not grace:
            self.now += length


def parts(text):
    handler = abcFormat.ABCHandler(abcVersion=(2, 1, 0))
    handler.process(text)
    voices = handler.splitByVoice()
    if len(voices) > 1:
        # The first is what stands before any voice.
        voices = voices[1:]
    read = []
    for voice in voices:
        sink = Sink()
        for token in voice.tokens:
            if isinstance(token, abcFormat.ABCNote):
                translate.parseABCNote(token, sink)
        read.append(sink.notes)
    return read


def tunes(text):
    starts = [found.start() for found in TUNE.finditer(text)]
    head = text[: starts[0]] if starts else ""
    version = "" if VERSION.search(head) else "%abc-2.1\n"
    for start, end in zip(starts, starts[1:] + [len(text)]):
        base = len(text[:start].encode())
        try:
            yield {"base": base, "parts": parts(version + head + text[start:end])}
        except Exception as error:  # music21 gives up in many ways
            yield {"base": base, "failed": f"{type(error).__name__}: {error}"[:200]}


def read(path):
    data = path.read_bytes()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return {"file": str(path), "version": bool(VERSION.search(text)), "tunes": list(tunes(text))}


def main():
    paths = sorted(Path(sys.argv[1]).rglob("*.abc"))
    with Pool(2) as pool:
        for outcome in pool.imap(read, paths):
            print(json.dumps(outcome, separators=(",", ":")))


if __name__ == "__main__":
    main()
