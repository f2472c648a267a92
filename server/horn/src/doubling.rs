//! Reads words that send a player to another instrument, and back to the horn.

use crate::name_words::{is_adjective, noun_at};
use crate::players::is_number_word;
use crate::term_words::{CROOK_CHANGES, TAKES};
use crate::terms::Language;
use crate::words::{Kind, Token, phrase_at};

/// What a player takes up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TakenUp {
    /// Another instrument: what stands on the staff is not the horn's until the horn comes back.
    Other,
    /// The horn again.
    Horn,
}

/// Instruments that horn players change to, and those of the neighbours in brass, folded.
const INSTRUMENTS: [&str; 62] = [
    "tuba",
    "tubas",
    "tube",
    "tuben",
    "tubes",
    "tubi",
    "tenor tuba",
    "tenor tubas",
    "tenortuba",
    "tenortuben",
    "bass tuba",
    "bass tubas",
    "basstuba",
    "basstuben",
    "tuba tenor",
    "tuba tenore",
    "tuba bassa",
    "tube tenori",
    "tube basse",
    "wagner tuba",
    "wagner tubas",
    "wagnertuba",
    "wagnertuben",
    "tuba wagneriana",
    "tube wagneriane",
    "tuba wagnerienne",
    "waldhorntuba",
    "euphonium",
    "baritone",
    "cornet",
    "kornett",
    "cornetto",
    "flugelhorn",
    "flugel horn",
    "fluegelhorn",
    "flicorno",
    "bugle",
    "post horn",
    "posthorn",
    "corno di postiglione",
    "corno da posta",
    "cornet de poste",
    "alphorn",
    "alp horn",
    "alto horn",
    "althorn",
    "tenor horn",
    "tenorhorn",
    "english horn",
    "corno inglese",
    "cor anglais",
    "trumpet",
    "trompete",
    "tromba",
    "trompette",
    "trompeta",
    "trombone",
    "posaune",
    "percussion",
    "triangle",
    "tambourine",
    "didgeridoo",
];

/// What may stand between the order and the instrument.
const BETWEEN: [&str; 19] = [
    "in", "en", "to", "the", "a", "an", "il", "la", "le", "les", "lo", "los", "un", "una", "das",
    "die", "den", "eine", "ein",
];

/// What the words at a token tell a player to take up, in which language, and how many tokens they take.
///
/// A horn's name that stands alone, perhaps with a number, calls the horn as well.
pub(crate) fn taken_up(
    tokens: &[Token<'_>],
    at: usize,
) -> Option<(TakenUp, Option<Language>, usize)> {
    let verb = CROOK_CHANGES
        .iter()
        .chain(&TAKES)
        .filter_map(|(phrase, language)| Some((phrase_at(tokens, at, phrase)?, *language)))
        .max_by_key(|&(length, _)| length);
    let Some((length, language)) = verb else {
        return Some((TakenUp::Horn, None, horn_alone(tokens, at)?));
    };
    let skipped = tokens
        .iter()
        .skip(at + length)
        .take_while(|token| token.kind == Kind::Number || BETWEEN.contains(&token.folded.as_str()))
        .count();
    let place = at + length + skipped;
    let other = INSTRUMENTS
        .iter()
        .filter_map(|phrase| phrase_at(tokens, place, phrase))
        .max();
    if let Some(taken) = other {
        return Some((TakenUp::Other, language, place + taken - at));
    }
    let adjectives = tokens
        .iter()
        .skip(place)
        .take_while(|token| is_adjective(&token.folded))
        .count();
    let noun = noun_at(tokens, place + adjectives)?;
    let end = place + adjectives + noun.length;
    Some((TakenUp::Horn, language, end - at))
}

/// The tokens of a horn's name at the first word, when nothing else is said besides numbers.
fn horn_alone(tokens: &[Token<'_>], at: usize) -> Option<usize> {
    let sign = |at: usize| tokens.get(at).is_some_and(|token| token.kind == Kind::Sign);
    let noun = noun_at(tokens, at).filter(|_| (0..at).all(sign))?;
    let rest = at + noun.length;
    (rest..tokens.len())
        .all(|at| {
            let number = tokens
                .get(at)
                .is_some_and(|token| token.kind == Kind::Number);
            number || sign(at) || is_number_word(tokens, at)
        })
        .then_some(noun.length)
}

#[cfg(test)]
mod tests {
    use super::TakenUp::{Horn, Other};
    use crate::terms::{Instruction, read_words};

    #[test]
    fn instruments_taken_up() {
        let mut read = 0;
        for (words, expected) in [
            ("nimmt Tuba", Some(Other)),
            ("nehmen Tuben", Some(Other)),
            ("nimmt Tenortuba in B", Some(Other)),
            ("muta in Tenor Tuba", Some(Other)),
            ("muta in Tuba tenore", Some(Other)),
            ("take Wagner tuba", Some(Other)),
            ("2. nimmt Tuba", Some(Other)),
            ("prennent les tubas", Some(Other)),
            ("prenez la trompette", Some(Other)),
            ("change to English horn", Some(Other)),
            ("nimmt Posthorn", Some(Other)),
            ("muta in Corno di postiglione", Some(Other)),
            ("nimmt Horn", Some(Horn)),
            ("muta in Corno", Some(Horn)),
            ("muta in Corno I", Some(Horn)),
            ("take horn", Some(Horn)),
            ("take natural horn", Some(Horn)),
            ("Horn", Some(Horn)),
            ("(Corno)", Some(Horn)),
            ("Hn. 1", Some(Horn)),
            ("nimmt Dämpfer", None),
            ("take mutes off", None),
            ("take a breath", None),
            ("Horns up", None),
            ("Horn solo", None),
            ("Tuba", None),
            ("muta in Es", None),
        ] {
            let taken = read_words(words)
                .into_iter()
                .find_map(|term| match term.instruction {
                    Instruction::TakeUp(taken) => Some(taken),
                    _ => None,
                });
            assert_eq!(taken, expected, "{words}");
            read += 1;
        }
        assert_eq!(read, 27);
    }

    #[test]
    fn all_words_of_a_change_belong_to_it() {
        for (words, change) in [
            ("take natural horn, solo", "take natural horn"),
            ("2. nimmt Tenortuba", "nimmt Tenortuba"),
            ("dolce, take horn, solo", "take horn"),
            ("muta in 1. Corno, sempre", "muta in 1. Corno"),
        ] {
            let term = read_words(words)
                .into_iter()
                .find(|term| matches!(term.instruction, Instruction::TakeUp(_)));
            assert_eq!(term.map(|term| &words[term.range]), Some(change));
        }
    }

    #[test]
    fn a_horn_taken_up_with_its_crook_is_a_crook() {
        for words in ["muta in Corno in F", "nimmt F-Horn", "take horn in F"] {
            let crook = read_words(words)
                .into_iter()
                .any(|term| matches!(term.instruction, Instruction::Crook(_)));
            assert!(crook, "{words}");
        }
    }
}
