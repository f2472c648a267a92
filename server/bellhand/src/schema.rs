//! The JSON Schema of `bellhand.toml`, made from the rules and the instrument, for editors that complete and check.

use horn::{Instrument, Level};
use rules::{Kind, Rule, Setting, Severity, Value as SettingValue};
use serde_json::{Map, Value, json};

/// The schema. An editor's own settings of the section `bellhand` are of the same shape.
#[must_use]
pub(crate) fn schema() -> Value {
    json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": "bellhand.toml",
        "description": "How horn parts are judged. Made by `bellhand explain --settings-schema`.",
        "type": "object",
        "additionalProperties": false,
        "properties": properties(),
    })
}

fn properties() -> Value {
    json!({
        "level": choice(
            "Who will play.",
            &Level::ALL.map(Level::name),
            Some(Level::Professional.name()),
        ),
        "instrument": choice(
            "What the house plays on.",
            &Instrument::ALL.map(Instrument::word),
            Some(Instrument::default().word()),
        ),
        "courtesy": choice(
            "Which courtesy accidentals are added when a signature is written out.",
            &["next-bar", "never"],
            Some("next-bar"),
        ),
        "bass-clef": choice(
            "How bass clef is read: \"old\" is written an octave low.",
            &["modern", "old"],
            Some("modern"),
        ),
        "assumed-tempo": {
            "description": "Quarter notes a minute where the score marks none.",
            "type": "number",
            "minimum": 10,
            "maximum": 400,
        },
        "parts": {
            "description": "Parts by name, or all as \"*\", and what they are: \"horn in E flat\", \"horn in F, old bass clef\", \"not a horn\".",
            "type": "object",
            "additionalProperties": { "type": "string" },
        },
        "rules": {
            "description": "Each rule's severity, or a table with its severity and settings.",
            "type": "object",
            "additionalProperties": false,
            "properties": rules::ALL
                .iter()
                .map(|rule| (rule.name.to_owned(), of_rule(rule)))
                .collect::<Map<_, _>>(),
        },
    })
}

/// One of some words.
fn choice(what: &str, words: &[&str], default: Option<&str>) -> Value {
    let mut schema = json!({ "description": what, "type": "string", "enum": words });
    if let Some(default) = default {
        schema["default"] = json!(default);
    }
    schema
}

fn severity(usual: Severity) -> Value {
    let graver = Severity::ALL.into_iter().rev().map(Severity::name);
    let words: Vec<_> = graver.chain(["off"]).collect();
    choice("How grave it is, or \"off\".", &words, Some(usual.name()))
}

/// A severity alone, or a table.
fn of_rule(rule: &Rule) -> Value {
    let mut table = Map::from_iter([("severity".to_owned(), severity(rule.severity))]);
    table.extend(
        rule.settings
            .iter()
            .map(|setting| (setting.name.to_owned(), of_setting(setting))),
    );
    json!({
        "description": rule.summary(),
        "anyOf": [
            severity(rule.severity),
            { "type": "object", "additionalProperties": false, "properties": table },
        ],
    })
}

fn of_setting(setting: &Setting) -> Value {
    let values = Level::ALL.map(|level| (setting.default)(level).value);
    let same = values.iter().all(|value| *value == values[0]);
    let by_level = || {
        let each = Level::ALL.iter().zip(values);
        let each: Vec<_> = each
            .map(|(level, value)| format!("{level} {value}"))
            .collect();
        each.join(", ")
    };
    let default = if same {
        values[0].to_string()
    } else {
        by_level()
    };
    let expected = setting.expected();
    let mut schema = match setting.kind {
        Kind::Pitch => json!({ "type": "string", "pattern": "^[A-Ga-g]" }),
        Kind::Seconds => json!({ "type": "number", "minimum": 0, "maximum": 600 }),
        Kind::Number(_) => json!({ "type": "number", "minimum": 0, "maximum": 1000 }),
        Kind::Choice(words) => json!({ "type": "string", "enum": words }),
    };
    schema["description"] = json!(format!(
        "{} It is {expected}. Default: {default}.",
        setting.what,
        expected = expected.trim_start_matches("expected ")
    ));
    if same {
        schema["default"] = match values[0] {
            SettingValue::Pitch(pitch) => json!(pitch.to_string()),
            SettingValue::Seconds(number) | SettingValue::Number(number, _) => json!(number),
            SettingValue::Choice(word) => json!(word),
        };
    }
    schema
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_that_can_be_set_is_in_it_and_nothing_else() {
        let schema = schema();
        let mut names: Vec<_> = schema["properties"].as_object().unwrap().keys().collect();
        let mut known = engine::Settings::NAMES.to_vec();
        names.sort();
        known.sort_unstable();
        assert_eq!(names, known);
    }

    #[test]
    fn every_word_and_default_in_it_is_taken() {
        let schema = schema();
        let take = |said: &Value| engine::Settings::of_editor(said, "bellhand", &[]).map(|_| ());
        let mut tried = 0;
        for (name, property) in schema["properties"].as_object().unwrap() {
            for word in property["enum"].as_array().into_iter().flatten() {
                assert_eq!(take(&json!({ name: word })), Ok(()));
                tried += 1;
            }
        }
        for (rule, schema) in schema["properties"]["rules"]["properties"]
            .as_object()
            .unwrap()
        {
            for word in schema["anyOf"][0]["enum"].as_array().unwrap() {
                assert_eq!(take(&json!({ "rules": { rule: word } })), Ok(()));
                tried += 1;
            }
            for (key, schema) in schema["anyOf"][1]["properties"].as_object().unwrap() {
                let words = schema["enum"].as_array().into_iter().flatten();
                for value in words.chain(schema.get("default")) {
                    assert_eq!(take(&json!({ "rules": { rule: { key: value } } })), Ok(()));
                    tried += 1;
                }
            }
        }
        println!("{tried} words and defaults are taken");
        assert!(tried > 300, "{tried}");
    }
}
