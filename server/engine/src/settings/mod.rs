//! What a settings file or an editor says, each slip with its place.

mod meaning;
mod said;

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use reading::Casting;
use rules::House;
use serde_json::Value;

use said::{Entry, What};

/// All that can be set from outside the score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    /// The house's style.
    pub house: House,
    /// Which parts are horns, and the tempo to assume.
    pub casting: Casting,
}

/// A settings file that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingsError {
    /// The file.
    pub path: PathBuf,
    /// The line and column from 1, when the slip has a place.
    pub place: Option<(usize, usize)>,
    /// What is wrong, and what was expected.
    pub message: String,
}

impl fmt::Display for SettingsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.path.display())?;
        if let Some((line, column)) = self.place {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}", self.message)
    }
}

impl std::error::Error for SettingsError {}

/// A settings file's slip and the bytes it stands at.
type Slip = (Range<usize>, String);

impl Settings {
    /// The names of all that can be set, in a file as in an editor.
    pub const NAMES: [&str; 7] = meaning::NAMES;

    /// Reads a settings file. Fails with the place of what is not understood.
    pub fn read(path: &Path) -> Result<Self, SettingsError> {
        let text = std::fs::read_to_string(path).map_err(|error| SettingsError {
            path: path.to_owned(),
            place: None,
            message: format!("cannot be read: {error}"),
        })?;
        Self::parse(&text).map_err(|(range, message)| SettingsError {
            path: path.to_owned(),
            place: Some(place(&text, range.start)),
            message,
        })
    }

    /// Takes over what an editor's own settings say: the same names and values as in a file, but for the names in
    /// `passed_over`, which say other things to other rooms. `section` is what the editor calls them.
    ///
    /// Fails with what is not understood, and the way to it.
    pub fn of_editor(value: &Value, section: &str, passed_over: &[&str]) -> Result<Self, String> {
        let mut settings = Self::default();
        if let What::Table(entries) = said::json(value, section).what {
            let ours = |entry: &&Entry<String>| !passed_over.contains(&entry.name.as_str());
            for entry in entries.iter().filter(ours) {
                meaning::set(&mut settings, entry)
                    .map_err(|(way, message)| format!("{way}: {message}"))?;
            }
        }
        Ok(settings)
    }

    /// Reads the text of a settings file.
    fn parse(text: &str) -> Result<Self, Slip> {
        let mut settings = Self::default();
        if let What::Table(entries) = said::toml(text)?.what {
            for entry in &entries {
                meaning::set(&mut settings, entry)?;
            }
        }
        Ok(settings)
    }
}

/// Line and column of a byte, from 1.
fn place(text: &str, byte: usize) -> (usize, usize) {
    let before = text.get(..byte).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .unwrap_or_default()
        .chars()
        .count()
        + 1;
    (line, column)
}

#[cfg(test)]
mod tests {
    use horn::{Instrument, Level};
    use serde_json::json;

    use super::*;

    #[test]
    fn an_editor_says_the_same() {
        let said = json!({
            "path": "/usr/bin/bellhand",
            "level": "community",
            "assumed-tempo": null,
            "rules": {"range/weak-low": "off", "range/too-high": {"severity": "error", "highest": "A5"}}
        });
        let settings = Settings::of_editor(&said, "bellhand", &["path"]).unwrap();
        let file = "level = \"community\"\n[rules]\n\"range/weak-low\" = \"off\"\n\
            \"range/too-high\" = { severity = \"error\", highest = \"A5\" }\n";
        assert_eq!(settings, Settings::parse(file).unwrap());
        for (said, words) in [
            (
                json!({"levle": "student"}),
                "bellhand.levle: `levle` is not known here",
            ),
            (json!({"level": 3}), "bellhand.level: expected words"),
            (
                json!({"rules": {"range/too-high": {"highest": true}}}),
                "bellhand.rules.range/too-high.highest: expected a pitch",
            ),
        ] {
            let message = Settings::of_editor(&said, "bellhand", &[]).unwrap_err();
            assert!(message.starts_with(words), "{message}");
        }
        let empty = json!({"rules": [], "parts": {}});
        assert_eq!(
            Settings::of_editor(&empty, "bellhand", &[]),
            Ok(Settings::default())
        );
        // An editor that says nothing, or no settings at all, sets nothing.
        assert_eq!(
            Settings::of_editor(&Value::Null, "bellhand", &[]),
            Ok(Settings::default())
        );
    }

    #[test]
    fn a_full_file_is_read() {
        let settings = Settings::parse(
            r#"
level = "community"
instrument = "single B flat"
courtesy = "never"
assumed-tempo = 84

[parts]
"Alto I" = "horn in E flat"

[rules]
"range/weak-low" = "off"
"range/too-high" = { severity = "error", highest = "A5" }
"#,
        )
        .unwrap();
        assert_eq!(settings.house.level, Level::Community);
        assert_eq!(settings.casting.instrument, Instrument::SingleBFlat);
        assert_eq!(settings.casting.parts.len(), 1);
        assert_eq!(
            settings
                .house
                .severity("range/weak-low", rules::Severity::Warning),
            None
        );
        assert_eq!(
            settings
                .house
                .severity("range/too-high", rules::Severity::Warning),
            Some(rules::Severity::Error)
        );
    }

    #[test]
    fn slips_are_told_with_their_place() {
        for (text, line, words) in [
            ("level = \"expert\"", 1, "level"),
            ("instrument = \"B flat\"", 1, "\"single B flat\""),
            ("\nwidth = 3", 2, "`width`"),
            ("[rules]\n\"range/too-hihg\" = \"off\"", 2, "no rule"),
            ("[rules]\n\"range/too-high\" = { highest = 7 }", 2, "pitch"),
            ("[rules]\n\"mute/no-time\" = { insert = -1 }", 2, "seconds"),
            ("[rules]\n\"range/too-high\" = \"loud\"", 2, "severity"),
            ("[parts]\nAlto = \"horn in Q\"", 2, "`in Q` says nothing"),
            ("level = ", 1, ""),
        ] {
            let (range, message) = Settings::parse(text).unwrap_err();
            let (at, _) = place(text, range.start);
            assert_eq!(at, line, "{text}: {message}");
            assert!(message.contains(words), "{text}: {message}");
        }
    }
}
