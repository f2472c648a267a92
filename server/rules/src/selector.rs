//! Rules by their names, those of their groups, or all of them.

use std::str::FromStr;

use crate::catalogue;
use crate::rule::{Rule, group_of};

/// Some of the rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleSelector {
    /// All of them.
    All,
    /// Those of a group, by its name.
    Group(&'static str),
    /// One, by its name.
    Rule(&'static str),
}

impl RuleSelector {
    /// Whether a rule of this name is among them.
    #[must_use]
    pub fn holds(self, name: &str) -> bool {
        match self {
            Self::All => true,
            Self::Group(group) => group_of(name) == group,
            Self::Rule(rule) => rule == name,
        }
    }

    /// The name that was likely meant by one that nothing has: the rule whose last word it is, or what it is most like.
    #[must_use]
    pub fn meant_by(name: &str) -> Option<&'static str> {
        let groups = catalogue::ALL.iter().map(|rule| rule.group());
        with_last_word(name).or_else(|| horn::likeliest(name, names().chain(groups)))
    }

    /// The same, where only one rule can be meant.
    #[must_use]
    pub fn rule_meant_by(name: &str) -> Option<&'static str> {
        with_last_word(name).or_else(|| horn::likeliest(name, names()))
    }
}

fn names() -> impl Iterator<Item = &'static str> {
    catalogue::ALL.iter().map(|rule| rule.name)
}

/// The rule whose last word a name is, where there is but one.
fn with_last_word(name: &str) -> Option<&'static str> {
    let mut found = names().filter(|rule| rule.rsplit('/').next() == Some(name));
    found.next().filter(|_| found.next().is_none())
}

impl FromStr for RuleSelector {
    type Err = String;

    /// `all`, a group, or a rule. The error says that there is none of that name, and what was likely meant.
    fn from_str(name: &str) -> Result<Self, Self::Err> {
        let name = name.trim();
        let group = || {
            let groups = catalogue::ALL.iter().map(|rule| rule.group());
            groups.into_iter().find(|group| *group == name)
        };
        match catalogue::rule(name) {
            _ if name == "all" => Ok(Self::All),
            Some(Rule { name, .. }) => Ok(Self::Rule(name)),
            None => group().map(Self::Group).ok_or_else(|| no_such_rule(name)),
        }
    }
}

/// What to say of a rule's name that is none.
pub(crate) fn no_such_rule(name: &str) -> String {
    match RuleSelector::meant_by(name) {
        Some(meant) => format!("there is no rule `{name}`; did you mean `{meant}`?"),
        None => format!("there is no rule `{name}`; `bellhand explain` lists them all"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_select_rules() {
        let holds =
            |name: &str, rule: &str| name.parse::<RuleSelector>().map(|one| one.holds(rule));
        for (name, rule, held) in [
            ("all", "range/too-high", true),
            ("range", "range/too-high", true),
            ("range", "rip/too-few", false),
            ("range/too-high", "range/too-high", true),
            ("range/too-high", "range/too-low", false),
        ] {
            assert_eq!(holds(name, rule), Ok(held), "{name} {rule}");
        }
        for (name, meant) in [
            ("range/too-hihg", "`range/too-high`"),
            ("too-high", "`range/too-high`"),
            ("stoped", "`stopped`"),
            ("", "lists them all"),
            ("width", "lists them all"),
        ] {
            let error = name.parse::<RuleSelector>().unwrap_err();
            assert!(error.contains(meant), "{error}");
        }
    }
}
