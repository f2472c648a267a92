//! The speeds tempo words usually stand for, and the one assumed when nothing is said.

use theory::Tempo;

use crate::source::{Source, Sourced};
use crate::words::{Kind, Token, phrase_at, tokens};

/// Words and quarter notes a minute, from memory; a longer phrase counts before its own words.
const SPEEDS: [(&str, f64); 79] = [
    ("larghissimo", 36.0),
    ("grave", 40.0),
    ("largo", 46.0),
    ("larghetto", 60.0),
    ("lento", 52.0),
    ("adagissimo", 44.0),
    ("adagio", 56.0),
    ("adagietto", 66.0),
    ("andante", 76.0),
    ("andante con moto", 84.0),
    ("andantino", 84.0),
    ("sostenuto", 66.0),
    ("maestoso", 84.0),
    ("moderato", 96.0),
    ("allegretto", 108.0),
    ("allegro moderato", 116.0),
    ("allegro maestoso", 116.0),
    ("allegro ma non troppo", 120.0),
    ("allegro non troppo", 120.0),
    ("allegro", 132.0),
    ("allegro assai", 144.0),
    ("allegro molto", 144.0),
    ("molto allegro", 144.0),
    ("allegro vivace", 144.0),
    ("vivace", 152.0),
    ("vivo", 152.0),
    ("vivacissimo", 168.0),
    ("presto", 176.0),
    ("prestissimo", 200.0),
    ("alla marcia", 112.0),
    ("tempo di marcia", 112.0),
    ("marcia", 112.0),
    ("march", 112.0),
    ("march tempo", 112.0),
    ("marsch", 112.0),
    ("slow march", 69.0),
    ("waltz", 150.0),
    ("walzer", 150.0),
    ("tempo di valse", 150.0),
    ("valse", 150.0),
    ("very slow", 46.0),
    ("very slowly", 46.0),
    ("slow", 56.0),
    ("slowly", 56.0),
    ("broad", 60.0),
    ("broadly", 60.0),
    ("moderate", 96.0),
    ("moderately", 96.0),
    ("moderately slow", 72.0),
    ("moderately fast", 116.0),
    ("lively", 132.0),
    ("brisk", 132.0),
    ("briskly", 132.0),
    ("fast", 144.0),
    ("quick", 144.0),
    ("quickly", 144.0),
    ("very fast", 168.0),
    ("sehr langsam", 46.0),
    ("langsam", 56.0),
    ("breit", 56.0),
    ("getragen", 56.0),
    ("ruhig", 66.0),
    ("gehend", 76.0),
    ("massig", 92.0),
    ("bewegt", 112.0),
    ("lebhaft", 132.0),
    ("rasch", 144.0),
    ("schnell", 152.0),
    ("sehr schnell", 176.0),
    ("lent", 52.0),
    ("lentement", 52.0),
    ("modere", 92.0),
    ("anime", 126.0),
    ("vif", 152.0),
    ("wolno", 56.0),
    ("umiarkowanie", 92.0),
    ("szybko", 144.0),
    ("pomalu", 56.0),
    ("rychle", 144.0),
];

/// Words that make what follows a change against the speed before, which nobody can count alone.
const RELATIVE: [&str; 6] = ["piu", "meno", "more", "less", "plus", "moins"];

/// The usual speed of a tempo word in a text, in quarter notes a minute, from memory.
///
/// The first word that has one counts. `None` when there is none, or it is only "more" or "less" than
/// before.
#[must_use]
pub fn tempo_of(words: &str) -> Option<Sourced<Tempo>> {
    let tokens: Vec<Token<'_>> = tokens(words)
        .into_iter()
        .filter(|token| !token.is_soft())
        .collect();
    (0..tokens.len()).find_map(|at| {
        let (_, rate) = SPEEDS
            .iter()
            .filter_map(|&(phrase, rate)| Some((phrase_at(&tokens, at, phrase)?, rate)))
            .max_by_key(|&(length, _)| length)?;
        let relative = at > 0 && RELATIVE.contains(&tokens[at - 1].folded.as_str());
        (!relative).then(|| Sourced::new(Tempo::quarters_a_minute(rate), Source::FromMemory))
    })
}

/// Words of everyday speech, which in a title tell a speed only where they are all of it.
const EVERYDAY: [&str; 20] = [
    "grave",
    "very slow",
    "very slowly",
    "slow",
    "slowly",
    "broad",
    "broadly",
    "moderate",
    "moderately",
    "lively",
    "brisk",
    "briskly",
    "fast",
    "quick",
    "quickly",
    "very fast",
    "breit",
    "ruhig",
    "lent",
    "vif",
];

/// Dances and marches, which tell a speed at the end of a title too.
const KINDS: [&str; 8] = [
    "march",
    "slow march",
    "marcia",
    "marsch",
    "waltz",
    "walzer",
    "valse",
    "alla marcia",
];

/// Words that may stand before a tempo word at the start of a title.
const LEADING: [&str; 6] = ["poco", "molto", "un", "assez", "sehr", "ziemlich"];

/// The usual speed of a tempo word that a title consists of or begins with, in quarter notes a minute, from memory.
///
/// A title may have several parts: `Sonata in F: II. Adagio cantabile`. Words of everyday speech count only where
/// they are a whole part, marches and waltzes at the end of one too. `Adagio – Allegro` has two speeds, so it tells none.
#[must_use]
pub fn tempo_of_title(title: &str) -> Option<Sourced<Tempo>> {
    let mut speeds = title
        .split([':', ';', ',', '.', '(', ')', '[', ']', '–', '—', '/', '"'])
        .flat_map(|part| part.split(" - "))
        .filter_map(tempo_of_title_part);
    speeds.next().filter(|_| speeds.next().is_none())
}

fn tempo_of_title_part(part: &str) -> Option<Sourced<Tempo>> {
    let tokens: Vec<Token<'_>> = tokens(part)
        .into_iter()
        .filter(|token| token.kind == Kind::Word)
        .collect();
    let start = tokens
        .iter()
        .take_while(|token| LEADING.contains(&token.folded.as_str()) || is_roman(token.text))
        .count();
    let longest = |at: usize| {
        SPEEDS
            .iter()
            .filter_map(|&(phrase, rate)| Some((phrase_at(&tokens, at, phrase)?, phrase, rate)))
            .max_by_key(|&(length, ..)| length)
    };
    let told = |rate| Sourced::new(Tempo::quarters_a_minute(rate), Source::FromMemory);
    if let Some((length, phrase, rate)) = longest(start) {
        let whole = start + length == tokens.len();
        let named = tokens
            .get(start + length)
            .is_some_and(|next| matches!(next.folded.as_str(), "of" | "for" | "in" | "no"));
        let sure = if KINDS.contains(&phrase) {
            whole || named
        } else {
            whole || !EVERYDAY.contains(&phrase)
        };
        if sure {
            return Some(told(rate));
        }
    }
    (start..tokens.len()).find_map(|at| {
        let (length, phrase, rate) = longest(at)?;
        (at + length == tokens.len() && KINDS.contains(&phrase)).then(|| told(rate))
    })
}

/// Whether a word numbers a movement: `II`, `iv`.
fn is_roman(word: &str) -> bool {
    word.chars().all(|c| matches!(c, 'I' | 'V' | 'X'))
        || word.chars().all(|c| matches!(c, 'i' | 'v' | 'x'))
}

/// The speed taken when nothing is said: 100 quarter notes a minute, bellhand's own choice.
#[must_use]
pub fn assumed() -> Sourced<Tempo> {
    Sourced::new(Tempo::quarters_a_minute(100.0), Source::ProjectChoice)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_have_speeds() {
        for (words, rate) in [
            ("Andante", 76.0),
            ("ANDANTE con moto", 84.0),
            ("Allegro ma non troppo", 120.0),
            ("Allegro, ma tranquillo", 132.0),
            ("Poco allegro", 132.0),
            ("Sehr langsam", 46.0),
            ("Mäßig bewegt", 92.0),
            ("Très modéré", 92.0),
            ("Slow march", 69.0),
            ("Tempo di Marcia", 112.0),
        ] {
            let tempo = tempo_of(words).unwrap();
            assert!((tempo.value.rate() - rate).abs() < 1e-9, "{words}");
            assert_eq!(tempo.source, Source::FromMemory);
        }
        for words in [
            "",
            "a tempo",
            "più lento",
            "meno allegro",
            "Tempo I",
            "slower",
            "rit.",
        ] {
            assert_eq!(tempo_of(words), None, "{words}");
        }
    }

    #[test]
    fn titles_have_speeds_where_they_tell_one() {
        for (title, rate) in [
            ("Adagio", 56.0),
            ("II. Adagio cantabile", 56.0),
            ("Sonata in F: Allegro ma non troppo", 120.0),
            ("Pier Suite - IV Poco allegro", 132.0),
            ("3. Slow", 56.0),
            ("Ferry Pier March", 112.0),
            ("March of the Ferrymen", 112.0),
            ("Waltz in F", 150.0),
            ("Slow March", 69.0),
        ] {
            let tempo = tempo_of_title(title);
            assert!(
                tempo.is_some_and(|tempo| (tempo.value.rate() - rate).abs() < 1e-9),
                "{title}: {tempo:?}"
            );
        }
        for title in [
            "",
            "Pier",
            "Slow Boat to the Pier",
            "Quick Crossing",
            "The Grave Ferryman",
            "A March Morning",
            "Song without Adagio",
            "Adagio – Allegro",
            "Più lento",
            "IV",
        ] {
            assert_eq!(tempo_of_title(title), None, "{title}");
        }
    }

    #[test]
    fn longer_phrases_are_no_shadow_of_their_words() {
        for (index, (phrase, _)) in SPEEDS.iter().enumerate() {
            assert!(
                SPEEDS[..index].iter().all(|(other, _)| other != phrase),
                "{phrase}"
            );
        }
    }
}
