//! What styles to start from set, each bellhand's own choice.

use serde_json::{Value, json};

use crate::cli::arguments::HouseStyle;

/// What a style sets: the way to a key, its value, and why.
type Choice = (&'static str, Value, &'static str);

/// A style's choices.
fn choices_of(list: &[(&'static str, &str, &'static str)]) -> Vec<Choice> {
    let choice =
        |(way, value, why): &(&'static str, &str, &'static str)| (*way, json!(value), *why);
    list.iter().map(choice).collect()
}

/// Plain English names, as folders are labelled.
const PLAIN_NAMES: [(&str, &str, &str); 2] = [
    (
        "names.single",
        "Horn {number} in {crook}",
        "as folders are labelled",
    ),
    (
        "names.shared",
        "Horns {numbers} in {crook}",
        "as folders are labelled",
    ),
];

/// What a style sets, in any order.
pub(super) fn choices(style: HouseStyle) -> Vec<Choice> {
    let mut choices = choices_of(words(style));
    if style == HouseStyle::ConcertBand {
        choices.push((
            "page.signature",
            json!("wanted"),
            "the rest of the band reads signatures, and rehearses by them",
        ));
    }
    if matches!(
        style,
        HouseStyle::ConcertBand | HouseStyle::FilmDesk | HouseStyle::Beginners
    ) {
        choices.extend(choices_of(&PLAIN_NAMES));
    }
    choices
}

/// What a style sets in a word each.
const fn words(style: HouseStyle) -> &'static [(&'static str, &'static str, &'static str)] {
    match style {
        HouseStyle::ConcertBand => &[
            (
                "level",
                "community",
                "players of many levels share the stands",
            ),
            (
                "words.language",
                "english",
                "one language for all, and Italian for the mute",
            ),
            (
                "words.mute-in",
                "con sord.",
                "as most printed parts have it",
            ),
            (
                "words.mute-out",
                "senza sord.",
                "as most printed parts have it",
            ),
        ],
        HouseStyle::FilmDesk => &[
            ("level", "professional", "players who read once and record"),
            (
                "words.language",
                "english",
                "nobody asks what a word means with the light on",
            ),
            ("words.mute-in", "mute in", "said as it is done"),
            ("words.mute-out", "mute out", "said as it is done"),
            ("rules.mute", "error", "a mute that is missed costs a take"),
            ("rules.stopped", "error", "so does a hand"),
            (
                "rules.notation/unclear-accidental",
                "error",
                "so does a sign that is in doubt",
            ),
        ],
        HouseStyle::OperaOrchestra => &[
            ("level", "professional", "the pit's own players"),
            (
                "words.language",
                "italian",
                "the house's language on the stands",
            ),
            (
                "names.single",
                "Corno {number} in {crook}",
                "as the house's parts are named",
            ),
            (
                "names.shared",
                "Corni {numbers} in {crook}",
                "as the house's parts are named",
            ),
            ("names.numerals", "roman", "as the house's parts are named"),
            ("names.e-flat", "Mi♭", "as the house's parts are named"),
            (
                "rules.stamina",
                "warning",
                "the evening is long: rest is the composer's to give",
            ),
        ],
        HouseStyle::HistoricalEdition => &[
            (
                "rules.all",
                "information",
                "what stands in the source stays; what is odd in it is said",
            ),
            (
                "rules.text",
                "error",
                "what cannot be read is still a fault",
            ),
            (
                "bass-clef",
                "old",
                "bass clef an octave low, as it was written",
            ),
            ("page.courtesy", "never", "the edition adds none of its own"),
        ],
        HouseStyle::Beginners => &[
            ("level", "student", "a short range and long rests"),
            ("instrument", "single F", "what many begin on"),
            ("page.courtesy", "both", "a sign more helps"),
            (
                "words.language",
                "english",
                "the words that are taught first",
            ),
            ("rules.stopped", "error", "stopping comes later"),
            (
                "rules.range",
                "error",
                "lips grow slowly; the teacher decides",
            ),
        ],
    }
}
