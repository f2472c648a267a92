"""Every note that music21 reads in the MusicXML and kern files named on standard input, one JSON object a line and file.

    ls *.mxl *.krn | python3 scores_of.py > scores.jsonl

A line is {"file": path, "parts": [[bar, ...], ...]} or {"file": path, "failed": why}; the staves of one part are put
together again. A bar is [onset, [note, ...], how far its notes and rests reach], a note [offset in the bar, length, MIDI number, grace], times in quarter
notes as fractions. A grace note has no length; the notes of a chord share their offset.
"""

import json
import logging
import sys
import warnings
from fractions import Fraction
from multiprocessing import Pool

from music21 import chord, converter, environment, harmony, note, stream

environment.Environment.warn = lambda *_, **__: None
logging.disable(logging.CRITICAL)
warnings.simplefilter("ignore")


def time(value):
    # What music21 keeps as a float is meant as the nearest small fraction.
    return Fraction(value).limit_denominator(100_000)


def notes(measure):
    for element in measure.recurse().notes:
        if isinstance(element, harmony.Harmony) or not isinstance(element, (note.Note, chord.Chord)):
            continue
        grace = element.duration.isGrace
        length = Fraction(0) if grace else time(element.duration.quarterLength)
        offset = time(element.getOffsetInHierarchy(measure))
        for pitch in element.pitches:
            # To the nearest semitone, so that quarter tones stay comparable.
            yield [str(offset), str(length), round(pitch.ps), grace]


def reach(measure):
    ends = (time(element.getOffsetInHierarchy(measure) + element.duration.quarterLength) for element in measure.recurse().notesAndRests)
    return max(ends, default=Fraction(0))


def bars(part):
    measures = list(part.getElementsByClass(stream.Measure))
    for measure in measures:
        yield [time(measure.offset), list(notes(measure)), reach(measure)]
    # What stands outside any measure is a bar of its own.
    if not measures:
        yield [Fraction(0), list(notes(part)), reach(part)]


def parts(path):
    score = converter.parse(path, forceSource=True, format="humdrum" if path.endswith(".krn") else "musicxml")
    read = {}
    for place, part in enumerate(score.recurse().getElementsByClass(stream.Part)):
        # The staves of P1 are P1-Staff1 and so on.
        name = str(part.id).split("-Staff")[0] if isinstance(part, stream.PartStaff) else place
        for index, (onset, found, end) in enumerate(bars(part)):
            whole = read.setdefault(name, [])
            if index < len(whole):
                whole[index][1].extend(found)
            else:
                whole.append([str(onset), found, str(end)])
        read.setdefault(name, [])
    return list(read.values())


def read(path):
    try:
        return {"file": path, "parts": parts(path)}
    except Exception as error:  # music21 gives up in many ways
        return {"file": path, "failed": f"{type(error).__name__}: {error}"[:200]}


def main():
    paths = [line.rstrip("\n") for line in sys.stdin]
    with Pool(2) as pool:
        for outcome in pool.imap(read, paths, chunksize=1):
            print(json.dumps(outcome, separators=(",", ":")), flush=True)


if __name__ == "__main__":
    main()
