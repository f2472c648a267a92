//! All that can be set: the one table that reading, the schema, completion and the editors' settings are made from.

use horn::{Called, ClefConvention, Instrument, Language, Level, Numerals, Wording};
use score::Courtesy;
use theory::PagePitch;

/// Something that can be set.
#[derive(Debug, Clone, Copy)]
pub struct Key {
    /// Its name in its table.
    pub name: &'static str,
    /// What it sets, as a sentence.
    pub what: &'static str,
    /// What it takes.
    pub takes: Takes,
}

/// What a key takes.
#[derive(Debug, Clone, Copy)]
pub enum Takes {
    /// One of these words, and the one that holds when nobody sets it.
    Choice(fn() -> Vec<&'static str>, Option<&'static str>),
    /// One of these words; it is read for those who have it in their files, and another is written instead.
    Older(fn() -> Vec<&'static str>),
    /// A number from the one to the other.
    Number(f64, f64),
    /// Words, such as these.
    Text(&'static [&'static str]),
    /// Words, or a list of them.
    Words,
    /// Several patterns of files or names.
    Patterns,
    /// One or several settings files, counted from this one's folder.
    Files,
    /// Names of parts and what they are.
    Parts,
    /// Rules and their severities and settings.
    Rules,
    /// A table of these.
    Table(&'static [Key]),
    /// Several tables, each for some files or parts, of the keys of the whole file and these.
    Where(&'static [Key]),
}

impl Key {
    /// Whether it is a table of its own in a file, behind all that stands in none.
    #[must_use]
    pub const fn is_table(&self) -> bool {
        matches!(
            self.takes,
            Takes::Table(_) | Takes::Parts | Takes::Rules | Takes::Where(_)
        )
    }

    /// Whether it is there for files that have it already, and another is written instead.
    #[must_use]
    pub const fn is_older(&self) -> bool {
        matches!(self.takes, Takes::Older(_))
    }

    /// Whether it can stand in a table of `where` too.
    #[must_use]
    pub const fn is_of_where(&self) -> bool {
        !matches!(self.takes, Takes::Where(_) | Takes::Files | Takes::Parts)
    }
}

/// All keys of a settings file.
pub const KEYS: &[Key] = &[
    Key {
        name: "extend",
        what: "Settings files that hold first, one or a list, counted from this file's folder; what is nearer wins.",
        takes: Takes::Files,
    },
    Key {
        name: "level",
        what: "Who will play.",
        takes: Takes::Choice(
            || Level::ALL.map(Level::name).to_vec(),
            Some(Level::Professional.name()),
        ),
    },
    Key {
        name: "instrument",
        what: "What the house plays on.",
        takes: Takes::Choice(
            || Instrument::ALL.map(Instrument::word).to_vec(),
            Some(Instrument::Double.word()),
        ),
    },
    Key {
        name: "courtesy",
        what: "Write `courtesy` under `page`; here it says only which courtesy accidentals are added when a signature is written out.",
        takes: Takes::Older(|| Courtesy::ALL.map(Courtesy::name).to_vec()),
    },
    Key {
        name: "bass-clef",
        what: "How bass clef is read: \"old\" is written an octave low.",
        takes: Takes::Choice(
            || ClefConvention::ALL.map(ClefConvention::name).to_vec(),
            Some(ClefConvention::Modern.name()),
        ),
    },
    Key {
        name: "assumed-tempo",
        what: "Quarter notes a minute where the score marks none.",
        takes: Takes::Number(10.0, 400.0),
    },
    Key {
        name: "parts",
        what: "Parts by name, or all as \"*\", and what they are: \"horn in E flat\", \"horn in F, old bass clef\", \"not a horn\".",
        takes: Takes::Parts,
    },
    Key {
        name: "page",
        what: "How horn parts are written.",
        takes: Takes::Table(PAGE),
    },
    Key {
        name: "words",
        what: "What is printed for hand, mute and bell, and for who plays.",
        takes: Takes::Table(WORDS),
    },
    Key {
        name: "names",
        what: "How horn parts are named.",
        takes: Takes::Table(NAMES),
    },
    Key {
        name: "rules",
        what: "The severity of \"all\" rules, of a group, or of a rule, or a table with a rule's severity and settings.",
        takes: Takes::Rules,
    },
    Key {
        name: "where",
        what: "What holds for some files or parts alone; what stands later wins.",
        takes: Takes::Where(WHERE),
    },
];

/// Keys of the table of what stands on a page.
const PAGE: &[Key] = &[
    Key {
        name: "courtesy",
        what: "Where courtesy accidentals remind of another note; what lacks one is told, and one is added when a signature is written out.",
        takes: Takes::Choice(|| Courtesy::ALL.map(Courtesy::name).to_vec(), None),
    },
    Key {
        name: "courtesy-sign",
        what: "How a courtesy accidental is written by a fix: \"plain\", or in \"brackets\" where the notation can say so, which is MusicXML.",
        takes: Takes::Choice(|| COURTESY_SIGNS.to_vec(), Some(COURTESY_SIGNS[0])),
    },
    Key {
        name: "signature",
        what: "Whether horn parts carry a key signature: \"none\", \"wanted\", or \"leave\" for each part's own.",
        takes: Takes::Choice(signatures, Some("none")),
    },
    Key {
        name: "pitch",
        what: "Whether the notes of horn parts are those that the player reads, \"written\", or what sounds, \"sounding\"; a part at the other pitch is told, and \"leave\" leaves it to each score.",
        takes: Takes::Choice(pitches, Some(LEAVE)),
    },
];

/// How courtesy accidentals can be written: without brackets, and in them.
pub(super) const COURTESY_SIGNS: [&str; 2] = ["plain", "brackets"];

/// The word for what is left to each score.
pub(super) const LEAVE: &str = "leave";

fn pitches() -> Vec<&'static str> {
    let names = PagePitch::ALL.map(PagePitch::name);
    names.into_iter().chain([LEAVE]).collect()
}

/// The rule and its setting that `signature` under `page` sets.
pub(super) const SIGNATURE: (&str, &str) = ("notation/key-signature", "signature");

fn signatures() -> Vec<&'static str> {
    let (rule, name) = SIGNATURE;
    let settings = rules::rule(rule).map_or(&[][..], |rule| rule.settings);
    let setting = settings.iter().find(|setting| setting.name == name);
    match setting.map(|setting| setting.kind) {
        Some(rules::Kind::Choice(words)) => words.to_vec(),
        _ => Vec::new(),
    }
}

/// Keys of the table of words.
const WORDS: &[Key] = &[
    Key {
        name: "language",
        what: "The language of words, or \"part\" for each part's own.",
        takes: Takes::Choice(
            || {
                let languages = Language::ALL.map(Language::name);
                languages.into_iter().chain(["part"]).collect()
            },
            Some("part"),
        ),
    },
    words(
        Wording::MuteIn,
        "What is printed where the mute goes in; of a list the first is written and the others pass.",
    ),
    words(
        Wording::MuteOut,
        "What is printed where the mute comes out.",
    ),
    words(
        Wording::Stopped,
        "What is printed for stopping; \"+\" may be among it.",
    ),
    words(Wording::HalfStopped, "What is printed for half stopping."),
    words(
        Wording::Open,
        "What is printed where stopping ends; \"o\" may be among it.",
    ),
    words(
        Wording::BellsUp,
        "What is printed where the bell is raised.",
    ),
    words(
        Wording::BellsDown,
        "What is printed where the bell is lowered again.",
    ),
    words(Wording::Brassy, "What is printed for a brassy tone."),
    called(
        Called::Both,
        "What is printed where both players of a shared staff play one line.",
    ),
    called(
        Called::First,
        "What is printed where the first player plays alone; others than the second are called in the same way.",
    ),
    called(
        Called::Second,
        "What is printed where the second player plays alone.",
    ),
];

/// Keys of the table of names.
const NAMES: &[Key] = &[
    Key {
        name: "single",
        what: "The name of a part for one player, with {number} and {crook} where these stand: \"Horn {number} in {crook}\".",
        takes: Takes::Text(&["Horn {number} in {crook}", "F-Horn {number}"]),
    },
    Key {
        name: "shared",
        what: "The name of a part for several players: \"Horns {numbers} in {crook}\".",
        takes: Takes::Text(&["Horns {numbers} in {crook}"]),
    },
    Key {
        name: "numerals",
        what: "How players are numbered.",
        takes: Takes::Choice(
            || Numerals::ALL.map(Numerals::name).to_vec(),
            Some(Numerals::Arabic.name()),
        ),
    },
    Key {
        name: "e-flat",
        what: "How E flat is spelt, after which every crook is.",
        takes: Takes::Text(&["E flat", "Eb", "E♭", "Es", "Mi♭"]),
    },
    Key {
        name: "between",
        what: "What stands between the numbers of several players.",
        takes: Takes::Text(&[", ", "."]),
    },
];

const fn called(called: Called, what: &'static str) -> Key {
    Key {
        name: called.name(),
        what,
        takes: Takes::Text(called.usual()),
    }
}

const fn words(wording: Wording, what: &'static str) -> Key {
    Key {
        name: wording.name(),
        what,
        takes: Takes::Words,
    }
}

/// Keys that say for whom a table of `where` holds.
const WHERE: &[Key] = &[
    Key {
        name: "files",
        what: "Patterns of files, counted from this file's folder, such as \"cues/m3*/**\".",
        takes: Takes::Patterns,
    },
    Key {
        name: "parts",
        what: "Patterns of parts' names, such as \"Horn 4*\"; in a table of `where` it does not say what parts are.",
        takes: Takes::Patterns,
    },
];
