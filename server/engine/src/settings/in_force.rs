//! Every value in force, with where it was said.

use std::collections::{BTreeMap, HashMap};

use horn::Wording;
use rules::{HouseLanguage, Value};

use super::change::Change;
use super::{Origin, Settings};

/// A value in force.
#[derive(Debug, Clone, PartialEq)]
pub struct InForce {
    /// Its name with those of its tables, such as `rules.range/too-high.highest`.
    pub name: String,
    /// The value, as a settings file writes it.
    pub value: serde_json::Value,
    /// Where it was said; nothing where it is this project's default.
    pub origin: Option<Origin>,
}

impl Settings {
    /// Every value in force for a part by its name, or for those that nothing else is said of.
    #[must_use]
    pub fn in_force(&self, part: Option<&str>) -> Vec<InForce> {
        let house = part.map_or(std::borrow::Cow::Borrowed(&self.house), |part| {
            self.house_of(part)
        });
        // The last that was said holds.
        let origins: HashMap<&str, &Origin> = self.origins(part).collect();
        let mut all = Vec::new();
        let mut put = |name: String, said: &[&str], value: serde_json::Value| {
            let of = |name: &str| origins.get(name).map(|origin| (*origin).clone());
            // What is said of a thing itself goes before what is said of its kind.
            let origin = of(&name).or_else(|| said.iter().rev().find_map(|name| of(name)));
            all.push(InForce {
                name,
                value,
                origin,
            });
        };
        let casting = &self.casting;
        put("level".to_owned(), &[], house.level.name().into());
        put(
            "instrument".to_owned(),
            &[],
            casting.instrument.word().into(),
        );
        put("courtesy".to_owned(), &[], house.courtesy.name().into());
        put("bass-clef".to_owned(), &[], casting.bass_clef.name().into());
        if let Some(tempo) = casting.assumed_tempo {
            put("assumed-tempo".to_owned(), &[], tempo.rate().into());
        }
        let mut parts = BTreeMap::new();
        for set in &self.sets {
            if let Change::Part(_, _, words) = &set.change {
                parts.insert(set.name.as_str(), words.as_str());
            }
        }
        for (name, words) in parts {
            put(name.to_owned(), &[], words.into());
        }
        let language = match house.words.language() {
            HouseLanguage::Part => "part",
            HouseLanguage::Only(language) => language.name(),
        };
        put("words.language".to_owned(), &[], language.into());
        for wording in Wording::ALL {
            if let Some(words) = house.words.printed(wording) {
                put(format!("words.{}", wording.name()), &[], words.into());
            }
        }
        let naming = &house.naming;
        for (name, pattern) in [("single", &naming.single), ("shared", &naming.shared)] {
            if let Some(pattern) = pattern {
                put(format!("names.{name}"), &[], pattern.as_str().into());
            }
        }
        put(
            "names.numerals".to_owned(),
            &[],
            naming.numerals.name().into(),
        );
        put(
            "names.e-flat".to_owned(),
            &[],
            naming.e_flat.as_str().into(),
        );
        put(
            "names.between".to_owned(),
            &[],
            naming.between.as_str().into(),
        );
        for rule in rules::ALL {
            let name = format!("rules.{}", rule.name);
            let group = rule.group();
            let severity = house.severity(rule.name, rule.severity);
            let severity = severity.map_or("off", rules::Severity::name);
            put(
                format!("{name}.severity"),
                &[
                    "rules.all",
                    &format!("rules.{group}"),
                    &format!("rules.{group}.severity"),
                    &name,
                ],
                severity.into(),
            );
            for setting in rule.settings {
                let value = match house.value(rule.name, setting).value {
                    Value::Pitch(pitch) => pitch.to_string().into(),
                    Value::Seconds(number) | Value::Number(number, _) => number.into(),
                    Value::Choice(word) => word.into(),
                };
                // The level decides what holds where nothing is set.
                put(format!("{name}.{}", setting.name), &[], value);
            }
        }
        all
    }
}
