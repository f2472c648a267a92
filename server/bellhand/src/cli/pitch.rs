//! Pitches as people write them on a command line: by letter and octave, with the German H, or as ABC has them.

use theory::WrittenPitch;

/// Reads `Bb4`, `B♭4`, `H4` (B natural), or ABC's `_B`, `c'`. Fails with what was expected.
pub(crate) fn written(text: &str) -> Result<WrittenPitch, String> {
    let german = || {
        let rest = text.strip_prefix(['H', 'h'])?;
        format!("B{rest}").parse().ok()
    };
    let plain = text.parse().ok().or_else(german);
    plain
        .or_else(|| notation::read_in_abc(text).map(WrittenPitch))
        .ok_or_else(|| {
            format!(
                "`{text}` is not a pitch; write a letter, any # or b, and an octave, as in F#4 (C4 is middle C), or a pitch \
                 as ABC has it, as in ^F or _b'"
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pitches_are_read_in_each_way() {
        for (text, pitch) in [
            ("Bb4", "Bb4"),
            ("B♭4", "Bb4"),
            ("H4", "B4"),
            ("h5", "B5"),
            ("_B", "Bb4"),
            ("_b'", "Bb6"),
            ("^F,", "F#3"),
            ("c", "C5"),
            ("C", "C4"),
        ] {
            assert_eq!(written(text), Ok(pitch.parse().unwrap()), "{text}");
        }
        for text in ["", "4", "X4", "Hb", "c4x", "_", "c'4"] {
            let error = written(text).unwrap_err();
            assert!(error.contains("is not a pitch"), "{error}");
        }
    }
}
