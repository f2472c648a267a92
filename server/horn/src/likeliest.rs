//! Finds what mistyped words were most likely meant to be.

/// How unlike a known phrase words may be to be taken for a slip of the pen, from 0 (the same) to 1. Chosen.
const NEAR: f64 = 0.34;

/// The phrase that words are most like, letter by letter; `None` when they are like none, or are one themselves.
#[must_use]
pub fn likeliest<'k>(words: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let plain = words.to_lowercase();
    known
        .into_iter()
        .map(|known| (distance(&plain, known), known))
        .min_by(|one, other| one.0.total_cmp(&other.0))
        .filter(|(far, _)| *far > 0.0 && *far <= NEAR)
        .map(|(_, known)| known)
}

/// How unlike two phrases are, from 0 to 1.
fn distance(one: &str, other: &str) -> f64 {
    1.0 - strsim::normalized_damerau_levenshtein(one, &other.to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::likeliest;

    #[test]
    fn slips_find_what_was_meant() {
        let known = ["range/too-high", "range/too-low", "mute/no-time"];
        for (words, meant) in [
            ("range/to-high", Some("range/too-high")),
            ("Range/too-lwo", Some("range/too-low")),
            ("mute/notime", Some("mute/no-time")),
            ("range/too-high", None),
            ("frobnicate", None),
            ("", None),
        ] {
            assert_eq!(likeliest(words, known), meant, "{words}");
        }
    }
}
