//! Colours and hatches, told apart by any colour vision and in print, and the glyphs a drawing uses; a page that shows the
//! drawing may set its own colours.

use std::io;

use crate::ink::Used;
use crate::sheet::{Sheet, Tag};

/// Colours can be set from outside by the custom properties named here; programs that know none take the first value.
/// The register colours are those of Okabe and Ito, "Color Universal Design" (2008), dark to bright as it goes up.
const SHEET: &str = "\
svg{background:#fff;background:var(--paper,#fff)}\
text{font-family:sans-serif;font-size:10px;fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
use{fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.title{font-size:16px;font-weight:bold}.heading{font-size:13px;font-weight:bold}\
.words{font-family:serif;font-size:12px;font-style:italic}\
.tempo{font-family:serif;font-size:12px;font-weight:bold}\
.section{font-size:13px;font-weight:bold}.bar,.number,.fingering,.seconds{font-size:9px}.number{font-weight:bold}\
.box{fill:none;stroke:#1b1b1b;stroke:var(--ink,#1b1b1b)}\
.line,.ledger{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:1}\
.line{opacity:.7}.ledger{stroke-width:1.2}\
.barline,.rest{fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.stem,.ending,.hairpin{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b)}\
.beam,.tie,.slur{fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.silent,.cue{opacity:.6}\
.body{fill-opacity:.5}\
.other .body{fill-opacity:.25}\
.r-pedal .body{fill:#cc79a7;fill:var(--pedal,#cc79a7)}\
.r-low .body{fill:#0072b2;fill:var(--low,#0072b2)}\
.r-middle-low .body{fill:#56b4e9;fill:var(--middle-low,#56b4e9)}\
.r-middle .body{fill:#009e73;fill:var(--middle,#009e73)}\
.r-high .body{fill:#e69f00;fill:var(--high,#e69f00)}\
.r-top .body{fill:#d55e00;fill:var(--top,#d55e00)}\
.r-beyond .body{fill:#000;fill:var(--beyond,#000)}\
.hatch{fill:none}\
.t-muted .hatch{fill:url(#hatch-muted)}.t-stopped .hatch{fill:url(#hatch-stopped)}\
.t-half-stopped .hatch{fill:url(#hatch-half)}.t-stopped-muted .hatch{fill:url(#hatch-both)}\
.hatches,.curves{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5;opacity:.6}\
.rip{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-dasharray:2 2}\
.partial{fill:#fff;fill:var(--paper,#fff);stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.7}\
.curve{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.8}\
.c-breath{fill:url(#hatch-breath)}.c-lip{fill:url(#hatch-lip)}\
.limit{stroke:#d55e00;stroke:var(--error,#d55e00);stroke-width:.8;stroke-dasharray:4 2}\
.others{fill:#1b1b1b;fill:var(--ink,#1b1b1b);opacity:.14}\
.over{fill:#d55e00;fill:var(--error,#d55e00);opacity:.12}\
.shape{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.6}\
.f-error .shape{fill:#d55e00;fill:var(--error,#d55e00)}\
.f-warning .shape{fill:#e69f00;fill:var(--warning,#e69f00)}\
.f-information .shape{fill:none;stroke-width:1.4;stroke:#0072b2;stroke:var(--information,#0072b2)}\
.f-hint .shape{fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.current .body,.note:focus .body,.finding:focus .shape{stroke:#1b1b1b;stroke:var(--current,#1b1b1b);stroke-width:2}\
.note:focus,.finding:focus{outline:none}\
.sounding .body{fill-opacity:1}\
svg .note.sounding{outline:2px solid #1b1b1b;outline:2px solid var(--sounding,var(--ink,#1b1b1b));outline-offset:2px}\
@media print{.body{fill-opacity:.18}.r-pedal .body,.r-low .body,.r-middle-low .body,.r-middle .body,.r-high .body,\
.r-top .body,.r-beyond .body{fill:#000}.over{display:none}.limit{stroke:#000}.finding .shape{fill:none;stroke:#000}}";

/// A hatch: its name, whose lines it has, how far they stand apart, and one tile of them.
type Hatch = (&'static str, &'static str, f64, &'static str);

const HATCHES: [Hatch; 6] = [
    ("hatch-muted", "hatches", 4.0, "M0 4L4 0"),
    ("hatch-stopped", "hatches", 4.0, "M0 4L4 0M0 0L4 4"),
    ("hatch-both", "hatches", 4.0, "M0 4L4 0M0 0L4 4M0 2h4"),
    ("hatch-half", "hatches", 3.0, "M1.5 0v3"),
    ("hatch-breath", "curves", 3.0, "M1.5 0v3"),
    ("hatch-lip", "curves", 4.0, "M0 4L4 0"),
];

/// Writes the colours, hatches and glyphs; names of glyphs begin with `names`.
pub(crate) fn write(sheet: &mut Sheet, names: &str, used: &Used) -> io::Result<()> {
    sheet.text(Tag::new("style"), SHEET)?;
    sheet.open(Tag::new("defs"))?;
    for (id, class, size, path) in HATCHES {
        let pattern = Tag::new("pattern").word("id", id);
        let pattern = pattern.word("patternUnits", "userSpaceOnUse");
        sheet.open(pattern.numbers([("width", size), ("height", size)]))?;
        let lines = Tag::new("path").word("class", class).word("fill", "none");
        sheet.empty(lines.word("d", path))?;
        sheet.close("pattern")?;
    }
    for (name, glyph) in used {
        let path = Tag::new("path").word("id", &format!("{names}g-{name}"));
        sheet.empty(path.word("d", glyph.outline))?;
    }
    sheet.close("defs")
}
