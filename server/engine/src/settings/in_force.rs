//! Every value in force, with where it was said.

use std::collections::{BTreeMap, HashMap};

use horn::{Called, Level, Wording};
use rules::{House, HouseLanguage, Rule, Setting, Value};

use super::change::Change;
use super::keys::{COURTESY_SIGNS, LEAVE};
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

/// What is set of a rule otherwise than by default.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetOfRule {
    /// Its name, such as `severity` or `lowest`; `level` where numbers of the rule go by the level of the players.
    pub name: &'static str,
    /// The value in words, with its unit.
    pub value: String,
    /// Where it was said; nothing where an editor's own settings say it.
    pub origin: Option<Origin>,
}

/// What can be set by another key too: its name, and that key with its tables.
const ALSO_SET_BY: [(&str, &str); 1] =
    [("rules.notation/key-signature.signature", "page.signature")];

/// Where each thing that is set was said last.
struct Origins<'a>(HashMap<&'a str, &'a Origin>);

impl Origins<'_> {
    /// Where a thing was said; what is said of itself goes before what is said of its kind, of which the last name is
    /// the nearest.
    fn of(&self, name: &str, kinds: &[&str]) -> Option<Origin> {
        let also = ALSO_SET_BY.iter().filter(|(known, _)| *known == name);
        let also = also.map(|(_, key)| key);
        let mut names = std::iter::once(&name).chain(kinds.iter().rev()).chain(also);
        names.find_map(|name| self.0.get(name).map(|origin| (*origin).clone()))
    }

    /// Where a rule's severity was said.
    fn of_severity(&self, rule: &Rule) -> Option<Origin> {
        let (name, group) = (rule.name, rule.group());
        self.of(
            &format!("rules.{name}.severity"),
            &[
                "rules.all",
                &format!("rules.{group}"),
                &format!("rules.{group}.severity"),
                &format!("rules.{name}"),
            ],
        )
    }
}

impl Settings {
    fn last_origins<'a>(&'a self, part: Option<&'a str>) -> Origins<'a> {
        Origins(self.origins(part).collect())
    }

    /// What is set of a rule for a part by its name, otherwise than by this project's default: its severity, its own
    /// settings, and the level of the players where what holds goes by it.
    #[must_use]
    pub fn set_of_rule(&self, rule: &Rule, part: Option<&str>) -> Vec<SetOfRule> {
        let house = part.map_or(std::borrow::Cow::Borrowed(&self.house), |part| {
            self.house_of(part)
        });
        let origins = self.last_origins(part);
        let mut all = Vec::new();
        let severity = house.severity(rule.name, rule.severity);
        if severity != Some(rule.severity) {
            all.push(SetOfRule {
                name: "severity",
                value: severity.map_or("off", rules::Severity::name).to_owned(),
                origin: origins.of_severity(rule),
            });
        }
        let ours = House::default().level;
        let mut by_level = false;
        for setting in rule.settings {
            let default = |level: Level| (setting.default)(level).value;
            let value = house.value(rule.name, setting).value;
            if value == default(house.level) {
                by_level |= value != default(ours);
            } else {
                all.push(SetOfRule {
                    name: setting.name,
                    value: value.to_string(),
                    origin: origins.of(&name_of(rule, setting), &[]),
                });
            }
        }
        if by_level {
            all.push(SetOfRule {
                name: "level",
                value: house.level.name().to_owned(),
                origin: origins.of("level", &[]),
            });
        }
        all
    }

    /// Every value in force for a part by its name, or for those that nothing else is said of.
    #[must_use]
    pub fn in_force(&self, part: Option<&str>) -> Vec<InForce> {
        let house = part.map_or(std::borrow::Cow::Borrowed(&self.house), |part| {
            self.house_of(part)
        });
        let origins = self.last_origins(part);
        let mut all = Vec::new();
        let mut put = |name: String, value: serde_json::Value| {
            let origin = origins.of(&name, &[]);
            all.push(InForce {
                name,
                value,
                origin,
            });
        };
        let casting = &self.casting;
        put("level".to_owned(), house.level.name().into());
        put("instrument".to_owned(), casting.instrument.word().into());
        put("bass-clef".to_owned(), casting.bass_clef.name().into());
        if let Some(tempo) = casting.assumed_tempo {
            put("assumed-tempo".to_owned(), tempo.rate().into());
        }
        let mut parts = BTreeMap::new();
        for set in &self.sets {
            if let Change::Part(_, _, words) = &set.change {
                parts.insert(set.name.as_str(), words.as_str());
            }
        }
        for (name, words) in parts {
            put(name.to_owned(), words.into());
        }
        // Only what was said of the page has notes told that lack one.
        let courtesy = if house.courtesy_kept {
            "page.courtesy"
        } else {
            "courtesy"
        };
        put(courtesy.to_owned(), house.courtesy.name().into());
        let [plain, brackets] = COURTESY_SIGNS;
        let sign = if house.courtesy_brackets {
            brackets
        } else {
            plain
        };
        put("page.courtesy-sign".to_owned(), sign.into());
        let pitch = house.pitch.map_or(LEAVE, theory::PagePitch::name);
        put("page.pitch".to_owned(), pitch.into());
        let language = match house.words.language() {
            HouseLanguage::Part => "part",
            HouseLanguage::Only(language) => language.name(),
        };
        put("words.language".to_owned(), language.into());
        for wording in Wording::ALL {
            if let Some(words) = house.words.printed(wording) {
                put(format!("words.{}", wording.name()), words.into());
            }
        }
        for called in Called::ALL {
            if let Some(words) = house.calls.printed(called) {
                put(format!("words.{}", called.name()), words.into());
            }
        }
        let naming = &house.naming;
        for (name, pattern) in [("single", &naming.single), ("shared", &naming.shared)] {
            if let Some(pattern) = pattern {
                put(format!("names.{name}"), pattern.as_str().into());
            }
        }
        put("names.numerals".to_owned(), naming.numerals.name().into());
        put("names.e-flat".to_owned(), naming.e_flat.as_str().into());
        put("names.between".to_owned(), naming.between.as_str().into());
        for rule in rules::ALL {
            let severity = house.severity(rule.name, rule.severity);
            all.push(InForce {
                name: format!("rules.{}.severity", rule.name),
                value: severity.map_or("off", rules::Severity::name).into(),
                origin: origins.of_severity(rule),
            });
            for setting in rule.settings {
                let value = match house.value(rule.name, setting).value {
                    Value::Pitch(pitch) => pitch.to_string().into(),
                    Value::Seconds(number) | Value::Number(number, _) => number.into(),
                    Value::Choice(word) => word.into(),
                };
                // The level decides what holds where nothing is set.
                let name = name_of(rule, setting);
                all.push(InForce {
                    origin: origins.of(&name, &[]),
                    name,
                    value,
                });
            }
        }
        all
    }
}

/// A rule's setting by its name with those of its tables.
fn name_of(rule: &Rule, setting: &Setting) -> String {
    format!("rules.{}.{}", rule.name, setting.name)
}
