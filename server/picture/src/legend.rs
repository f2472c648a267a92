//! What the colours, hatches and marks mean: only those that occur.

use std::io;

use horn::Register;
use reading::PlayedNote;
use rules::Severity;

use crate::findings;
use crate::laid_part::LaidPart;
use crate::notes::{register as class, short_name, way};
use crate::sheet::{Sheet, Tag};

/// A row's height.
const ROW: f64 = 15.0;
/// About how wide a letter is.
const LETTER: f64 = 5.2;

/// What one entry shows before its words.
enum Sign {
    /// A note of these classes.
    Note(String),
    /// The mark of a severity.
    Mark(Severity),
    /// The ground behind a solo.
    Others,
    /// Words alone.
    None,
}

/// Draws the legend of a part from `top` down; gives back where it ends.
pub(crate) fn draw(sheet: &mut Sheet, part: &LaidPart<'_, '_>, top: f64) -> io::Result<f64> {
    let width = part.width;
    let (mut x, mut y) = (4.0, top);
    for (sign, words) in entries(part) {
        let wide = 16.0 + LETTER * (words.chars().count() as f64 + 3.0);
        if x > 4.0 && x + wide > width {
            (x, y) = (4.0, y + ROW);
        }
        let left = x;
        match sign {
            Sign::Note(ref classes) => {
                sheet.open(Tag::new("g").word("class", classes))?;
                for body in ["body", "hatch"] {
                    let rect = Tag::new("rect").word("class", body);
                    let rect = rect.numbers([("x", x), ("y", y - 8.0), ("width", 12.0)]);
                    sheet.empty(rect.numbers([("height", 9.0), ("rx", 3.0)]))?;
                }
                sheet.close("g")?;
            }
            Sign::Mark(severity) => {
                let classes = format!("f-{severity}");
                sheet.open(Tag::new("g").word("class", &classes))?;
                findings::shape(sheet, severity, x + 6.0, y - 3.4)?;
                sheet.close("g")?;
            }
            Sign::Others => {
                let rect = Tag::new("rect").word("class", "others");
                let rect = rect.numbers([("x", x), ("y", y - 8.0), ("width", 12.0)]);
                sheet.empty(rect.number("height", 9.0))?;
            }
            Sign::None => {}
        }
        let before = if matches!(sign, Sign::None) {
            0.0
        } else {
            16.0
        };
        let rows = findings::wrapped(&words, width - x - before);
        // Words for which one row is too narrow are followed by nothing.
        x += if rows.len() > 1 { width } else { wide };
        for (row, words) in rows.iter().enumerate() {
            y += if row > 0 { ROW } else { 0.0 };
            let text = Tag::new("text").word("class", "legend");
            sheet.text(text.numbers([("x", left + before), ("y", y)]), words)?;
        }
    }
    Ok(y + ROW)
}

fn entries(part: &LaidPart<'_, '_>) -> Vec<(Sign, String)> {
    let (about, options) = (&part.about, part.options);
    let notes = &part.subject.horn.notes;
    let mut entries = Vec::new();
    for register in Register::ALL {
        if notes.iter().any(|note| note.register == register) {
            let classes = format!("r-{}", class(register));
            entries.push((Sign::Note(classes), short_name(register).to_owned()));
        }
    }
    let mut ways: Vec<&PlayedNote> = Vec::new();
    for note in notes {
        if ways
            .iter()
            .all(|known| way(&known.technique) != way(&note.technique))
        {
            ways.push(note);
        }
    }
    if ways.len() > 1 {
        for note in ways {
            let classes = format!("r-middle t-{}", way(&note.technique));
            entries.push((Sign::Note(classes), note.technique.name().to_owned()));
        }
    }
    let severities = [
        Severity::Error,
        Severity::Warning,
        Severity::Information,
        Severity::Hint,
    ];
    for severity in severities {
        if about.iter().any(|about| about.finding.severity == severity) {
            entries.push((Sign::Mark(severity), severity.to_string()));
        }
    }
    if !part.grounds.is_empty() {
        let words =
            "behind a solo: what the others carry; where it fills the staff, they cover a horn";
        entries.push((Sign::Others, words.to_owned()));
    }
    if options.fingering {
        let words = "F12/8: F side, valves 1 and 2, partial 8; f is the high F side";
        entries.push((Sign::None, words.to_owned()));
    }
    if options.seconds {
        let words = "1:04.2: when the note is played first, in minutes and seconds";
        entries.push((Sign::None, words.to_owned()));
    }
    if options.effort {
        entries.push((
            Sign::None,
            "breath: how much of one is spent; dashes, all of it".to_owned(),
        ));
        entries.push((
            Sign::None,
            "lip: its load by bellhand's own model; dashes, what tires it. The player, a teacher or a doctor knows better."
                .to_owned(),
        ));
    }
    entries
}
