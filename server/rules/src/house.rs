//! A house's own style: level of player, severities, and what it sets of the rules.

use std::collections::BTreeMap;

use horn::{Height, Level, Naming, Sourced};
use score::Courtesy;
use theory::{PagePitch, Seconds};

use crate::calls::HouseCalls;
use crate::catalogue;
use crate::rule::{Severity, group_of};
use crate::selector::{RuleSelector, no_such_rule};
use crate::setting::{Given, Setting, Value};
use crate::words::HouseWords;

/// What a house wants; the default is this project's.
#[derive(Debug, Clone, PartialEq)]
pub struct House {
    /// Who will play.
    pub level: Level,
    /// Which courtesy accidentals to add when accidentals are written out.
    pub courtesy: Courtesy,
    /// Whether notes that lack one of these are told.
    pub courtesy_kept: bool,
    /// Whether courtesy accidentals stand in brackets, where the notation can say so.
    pub courtesy_brackets: bool,
    /// What the notes of a page stand for; nothing leaves it to each score.
    pub pitch: Option<PagePitch>,
    /// What it prints for hand, mute and bell.
    pub words: HouseWords,
    /// What it prints for who plays on a shared staff.
    pub calls: HouseCalls,
    /// How it names its horn parts.
    pub naming: Naming,
    severities: BTreeMap<RuleSelector, Option<Severity>>,
    values: BTreeMap<(&'static str, &'static str), Value>,
}

impl Default for House {
    fn default() -> Self {
        Self {
            level: Level::Professional,
            courtesy: Courtesy::default(),
            courtesy_kept: false,
            courtesy_brackets: false,
            pitch: None,
            words: HouseWords::default(),
            calls: HouseCalls::default(),
            naming: Naming::default(),
            severities: BTreeMap::new(),
            values: BTreeMap::new(),
        }
    }
}

impl House {
    /// Sets the severity of rules; `None` silences them. A rule's own severity goes before its group's, and that before
    /// that of all rules, in whatever order they are set.
    pub fn set_severity(&mut self, selector: RuleSelector, severity: Option<Severity>) {
        self.severities.insert(selector, severity);
    }

    /// Sets a rule's setting. The error says what was expected.
    pub fn set(&mut self, rule: &str, name: &str, given: &Given) -> Result<(), String> {
        let rule = catalogue::rule(rule).ok_or_else(|| no_such_rule(rule))?;
        let setting = rule
            .settings
            .iter()
            .find(|setting| setting.name == name)
            .ok_or_else(|| match rule.settings {
                [] => format!("{} has nothing to set besides its severity", rule.name),
                settings => format!(
                    "{} has no setting `{name}`; it has {}",
                    rule.name,
                    settings
                        .iter()
                        .map(|s| s.name)
                        .collect::<Vec<_>>()
                        .join(", ")
                ),
            })?;
        let value = setting.accept(given)?;
        self.values.insert((rule.name, setting.name), value);
        Ok(())
    }

    /// The severity of a finding in this house, given the rule's own judgement; `None` when silenced.
    ///
    /// A house's word replaces the rule's usual severity; a finding the rule itself held to be more or
    /// less severe than usual moves with it only when nothing is set.
    #[must_use]
    pub fn severity(&self, rule: &'static str, own: Severity) -> Option<Severity> {
        [
            RuleSelector::Rule(rule),
            RuleSelector::Group(group_of(rule)),
            RuleSelector::All,
        ]
        .iter()
        .find_map(|selector| self.severities.get(selector).copied())
        .unwrap_or(Some(own))
    }

    /// The value of a rule's setting in this house.
    #[must_use]
    pub fn value(&self, rule: &'static str, setting: &Setting) -> Sourced<Value> {
        let default = (setting.default)(self.level);
        match self.values.get(&(rule, setting.name)) {
            Some(value) => Sourced {
                value: *value,
                source: horn::Source::HouseSetting,
            },
            None => default,
        }
    }

    pub(crate) fn pitch(&self, rule: &'static str, setting: &Setting) -> Sourced<Height> {
        let Sourced { value, source } = self.value(rule, setting);
        let pitch = match (value, (setting.default)(self.level).value) {
            (Value::Pitch(pitch), _) | (_, Value::Pitch(pitch)) => Height(pitch),
            _ => horn::extreme_high().value,
        };
        Sourced {
            value: pitch,
            source,
        }
    }

    pub(crate) fn seconds(&self, rule: &'static str, setting: &Setting) -> Sourced<Seconds> {
        let Sourced { value, source } = self.value(rule, setting);
        let seconds = if let Value::Seconds(seconds) = value {
            seconds
        } else {
            0.0
        };
        Sourced {
            value: Seconds(seconds),
            source,
        }
    }

    pub(crate) fn number(&self, rule: &'static str, setting: &Setting) -> Sourced<f64> {
        let Sourced { value, source } = self.value(rule, setting);
        let number = if let Value::Number(number, _) = value {
            number
        } else {
            0.0
        };
        Sourced {
            value: number,
            source,
        }
    }

    pub(crate) fn choice(&self, rule: &'static str, setting: &Setting) -> Sourced<&'static str> {
        let Sourced { value, source } = self.value(rule, setting);
        let word = if let Value::Choice(word) = value {
            word
        } else {
            ""
        };
        Sourced {
            value: word,
            source,
        }
    }
}
