//! Colours and hatches, told apart by any colour vision and in print; a page that shows the drawing may set its own.

use std::io;

use crate::sheet::{Sheet, Tag};

/// Colours can be set from outside by the custom properties named here; programs that know none take the first value.
/// The register colours are those of Okabe and Ito, "Color Universal Design" (2008), dark to bright as it goes up.
const SHEET: &str = "\
svg{background:#fff;background:var(--paper,#fff)}\
text{font-family:sans-serif;font-size:8px;fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.heading{font-size:11px;font-weight:bold}\
.line,.barline{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5;opacity:.55}\
.barline{opacity:.3}\
.pitch,.register,.bar,.rest-length,.legend{font-size:6.5px;opacity:.8}\
.pitch{text-anchor:end}.rest-length{text-anchor:middle}\
.words{font-size:7.5px}.sign{font-size:9px}.words,.dynamic{font-style:italic}\
.dynamic{font-weight:bold}.sign{font-weight:bold}\
.breath-mark{font-size:13px;font-weight:bold}\
.rest{fill:#1b1b1b;fill:var(--ink,#1b1b1b);opacity:.25}\
.band{fill:none}\
.b-pedal{fill:url(#bands-pedal)}.b-low{fill:url(#bands-low)}.b-high{fill:url(#bands-high)}\
.b-top{fill:url(#bands-top)}.b-beyond{fill:url(#bands-beyond)}\
.bands{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5;opacity:.28}\
.body{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5}\
.other{opacity:.6}\
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
.hatches{stroke:#fff;stroke:var(--paper,#fff);stroke-width:1.1}\
.slur,.rip{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.7}\
.rip{stroke-dasharray:1.5 1.5}\
.partial{fill:#fff;fill:var(--paper,#fff);stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.7}\
.curve{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.8}\
.c-breath{fill:url(#hatch-breath)}.c-lip{fill:url(#hatch-lip)}\
.curves{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5;opacity:.6}\
.limit{stroke:#d55e00;stroke:var(--error,#d55e00);stroke-width:.8;stroke-dasharray:4 2}\
.over{fill:#d55e00;fill:var(--error,#d55e00);opacity:.12}\
.stem{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.5;stroke-dasharray:1 1.5;opacity:.7}\
.shape{stroke:#1b1b1b;stroke:var(--ink,#1b1b1b);stroke-width:.6}\
.f-error .shape{fill:#d55e00;fill:var(--error,#d55e00)}\
.f-warning .shape{fill:#e69f00;fill:var(--warning,#e69f00)}\
.f-information .shape{fill:none;stroke-width:1.4;stroke:#0072b2;stroke:var(--information,#0072b2)}\
.f-hint .shape{fill:#1b1b1b;fill:var(--ink,#1b1b1b)}\
.current .body,.note:focus .body,.finding:focus .shape{stroke:#1b1b1b;stroke:var(--current,#1b1b1b);stroke-width:2}\
.note:focus,.finding:focus{outline:none}";

/// A hatch: its name, whose lines it has, how far they stand apart, and one tile of them.
type Hatch = (&'static str, &'static str, f64, &'static str);

const HATCHES: [Hatch; 11] = [
    ("bands-pedal", "bands", 4.0, "M1 1h1M3 3h1"),
    ("bands-low", "bands", 3.0, "M0 1.5h3"),
    ("bands-high", "bands", 9.0, "M0 9L9 0"),
    ("bands-top", "bands", 5.0, "M0 5L5 0"),
    ("bands-beyond", "bands", 5.0, "M0 5L5 0M0 0L5 5"),
    ("hatch-muted", "hatches", 4.0, "M0 4L4 0"),
    ("hatch-stopped", "hatches", 4.0, "M0 4L4 0M0 0L4 4"),
    ("hatch-both", "hatches", 4.0, "M0 4L4 0M0 0L4 4M0 2h4"),
    ("hatch-half", "hatches", 3.0, "M1.5 0v3"),
    ("hatch-breath", "curves", 3.0, "M1.5 0v3"),
    ("hatch-lip", "curves", 4.0, "M0 4L4 0"),
];

/// Writes the colours and hatches.
pub(crate) fn write(sheet: &mut Sheet) -> io::Result<()> {
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
    sheet.close("defs")
}
