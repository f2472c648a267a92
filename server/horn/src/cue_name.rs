//! What a cue calls another instrument, and which of its kind, in the language of the part that it stands in.

use crate::instrument_name::{Figures, InstrumentName, instrument_name};
use crate::orchestra_instrument::Family;
use crate::orchestra_instrument::OrchestraInstrument::{
    self, Bassoon, Cello, Clarinet, DoubleBass, Flute, Oboe, Strings, Trombone, Trumpet, Tuba,
    Viola, Violin,
};
use crate::terms::Language;
use crate::words::{Token, tokens};

/// How names begin that say an instrument and nothing besides, as `piccolo` or `bass clarinet` would; in folded spelling.
const PLAIN: [(&str, OrchestraInstrument); 38] = [
    ("flut", Flute),
    ("flot", Flute),
    ("flaut", Flute),
    ("flet", Flute),
    ("oboe", Oboe),
    ("oboi", Oboe),
    ("oboj", Oboe),
    ("hoboj", Oboe),
    ("hautbois", Oboe),
    ("clarinet", Clarinet),
    ("klarinet", Clarinet),
    ("klarnet", Clarinet),
    ("bassoon", Bassoon),
    ("basson", Bassoon),
    ("fagot", Bassoon),
    ("trumpet", Trumpet),
    ("trompet", Trumpet),
    ("tromba", Trumpet),
    ("trombe", Trumpet),
    ("trabk", Trumpet),
    ("trombon", Trombone),
    ("posaun", Trombone),
    ("puzon", Trombone),
    ("tuba", Tuba),
    ("violonzel", Cello),
    ("violin", Violin),
    ("violon", Violin),
    ("geige", Violin),
    ("viola", Viola),
    ("viole", Viola),
    ("bratsch", Viola),
    ("violoncel", Cello),
    ("cell", Cello),
    ("contrabbass", DoubleBass),
    ("contrabass", DoubleBass),
    ("kontrabass", DoubleBass),
    ("string", Strings),
    ("archi", Strings),
];

/// Short names that say an instrument and nothing besides.
const SHORTENED: [&str; 28] = [
    "fl", "ob", "hb", "cl", "clar", "klar", "bn", "bsn", "bssn", "fg", "fag", "tr", "trp", "tpt",
    "trpt", "tbn", "trb", "pos", "tb", "vl", "vn", "vln", "vla", "va", "vc", "vlc", "cb", "kb",
];

/// What stands over cues; common practice.
const fn short(instrument: OrchestraInstrument, language: Language) -> Option<&'static str> {
    let [english, italian, french, german] = match instrument {
        Flute => ["Fl."; 4],
        Oboe => ["Ob.", "Ob.", "Htb.", "Ob."],
        Clarinet => ["Cl.", "Cl.", "Cl.", "Klar."],
        Bassoon => ["Bsn.", "Fag.", "Basson", "Fag."],
        // `Tr.` is a trill to a horn player.
        Trumpet => ["Tpt.", "Tromba", "Tromp.", "Trp."],
        Trombone => ["Tbn.", "Trb.", "Trb.", "Pos."],
        Tuba => ["Tuba"; 4],
        Violin => ["Vln.", "Vl.", "Vl.", "Vl."],
        Viola => ["Vla.", "Vla.", "Alto", "Br."],
        Cello => ["Vc."; 4],
        DoubleBass => ["D.B.", "Cb.", "Cb.", "Kb."],
        Strings => ["Str.", "Archi", "Cordes", "Str."],
        _ => return None,
    };
    match language {
        Language::English => Some(english),
        Language::Italian => Some(italian),
        Language::French => Some(french),
        Language::German => Some(german),
        _ => None,
    }
}

/// What is known of a part by which a cue may call it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CuedPart<'a> {
    /// Its name on the page.
    pub name: Option<&'a str>,
    /// What it is for, where its name or a sign for programs says so.
    pub instrument: Option<OrchestraInstrument>,
}

/// The parts of a piece as cues may call them, in score order; `None` where a name is of numbers and signs alone, or there
/// is neither name nor known instrument.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CueNames(Vec<Option<Called>>);

/// A part as cues may call it.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Called {
    name: InstrumentName,
    /// The instrument, where the name says that one and nothing besides.
    plain: Option<OrchestraInstrument>,
    /// What it is for.
    instrument: Option<OrchestraInstrument>,
}

impl Called {
    fn of(part: &CuedPart<'_>) -> Option<Self> {
        let said = part.name.map(str::trim).filter(|name| !name.is_empty());
        let name = instrument_name(said.or_else(|| part.instrument.and_then(english))?)?;
        let words = tokens(&name.noun);
        let plain = match words.as_slice() {
            [word] | [word, Token { text: ".", .. }] => plain(&word.folded),
            _ => None,
        };
        Some(Self {
            name,
            plain,
            instrument: plain.or(part.instrument),
        })
    }

    /// Whether a name would stand for both, but for their numbers and keys.
    fn is_like(&self, other: &Self) -> bool {
        let word = |one: &Self| one.name.noun.to_lowercase();
        let called = self.plain.is_some() || word(self) == word(other);
        self.plain == other.plain && self.is_counted() == other.is_counted() && called
    }

    /// Whether nothing but their order tells two parts apart.
    fn is_same(&self, other: &Self) -> bool {
        let whole = |one: &Self| one.name.whole.to_lowercase();
        let called = self.plain.is_some() || whole(self) == whole(other);
        called && self.name.players == other.name.players && self.name.key == other.name.key
    }

    /// Whether players of its kind are counted from the top of the score: those of keyboards are not, whose staves are one's.
    fn is_counted(&self) -> bool {
        self.instrument
            .is_some_and(|it| it.family() != Family::Others)
    }

    /// The numbers of its players, where the cue is to say them.
    fn numbers(&self, players: &[u8]) -> String {
        let roman = match self.name.figures {
            Figures::Arabic => false,
            Figures::Roman => true,
            Figures::Words => self.plain.is_some_and(|it| it.family() == Family::Strings),
        };
        let number = |player: &u8| match (roman, ROMAN.get(usize::from(*player).wrapping_sub(1))) {
            (true, Some(roman)) => (*roman).to_owned(),
            _ => player.to_string(),
        };
        let numbers: Vec<String> = players.iter().map(number).collect();
        numbers.join(".")
    }

    /// What it is called among those that are like it, itself among them, each with its place.
    fn among(&self, part: usize, like: &[(usize, &Self)], language: Option<Language>) -> String {
        let players = &self.name.players;
        // Another from which its key tells this one.
        let other_key = like.iter().any(|(_, other)| {
            let beside = players.is_empty() || other.name.players == *players;
            beside && other.name.key != self.name.key
        });
        let (before, after): (Vec<_>, Vec<_>) = like
            .iter()
            .filter(|(_, other)| other.is_same(self))
            .partition(|(place, _)| *place < part);
        let same = before.len() + after.len();
        let numbers = match players.as_slice() {
            [_] => players.clone(),
            // Several staves with a name for all of their players.
            [_, ..] if same == players.len() => {
                players.get(before.len()).copied().into_iter().collect()
            }
            [_, ..] if like.len() > 1 => players.clone(),
            [] if same > 1 && self.is_counted() => {
                let count = |called: &Called| called.name.count.unwrap_or(1);
                let above = before.iter().map(|(_, called)| count(called));
                let above = above.fold(0_u8, u8::saturating_add);
                (above..above.saturating_add(count(self)))
                    .map(|player| player.saturating_add(1))
                    .collect()
            }
            _ => Vec::new(),
        };
        // Where another's name begins like this one, all of it is needed.
        let cut = self.plain.is_none()
            && like
                .iter()
                .any(|(_, other)| other.name.whole != self.name.whole && !other.is_same(self));
        let short = || short(self.plain?, language?).map(str::to_owned);
        let noun = if cut {
            &self.name.whole
        } else {
            &self.name.noun
        };
        let mut name = short().unwrap_or_else(|| noun.clone());
        if !numbers.is_empty() {
            name = format!("{name} {}", self.numbers(&numbers));
        }
        match &self.name.key {
            Some(key) if other_key => format!("{name} in {key}"),
            _ => name,
        }
    }
}

const ROMAN: [&str; 8] = ["I", "II", "III", "IV", "V", "VI", "VII", "VIII"];

/// The instrument of which a word is the name, and nothing besides.
fn plain(folded: &str) -> Option<OrchestraInstrument> {
    let of = |(stem, of): &&(&str, OrchestraInstrument)| {
        folded.starts_with(stem) && OrchestraInstrument::of_name(folded) == Some(*of)
    };
    let shortened = || {
        let instrument = OrchestraInstrument::of_name(folded);
        instrument.filter(|it| SHORTENED.contains(&folded) && english(*it).is_some())
    };
    let whole = PLAIN.iter().find(of).map(|(_, instrument)| *instrument);
    whole.or_else(shortened)
}

/// What a part without a name is called.
const fn english(instrument: OrchestraInstrument) -> Option<&'static str> {
    Some(match instrument {
        Flute => "Flute",
        Oboe => "Oboe",
        Clarinet => "Clarinet",
        Bassoon => "Bassoon",
        Trumpet => "Trumpet",
        Trombone => "Trombone",
        Tuba => "Tuba",
        Violin => "Violin",
        Viola => "Viola",
        Cello => "Cello",
        DoubleBass => "Double bass",
        Strings => "Strings",
        _ => return None,
    })
}

impl CueNames {
    /// Reads the names of a piece's parts.
    #[must_use]
    pub fn of(parts: &[CuedPart<'_>]) -> Self {
        Self(parts.iter().map(Called::of).collect())
    }

    /// What a cue calls the player of a part, by its place: by the usual short name in a language, where its name is that
    /// of an instrument, else by that name, with the number that the name gives. Where names alone do not tell parts
    /// apart, their keys do, or else their order from the top (common practice).
    #[must_use]
    pub fn name(&self, part: usize, language: Option<Language>) -> Option<String> {
        let own = self.0.get(part)?.as_ref()?;
        let all = self.0.iter().enumerate();
        let like: Vec<(usize, &Called)> = all
            .filter_map(|(place, called)| Some((place, called.as_ref()?)))
            .filter(|(_, other)| other.is_like(own))
            .collect();
        Some(own.among(part, &like, language))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named<'a>(names: &[&'a str]) -> Vec<CuedPart<'a>> {
        let part = |name: &&'a str| CuedPart {
            name: Some(*name),
            instrument: OrchestraInstrument::of_name(name),
        };
        names.iter().map(part).collect()
    }

    #[test]
    fn names_are_short_in_the_language_of_the_part() {
        for (name, language, said) in [
            ("Oboe 1", None, Some("Oboe 1")),
            ("Oboe 1", Some(Language::English), Some("Ob. 1")),
            ("Oboe 1", Some(Language::French), Some("Htb. 1")),
            ("Violin II", Some(Language::German), Some("Vl. II")),
            ("2nd Violin", Some(Language::English), Some("Vln. II")),
            ("Violino Secondo", Some(Language::Italian), Some("Vl. II")),
            (
                "Clarinetto Secondo",
                Some(Language::German),
                Some("Klar. 2"),
            ),
            ("Clarinet in B flat", Some(Language::German), Some("Klar.")),
            ("Flöte", Some(Language::Italian), Some("Fl.")),
            ("Trombone", Some(Language::German), Some("Pos.")),
            ("Cl. 2", Some(Language::German), Some("Klar. 2")),
            ("Cl. 2", None, Some("Cl. 2")),
            ("in a Clarinetti", Some(Language::German), Some("Klar.")),
            ("Vla. con sord.", None, Some("Vla.")),
            ("Violoncello", Some(Language::English), Some("Vc.")),
            ("Trombone 1 & 2", Some(Language::English), Some("Tbn.")),
            (
                "Contrabassoon",
                Some(Language::English),
                Some("Contrabassoon"),
            ),
            (
                "Bass Clarinet 1",
                Some(Language::Italian),
                Some("Bass Clarinet 1"),
            ),
            ("Piccolo", Some(Language::English), Some("Piccolo")),
            ("Oboe", Some(Language::Czech), Some("Oboe")),
            (
                "Oboe d'amore",
                Some(Language::English),
                Some("Oboe d'amore"),
            ),
            ("2 (solo)", Some(Language::English), None),
            ("", Some(Language::English), None),
        ] {
            assert_eq!(
                CueNames::of(&named(&[name])).name(0, language).as_deref(),
                said,
                "{name}"
            );
        }
    }

    #[test]
    fn names_say_which_of_several_parts() {
        let mut told = 0;
        for (names, said) in [
            (&["Violin", "Violin"][..], &["Vl. I", "Vl. II"][..]),
            (&["Violin I", "Violin II"], &["Vl. I", "Vl. II"]),
            (&["1. Violino. 2.", "1. Violino. 2."], &["Vl. 1", "Vl. 2"]),
            (
                &["Clarinet", "Flute", "Clarinet"],
                &["Klar. 1", "Fl.", "Klar. 2"],
            ),
            (&["Trumpet 1", "Trumpet 2 in B"], &["Trp. 1", "Trp. 2"]),
            (
                &["1. e. 2. Tromboni", "3. Trombone"],
                &["Pos. 1.2", "Pos. 3"],
            ),
            // In several keys.
            (
                &["Clarinet in A", "Clarinet in B"],
                &["Klar. in A", "Klar. in B"],
            ),
            (
                &["Clarinet in Es", "Clarinet 1 in B"],
                &["Klar. in Es", "Klar. 1"],
            ),
            (
                &["Clarinet 1 in Es", "Clarinet 1 in B", "Clarinet 2 in B"],
                &["Klar. 1 in Es", "Klar. 1 in B", "Klar. 2"],
            ),
            // Others are nobody's second.
            (&["Clarinet", "Bass Clarinet"], &["Klar.", "Bass Clarinet"]),
            (&["Piano", "Piano"], &["Piano", "Piano"]),
            (&["2 Tromboni", "1 Trombone"], &["Pos. 1.2", "Pos. 3"]),
            (
                &["Tromb. alto", "Tromb. basse"],
                &["Tromb. alto", "Tromb. basse"],
            ),
            (&["Violonzello", "Cello"], &["Vc. I", "Vc. II"]),
            (
                &["Bass Clarinet", "bass clarinet"],
                &["Bass Clarinet 1", "bass clarinet 2"],
            ),
            (&["Violin", "Violin solo"], &["Vl.", "Violin solo"]),
        ] {
            let parts = CueNames::of(&named(names));
            for (part, said) in said.iter().enumerate() {
                let name = parts.name(part, Some(Language::German));
                assert_eq!(name.as_deref(), Some(*said), "{names:?}");
                told += 1;
            }
        }
        assert!(told > 20);
    }

    #[test]
    fn parts_without_names_are_called_by_their_instrument() {
        let unnamed = |instrument| CuedPart {
            name: None,
            instrument,
        };
        let parts = [
            Some(Clarinet),
            Some(Clarinet),
            Some(OrchestraInstrument::Voice),
            None,
        ]
        .map(unnamed);
        let names = CueNames::of(&parts);
        let name = |part, language| names.name(part, language);
        assert_eq!(name(0, None).as_deref(), Some("Clarinet 1"));
        assert_eq!(name(1, Some(Language::German)).as_deref(), Some("Klar. 2"));
        assert_eq!(
            (name(2, None), name(3, None), name(4, None)),
            (None, None, None)
        );
    }
}
