//! Barlines: repeats, endings and the ends of sections.

use score::Barline;

use crate::musicxml::tree::Element;

/// Where in its measure a barline stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Location {
    Left,
    Middle,
    Right,
}

/// A `<barline>` as the model has it.
pub(super) fn read(element: Element<'_>) -> (Location, Barline) {
    let location = match element.attribute("location").as_deref() {
        Some("left") => Location::Left,
        Some("middle") => Location::Middle,
        _ => Location::Right,
    };
    let repeat = element.child("repeat");
    let toward = |direction| repeat.is_some_and(|repeat| repeat.says("direction", direction));
    let style = element.value("bar-style");
    let ending = element
        .child("ending")
        .filter(|ending| ending.says("type", "start"))
        .and_then(|ending| ending.attribute("number"));
    let barline = Barline {
        span: element.span(),
        repeat_end: toward("backward"),
        repeat_start: toward("forward"),
        section_end: matches!(
            style.as_deref(),
            Some("light-heavy" | "light-light" | "heavy-heavy" | "heavy-light")
        ),
        times: repeat
            .and_then(|repeat| repeat.attribute("times"))
            .and_then(|times| times_of(times.trim())),
        repeat_from: false,
        ending_end: element
            .child("ending")
            .is_some_and(|ending| !ending.says("type", "start")),
        ending,
    };
    (location, barline)
}

/// How many times that says; what is beyond any number held is far beyond what is played.
fn times_of(words: &str) -> Option<u32> {
    let digits = !words.is_empty() && words.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| words.parse().unwrap_or(u32::MAX))
}
