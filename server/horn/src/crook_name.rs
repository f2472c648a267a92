//! Reads the name of a crook: letters, German names and solfège, with alto and basso in their many words.

use std::ops::Range;

use crate::crook::Crook;
use crate::words::{Kind, Token, tokens};

/// What a text says of the crook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum CrookName {
    /// Nothing, or a crook no horn is known to have.
    #[default]
    Unnamed,
    /// This crook.
    Named(Crook),
    /// One of these, high to low: "in C" without alto or basso, or "in B", B flat to a German reader.
    Ambiguous(&'static [Crook]),
}

/// The note a crook is called by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NoteName {
    Plain(Crook),
    C,
    A,
    AFlat,
    BFlat,
    B,
    /// The letter B, which is B flat in German.
    LetterB,
    /// Crooks that exist in one octave only, where basso would be another tube.
    HighOnly(Crook),
}

/// The octave word beside a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Octave {
    Alto,
    Basso,
    /// As basso and alto, in German, where B is always B flat.
    Hoch,
    Tief,
}

/// The way a name is spelled, which decides where it may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Spelling {
    /// A letter, with or without an accidental, or a German name.
    Letter,
    /// do, re, mi ...
    Solfege,
    /// No note at all, but the words for concert pitch.
    ConcertPitch,
}

/// A crook found among tokens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Found {
    /// The crook.
    pub name: CrookName,
    /// How its note is spelled.
    pub spelling: Spelling,
    /// The first token of the note, after any octave word.
    pub note_at: usize,
    /// The tokens it takes.
    pub tokens: Range<usize>,
    /// Whether an octave word stands with it.
    pub has_octave: bool,
    /// Its bytes in the text.
    pub range: Range<usize>,
}

impl Found {
    /// Whether the name says concert pitch instead of a crook.
    pub(crate) fn is_concert_pitch(&self) -> bool {
        self.spelling == Spelling::ConcertPitch
    }
}

/// The accidental of a name.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Accidental {
    None,
    Flat,
    Sharp,
    Natural,
}

/// Reads the name of a crook standing alone or after "in": `F`, `in Es`, `mi bémol`, `Si b basso`, `E flat`.
///
/// Words for the horn itself may stand around it; any other word makes it no crook's name.
#[must_use]
pub fn read_crook(text: &str) -> CrookName {
    let tokens = tokens(text);
    let filler = |token: &Token<'_>| {
        token.kind == Kind::Sign
            || is_preposition(token)
            || matches!(
                token.folded.as_str(),
                "horn"
                    | "horns"
                    | "corno"
                    | "cornu"
                    | "corni"
                    | "cor"
                    | "cors"
                    | "trompa"
                    | "trompas"
                    | "crook"
            )
    };
    let start = tokens.iter().take_while(|token| filler(token)).count();
    match crook_at(&tokens, start) {
        Some(found) if tokens[found.tokens.end..].iter().all(filler) => found.name,
        _ => CrookName::Unnamed,
    }
}

/// Whether the word leads to a crook's name: `in`, `en`, `em`, the Nordic `i`, the Polish and Czech `w`, `v`, and the
/// old scribes' `ex` and `toni`, the Russian `в строе`.
pub(crate) fn is_preposition(token: &Token<'_>) -> bool {
    matches!(
        token.folded.as_str(),
        "in" | "en" | "em" | "ex" | "w" | "v" | "toni" | "tono" | "ton" | "строе"
    ) || token.text == "i"
}

/// The crook whose name begins at a token, an octave word before or after it included.
pub(crate) fn crook_at(tokens: &[Token<'_>], at: usize) -> Option<Found> {
    let (before, note_at) = match octave_word(tokens.get(at)?) {
        Some(octave) => (Some(octave), skip_hyphen(tokens, at + 1)),
        None => (None, at),
    };
    let (note, spelling, note_end) = note_at_token(tokens, note_at)?;
    let (after, end) = match before {
        Some(_) => (None, note_end),
        None => octave_after(tokens, note_end),
    };
    let octave = before.or(after);
    Some(Found {
        name: name(note, octave),
        spelling,
        note_at,
        tokens: at..end,
        has_octave: octave.is_some(),
        range: tokens[at].range.start..tokens[end - 1].range.end,
    })
}

fn skip_hyphen(tokens: &[Token<'_>], at: usize) -> usize {
    at + usize::from(tokens.get(at).is_some_and(|token| token.is_sign("-")))
}

fn octave_word(token: &Token<'_>) -> Option<Octave> {
    Some(match token.folded.as_str() {
        "alto" | "acuto" | "aigu" | "agudo" | "haut" | "high" => Octave::Alto,
        "basso" | "bassa" | "bas" | "basse" | "bajo" | "grave" | "low" | "deep" => Octave::Basso,
        "hoch" | "hohes" | "hohem" | "alt" => Octave::Hoch,
        "tief" | "tiefes" | "tiefem" => Octave::Tief,
        _ => return None,
    })
}

/// The octave word after a note, bare, hyphened or in brackets, and where reading goes on.
fn octave_after(tokens: &[Token<'_>], at: usize) -> (Option<Octave>, usize) {
    let inside = match tokens.get(at) {
        Some(token) if token.is_sign("(") || token.is_sign("[") => at + 1,
        _ => skip_hyphen(tokens, at),
    };
    let Some(octave) = tokens.get(inside).and_then(octave_word) else {
        return (None, at);
    };
    let bracketed = tokens[at].is_sign("(") || tokens[at].is_sign("[");
    let closed = tokens
        .get(inside + 1)
        .is_some_and(|token| token.is_sign(")") || token.is_sign("]"));
    (Some(octave), inside + 1 + usize::from(bracketed && closed))
}

/// The note name at a token, how it is spelled, and the token after it.
fn note_at_token(tokens: &[Token<'_>], at: usize) -> Option<(NoteName, Spelling, usize)> {
    let token = tokens.get(at).filter(|token| token.kind == Kind::Word)?;
    let word = token.folded.as_str();
    if let Some(note) = german(word) {
        return Some((note, Spelling::Letter, at + 1));
    }
    let (base, stuck) = split_accidental(word);
    let (letter, spelling) = letter(base)?;
    let (accidental, end) = match stuck {
        Accidental::None => accidental_after(tokens, at + 1, spelling),
        stuck => (stuck, at + 1),
    };
    Some((note(letter, accidental)?, spelling, end))
}

/// A word that is a whole German, Dutch or Swedish note name with its accidental in it.
fn german(word: &str) -> Option<NoteName> {
    Some(match word {
        "es" | "dis" | "ess" => NoteName::Plain(Crook::EFlat),
        "as" | "gis" | "ass" => NoteName::AFlat,
        "des" | "cis" | "dess" | "ciss" => NoteName::Plain(Crook::DFlat),
        "fis" | "ges" | "fiss" => NoteName::HighOnly(Crook::FSharp),
        "bes" => NoteName::BFlat,
        "h" => NoteName::B,
        _ => return None,
    })
}

/// A name's letter, `b` kept apart from the others since it is two notes, and `si` never being one of them.
fn letter(base: &str) -> Option<(char, Spelling)> {
    Some(match base {
        "do" | "ut" | "до" => ('c', Spelling::Solfege),
        "re" | "ре" => ('d', Spelling::Solfege),
        "mi" | "ми" => ('e', Spelling::Solfege),
        "fa" | "фа" => ('f', Spelling::Solfege),
        "sol" | "соль" => ('g', Spelling::Solfege),
        "la" | "ля" => ('a', Spelling::Solfege),
        "si" | "си" => ('h', Spelling::Solfege),
        "a" | "b" | "c" | "d" | "e" | "f" | "g" | "h" => (base.chars().next()?, Spelling::Letter),
        _ => return None,
    })
}

/// Parts a word like `e♭`, `eb`, `sib`, `f#` into its name and accidental.
fn split_accidental(word: &str) -> (&str, Accidental) {
    for (sign, accidental) in [
        ("♭", Accidental::Flat),
        ("♯", Accidental::Sharp),
        ("#", Accidental::Sharp),
        ("♮", Accidental::Natural),
    ] {
        if let Some(base) = word.strip_suffix(sign) {
            return (base, accidental);
        }
    }
    match word.strip_suffix('b') {
        Some(base) if letter(base).is_some() => (base, Accidental::Flat),
        _ => (word, Accidental::None),
    }
}

/// The accidental that follows as a word or sign of its own, and where reading goes on.
///
/// A bare `b` is a flat after solfège (`SI B`); after a letter only when small, `E b`.
fn accidental_after(tokens: &[Token<'_>], at: usize, spelling: Spelling) -> (Accidental, usize) {
    let place = skip_hyphen(tokens, at);
    let Some(token) = tokens.get(place) else {
        return (Accidental::None, at);
    };
    let accidental = match token.folded.as_str() {
        "flat" | "bemol" | "бемоль" | "bemolle" | "bem" | "♭" => Accidental::Flat,
        "b" if spelling == Spelling::Solfege || token.text == "b" => Accidental::Flat,
        "sharp" | "diesis" | "диез" | "diese" | "sostenido" | "♯" | "#" => Accidental::Sharp,
        "natural" | "naturale" | "naturel" | "nat" | "♮" => Accidental::Natural,
        _ => return (Accidental::None, at),
    };
    (accidental, place + 1)
}

fn note(letter: char, accidental: Accidental) -> Option<NoteName> {
    use Accidental::{Flat, Natural, Sharp};
    Some(match (letter, accidental) {
        ('b', Accidental::None) => NoteName::LetterB,
        ('b' | 'h', Flat) | ('a', Sharp) => NoteName::BFlat,
        ('b' | 'h', Natural | Accidental::None) => NoteName::B,
        ('c', Natural | Accidental::None) => NoteName::C,
        ('c', Sharp) | ('d', Flat) => NoteName::Plain(Crook::DFlat),
        ('d', Natural | Accidental::None) => NoteName::Plain(Crook::D),
        ('d', Sharp) | ('e', Flat) => NoteName::Plain(Crook::EFlat),
        ('e', Natural | Accidental::None) => NoteName::Plain(Crook::E),
        ('f', Natural | Accidental::None) => NoteName::Plain(Crook::F),
        ('f', Sharp) | ('g', Flat) => NoteName::HighOnly(Crook::FSharp),
        ('g', Natural | Accidental::None) => NoteName::HighOnly(Crook::G),
        ('g', Sharp) | ('a', Flat) => NoteName::AFlat,
        ('a', Natural | Accidental::None) => NoteName::A,
        _ => return None,
    })
}

fn name(note: NoteName, octave: Option<Octave>) -> CrookName {
    use CrookName::{Ambiguous, Named, Unnamed};
    // To a German, and so beside a German octave word, the letter B is B flat.
    let note = match (note, octave) {
        (NoteName::LetterB, Some(Octave::Hoch | Octave::Tief | Octave::Alto)) => NoteName::BFlat,
        _ => note,
    };
    let low = octave.map(|octave| matches!(octave, Octave::Basso | Octave::Tief));
    match (note, low) {
        (NoteName::Plain(crook), _) => Named(crook),
        (NoteName::HighOnly(_), Some(true)) | (NoteName::B, Some(false)) => Unnamed,
        (NoteName::HighOnly(crook), _) => Named(crook),
        (NoteName::C, None) => Ambiguous(&[Crook::CAlto, Crook::CBasso]),
        (NoteName::C, Some(false)) => Named(Crook::CAlto),
        (NoteName::C, Some(true)) => Named(Crook::CBasso),
        (NoteName::A, Some(true)) => Named(Crook::ABasso),
        (NoteName::A, _) => Named(Crook::A),
        (NoteName::AFlat, Some(true)) => Named(Crook::AFlatBasso),
        (NoteName::AFlat, _) => Named(Crook::AFlat),
        (NoteName::BFlat, None) => Ambiguous(&[Crook::BFlatAlto, Crook::BFlatBasso]),
        (NoteName::BFlat, Some(false)) => Named(Crook::BFlatAlto),
        (NoteName::BFlat, Some(true)) => Named(Crook::BFlatBasso),
        (NoteName::B, _) => Named(Crook::BBasso),
        (NoteName::LetterB, Some(true)) => Ambiguous(&[Crook::BBasso, Crook::BFlatBasso]),
        (NoteName::LetterB, _) => Ambiguous(&[Crook::BFlatAlto, Crook::BBasso, Crook::BFlatBasso]),
    }
}

#[cfg(test)]
mod tests {
    use super::CrookName::{Ambiguous, Named, Unnamed};
    use super::*;

    #[test]
    fn crooks_in_every_language() {
        let b = Ambiguous(&[Crook::BFlatAlto, Crook::BBasso, Crook::BFlatBasso]);
        let b_flat = Ambiguous(&[Crook::BFlatAlto, Crook::BFlatBasso]);
        let c = Ambiguous(&[Crook::CAlto, Crook::CBasso]);
        let cases = [
            ("F", Named(Crook::F)),
            ("f", Named(Crook::F)),
            ("in F", Named(Crook::F)),
            ("(F)", Named(Crook::F)),
            ("in Es", Named(Crook::EFlat)),
            ("in Dis", Named(Crook::EFlat)),
            ("E♭", Named(Crook::EFlat)),
            ("E ♭", Named(Crook::EFlat)),
            ("Eb", Named(Crook::EFlat)),
            ("E flat", Named(Crook::EFlat)),
            ("E-flat", Named(Crook::EFlat)),
            ("mi bémol", Named(Crook::EFlat)),
            ("en Mi♭", Named(Crook::EFlat)),
            ("Mib", Named(Crook::EFlat)),
            ("in Mi bemolle", Named(Crook::EFlat)),
            ("en Fa", Named(Crook::F)),
            ("en Fa sostenido", Named(Crook::FSharp)),
            ("fa dièse", Named(Crook::FSharp)),
            ("Fis", Named(Crook::FSharp)),
            ("Ges", Named(Crook::FSharp)),
            ("F#", Named(Crook::FSharp)),
            ("in Re", Named(Crook::D)),
            ("en ré", Named(Crook::D)),
            ("in Sol", Named(Crook::G)),
            ("in La", Named(Crook::A)),
            ("La b", Named(Crook::AFlat)),
            ("in As", Named(Crook::AFlat)),
            ("in Tief As", Named(Crook::AFlatBasso)),
            ("A basso", Named(Crook::ABasso)),
            ("in Des", Named(Crook::DFlat)),
            ("in H", Named(Crook::BBasso)),
            ("in Si", Named(Crook::BBasso)),
            ("B natural", Named(Crook::BBasso)),
            ("B♮ basso", Named(Crook::BBasso)),
            ("in B", b),
            ("B basso", Ambiguous(&[Crook::BBasso, Crook::BFlatBasso])),
            ("B alto", Named(Crook::BFlatAlto)),
            ("Hoch B", Named(Crook::BFlatAlto)),
            ("in hoch-B", Named(Crook::BFlatAlto)),
            ("Tief B", Named(Crook::BFlatBasso)),
            ("B tief", Named(Crook::BFlatBasso)),
            ("Bb", b_flat),
            ("B♭", b_flat),
            ("Sib", b_flat),
            ("Si b basso", Named(Crook::BFlatBasso)),
            ("si bémol grave", Named(Crook::BFlatBasso)),
            ("Sib acuto", Named(Crook::BFlatAlto)),
            ("si bemol agudo", Named(Crook::BFlatAlto)),
            ("Bb (alto)", Named(Crook::BFlatAlto)),
            ("Bb (basso)", Named(Crook::BFlatBasso)),
            ("in C", c),
            ("en Ut", c),
            ("Do", c),
            ("C basso", Named(Crook::CBasso)),
            ("in Ut haut", Named(Crook::CAlto)),
            ("horn in G", Named(Crook::G)),
            ("E horn", Named(Crook::E)),
            ("", Unnamed),
            ("in", Unnamed),
            ("Fagott", Unnamed),
            ("a tempo", Unnamed),
            ("E♯", Unnamed),
            ("G basso", Unnamed),
            ("X", Unnamed),
        ];
        for (text, expected) in cases {
            assert_eq!(read_crook(text), expected, "{text}");
        }
        println!("{} crook names read", cases.len());
        assert!(cases.len() >= 64);
    }

    #[test]
    fn what_is_written_reads_back() {
        for crook in Crook::ALL {
            assert_eq!(read_crook(crook.abbreviation()), Named(crook));
        }
    }
}
