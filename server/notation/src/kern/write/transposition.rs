//! Recording what must be added to the written pitch: `*ITr`, or `*Tr` where the data are what is written.

use horn::read_name;
use score::PartRef;
use theory::{Interval, Transposition};

use super::super::interpretation::{self, Moved};
use super::super::spot::Spot;
use super::super::transposing::{Said, settle};
use super::{Source, cannot, record, replace};
use crate::edit::{CannotWrite, TextEdit};

/// The interval is changed where it stands, or gets a record of its own before the part's music.
///
/// The data stay as they are: what sounds does not change, what is printed does (`*ITr`), or the reverse (`*Tr`).
pub(super) fn write(
    source: &Source<'_>,
    part: PartRef,
    transposition: Transposition,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let name = line.part.name.as_ref().map_or("", |name| &name.text);
    write_named(source, part, transposition, name)
}

/// The same in a part that is to have this name.
pub(super) fn write_named(
    source: &Source<'_>,
    part: PartRef,
    transposition: Transposition,
    name: &str,
) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let up = -transposition.0;
    let music = line.first_music()?;
    let start = sheet.placed.base + music.start;
    let said = line
        .interpretations()
        .take_while(|(span, _)| span.start < start)
        .filter_map(|(span, cell)| Some((span, interpretation::transposition(cell)?.0)))
        .last();
    let moved = said.map_or(Moved::Page, |(_, moved)| moved);
    if !read_back(name, moved, up, transposition) {
        return cannot("with the part's name it would be read the other way round");
    }
    let cell = written(moved, up);
    Ok(match said {
        Some((span, _)) if source.text.get(span.range()) == Some(&cell) => Vec::new(),
        Some((span, _)) => vec![replace(span, cell)],
        None => vec![record::interpretation(
            source.text,
            &sheet,
            music,
            line.spine,
            &cell,
        )],
    })
}

/// Records of an interval in the part's music become cells that say nothing.
pub(super) fn drop_later(source: &Source<'_>, part: PartRef) -> Result<Vec<TextEdit>, CannotWrite> {
    let sheet = source.sheet(part.piece)?;
    let line = sheet.line(part)?;
    let start = sheet.placed.base + line.first_music()?.start;
    Ok(line
        .interpretations()
        .filter(|(span, cell)| span.start >= start && interpretation::transposition(cell).is_some())
        .map(|(span, _)| replace(span, "*"))
        .collect())
}

fn written(moved: Moved, up: Interval) -> String {
    let kind = match moved {
        Moved::Page => "*ITr",
        Moved::Data => "*Tr",
    };
    format!("{kind}d{}c{}", up.steps, up.semitones)
}

/// Whether a reader takes the interval for what is meant.
fn read_back(name: &str, moved: Moved, up: Interval, meant: Transposition) -> bool {
    let placed = Some((up, Spot::default()));
    let said = match moved {
        Moved::Page => Said {
            page: placed,
            data: None,
        },
        Moved::Data => Said {
            page: None,
            data: placed,
        },
    };
    settle(&said, read_name(name).crook)
        .recorded
        .is_some_and(|(recorded, _)| recorded == meant)
}
