"""Scores as long as asked for, as scores look: two busy horns with rests between, in three notations, with findings or without."""

NAMES = ("Horn 1 in F", "Horn 2 in F")
# Four bars for each horn, in eighths: (letter, octave, sign, length); a letter z is a rest.
CLEAN = (
    "c5 1,d5 1,e5 1,f5 1,g5 2,e5 2|d5 1,e5 1,f5 1,d5 1,e5 2,c5 2|z 8|z 8",
    "c4 1,e4 1,g4 1,e4 1,g4 2,e4 2|g4 1,c5 1,d5 1,g4 1,c5 2,g4 2|z 8|z 8",
)
# The same with a spelling in each bar that a player would not choose.
FAULTY = tuple(part.replace("e5 2,c5 2", "e#5 2,c5 2").replace("c5 1,d5 1", "b#4 1,d5 1").replace("g4 2,e4 2", "g4 2,e#4 2") for part in CLEAN)


def read(part):
    for bar in part.split("|"):
        yield [(n.split()[0], int(n.split()[1])) for n in bar.split(",")]


def abc_note(name, length):
    if name == "z":
        return f"z{length}"
    letter, sign, octave = name[0], name[1:-1], int(name[-1])
    return {"#": "^", "": ""}[sign] + (letter if octave == 5 else letter.upper()) + str(length)


def abc_tune(number, fours, faulty):
    head = f"X:{number}\nT:Tide table {number}\nM:4/4\nL:1/8\nQ:1/4=96\nK:none\n"
    head += "".join(f'V:{v + 1} name="{name}" transpose=-7\n' for v, name in enumerate(NAMES))
    systems = []
    for _ in range(fours):
        for v, part in enumerate(FAULTY if faulty else CLEAN):
            bars = [" ".join(abc_note(*note) for note in bar) for bar in read(part)]
            systems.append(f"[V:{v + 1}] !mf! " + " | ".join(bars) + " |\n")
    return head + "".join(systems)


def abc(size, faulty=False, many=False):
    one = len(abc_tune(1, 2, faulty)) - len(abc_tune(1, 1, faulty))
    if not many:
        return abc_tune(1, max(1, size // one), faulty)
    tunes, length = [], 0
    while length < size:
        tunes.append(abc_tune(len(tunes) + 1, 12, faulty))
        length += len(tunes[-1]) + 1
    return "\n".join(tunes)


def kern_cell(name, length):
    duration = {1: "8", 2: "4", 8: "1"}[length]
    if name == "z":
        return duration + "r"
    # What sounds, a fifth below: f is bb down, and so on.
    letter, sign, octave = name[0], name[1:-1], int(name[-1])
    place = "cdefgab".index(letter) + 7 * octave - 4
    sounds, at = "cdefgab"[place % 7], place // 7
    up = {"c": "f", "d": "g", "e": "a", "f": "b-", "g": "c", "a": "d", "b": "e"}[letter]
    assert sounds == up[0]
    semitones = (1 if sign == "#" else 0) + (-1 if up.endswith("-") else 0)
    text = sounds * (at - 3) if at >= 4 else sounds.upper() * (4 - at)
    return duration + text + ("#" if semitones > 0 else "-" if semitones < 0 else "n" if sign else "")


def kern(size, faulty=False):
    lines = ["**kern\t**kern", "\t".join(f'*I"{name}' for name in reversed(NAMES)), "*ITrd4c7\t*ITrd4c7", "*M4/4\t*M4/4", "*MM96\t*MM96"]
    length, bar_number = 0, 1
    parts = [list(read(part)) for part in (FAULTY if faulty else CLEAN)]
    while length < size:
        for bar in range(4):
            block = [f"={bar_number}\t={bar_number}"]
            cells = []
            for part in reversed(parts):
                column, at = {}, 0
                for name, eighths in part[bar]:
                    column[at] = kern_cell(name, eighths)
                    at += eighths
                cells.append(column)
            for at in sorted(set(cells[0]) | set(cells[1])):
                block.append("\t".join(column.get(at, ".") for column in cells))
            bar_number += 1
            lines += block
            length += sum(len(line) + 1 for line in block)
    return "\n".join([*lines, "==\t==", "*-\t*-", ""])


def xml_note(name, length):
    kind = {1: "eighth", 2: "quarter", 8: "whole"}[length]
    if name == "z":
        return f"<note><rest/><duration>{length}</duration><voice>1</voice><type>{kind}</type></note>\n"
    alter = "<alter>1</alter>" if "#" in name else ""
    sign = "<accidental>sharp</accidental>" if alter else ""
    return (f"<note><pitch><step>{name[0].upper()}</step>{alter}<octave>{name[-1]}</octave></pitch>"
            f"<duration>{length}</duration><voice>1</voice><type>{kind}</type>{sign}</note>\n")


def musicxml(size, faulty=False):
    parts = [list(read(part)) for part in (FAULTY if faulty else CLEAN)]
    fours = max(1, size // sum(len(xml_note(*note)) for part in parts for bar in part for note in bar))
    text = ['<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0">\n<part-list>\n']
    text += [f'<score-part id="P{n + 1}"><part-name>{name}</part-name></score-part>\n' for n, name in enumerate(NAMES)]
    text.append("</part-list>\n")
    for n, part in enumerate(parts):
        text.append(f'<part id="P{n + 1}">\n')
        for number in range(4 * fours):
            text.append(f'<measure number="{number + 1}">\n')
            if number == 0:
                text.append("<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>"
                            "<clef><sign>G</sign><line>2</line></clef><transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose></attributes>\n"
                            '<direction><direction-type><dynamics><mf/></dynamics></direction-type><sound tempo="96"/></direction>\n')
            text += [xml_note(*note) for note in part[number % 4]]
            text.append("</measure>\n")
        text.append("</part>\n")
    return "".join([*text, "</score-partwise>\n"])


def python(size, findings=0):
    """A module with so much to say about, for a server of another language."""
    text = '"""Tide tables."""\n'
    number = 0
    while len(text) < size:
        number += 1
        text += (f"\n\ndef tide_{number}(hour: int, rows: list[int]) -> int:\n"
                 f'    """Say how high the water stands."""\n    total = hour * {number}\n'
                 + ("    import os\n" if number <= findings else "")
                 + "    for row in rows:\n        total += max(hour, row)\n    return total\n")
    return text
