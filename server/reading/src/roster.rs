//! Which parts of a piece are horns: by an instruction in the file, by settings, by name.

use horn::{ClefConvention, CrookName, PartName, read_name};
use score::{Directive, DirectiveKind, Part, PartSelector, Piece};
use theory::Tempo;

/// What a reader is told from outside the score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Casting {
    /// What settings say of parts, first match first: selector, and what the part is (`horn in F`, `not a horn`).
    pub parts: Vec<(PartSelector, String)>,
    /// How bass clef is read where nothing in the file says.
    pub bass_clef: ClefConvention,
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
    let (said, mut name, bass_clef) = match told(part, piece, file, casting) {
        Some((said, is)) => (
            said,
            read_name(is),
            bass_clef(is).unwrap_or(casting.bass_clef),
        ),
        None => (HornSaid::Name, on_page.clone()?, casting.bass_clef),
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
    })
}

/// How bass clef is read, when what is said of a part says so: `horn in F, old bass clef`.
fn bass_clef(is: &str) -> Option<ClefConvention> {
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
