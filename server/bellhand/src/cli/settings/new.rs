//! A new settings file: all that can be set, what a style sets of it, and what scores mostly use.

use std::io::Write;

use engine::{KEYS, Key, Takes};
use files::{Narrowed, Outcome, Sources, input};
use horn::Wording;
use serde_json::{Value, json};

use super::learned::{Learned, Mostly};
use super::style::choices;
use crate::cli::arguments::SettingsArguments;

pub(super) fn run(arguments: &SettingsArguments) -> std::io::Result<Outcome> {
    let mut learned = Learned::default();
    let failures = if arguments.paths.is_empty() {
        0
    } else {
        let sources = Sources {
            paths: arguments.paths.clone(),
            notation: None,
            settings: None,
            stdin_name: None,
        };
        input::in_turn(&sources, &Narrowed::default(), |input| {
            learned.take(&input.judged);
        })
    };
    let styled = arguments.style.map(choices).unwrap_or_default();
    let file = Writer {
        styled: &styled,
        learned: &learned,
    };
    let mut out = anstream::stdout();
    out.write_all(file.file().as_bytes())?;
    out.flush()?;
    Ok(Outcome::unless_failed(failures))
}

struct Writer<'a> {
    styled: &'a [(&'static str, Value, &'static str)],
    learned: &'a Learned,
}

impl Writer<'_> {
    fn file(&self) -> String {
        let mut text = "# How horn parts are judged here. A line that begins with # is not in force; take the # away to set it.\n\
             # What each rule takes is said by `bellhand explain RULE`, and what is in force by `bellhand settings`.\n\n"
            .to_owned();
        let single = |key: &&Key| !key.is_table() && !key.is_older();
        for key in KEYS.iter().filter(single) {
            self.key(&mut text, "", key);
        }
        for key in KEYS.iter().filter(|key| key.is_table()) {
            text += &format!("\n# {}\n", key.what);
            match key.takes {
                Takes::Where(_) => {
                    text += "# [[where]]\n# files = [\"cues/**\"]\n# parts = [\"Horn 4*\"]\n# level = \"student\"\n";
                }
                Takes::Table(keys) => {
                    text += &format!("[{}]\n", key.name);
                    for inner in keys {
                        self.key(&mut text, &format!("{}.", key.name), inner);
                    }
                }
                Takes::Parts => text += "[parts]\n# \"Alto I\" = \"horn in E flat\"\n",
                _ => {
                    text += &format!("[{}]\n", key.name);
                    self.rules(&mut text);
                }
            }
        }
        text
    }

    /// A key with what it sets: what scores mostly use, else what the style sets, else commented out.
    fn key(&self, text: &mut String, way: &str, key: &Key) {
        let name = format!("{way}{}", key.name);
        let learned = self.mostly(&name);
        let styled = self.styled.iter().find(|(known, ..)| *known == name);
        *text += &match (learned, styled) {
            (Some(mostly), _) => format!(
                "{}{} = {}  # {} of {} in the scores\n",
                // What is seldom said, or said in many ways, is for a person to decide.
                if mostly.is_clear() { "" } else { "# " },
                key.name,
                json!(mostly.text),
                mostly.times,
                mostly.of
            ),
            (None, Some((_, value, why))) => format!("{} = {value}  # {why}\n", key.name),
            (None, None) => format!("# {} = {}  # {}\n", key.name, example(key), key.what),
        };
    }

    fn mostly(&self, name: &str) -> Option<Mostly> {
        match name {
            "names.single" => self.learned.names(false),
            "names.shared" => self.learned.names(true),
            name => {
                let name = name.strip_prefix("words.")?;
                let wording = Wording::ALL.into_iter().find(|one| one.name() == name)?;
                self.learned.words(wording)
            }
        }
    }

    fn rules(&self, text: &mut String) {
        let mut any = false;
        for (name, value, why) in self.styled {
            let Some(rule) = name.strip_prefix("rules.") else {
                continue;
            };
            *text += &format!("{} = {}  # {why}\n", json!(rule), inline(value));
            any = true;
        }
        if !any {
            *text += "# all = \"warning\"\n# stopped = \"error\"\n# \"range/weak-low\" = \"off\"\n";
        }
    }
}

/// What a key is shown to take.
fn example(key: &Key) -> String {
    match key.takes {
        Takes::Choice(words, default) => {
            let words = words();
            json!(default.or_else(|| words.first().copied())).to_string()
        }
        Takes::Number(..) => "96".to_owned(),
        Takes::Text(such_as) => json!(such_as.first()).to_string(),
        Takes::Words => {
            let wording = Wording::ALL.into_iter().find(|one| one.name() == key.name);
            let word = wording.map(|wording| wording.printed(horn::Language::English));
            json!(word).to_string()
        }
        _ => "[\"../house.toml\"]".to_owned(),
    }
}

/// A value as a settings file writes it on one line.
fn inline(value: &Value) -> String {
    match value {
        Value::Object(table) => {
            let entries: Vec<_> = table
                .iter()
                .map(|(name, value)| format!("{name} = {value}"))
                .collect();
            format!("{{ {} }}", entries.join(", "))
        }
        other => other.to_string(),
    }
}
