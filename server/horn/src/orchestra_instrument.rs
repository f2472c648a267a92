//! What instrument a part beside the horns is for, by its name in seven languages or by a sign for programs.

use crate::words::tokens;

/// An instrument that plays beside the horns, as finely as its place in the sound needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OrchestraInstrument {
    /// Flutes, piccolo and recorders.
    Flute,
    /// Oboes and English horn.
    Oboe,
    /// Clarinets of all sizes and basset horns.
    Clarinet,
    /// Bassoons and contrabassoon.
    Bassoon,
    /// Saxophones.
    Saxophone,
    /// Horns.
    Horn,
    /// Trumpets, cornets and flugelhorns.
    Trumpet,
    /// Trombones.
    Trombone,
    /// Tubas, euphoniums and what stood in their place.
    Tuba,
    /// Violins.
    Violin,
    /// Violas.
    Viola,
    /// Cellos.
    Cello,
    /// Double basses.
    DoubleBass,
    /// Strings of which the name does not say which.
    Strings,
    /// What is struck.
    Percussion,
    /// Harps and lutes.
    Plucked,
    /// Keyboards.
    Keyboard,
    /// Voices.
    Voice,
}

/// A family of instruments that carry alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Woodwind.
    Woodwind,
    /// Horns.
    Horns,
    /// Trumpets, trombones and tubas.
    Brass,
    /// Bowed strings, a section to a part.
    Strings,
    /// What is struck or plucked, keyboards and voices: nobody has published how they weigh against a horn.
    Others,
}

use OrchestraInstrument::{
    Bassoon, Cello, Clarinet, DoubleBass, Flute, Horn, Keyboard, Oboe, Percussion, Plucked,
    Saxophone, Strings, Trombone, Trumpet, Tuba, Viola, Violin, Voice,
};

/// What stands in a name for an instrument, in folded spelling; of several the first in this order counts, so that what
/// holds another's name in it comes before it.
///
/// English, German, French, Italian, Spanish, Polish and Czech; common practice.
const STEMS: [(&str, OrchestraInstrument); 118] = [
    ("cor anglais", Oboe),
    ("corno inglese", Oboe),
    ("corno ingles", Oboe),
    ("english horn", Oboe),
    ("englisch", Oboe),
    ("anglicky roh", Oboe),
    ("rozek ang", Oboe),
    ("basset", Clarinet),
    ("flugelhorn", Trumpet),
    ("fluegelhorn", Trumpet),
    ("flicorn", Trumpet),
    ("fliscorn", Trumpet),
    ("tenor horn", Tuba),
    ("tenorhorn", Tuba),
    ("alto horn", Tuba),
    ("bassoon", Bassoon),
    ("fagot", Bassoon),
    ("basson", Bassoon),
    ("saxophon", Saxophone),
    ("saxofon", Saxophone),
    ("sassofon", Saxophone),
    ("saksofon", Saxophone),
    ("clarinet", Clarinet),
    ("klarinet", Clarinet),
    ("klarnet", Clarinet),
    ("trombon", Trombone),
    ("posaun", Trombone),
    ("puzon", Trombone),
    ("pozoun", Trombone),
    ("sackbut", Trombone),
    ("trumpet", Trumpet),
    ("trompet", Trumpet),
    ("tromba", Trumpet),
    ("trombe", Trumpet),
    ("trabk", Trumpet),
    ("trubk", Trumpet),
    ("tubka", Trumpet),
    ("clarino", Trumpet),
    ("clarini", Trumpet),
    ("cornet", Trumpet),
    ("kornet", Trumpet),
    ("euphon", Tuba),
    ("eufon", Tuba),
    ("bombardon", Tuba),
    ("ophicleid", Tuba),
    ("ofikleid", Tuba),
    ("serpent", Tuba),
    ("tuba", Tuba),
    ("tube", Tuba),
    ("oboe", Oboe),
    ("oboi", Oboe),
    ("oboj", Oboe),
    ("hoboj", Oboe),
    ("hautbois", Oboe),
    ("flut", Flute),
    ("flot", Flute),
    ("flaut", Flute),
    ("flet", Flute),
    ("piccol", Flute),
    ("ottavin", Flute),
    ("recorder", Flute),
    ("blockfl", Flute),
    ("violoncel", Cello),
    ("violonchel", Cello),
    ("violonzel", Cello),
    ("wiolonczel", Cello),
    ("cello", Cello),
    ("celli", Cello),
    ("contrabass", DoubleBass),
    ("contrabbass", DoubleBass),
    ("kontrabas", DoubleBass),
    ("contrebass", DoubleBass),
    ("contrabaj", DoubleBass),
    ("double bass", DoubleBass),
    ("violone", DoubleBass),
    ("violin", Violin),
    ("violon", Violin),
    ("geige", Violin),
    ("skrzyp", Violin),
    ("housl", Violin),
    ("viola", Viola),
    ("viole", Viola),
    ("bratsch", Viola),
    ("altowk", Viola),
    ("string", Strings),
    ("streich", Strings),
    ("archi", Strings),
    ("cordes", Strings),
    ("cuerdas", Strings),
    ("smyczk", Strings),
    ("smycc", Strings),
    ("timpan", Percussion),
    ("pauk", Percussion),
    ("timbal", Percussion),
    ("kotl", Percussion),
    ("drum", Percussion),
    ("tambur", Percussion),
    ("trommel", Percussion),
    ("cymbal", Percussion),
    ("becken", Percussion),
    ("piatti", Percussion),
    ("triang", Percussion),
    ("percus", Percussion),
    ("perkus", Percussion),
    ("schlag", Percussion),
    ("glockensp", Percussion),
    ("campan", Percussion),
    ("bell", Percussion),
    ("xylo", Percussion),
    ("harpsi", Keyboard),
    ("harp", Plucked),
    ("harf", Plucked),
    ("arpa", Plucked),
    ("piano", Keyboard),
    ("klavier", Keyboard),
    ("clavi", Keyboard),
    ("org", Keyboard),
    ("celesta", Keyboard),
];

/// Whole words that are too short, or too much like others, to be looked for within words.
const SHORT: [(&str, OrchestraInstrument); 52] = [
    ("fl", Flute),
    ("picc", Flute),
    ("ob", Oboe),
    ("hb", Oboe),
    ("cl", Clarinet),
    ("clar", Clarinet),
    ("klar", Clarinet),
    ("bn", Bassoon),
    ("bsn", Bassoon),
    ("bssn", Bassoon),
    ("fg", Bassoon),
    ("fag", Bassoon),
    ("sax", Saxophone),
    ("cor", Horn),
    ("corni", Horn),
    ("corno", Horn),
    ("cors", Horn),
    ("hn", Horn),
    ("hns", Horn),
    ("horn", Horn),
    ("horns", Horn),
    ("horner", Horn),
    ("roh", Horn),
    ("tr", Trumpet),
    ("trp", Trumpet),
    ("tpt", Trumpet),
    ("trpt", Trumpet),
    ("tbn", Trombone),
    ("trb", Trombone),
    ("tromb", Trombone),
    ("pos", Trombone),
    ("tb", Tuba),
    ("vl", Violin),
    ("vn", Violin),
    ("vln", Violin),
    ("vni", Violin),
    ("vno", Violin),
    ("va", Viola),
    ("vla", Viola),
    ("vc", Cello),
    ("vlc", Cello),
    ("vcl", Cello),
    ("cb", DoubleBass),
    ("db", DoubleBass),
    ("kb", DoubleBass),
    ("timp", Percussion),
    ("perc", Percussion),
    ("soprano", Voice),
    ("alto", Voice),
    ("tenor", Voice),
    ("tenore", Voice),
    ("choir", Voice),
];

/// Signs for programs: what begins a Humdrum instrument code, and the last words of a MusicXML sound.
const CODES: [(&str, OrchestraInstrument); 38] = [
    ("picco", Flute),
    ("flt", Flute),
    ("oboe", Oboe),
    ("cangl", Oboe),
    ("clar", Clarinet),
    ("bclar", Clarinet),
    ("fagot", Bassoon),
    ("fagoc", Bassoon),
    ("sax", Saxophone),
    ("cor", Horn),
    ("tromp", Trumpet),
    ("trump", Trumpet),
    ("cornt", Trumpet),
    ("flugh", Trumpet),
    ("tromb", Trombone),
    ("tuba", Tuba),
    ("euph", Tuba),
    ("violn", Violin),
    ("vln", Violin),
    ("viola", Viola),
    ("cello", Cello),
    ("cbass", DoubleBass),
    ("timp", Percussion),
    ("perc", Percussion),
    ("harp", Plucked),
    ("guitr", Plucked),
    ("lute", Plucked),
    ("piano", Keyboard),
    ("forte", Keyboard),
    ("cemb", Keyboard),
    ("hpsc", Keyboard),
    ("organ", Keyboard),
    ("sopr", Voice),
    ("mezz", Voice),
    ("calto", Voice),
    ("alto", Voice),
    ("tenor", Voice),
    ("vox", Voice),
];

impl OrchestraInstrument {
    /// The instrument that a part's name, or a short form of it, is of.
    #[must_use]
    pub fn of_name(name: &str) -> Option<Self> {
        let words: Vec<String> = tokens(name).into_iter().map(|word| word.folded).collect();
        let text = words.join(" ");
        let within = STEMS.iter().find(|(stem, _)| {
            text.match_indices(stem)
                .any(|(at, _)| stem.len() > 5 || starts_a_word(&text, at))
        });
        let short = || {
            SHORT
                .iter()
                .find(|(short, _)| words.iter().any(|word| word == short))
        };
        within.or_else(short).map(|(_, instrument)| *instrument)
    }

    /// The instrument of a Humdrum code (`flt`, `violn`) or of a MusicXML sound (`wind.flutes.flute`).
    #[must_use]
    pub fn of_code(code: &str) -> Option<Self> {
        if let Some((family, name)) = code.split_once('.') {
            return match family {
                "drum" | "metal" | "wood" | "pitched-percussion" | "rattle" | "effect" => {
                    Some(Percussion)
                }
                "voice" => Some(Voice),
                "keyboard" => Some(Keyboard),
                "pluck" => Some(Plucked),
                _ => Self::of_name(&name.replace(['.', '-'], " ")),
            };
        }
        let found = CODES.iter().find(|(start, _)| code.starts_with(start));
        found.map(|(_, instrument)| *instrument)
    }

    /// Its family.
    #[must_use]
    pub const fn family(self) -> Family {
        match self {
            Flute | Oboe | Clarinet | Bassoon | Saxophone => Family::Woodwind,
            Horn => Family::Horns,
            Trumpet | Trombone | Tuba => Family::Brass,
            Violin | Viola | Cello | DoubleBass | Strings => Family::Strings,
            Percussion | Plucked | Keyboard | Voice => Family::Others,
        }
    }
}

/// Whether a word is an instrument's name and not the short form of one.
pub(crate) fn is_spelled_out(word: &str) -> bool {
    let words = tokens(word);
    STEMS.iter().any(|(stem, _)| {
        words
            .first()
            .is_some_and(|word| word.folded.starts_with(stem))
    })
}

/// Whether a part is for one player where others of its kind play as a section: `Violin solo`.
#[must_use]
pub fn is_for_one(name: &str) -> bool {
    tokens(name).iter().any(|word| word.folded == "solo")
}

/// Whether a place in a text of words is the beginning of one, or of what a compound is made of.
fn starts_a_word(text: &str, at: usize) -> bool {
    let before = text.get(..at).and_then(|before| before.chars().next_back());
    !before.is_some_and(char::is_alphanumeric)
        // German joins words: Altflöte, Bassklarinette, Basstuba.
        || ["alt", "bass", "kontra", "contra", "quer", "piccolo", "sopran", "tenor"]
            .iter()
            .any(|joined| text.get(..at).is_some_and(|before| before.ends_with(joined)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_seven_languages_are_known() {
        for (names, instrument) in [
            (
                &[
                    "Flute 1",
                    "Flöte",
                    "Altflöte",
                    "Flûte",
                    "Flauto piccolo",
                    "Flet",
                    "Flétna",
                    "Fl.",
                    "Piccolo",
                ][..],
                Flute,
            ),
            (
                &[
                    "Oboe",
                    "Hautbois",
                    "Oboi",
                    "Obój",
                    "Hoboj",
                    "Ob.",
                    "English Horn",
                    "Cor anglais",
                    "Corno inglese",
                ],
                Oboe,
            ),
            (
                &[
                    "Clarinet in B flat",
                    "Klarinette",
                    "Bassklarinette",
                    "Clarinette",
                    "Clarinetto",
                    "Klarnet",
                    "Klarinet",
                    "Cl.",
                    "Basset horn",
                ],
                Clarinet,
            ),
            (
                &[
                    "Bassoon",
                    "Contrabassoon",
                    "Fagott",
                    "Kontrafagott",
                    "Basson",
                    "Fagotto",
                    "Fagot",
                    "Bsn.",
                ],
                Bassoon,
            ),
            (&["Alto Saxophone", "Saxofón", "Saksofon"], Saxophone),
            (&["Horn in F", "Corni", "Cor 2", "Lesní roh"], Horn),
            (
                &[
                    "Trumpet 1 in B flat",
                    "Trompete",
                    "Trompette",
                    "Tromba",
                    "Trąbka",
                    "Trubka",
                    "Clarino I",
                    "Cornet",
                    "Tpt.",
                    "Flügelhorn",
                ],
                Trumpet,
            ),
            (
                &[
                    "3 Posaunen",
                    "Trombone",
                    "Trombón",
                    "Puzon",
                    "Pozoun",
                    "Bass Trombone",
                    "Tbn.",
                ],
                Trombone,
            ),
            (&["Tuba", "Basstuba", "Euphonium", "Ophicleide"], Tuba),
            (
                &[
                    "Violino I",
                    "Violine",
                    "Violon 1",
                    "Violín",
                    "Skrzypce",
                    "Housle",
                    "Vl. 1",
                ],
                Violin,
            ),
            (&["Viola", "Bratsche", "Altówka", "Va."], Viola),
            (
                &[
                    "Violoncello",
                    "Cello",
                    "Violoncelle",
                    "Violonchelo",
                    "Violonzello",
                    "Wiolonczela",
                    "Vc.",
                ],
                Cello,
            ),
            (
                &[
                    "Double Bass",
                    "Kontrabass",
                    "Contrebasse",
                    "Contrabbasso",
                    "Contrabajo",
                    "Kontrabas",
                    "Cb.",
                ],
                DoubleBass,
            ),
            (&["Strings", "Streicher", "Archi"], Strings),
            (
                &[
                    "Timpani",
                    "Pauken",
                    "Timbales",
                    "Kotły",
                    "Snare Drum",
                    "Pier bell",
                ],
                Percussion,
            ),
            (&["Harp", "Arpa", "Harfe"], Plucked),
            (&["Piano", "Klavier", "Organo", "Harpsichord"], Keyboard),
            (&["Soprano", "Tenor", "Choir"], Voice),
        ] {
            for name in names {
                assert_eq!(
                    OrchestraInstrument::of_name(name),
                    Some(instrument),
                    "{name}"
                );
            }
        }
        for name in ["", "Ferry whistle", "Part 3", "A", "Mister Smith"] {
            assert_eq!(OrchestraInstrument::of_name(name), None, "{name}");
        }
    }

    #[test]
    fn codes_are_known() {
        for (code, instrument) in [
            ("flt", Flute),
            ("clars", Clarinet),
            ("cor", Horn),
            ("tromp", Trumpet),
            ("tromb", Trombone),
            ("violn", Violin),
            ("cbass", DoubleBass),
            ("wind.flutes.flute", Flute),
            ("wind.reed.english-horn", Oboe),
            ("wind.reed.contrabassoon", Bassoon),
            ("brass.trombone.bass", Trombone),
            ("brass.bass-tuba", Tuba),
            ("strings.contrabass", DoubleBass),
            ("drum.timpani", Percussion),
            ("voice.alto", Voice),
        ] {
            assert_eq!(
                OrchestraInstrument::of_code(code),
                Some(instrument),
                "{code}"
            );
        }
        assert_eq!(OrchestraInstrument::of_code("zither"), None);
        assert!(is_for_one("[Cello Solo.]") && !is_for_one("Soloists"));
    }
}
