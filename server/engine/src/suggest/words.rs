//! Words for the player: in the house's or the part's own language, what fits the way the horn is held first.

use std::borrow::Cow;

use horn::{Called, Language, Wording};
use reading::{Hand, Technique, Tone};

use super::player::{self, Player};
use super::spot::Spot;
use crate::{House, Judged};

/// Words that are the same in all languages, and what they say.
const COMMON: [(&str, &str); 4] = [
    ("solo", "To be heard above the others"),
    (
        "gliss.",
        "A rip: a fast slur up the harmonic series, left late, to the next note",
    ),
    ("cresc.", "Louder from here"),
    ("dim.", "Softer from here"),
];

/// All words that can stand at a spot, each with what it means to the player.
pub(super) fn offered(judged: &Judged, spot: &Spot<'_>, byte: usize) -> Vec<(String, String)> {
    let player = player::at(judged, byte);
    let house = match &player {
        Some(player) => judged.settings().house_of(&player.horn.label),
        None => Cow::Borrowed(&judged.settings().house),
    };
    let technique = player.map(|player| player.technique).unwrap_or_default();
    let (fitting, others): (Vec<Wording>, Vec<Wording>) = ORDER
        .into_iter()
        .partition(|wording| fits(*wording, &technique));
    let mut words: Vec<(String, String)> = Vec::new();
    let mut offer = |text: String, what: String| {
        if words.iter().all(|(known, _)| *known != text) {
            words.push((text, what));
        }
    };
    for wording in &fitting {
        offer(word(*wording, player.as_ref(), &house), what(*wording));
    }
    if let Some(player) = player.filter(|player| !player.horn.lines.is_empty()) {
        for call in calls(player, &house) {
            offer(call.0, call.1);
        }
    }
    for (text, what) in COMMON {
        offer(text.to_owned(), what.to_owned());
    }
    if !spot.typed.is_empty() {
        // Who has begun a word means it, whatever fits, and whatever language the part is in.
        for wording in fitting.iter().chain(&others) {
            let languages = match house.words.only() {
                Some(only) => vec![only],
                None => Language::ALL.to_vec(),
            };
            for language in languages {
                let text = wording.printed(language).to_owned();
                offer(text, format!("{} ({language})", what(*wording)));
            }
        }
    }
    words
}

/// What takes something back comes first: it is wanted where anything is to be taken back at all.
const ORDER: [Wording; 8] = [
    Wording::MuteOut,
    Wording::Open,
    Wording::BellsDown,
    Wording::MuteIn,
    Wording::Stopped,
    Wording::HalfStopped,
    Wording::Brassy,
    Wording::BellsUp,
];

/// Whether an instruction changes anything in how the horn is held, and can be followed.
const fn fits(wording: Wording, held: &Technique) -> bool {
    let by_hand = !matches!(held.hand, Hand::Open);
    match wording {
        Wording::MuteOut => held.muted(),
        Wording::Open => by_hand || matches!(held.tone, Tone::Brassy),
        Wording::BellsDown => held.bell_up,
        // The hand that holds the mute, or lifts the bell, is not in it.
        Wording::MuteIn | Wording::Stopped | Wording::HalfStopped => {
            !held.muted() && !by_hand && !held.bell_up
        }
        Wording::BellsUp => !held.bell_up && !by_hand && !held.muted(),
        Wording::Brassy => !matches!(held.tone, Tone::Brassy),
    }
}

/// What is written for an instruction in a player's part.
pub(super) fn word(wording: Wording, player: Option<&Player<'_>>, house: &House) -> String {
    match player {
        Some(player) => house.words.word_in(player.horn, wording, None),
        None => house.words.word(wording, None),
    }
}

/// Who of a shared staff plays.
fn calls(player: Player<'_>, house: &House) -> Vec<(String, String)> {
    let numbers = player.horn.lines.iter().filter_map(|line| line.player);
    let all = [
        (Called::Both, "Both players on one line"),
        (Called::First, "The first player alone"),
        (Called::Second, "The second player alone"),
    ];
    let known = if numbers.count() == 2 { all.len() } else { 0 };
    let calls = all.into_iter().take(known);
    calls
        .map(|(called, what)| (house.calls.word(called).to_owned(), what.to_owned()))
        .collect()
}

/// What an instruction means to the player.
fn what(wording: Wording) -> String {
    match wording {
        Wording::MuteIn => format!(
            "The mute goes in, which takes a rest of about {}",
            horn::time_to_insert().value
        ),
        Wording::MuteOut => format!(
            "The mute comes out, which takes a rest of about {}",
            horn::time_to_remove().value
        ),
        Wording::Stopped => {
            "The hand closes the bell: a buzz, good from written middle C up".to_owned()
        }
        Wording::HalfStopped => "The hand covers the bell loosely: soft and far away".to_owned(),
        Wording::Open => "As usual again: the hand opens the bell".to_owned(),
        Wording::BellsUp => {
            "The bell is raised and the hand comes out: loud, and less safe in tune".to_owned()
        }
        Wording::BellsDown => "The bell is held as usual again".to_owned(),
        Wording::Brassy => "Blown until the metal rings".to_owned(),
    }
}
