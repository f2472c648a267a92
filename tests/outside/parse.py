"""Parses scores with music21 and prints, as JSON, how long that took in seconds and which of them it could parse.

    python3 parse.py SCORE...

Only the parsing is timed, not the start of Python and the import. Nothing is taken from what music21 has kept of an
earlier run. A MusicXML score by time, and whatever else music21 refuses, is left out of both.
"""

import json
import sys
import time
import warnings

from music21 import converter

warnings.simplefilter("ignore")
seconds, parsed = 0.0, []
for path in sys.argv[1:]:
    began = time.perf_counter()
    try:
        converter.parse(path, forceSource=True)
    except Exception:
        continue
    seconds += time.perf_counter() - began
    parsed.append(path)
print(json.dumps({"seconds": seconds, "parsed": parsed}))
