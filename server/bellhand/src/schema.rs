//! The JSON Schema of `bellhand.toml`, made from the rules and the instrument, for editors that complete and check.

use engine::{KEYS, Key, Takes};
use horn::Level;
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
        "properties": properties(KEYS),
    })
}

/// The properties of a table of keys; those of the whole file stand in each table of `where` too.
fn properties(keys: &[Key]) -> Map<String, Value> {
    keys.iter()
        .map(|key| (key.name.to_owned(), property(key)))
        .collect()
}

fn property(key: &Key) -> Value {
    let texts = json!({ "type": "array", "items": { "type": "string" } });
    let mut schema = match key.takes {
        Takes::Choice(words, default) => choice(key.what, &words(), default),
        Takes::Older(words) => {
            let mut schema = choice(key.what, &words(), None);
            schema["deprecated"] = json!(true);
            schema["deprecationMessage"] = json!(key.what);
            schema
        }
        Takes::Number(least, most) => {
            json!({ "type": "number", "minimum": least, "maximum": most })
        }
        Takes::Text(such_as) => json!({ "type": "string", "examples": such_as }),
        Takes::Words | Takes::Files | Takes::Patterns => {
            json!({ "anyOf": [{ "type": "string" }, texts] })
        }
        Takes::Parts => json!({ "type": "object", "additionalProperties": { "type": "string" } }),
        Takes::Rules => rules(),
        Takes::Table(keys) => json!({
            "type": "object",
            "additionalProperties": false,
            "properties": properties(keys),
        }),
        Takes::Where(whom) => {
            let mut of_table: Map<_, _> = KEYS
                .iter()
                .filter(|key| key.is_of_where())
                .map(|key| (key.name.to_owned(), property(key)))
                .collect();
            of_table.extend(properties(whom));
            json!({
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "properties": of_table,
                    "anyOf": [{ "required": ["files"] }, { "required": ["parts"] }],
                },
            })
        }
    };
    schema["description"] = json!(key.what);
    schema
}

/// Severities of all rules and of groups, and what can be set of each rule.
fn rules() -> Value {
    let groups = rules::ALL.iter().map(|rule| rule.group());
    let severities = ["all"].into_iter().chain(groups);
    let mut properties: Map<_, _> = severities
        .map(|name| (name.to_owned(), severity(None)))
        .collect();
    properties.extend(
        rules::ALL
            .iter()
            .map(|rule| (rule.name.to_owned(), of_rule(rule))),
    );
    json!({ "type": "object", "additionalProperties": false, "properties": properties })
}

/// One of some words.
fn choice(what: &str, words: &[&str], default: Option<&str>) -> Value {
    let mut schema = json!({ "description": what, "type": "string", "enum": words });
    if let Some(default) = default {
        schema["default"] = json!(default);
    }
    schema
}

fn severity(usual: Option<Severity>) -> Value {
    let graver = Severity::ALL.into_iter().rev().map(Severity::name);
    let words: Vec<_> = graver.chain(["off"]).collect();
    choice(
        "The severity, or \"off\".",
        &words,
        usual.map(Severity::name),
    )
}

/// A severity alone, or a table.
fn of_rule(rule: &Rule) -> Value {
    let mut table = Map::from_iter([("severity".to_owned(), severity(Some(rule.severity)))]);
    table.extend(
        rule.settings
            .iter()
            .map(|setting| (setting.name.to_owned(), of_setting(setting))),
    );
    json!({
        "description": rule.summary(),
        "anyOf": [
            severity(Some(rule.severity)),
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
        let mut known: Vec<_> = KEYS.iter().map(|key| key.name).collect();
        names.sort();
        known.sort_unstable();
        assert_eq!(names, known);
    }

    #[test]
    fn every_word_and_default_in_it_is_taken() {
        let schema = schema();
        let take = |said: &Value| engine::Settings::of_editor(said, "bellhand", &[]).1;
        let mut tried = 0;
        for (name, property) in schema["properties"].as_object().unwrap() {
            for word in property["enum"].as_array().into_iter().flatten() {
                assert_eq!(take(&json!({ name: word })), Vec::<String>::new());
                tried += 1;
            }
        }
        let of_rules = schema["properties"]["rules"]["properties"].as_object();
        for (rule, schema) in of_rules.unwrap() {
            if !rule.contains('/') {
                for word in schema["enum"].as_array().unwrap() {
                    assert_eq!(
                        take(&json!({ "rules": { rule: word } })),
                        Vec::<String>::new()
                    );
                    tried += 1;
                }
                continue;
            }
            for word in schema["anyOf"][0]["enum"].as_array().unwrap() {
                assert_eq!(
                    take(&json!({ "rules": { rule: word } })),
                    Vec::<String>::new()
                );
                tried += 1;
            }
            for (key, schema) in schema["anyOf"][1]["properties"].as_object().unwrap() {
                let words = schema["enum"].as_array().into_iter().flatten();
                for value in words.chain(schema.get("default")) {
                    assert_eq!(
                        take(&json!({ "rules": { rule: { key: value } } })),
                        Vec::<String>::new()
                    );
                    tried += 1;
                }
            }
        }
        println!("{tried} words and defaults are taken");
        assert!(tried > 300, "{tried}");
    }
}
