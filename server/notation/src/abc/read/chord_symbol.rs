//! Telling a chord symbol from words that were typed without a placement sign.

/// Whether text in quotes is a chord symbol (ABC 2.1, section 4.18): a root, a kind, a bass.
///
/// Many write `"con sord."` without `^`; that is no chord, and the player reads it.
pub(super) fn is_chord(text: &str) -> bool {
    text.trim().split('/').all(one) && !text.trim().is_empty()
}

fn one(chord: &str) -> bool {
    let chord = chord.trim_matches(['(', ')', ' ']);
    let Some(rest) = chord.strip_prefix(|root: char| ('A'..='G').contains(&root)) else {
        return chord == "N.C." || chord == "NC";
    };
    let mut rest = rest.trim_start_matches(['#', 'b', '♯', '♭', '=']);
    const KINDS: [&str; 17] = [
        "maj", "min", "dim", "aug", "sus", "add", "omit", "alt", "no", "m", "M", "o", "ø", "+",
        "-", "^", "°",
    ];
    while !rest.is_empty() {
        let after = rest
            .strip_prefix(|sign: char| sign.is_ascii_digit() || "#b♯♭(), ".contains(sign))
            .or_else(|| KINDS.iter().find_map(|kind| rest.strip_prefix(kind)));
        match after {
            Some(after) => rest = after,
            None => return false,
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::is_chord;

    #[test]
    fn chords_and_words() {
        for chord in [
            "C", "Am", "F#m7", "Bb7", "Gsus4", "D/F#", "Ebmaj7", "Bdim", "C7(b9)", "N.C.",
        ] {
            assert!(is_chord(chord), "{chord}");
        }
        for words in [
            "con sord.",
            "gliss.",
            "open",
            "Bells up",
            "Dämpfer weg",
            "stopped",
            "a2",
            "Cuivré",
            "",
            "Echo",
        ] {
            assert!(!is_chord(words), "{words}");
        }
    }
}
