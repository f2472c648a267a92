//! How a part's name spells its crook: in which language, with which signs and letters, and so how it would another.

use crate::crook::Crook;
use crate::crook_name::{Found, Spelling};
use crate::terms::Language;
use crate::words::{Kind, Token};

/// The names that notes go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Notes {
    /// `E flat`, `B`.
    English,
    /// `Es`, `B` for B flat, `H`.
    German,
    /// `mi`, in the language's own spelling.
    Solfege,
}

/// What stands for a flat or a sharp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Accidental {
    /// `E♭`.
    Symbol,
    /// `Eb`, `F#`.
    Letter,
    /// `E flat`, `mi bémol`.
    Word,
}

/// Large and small letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Case {
    /// `ré`.
    Small,
    /// `Ré`.
    Capital,
    /// `RÉ`.
    Capitals,
}

/// How a name spells its crook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Style {
    language: Language,
    notes: Notes,
    accidental: Accidental,
    case: Case,
    /// What stands between a note and the word for its accidental.
    joint: &'static str,
}

impl Style {
    /// The way of a name whose word for a horn stands at `horn`, as its crook, if it has one, shows it.
    pub(crate) fn of(tokens: &[Token<'_>], horn: usize, crook: Option<&Found>) -> Self {
        let home = home(tokens, horn);
        let loud = tokens.get(horn).is_some_and(|noun| {
            noun.text
                .chars()
                .filter(|c| c.is_alphabetic())
                .all(char::is_uppercase)
        });
        let Some(found) = crook else {
            let notes = match home {
                Language::English => Notes::English,
                Language::Italian | Language::French | Language::Spanish => Notes::Solfege,
                _ => Notes::German,
            };
            return Self {
                language: home,
                notes,
                accidental: default_accidental(notes),
                case: match (loud, home) {
                    (true, _) => Case::Capitals,
                    (false, Language::French) => Case::Small,
                    (false, _) => Case::Capital,
                },
                joint: " ",
            };
        };
        let said = tokens.get(found.tokens.clone()).unwrap_or_default();
        let note = tokens.get(found.note_at);
        let german = said.iter().any(|token| {
            matches!(
                token.folded.as_str(),
                "es" | "dis"
                    | "as"
                    | "gis"
                    | "des"
                    | "cis"
                    | "fis"
                    | "ges"
                    | "bes"
                    | "h"
                    | "hoch"
                    | "hohes"
                    | "hohem"
                    | "tief"
                    | "tiefes"
                    | "tiefem"
            )
        });
        let accidental = accidental_of(said, note);
        let notes = match found.spelling {
            Spelling::Solfege => Notes::Solfege,
            Spelling::Letter if german => Notes::German,
            // "Corno in Eb": letters as in English, whatever the horn is called.
            Spelling::Letter if home == Language::English || accidental.is_some() => Notes::English,
            Spelling::Letter | Spelling::ConcertPitch => Notes::German,
        };
        let language = match (home, notes) {
            (Language::English, Notes::German) => Language::German,
            (Language::English, Notes::Solfege) => Language::Italian,
            _ => home,
        };
        let letters = || {
            note.into_iter()
                .flat_map(|note| note.text.chars())
                .filter(|c| c.is_alphabetic())
        };
        let case = if letters().next().is_some_and(char::is_lowercase) {
            Case::Small
        } else if letters().all(char::is_uppercase) && (letters().count() > 1 || loud) {
            Case::Capitals
        } else {
            Case::Capital
        };
        let hyphen = said.iter().any(|token| token.is_sign("-"));
        Self {
            language,
            notes,
            accidental: accidental.unwrap_or_else(|| default_accidental(notes)),
            case,
            joint: if hyphen { "-" } else { " " },
        }
    }

    /// The word that leads to a crook.
    pub(crate) fn preposition(self) -> &'static str {
        match (self.language, self.case) {
            (Language::French | Language::Spanish, Case::Capitals) => "EN",
            (Language::French | Language::Spanish, _) => "en",
            (_, Case::Capitals) => "IN",
            _ => "in",
        }
    }

    /// The words for concert pitch.
    pub(crate) fn concert_pitch(self) -> String {
        let words = match self.language {
            Language::English => "concert pitch",
            Language::Italian => "suoni reali",
            Language::French => "sons réels",
            Language::German => "klingend",
            Language::Spanish => "sonidos reales",
            Language::Polish => "brzmienie rzeczywiste",
            Language::Czech => "znějící",
        };
        if self.case == Case::Capitals {
            words.to_uppercase()
        } else {
            words.to_owned()
        }
    }

    /// The ways to write a crook, the likest to the name's own first; not all of them may be read as that crook alone.
    pub(crate) fn spellings(self, crook: Crook) -> Vec<String> {
        let capital = Self {
            // "in a" would be an article, and "Horn f" a loudness.
            case: if self.case == Case::Small {
                Case::Capital
            } else {
                self.case
            },
            ..self
        };
        let mut spellings = Vec::new();
        for style in [self, capital] {
            let note = style.note(crook);
            spellings.extend(style.octaves(crook).into_iter().map(|(before, after)| {
                let gap = |word: &str| if word.is_empty() { "" } else { " " };
                let (first, last) = (gap(before), gap(after));
                let (before, after) = (style.cased(before, false), style.cased(after, false));
                format!("{before}{first}{note}{last}{after}")
            }));
        }
        spellings
    }

    /// The words that may say a crook's octave: before the note, and after it.
    fn octaves(self, crook: Crook) -> Vec<(&'static str, &'static str)> {
        let high = match crook {
            Crook::CAlto | Crook::BFlatAlto => true,
            Crook::CBasso | Crook::BFlatBasso | Crook::ABasso | Crook::AFlatBasso => false,
            // Spoken of in German and solfège, B natural is never B flat.
            Crook::BBasso if self.notes == Notes::English => false,
            _ => return vec![("", "")],
        };
        let pick = |alto: &'static str, basso: &'static str| if high { alto } else { basso };
        match (self.notes, self.language) {
            (Notes::German, Language::German) => {
                vec![(pick("hoch", "tief"), ""), ("", pick("alto", "basso"))]
            }
            // "B basso" is two crooks; German has the word that tells them apart.
            (Notes::German, _) => vec![("", pick("alto", "basso")), (pick("hoch", "tief"), "")],
            (Notes::Solfege, Language::French) => vec![("", pick("aigu", "grave"))],
            (Notes::Solfege, Language::Spanish) => vec![("", pick("agudo", "grave"))],
            _ => vec![("", pick("alto", "basso"))],
        }
    }

    /// A crook's note.
    fn note(self, crook: Crook) -> String {
        let (letter, alteration) = named_after(crook);
        if self.notes == Notes::German {
            let name = match (letter, alteration) {
                ('a', -1) => "As",
                ('b', -1) => "B",
                ('b', _) => "H",
                ('d', -1) => "Des",
                ('e', -1) => "Es",
                ('f', 1) => "Fis",
                _ => return self.cased(&letter.to_string(), true),
            };
            return self.cased(name, true);
        }
        let name = match (self.notes, self.language, letter) {
            (Notes::Solfege, Language::French, 'c') => "ut",
            (Notes::Solfege, _, 'c') => "do",
            (Notes::Solfege, Language::French, 'd') => "ré",
            (Notes::Solfege, _, 'd') => "re",
            (Notes::Solfege, _, 'e') => "mi",
            (Notes::Solfege, _, 'f') => "fa",
            (Notes::Solfege, _, 'g') => "sol",
            (Notes::Solfege, _, 'a') => "la",
            (Notes::Solfege, ..) => "si",
            _ => &letter.to_string(),
        };
        let name = self.cased(name, true);
        // English has to say that B is not B flat; nobody else calls it so.
        let natural = self.notes == Notes::English && crook == Crook::BBasso;
        let sign = match (alteration, self.accidental) {
            (0, Accidental::Symbol) if natural => "♮".to_owned(),
            (0, _) if natural => format!("{}{}", self.joint, self.cased("natural", false)),
            (0, _) => String::new(),
            (-1, Accidental::Symbol) => "♭".to_owned(),
            (_, Accidental::Symbol) => "♯".to_owned(),
            (-1, Accidental::Letter) => "b".to_owned(),
            (_, Accidental::Letter) => "#".to_owned(),
            (_, Accidental::Word) => {
                let word = self.word(alteration < 0);
                format!("{}{}", self.joint, self.cased(word, false))
            }
        };
        format!("{name}{sign}")
    }

    /// The word for a flat or a sharp.
    const fn word(self, flat: bool) -> &'static str {
        match (self.notes, self.language, flat) {
            (Notes::Solfege, Language::French, true) => "bémol",
            (Notes::Solfege, Language::French, false) => "dièse",
            (Notes::Solfege, Language::Spanish, true) => "bemol",
            (Notes::Solfege, Language::Spanish, false) => "sostenido",
            (Notes::Solfege, _, true) => "bemolle",
            (Notes::Solfege, _, false) => "diesis",
            (_, _, true) => "flat",
            (_, _, false) => "sharp",
        }
    }

    fn cased(self, word: &str, note: bool) -> String {
        match self.case {
            Case::Capitals => word.to_uppercase(),
            Case::Capital if note => {
                let mut letters = word.chars();
                let first = letters.next().into_iter().flat_map(char::to_uppercase);
                first.chain(letters).collect()
            }
            Case::Small if note => word.to_lowercase(),
            _ => word.to_owned(),
        }
    }
}

/// The note a crook is named after: its letter and how that is altered.
const fn named_after(crook: Crook) -> (char, i8) {
    match crook {
        Crook::CAlto | Crook::CBasso => ('c', 0),
        Crook::BFlatAlto | Crook::BFlatBasso => ('b', -1),
        Crook::A | Crook::ABasso => ('a', 0),
        Crook::AFlat | Crook::AFlatBasso => ('a', -1),
        Crook::G => ('g', 0),
        Crook::FSharp => ('f', 1),
        Crook::F => ('f', 0),
        Crook::E => ('e', 0),
        Crook::EFlat => ('e', -1),
        Crook::D => ('d', 0),
        Crook::DFlat => ('d', -1),
        Crook::BBasso => ('b', 0),
    }
}

const fn default_accidental(notes: Notes) -> Accidental {
    match notes {
        Notes::Solfege => Accidental::Word,
        Notes::English | Notes::German => Accidental::Letter,
    }
}

/// How the crook's own accidental is said, if it has one.
fn accidental_of(said: &[Token<'_>], note: Option<&Token<'_>>) -> Option<Accidental> {
    let ends = |signs: &[char]| said.iter().any(|token| token.folded.ends_with(signs));
    let word = |token: &Token<'_>| {
        matches!(
            token.folded.as_str(),
            "flat"
                | "bemol"
                | "bemolle"
                | "bem"
                | "sharp"
                | "diesis"
                | "diese"
                | "sostenido"
                | "natural"
                | "naturale"
                | "naturel"
                | "nat"
        )
    };
    let stuck = note.is_some_and(|note| {
        note.folded.len() > 1 && (note.folded.ends_with('b') || note.folded.ends_with('#'))
    });
    let apart = said.iter().any(|token| {
        matches!(token.text, "b" | "#") && note.is_some_and(|note| note.range != token.range)
    });
    if ends(&['♭', '♯', '♮']) {
        Some(Accidental::Symbol)
    } else if stuck || apart {
        Some(Accidental::Letter)
    } else {
        said.iter().any(word).then_some(Accidental::Word)
    }
}

/// The language of a name by its word for a horn; those that call notes as in German count as German.
fn home(tokens: &[Token<'_>], horn: usize) -> Language {
    let word = tokens.get(horn).map_or("", |token| token.folded.as_str());
    let next = tokens.get(horn + 1);
    match word {
        "horn" | "horns" | "hn" | "hns" | "hr" | "hrs" | "hrn" | "hrns" | "frenchhorn"
        | "frenchhorns" | "bumper" => Language::English,
        // "Cor." shortens the Italian word; the French one is that short.
        "cor" if next.is_some_and(|next| next.is_sign(".")) && !says(tokens, "en") => {
            Language::Italian
        }
        "cor" | "cors" | "trompe" => Language::French,
        "corno" | "corni" | "cr" | "crno" => Language::Italian,
        "trompa" | "trompas" | "tpa" => Language::Spanish,
        "rog" | "rogi" | "waltornia" | "waltornie" => Language::Polish,
        "roh" | "rohy" | "horna" => Language::Czech,
        _ => Language::German,
    }
}

fn says(tokens: &[Token<'_>], word: &str) -> bool {
    tokens
        .iter()
        .any(|token| token.kind == Kind::Word && token.folded == word)
}
