"""Every note that music21 reads in the scores named on standard input, as written and as sounding, one JSON object a line and file.

    ls *.abc *.musicxml *.krn | python3 sounds_of.py > sounds.jsonl

A line is {"file": path, "parts": [[note, ...], ...]} or {"file": path, "failed": why}; a note is [onset, length, written,
sounding, grace], times in quarter notes as fractions, pitches as MIDI numbers or null where the notation leaves them
open: the written pitch in kern, whose data are what sounds, and the sounding one in a part that records no
transposition. Notes stand in the order of onset and pitch.
"""

import json
import logging
import re
import sys
import warnings
from fractions import Fraction
from multiprocessing import Pool

from music21 import abcFormat, chord, converter, environment, harmony, note, stream

environment.Environment.warn = lambda *_, **__: None
logging.disable(logging.CRITICAL)
warnings.simplefilter("ignore")

import notes_of  # noqa: E402

TRANSPOSE = re.compile(r"\b(?:transpose|t)=\s*(-?\d+)")


def time(value):
    # What music21 keeps as a float is meant as the nearest small fraction.
    return Fraction(value).limit_denominator(100_000)


def pitches(part):
    for element in part.recurse().notes:
        if isinstance(element, harmony.Harmony) or not isinstance(element, (note.Note, chord.Chord)):
            continue
        grace = element.duration.isGrace
        length = Fraction(0) if grace else time(element.duration.quarterLength)
        onset = time(element.getOffsetInHierarchy(part))
        for pitch in element.pitches:
            yield (onset, length, round(pitch.ps), grace)


def staves(score):
    """The parts of a score, each a list of its staves."""
    read = {}
    for place, part in enumerate(score.recurse().getElementsByClass(stream.Part)):
        # The staves of P1 are P1-Staff1 and so on.
        name = str(part.id).split("-Staff")[0] if isinstance(part, stream.PartStaff) else place
        read.setdefault(name, []).append(part)
    return list(read.values())


def transposes(part):
    return any(instrument.transposition is not None for instrument in part.recurse().getElementsByClass("Instrument"))


def of_musicxml(path, text):
    score = converter.parse(path, forceSource=True, format="musicxml")
    # Where no transposition is recorded, an instrument's own must not be guessed.
    recorded = "<transpose" in text
    for parts in staves(score):
        notes = []
        for part in parts:
            written = list(pitches(part))
            if not (recorded and transposes(part)):
                notes.extend((*at, pitch, None, grace) for *at, pitch, grace in written)
                continue
            sounding = part.toSoundingPitch(inPlace=False)
            heard = list(pitches(sounding))
            assert len(heard) == len(written)
            for (*at, pitch, grace), (*there, sound, _) in zip(written, heard):
                assert at == there
                notes.append((*at, pitch, sound, grace))
        yield notes


def of_kern(path, _):
    score = converter.parse(path, forceSource=True, format="humdrum")
    for parts in staves(score):
        yield [(*at, None, pitch, grace) for part in parts for *at, pitch, grace in pitches(part)]


class Sink(notes_of.Sink):
    """Takes notes with the transposition in force."""

    transposition = None

    def coreAppend(self, element, setActiveSite=True):
        before = len(self.notes)
        super().coreAppend(element, setActiveSite)
        for index in range(before, len(self.notes)):
            onset, length, pitch, grace = self.notes[index]
            sounding = None if self.transposition is None else pitch + self.transposition
            self.notes[index] = (Fraction(onset), Fraction(length), pitch, sounding, grace)


def of_abc(_, text):
    handler = abcFormat.ABCHandler(abcVersion=(2, 1, 0))
    version = "" if notes_of.VERSION.search(text) else "%abc-2.1\n"
    handler.process(version + text)
    voices = handler.splitByVoice()
    # What stands before any voice, and each line that only declares one, come as voices of their own.
    default = None
    transpositions, parts = {}, {}
    for voice in voices:
        sink, name = Sink(), "1"
        for token in voice.tokens:
            if isinstance(token, abcFormat.ABCMetadata) and token.tag in "VK":
                said = TRANSPOSE.search(token.data)
                if token.tag == "V":
                    name = token.data.split()[0]
                    if said:
                        transpositions[name] = int(said[1])
                elif said and voice is voices[0] and len(voices) > 1:
                    default = int(said[1])
                elif said:
                    transpositions[name] = int(said[1])
            elif re.match(r"\[[KV]:", token.src):
                # A field inside the music, which music21 takes for a chord.
                said = TRANSPOSE.search(token.src)
                if said:
                    transpositions[name] = int(said[1])
            elif isinstance(token, abcFormat.ABCNote):
                sink.transposition = transpositions.get(name, default)
                notes_of.translate.parseABCNote(token, sink)
        if sink.notes:
            parts.setdefault(name, []).extend(sink.notes)
    yield from parts.values()


def read(path):
    try:
        with open(path, encoding="utf-8-sig") as file:
            text = file.read()
        of = {"abc": of_abc, "krn": of_kern}.get(path.rsplit(".", 1)[1], of_musicxml)
        parts = []
        for notes in of(path, text):
            notes.sort(key=lambda note: (note[0], not note[4], note[3] or note[2], note[1]))
            parts.append([[str(onset), str(length), *rest] for onset, length, *rest in notes])
        return {"file": path, "parts": parts}
    except Exception as error:  # music21 gives up in many ways
        return {"file": path, "failed": f"{type(error).__name__}: {error}"[:200]}


def main():
    paths = [line.rstrip("\n") for line in sys.stdin]
    with Pool(2) as pool:
        for outcome in pool.imap(read, paths, chunksize=1):
            print(json.dumps(outcome, separators=(",", ":")), flush=True)


if __name__ == "__main__":
    main()
