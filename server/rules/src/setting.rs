//! What a house can set of a rule, with the default and who says so.

use std::fmt;

use horn::{Dynamic, Level, Source, Sourced};
use theory::WrittenPitch;

/// What kind of value a setting takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A pitch as written for horn in F.
    Pitch,
    /// Seconds.
    Seconds,
    /// A number of something, such as semitones or notes a second.
    Number(&'static str),
    /// One of these words.
    Choice(&'static [&'static str]),
}

/// A value of a setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A pitch as written for horn in F.
    Pitch(WrittenPitch),
    /// Seconds.
    Seconds(f64),
    /// A number, and of what.
    Number(f64, &'static str),
    /// One of the words offered.
    Choice(&'static str),
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pitch(pitch) => pitch.fmt(f),
            Self::Seconds(seconds) => write!(f, "{seconds} s"),
            Self::Number(number, of) => write!(f, "{number} {of}"),
            Self::Choice(word) => f.write_str(word),
        }
    }
}

/// A value as a person wrote it, before it is checked.
#[derive(Debug, Clone, PartialEq)]
pub enum Given {
    /// Words.
    Text(String),
    /// A number.
    Number(f64),
    /// Anything else, as it was written.
    Other(String),
}

/// A setting.
#[derive(Debug)]
pub struct Setting {
    /// Its name within its rule.
    pub name: &'static str,
    /// What it sets, as a sentence.
    pub what: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// What holds when nobody sets it, for a level of player.
    pub default: fn(Level) -> Sourced<Value>,
}

impl Setting {
    /// Checks a value; the error says what was expected, as the end of a sentence.
    pub fn accept(&self, given: &Given) -> Result<Value, String> {
        match (self.kind, given) {
            (Kind::Pitch, Given::Text(text)) => text
                .parse()
                .map(Value::Pitch)
                .map_err(|error| error.to_string()),
            (Kind::Seconds, Given::Number(seconds)) if (0.0..=600.0).contains(seconds) => {
                Ok(Value::Seconds(*seconds))
            }
            (Kind::Number(of), Given::Number(number)) if (0.0..=1000.0).contains(number) => {
                Ok(Value::Number(*number, of))
            }
            (Kind::Choice(words), Given::Text(text)) => words
                .iter()
                .find(|word| **word == text.as_str())
                .map(|word| Value::Choice(word))
                .ok_or_else(|| self.expected()),
            _ => Err(self.expected()),
        }
    }

    /// What it takes, in words.
    #[must_use]
    pub fn expected(&self) -> String {
        match self.kind {
            Kind::Pitch => "expected a pitch as written for horn in F, such as \"Bb5\"".to_owned(),
            Kind::Seconds => "expected a number of seconds from 0 to 600".to_owned(),
            Kind::Number(of) => format!("expected a number of {of} from 0 to 1000"),
            Kind::Choice(words) => format!("expected one of {}", words.join(", ")),
        }
    }
}

/// A pitch that stands in the instrument room, as a setting's default.
pub(crate) fn pitch(height: Sourced<horn::Height>) -> Sourced<Value> {
    Sourced {
        value: Value::Pitch(height.value.0),
        source: height.source,
    }
}

/// A time that stands in the instrument room, as a setting's default.
pub(crate) fn seconds(time: Sourced<theory::Seconds>) -> Sourced<Value> {
    Sourced {
        value: Value::Seconds(time.value.0),
        source: time.source,
    }
}

/// A number that stands in the instrument room, as a setting's default.
pub(crate) fn number(number: Sourced<f64>, of: &'static str) -> Sourced<Value> {
    Sourced {
        value: Value::Number(number.value, of),
        source: number.source,
    }
}

/// A dynamic as a setting's default: the word for it among those that can be chosen, of which there is at least one.
pub(crate) fn dynamic(words: &'static [&'static str], dynamic: Sourced<Dynamic>) -> Sourced<Value> {
    let is = |word: &&&str| Dynamic::read(word) == Some(dynamic.value);
    choice(
        words.iter().find(is).copied().unwrap_or("mf"),
        dynamic.source,
    )
}

/// A word as a setting's default.
pub(crate) const fn choice(word: &'static str, source: Source) -> Sourced<Value> {
    Sourced {
        value: Value::Choice(word),
        source,
    }
}
