//! Names that people type, reduced to what is a safe name of a file or folder on every system.

/// The longest name, in characters.
const LONGEST: usize = 60;

/// Names that some systems keep for devices.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// A name of letters, digits, and single hyphens, spaces and underscores between them; `None` when nothing is left, or it
/// is too long.
///
/// No name it gives leads out of a folder, is hidden, or is a device's.
pub(crate) fn reduced(name: &str) -> Option<String> {
    let mut reduced = String::new();
    let mut between = None;
    for letter in name.trim().chars().take(LONGEST + 1) {
        if letter.is_alphanumeric() {
            if let Some(between) = between.take().filter(|_| !reduced.is_empty()) {
                reduced.push(between);
            }
            reduced.push(letter);
        } else {
            between = Some(match (between, letter) {
                (None, ' ' | '_') => letter,
                _ => '-',
            });
        }
    }
    let length = reduced.chars().count();
    if length == 0 || length > LONGEST {
        return None;
    }
    let stem = reduced.to_ascii_lowercase();
    let stem = stem.trim_end_matches(|letter: char| letter.is_ascii_digit());
    if DEVICES.contains(&stem) {
        reduced.push_str("-1");
    }
    Some(reduced)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_reduced_to_files() {
        for (typed, name) in [
            ("Ada Brook", Some("Ada Brook")),
            ("  Zoë  d'Arc ", Some("Zoë-d-Arc")),
            ("../../etc/passwd", Some("etc-passwd")),
            ("..", None),
            (".hidden", Some("hidden")),
            ("a\\..\\b", Some("a-b")),
            ("a\0b\nc", Some("a-b-c")),
            ("C:", Some("C")),
            ("con", Some("con-1")),
            ("LPT1", Some("LPT1-1")),
            ("console", Some("console")),
            ("<script>alert(1)</script>", Some("script-alert-1-script")),
            ("", None),
            ("   ", None),
            ("🎵", None),
            ("日本", Some("日本")),
        ] {
            assert_eq!(reduced(typed).as_deref(), name, "{typed:?}");
        }
        assert!(reduced(&"a".repeat(LONGEST)).is_some());
        assert!(reduced(&"a".repeat(LONGEST + 1)).is_none());
    }
}
