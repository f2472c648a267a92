//! Which rules are meant, by their names or those of their groups.

use clap::Args;
use rules::RuleSelector;

/// The rules whose findings are reported.
#[derive(Debug, Default, Args)]
pub(crate) struct Choice {
    /// Report only these rules, or groups of them (mute, range/too-high)
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) only: Vec<RuleSelector>,
    /// Leave these rules, or groups of them, out of the report
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) without: Vec<RuleSelector>,
}

impl Choice {
    /// Whether a rule's findings are reported.
    pub(crate) fn holds(&self, rule: &str) -> bool {
        let named = |all: &[RuleSelector]| all.iter().any(|one| one.holds(rule));
        (self.only.is_empty() || named(&self.only)) && !named(&self.without)
    }
}
