//! What a cue calls another instrument, in the language of the part that it stands in.

use crate::orchestra_instrument::OrchestraInstrument::{
    self, Bassoon, Cello, Clarinet, DoubleBass, Flute, Oboe, Strings, Trombone, Trumpet, Tuba,
    Viola, Violin,
};
use crate::terms::Language;
use crate::words::tokens;

/// How names begin that say an instrument and nothing besides, as `piccolo` or `bass clarinet` would; in folded spelling.
const PLAIN: [(&str, OrchestraInstrument); 37] = [
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

/// What a cue calls the player of a part: by the usual short name in a language, where its name is that of an instrument,
/// else by that name, without number, key and brackets; `None` where nothing is left of it.
#[must_use]
pub fn cue_name(name: &str, language: Option<Language>) -> Option<String> {
    let end = name
        .find(|letter: char| letter.is_ascii_digit() || "([,.\"\\%".contains(letter))
        .unwrap_or(name.len());
    let plain = name.get(..end)?.split(" in ").next()?.trim();
    if plain.is_empty() {
        return None;
    }
    let short = language.and_then(|language| {
        let words = tokens(plain);
        let (first, numbers) = words.split_first()?;
        let of = |(stem, of): &&(&str, OrchestraInstrument)| {
            first.folded.starts_with(stem)
                && OrchestraInstrument::of_name(&first.folded) == Some(*of)
        };
        let (_, instrument) = PLAIN.iter().find(of)?;
        let short = short(*instrument, language)?;
        let numbers: Vec<String> = numbers
            .iter()
            .map(|number| number.folded.to_uppercase())
            .filter(|number| !number.is_empty() && number != ".")
            .collect();
        let roman = |number: &String| matches!(number.as_str(), "I" | "II" | "III" | "IV");
        let whole = numbers.iter().all(roman).then_some(numbers)?;
        let parts: Vec<&str> = std::iter::once(short)
            .chain(whole.iter().map(String::as_str))
            .collect();
        Some(parts.join(" "))
    });
    Some(short.unwrap_or_else(|| plain.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_short_in_the_language_of_the_part() {
        for (name, language, said) in [
            ("Oboe 1", None, Some("Oboe")),
            ("Oboe 1", Some(Language::English), Some("Ob.")),
            ("Oboe 1", Some(Language::French), Some("Htb.")),
            ("Violin II", Some(Language::German), Some("Vl. II")),
            ("Clarinet in B flat", Some(Language::German), Some("Klar.")),
            ("Flöte", Some(Language::Italian), Some("Fl.")),
            ("Trombone", Some(Language::German), Some("Pos.")),
            ("Violoncello", Some(Language::English), Some("Vc.")),
            (
                "Contrabassoon",
                Some(Language::English),
                Some("Contrabassoon"),
            ),
            (
                "Bass Clarinet",
                Some(Language::Italian),
                Some("Bass Clarinet"),
            ),
            ("Piccolo", Some(Language::English), Some("Piccolo")),
            ("Oboe", Some(Language::Czech), Some("Oboe")),
            (
                "Oboe d'amore",
                Some(Language::English),
                Some("Oboe d'amore"),
            ),
            ("2 (solo)", Some(Language::English), None),
        ] {
            assert_eq!(cue_name(name, language).as_deref(), said, "{name}");
        }
    }
}
