//! Findings that say the same of one part, taken together.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use files::Remark;

/// How many bars are named one by one. Bellhand's own choice.
const MOST_BARS: usize = 6;

/// The findings that are shown, each with those that say the same of the same part; `full` leaves each by itself.
pub(super) fn together<'a>(
    remarks: impl IntoIterator<Item = &'a Remark>,
    full: bool,
) -> Vec<(&'a Remark, Vec<&'a Remark>)> {
    let mut places = HashMap::new();
    let mut shown: Vec<(&Remark, Vec<&Remark>)> = Vec::new();
    for remark in remarks {
        // What is said of no bar is said of different things.
        if full || remark.bar.is_none() || remark.part.is_none() {
            shown.push((remark, Vec::new()));
            continue;
        }
        let (_, rest) = first_sentence(&remark.message);
        let about = (remark.piece, remark.who(), remark.severity);
        let key = (remark.rule.as_str(), about, rest, remark.source.as_str());
        match places.entry(key) {
            Entry::Vacant(place) => {
                place.insert(shown.len());
                shown.push((remark, Vec::new()));
            }
            Entry::Occupied(place) => {
                if let Some((_, same)) = shown.get_mut(*place.get()) {
                    same.push(remark);
                }
            }
        }
    }
    shown
}

/// Where else the same is to be said: how often, and in which bars.
pub(super) fn also(same: &[&Remark]) -> Option<String> {
    let mut bars: Vec<u32> = same.iter().filter_map(|remark| remark.bar).collect();
    bars.sort_unstable();
    bars.dedup();
    let bars = match bars.as_slice() {
        [] => return None,
        [one] => format!("bar {one}"),
        [one, between @ .., last] if between.len() + 2 <= MOST_BARS => {
            let between: String = between.iter().map(|bar| format!(", {bar}")).collect();
            format!("bars {one}{between} and {last}")
        }
        [first, .., last] => format!("bars {first}\u{2013}{last}"),
    };
    let times = match same.len() {
        1 => "once more".to_owned(),
        many => format!("{many} times more"),
    };
    Some(format!("the same {times}, in {bars}"))
}

/// A message's first sentence, which says what is wrong, and the rest, which says why and what to do.
pub(super) fn first_sentence(message: &str) -> (&str, &str) {
    message
        .split_once(". ")
        .map_or((message.trim_end_matches('.'), ""), |(first, rest)| {
            (first, rest)
        })
}
