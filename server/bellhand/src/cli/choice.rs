//! Which rules are meant, by their names or those of their groups.

use std::str::FromStr;

use clap::Args;

/// The rules whose findings are reported.
#[derive(Debug, Default, Args)]
pub(crate) struct Choice {
    /// Report only these rules, or groups of them (mute, range/too-high)
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) only: Vec<Named>,
    /// Leave these rules, or groups of them, out of the report
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) without: Vec<Named>,
}

impl Choice {
    /// Whether a rule's findings are reported.
    pub(crate) fn holds(&self, rule: &str) -> bool {
        let named = |all: &[Named]| all.iter().any(|one| one.holds(rule));
        (self.only.is_empty() || named(&self.only)) && !named(&self.without)
    }
}

/// The name of a rule or of a group of rules.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Named(&'static str);

impl Named {
    fn holds(&self, rule: &str) -> bool {
        rule == self.0 || group(rule) == self.0
    }
}

fn group(rule: &str) -> &str {
    rule.split_once('/').map_or(rule, |(group, _)| group)
}

impl FromStr for Named {
    type Err = String;

    fn from_str(words: &str) -> Result<Self, String> {
        let known = || {
            let rules = rules::ALL.iter().map(|rule| rule.name);
            rules.flat_map(|name| [name, group(name)])
        };
        if let Some(name) = known().find(|name| name.eq_ignore_ascii_case(words.trim())) {
            return Ok(Self(name));
        }
        let meant = horn::likeliest(words, known())
            .map_or_else(String::new, |meant| format!(" Did you mean {meant}?"));
        Err(format!(
            "there is no rule or group of rules `{words}`.{meant} `bellhand explain` lists them all"
        ))
    }
}
