//! Which parts of a piece are horns: by an instruction in the file, by settings, by name.

use horn::{ClefConvention, CrookName, Instrument, PartName, read_name};
use score::{Directive, DirectiveKind, Part, PartSelector, Piece};
use theory::Tempo;

/// What a reader is told from outside the score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Casting {
    /// What settings say of parts, first match first: selector, and what the part is (`horn in F`, `not a horn`).
    pub parts: Vec<(PartSelector, String)>,
    /// How bass clef is read where nothing in the file says.
    pub bass_clef: ClefConvention,
    /// The kind of horn it is played on where nothing in the file says.
    pub instrument: Instrument,
    /// The speed to assume when the score marks none; the project's own choice when not given.
    pub assumed_tempo: Option<Tempo>,
}

/// Who says that a part is a horn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HornSaid {
    /// An instruction in a comment.
    Directive,
    /// Settings.
    Settings,
    /// The part's name.
    Name,
}

/// Whether the page shows a crook besides what a directive or settings say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WrittenOf {
    /// The name on the page names a crook.
    Crook,
    /// It does not, or there is no name.
    NoCrook,
}

/// A horn's seat in the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The part's place in the piece.
    pub part: usize,
    /// Who says it is a horn.
    pub said: HornSaid,
    /// What is said: crook and players, from the directive or settings where they name a crook, else from the name.
    pub name: PartName,
    /// Whether the page itself names a crook.
    pub page: WrittenOf,
    /// How bass clef is read.
    pub bass_clef: ClefConvention,
    /// The kind of horn it is played on.
    pub instrument: Instrument,
}

/// The horns among a piece's parts.
pub(crate) fn seats(piece: &Piece, file: &[Directive], casting: &Casting) -> Vec<Seat> {
    piece
        .parts
        .iter()
        .enumerate()
        .filter_map(|(index, part)| seat(index, part, piece, file, casting))
        .collect()
}

fn seat(
    index: usize,
    part: &Part,
    piece: &Piece,
    file: &[Directive],
    casting: &Casting,
) -> Option<Seat> {
    let on_page = part.name.as_ref().map(|name| read_name(&name.text));
    let page = match on_page.as_ref().map(|name| &name.crook) {
        Some(CrookName::Named(_) | CrookName::Ambiguous(_)) => WrittenOf::Crook,
        Some(CrookName::Unnamed) | None => WrittenOf::NoCrook,
    };
    let (mut bass_clef, mut instrument) = (casting.bass_clef, casting.instrument);
    let (said, mut name) = match told(part, piece, file, casting) {
        Some((said, is)) => {
            bass_clef = bass_clef_said(is).unwrap_or(bass_clef);
            let (played_on, rest) = instrument_said(is);
            instrument = played_on.unwrap_or(instrument);
            (said, read_name(&rest))
        }
        None => (HornSaid::Name, on_page.clone()?),
    };
    if !name.is_horn {
        return None;
    }
    if let (CrookName::Unnamed, Some(on_page)) = (&name.crook, on_page) {
        name.crook = on_page.crook;
    }
    Some(Seat {
        part: index,
        said,
        name,
        page,
        bass_clef,
        instrument,
    })
}

/// The kind of horn, when what is said of a part says so between commas, and the rest of what is said:
/// `horn in F, single B flat`. One that stands alone still says that the part is a horn's.
fn instrument_said(is: &str) -> (Option<Instrument>, String) {
    let mut instrument = None;
    let rest: Vec<&str> = is
        .split(',')
        .filter(|words| match words.parse() {
            Ok(found) => {
                instrument = Some(found);
                false
            }
            Err(_) => true,
        })
        .collect();
    let rest = match (instrument, rest.is_empty()) {
        (Some(_), true) => "horn".to_owned(),
        _ => rest.join(","),
    };
    (instrument, rest)
}

/// How bass clef is read, when what is said of a part says so: `horn in F, old bass clef`.
fn bass_clef_said(is: &str) -> Option<ClefConvention> {
    let words = is.to_lowercase();
    if words.contains("old bass clef") {
        Some(ClefConvention::OldBass)
    } else if words.contains("new bass clef") || words.contains("modern bass clef") {
        Some(ClefConvention::Modern)
    } else {
        None
    }
}

/// What is said of the part from outside the music; the nearest and latest word counts.
fn told<'a>(
    part: &Part,
    piece: &'a Piece,
    file: &'a [Directive],
    casting: &'a Casting,
) -> Option<(HornSaid, &'a str)> {
    let name = part.name.as_ref().map(|name| name.text.as_str());
    let directive = piece
        .directives
        .iter()
        .rev()
        .chain(file.iter().rev())
        .find_map(|directive| match &directive.kind {
            DirectiveKind::Part { selector, is } if selector.selects(&part.id, name) => {
                Some((HornSaid::Directive, is.as_str()))
            }
            _ => None,
        });
    directive.or_else(|| {
        casting
            .parts
            .iter()
            .find(|(selector, _)| selector.selects(&part.id, name))
            .map(|(_, is)| (HornSaid::Settings, is.as_str()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_kind_of_horn_is_taken_out_of_what_is_said() {
        for (is, instrument, rest) in [
            ("horn in F", None, "horn in F"),
            ("not a horn", None, "not a horn"),
            (
                "horn in F, single B flat",
                Some(Instrument::SingleBFlat),
                "horn in F",
            ),
            (
                "horn in E flat, old bass clef, triple horn",
                Some(Instrument::Triple),
                "horn in E flat, old bass clef",
            ),
            ("single B♭ horn", Some(Instrument::SingleBFlat), "horn"),
        ] {
            assert_eq!(instrument_said(is), (instrument, rest.to_owned()), "{is}");
        }
    }
}
