//! What a settings file says, each slip with its place.

use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use horn::{ClefConvention, Instrument, Level};
use reading::Casting;
use rules::{Given, House};
use score::{Courtesy, PartSelector};
use theory::Tempo;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

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

/// A slip and the bytes it stands at.
type Slip = (Option<Range<usize>>, String);

impl Settings {
    /// Reads a settings file. Fails with the place of what is not understood.
    pub fn read(path: &Path) -> Result<Self, SettingsError> {
        let text = std::fs::read_to_string(path).map_err(|error| SettingsError {
            path: path.to_owned(),
            place: None,
            message: format!("cannot be read: {error}"),
        })?;
        Self::parse(&text).map_err(|(range, message)| SettingsError {
            path: path.to_owned(),
            place: range.map(|range| place(&text, range.start)),
            message,
        })
    }

    /// Reads the text of a settings file.
    fn parse(text: &str) -> Result<Self, Slip> {
        let table = DeTable::parse(text)
            .map_err(|error| (error.span(), error.message().to_owned()))?
            .into_inner();
        let mut settings = Self::default();
        for (key, value) in &table {
            let at = Some(value.span());
            match key.get_ref().as_ref() {
                "level" => {
                    settings.house.level = text_of(value)?
                        .parse::<Level>()
                        .map_err(|error| (at, error.to_string()))?;
                }
                "courtesy" => settings.house.courtesy = courtesy(value)?,
                "assumed-tempo" => {
                    let rate = number(value)
                        .filter(|rate| (10.0..=400.0).contains(rate))
                        .ok_or_else(|| {
                            (
                                at,
                                "expected quarter notes a minute, from 10 to 400".to_owned(),
                            )
                        })?;
                    settings.casting.assumed_tempo = Some(Tempo::quarters_a_minute(rate));
                }
                "bass-clef" => settings.casting.bass_clef = bass_clef(value)?,
                "instrument" => {
                    settings.casting.instrument = text_of(value)?
                        .parse::<Instrument>()
                        .map_err(|error| (at, error.to_string()))?;
                }
                "parts" => parts(&mut settings.casting, value)?,
                "rules" => rules(&mut settings.house, value)?,
                other => {
                    return Err((
                        Some(key.span()),
                        format!(
                            "`{other}` is not known here; expected level, instrument, courtesy, bass-clef, assumed-tempo, parts or rules"
                        ),
                    ));
                }
            }
        }
        Ok(settings)
    }
}

fn bass_clef(value: &Spanned<DeValue<'_>>) -> Result<ClefConvention, Slip> {
    match text_of(value)? {
        "modern" => Ok(ClefConvention::Modern),
        "old" => Ok(ClefConvention::OldBass),
        other => Err((
            Some(value.span()),
            format!("`{other}` is no way to read bass clef; expected \"modern\" or \"old\""),
        )),
    }
}

fn courtesy(value: &Spanned<DeValue<'_>>) -> Result<Courtesy, Slip> {
    match text_of(value)? {
        "never" => Ok(Courtesy::Never),
        "next-bar" => Ok(Courtesy::NextBar),
        other => Err((
            Some(value.span()),
            format!(
                "`{other}` is no way to add courtesy accidentals; expected \"next-bar\" or \"never\""
            ),
        )),
    }
}

/// `[parts]`: the name or id of a part, and what it is.
fn parts(casting: &mut Casting, value: &Spanned<DeValue<'_>>) -> Result<(), Slip> {
    for (name, is) in table_of(value)? {
        let selector = match name.get_ref().as_ref() {
            "*" => PartSelector::All,
            name => PartSelector::Named(name.to_owned()),
        };
        casting.parts.push((selector, text_of(is)?.to_owned()));
    }
    Ok(())
}

/// `[rules]`: a severity, or a table with a severity and settings.
fn rules(house: &mut House, value: &Spanned<DeValue<'_>>) -> Result<(), Slip> {
    for (name, value) in table_of(value)? {
        let rule = name.get_ref().as_ref();
        let at_name = |error| (Some(name.span()), error);
        match value.get_ref() {
            DeValue::Table(table) => {
                for (key, value) in table {
                    let at = Some(value.span());
                    match key.get_ref().as_ref() {
                        "severity" => severity(house, rule, value, at_name)?,
                        key => house
                            .set(rule, key, &given(value))
                            .map_err(|error| (at, error))?,
                    }
                }
            }
            _ => severity(house, rule, value, at_name)?,
        }
    }
    Ok(())
}

fn severity(
    house: &mut House,
    rule: &str,
    value: &Spanned<DeValue<'_>>,
    at_name: impl Fn(String) -> Slip,
) -> Result<(), Slip> {
    let severity = match text_of(value)? {
        "off" => None,
        word => Some(word.parse().map_err(|_| {
            (
                Some(value.span()),
                format!(
                    "`{word}` is no severity; expected error, warning, information, hint or off"
                ),
            )
        })?),
    };
    house.set_severity(rule, severity).map_err(at_name)
}

fn given(value: &Spanned<DeValue<'_>>) -> Given {
    match value.get_ref() {
        DeValue::String(text) => Given::Text(text.to_string()),
        _ => number(value).map_or_else(
            || Given::Other(value.get_ref().type_str().to_owned()),
            Given::Number,
        ),
    }
}

fn number(value: &Spanned<DeValue<'_>>) -> Option<f64> {
    match value.get_ref() {
        DeValue::Integer(number) => number.as_str().parse().ok(),
        DeValue::Float(number) => number.as_str().parse().ok(),
        _ => None,
    }
}

fn text_of<'a>(value: &'a Spanned<DeValue<'_>>) -> Result<&'a str, Slip> {
    match value.get_ref() {
        DeValue::String(text) => Ok(text.as_ref()),
        other => Err((
            Some(value.span()),
            format!("expected words in quotes, found {}", other.type_str()),
        )),
    }
}

fn table_of<'a, 'i>(value: &'a Spanned<DeValue<'i>>) -> Result<&'a DeTable<'i>, Slip> {
    match value.get_ref() {
        DeValue::Table(table) => Ok(table),
        other => Err((
            Some(value.span()),
            format!("expected a table, found {}", other.type_str()),
        )),
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
    use super::*;

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
            ("level = ", 1, ""),
        ] {
            let (range, message) = Settings::parse(text).unwrap_err();
            let (at, _) = place(text, range.unwrap_or_default().start);
            assert_eq!(at, line, "{text}: {message}");
            assert!(message.contains(words), "{text}: {message}");
        }
    }
}
