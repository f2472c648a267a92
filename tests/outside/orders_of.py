"""The order in which music21 plays the bars of the scores named on standard input, one JSON object a line and piece.

    ls *.mxl *.krn *.abc | python3 orders_of.py > orders.jsonl

A line is {"file": path, "piece": its place in the file, "bars": how many the first part has, "order": [bar, ...]}, bars
counted from 0, or {"file": path, "piece": ..., "failed": why} where music21 cannot expand the repeats, or read the piece.
Pieces without repeats are left out.
"""

import json
import logging
import re
import sys
import warnings
from multiprocessing import Pool
from pathlib import Path

import notes_of
from music21 import bar, converter, environment, repeat, spanner, stream

environment.Environment.warn = lambda *_, **__: None
logging.disable(logging.CRITICAL)
warnings.simplefilter("ignore")

REPEATED = re.compile(r":\||\|:|::")


def repeats(part):
    return (
        any(isinstance(one, bar.Repeat) for one in part.recurse().getElementsByClass(bar.Barline))
        or any(True for _ in part.recurse().getElementsByClass(repeat.RepeatExpression))
        or any(True for _ in part.recurse().getElementsByClass(spanner.RepeatBracket))
    )


def order(score):
    part = next(iter(score.recurse().getElementsByClass(stream.Part)), None)
    if part is None or not repeats(part):
        return None
    measures = list(part.getElementsByClass(stream.Measure))
    for place, measure in enumerate(measures):
        measure.groups = [f"bar {place}"]
    expanded = part.expandRepeats()
    played = [measure.groups[0] for measure in expanded.getElementsByClass(stream.Measure)]
    return {"bars": len(measures), "order": [int(name.split()[1]) for name in played]}


def tunes(path):
    data = Path(path).read_bytes()
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    starts = [found.start() for found in notes_of.TUNE.finditer(text)]
    head = text[: starts[0]] if starts else ""
    version = "" if notes_of.VERSION.search(head) else "%abc-2.1\n"
    for start, end in zip(starts, starts[1:] + [len(text)]):
        tune = text[start:end]
        yield version + head + tune if REPEATED.search(tune) else None


def pieces(path):
    if path.endswith(".abc"):
        for text in tunes(path):
            yield text and (lambda: converter.parse(text, format="abc", forceSource=True))
    else:
        yield lambda: converter.parse(path, forceSource=True, format="humdrum" if path.endswith(".krn") else "musicxml")


def read(path):
    outcomes = []
    for place, parse in enumerate(pieces(path)):
        if parse is None:
            continue
        head = {"file": path, "piece": place}
        try:
            found = order(parse())
            if found is not None:
                outcomes.append(head | found)
        except Exception as error:  # music21 gives up in many ways
            outcomes.append(head | {"failed": f"{type(error).__name__}: {error}"[:200]})
    return outcomes


def main():
    paths = [line.rstrip("\n") for line in sys.stdin]
    with Pool(2) as pool:
        for outcomes in pool.imap(read, paths, chunksize=1):
            for outcome in outcomes:
                print(json.dumps(outcome, separators=(",", ":")), flush=True)


if __name__ == "__main__":
    main()
