//! What styles to start from set, each this project's choice.

use serde_json::{Value, json};

use crate::cli::arguments::HouseStyle;

/// What a style sets: the way to a key, its value, and why.
type Choice = (&'static str, Value, &'static str);

/// What a style sets, in any order.
pub(super) fn choices(style: HouseStyle) -> Vec<Choice> {
    match style {
        HouseStyle::ConcertBand => vec![
            (
                "level",
                json!("community"),
                "players of many levels share the stands",
            ),
            (
                "words.language",
                json!("english"),
                "one language for all, and Italian for the mute",
            ),
            (
                "words.mute-in",
                json!("con sord."),
                "as most printed parts have it",
            ),
            (
                "words.mute-out",
                json!("senza sord."),
                "as most printed parts have it",
            ),
            (
                "names.single",
                json!("Horn {number} in {crook}"),
                "as folders are labelled",
            ),
            (
                "names.shared",
                json!("Horns {numbers} in {crook}"),
                "as folders are labelled",
            ),
            (
                "rules.notation/key-signature",
                json!({ "signature": "wanted" }),
                "the rest of the band reads signatures, and rehearses by them",
            ),
        ],
        HouseStyle::FilmDesk => vec![
            (
                "level",
                json!("professional"),
                "players who read once and record",
            ),
            (
                "words.language",
                json!("english"),
                "nobody asks what a word means with the light on",
            ),
            ("words.mute-in", json!("mute in"), "said as it is done"),
            ("words.mute-out", json!("mute out"), "said as it is done"),
            (
                "names.single",
                json!("Horn {number} in {crook}"),
                "as the librarian calls them",
            ),
            (
                "names.shared",
                json!("Horns {numbers} in {crook}"),
                "as the librarian calls them",
            ),
            (
                "rules.mute",
                json!("error"),
                "a mute that is missed costs a take",
            ),
            ("rules.stopped", json!("error"), "so does a hand"),
            (
                "rules.notation/unclear-accidental",
                json!("error"),
                "so does a sign that is in doubt",
            ),
        ],
        HouseStyle::OperaOrchestra => vec![
            ("level", json!("professional"), "the pit's own players"),
            (
                "words.language",
                json!("italian"),
                "the house's language on the stands",
            ),
            (
                "names.single",
                json!("Corno {number} in {crook}"),
                "as the house's parts are named",
            ),
            (
                "names.shared",
                json!("Corni {numbers} in {crook}"),
                "as the house's parts are named",
            ),
            (
                "names.numerals",
                json!("roman"),
                "as the house's parts are named",
            ),
            (
                "names.e-flat",
                json!("Mi♭"),
                "as the house's parts are named",
            ),
            (
                "rules.stamina",
                json!("warning"),
                "the evening is long: rest is the composer's to give",
            ),
        ],
        HouseStyle::HistoricalEdition => vec![
            (
                "rules.all",
                json!("information"),
                "what stands in the source stays; what is odd in it is told",
            ),
            (
                "rules.text",
                json!("error"),
                "what cannot be read is still a fault",
            ),
            (
                "bass-clef",
                json!("old"),
                "bass clef an octave low, as it was written",
            ),
            (
                "courtesy",
                json!("never"),
                "the edition adds none of its own",
            ),
        ],
        HouseStyle::Beginners => vec![
            ("level", json!("student"), "a short range and long rests"),
            ("instrument", json!("single F"), "what many begin on"),
            ("courtesy", json!("next-bar"), "a sign more helps"),
            (
                "words.language",
                json!("english"),
                "the words that are taught first",
            ),
            (
                "names.single",
                json!("Horn {number} in {crook}"),
                "as folders are labelled",
            ),
            (
                "names.shared",
                json!("Horns {numbers} in {crook}"),
                "as folders are labelled",
            ),
            ("rules.stopped", json!("error"), "stopping comes later"),
            (
                "rules.range",
                json!("error"),
                "lips grow slowly; the teacher decides",
            ),
        ],
    }
}
