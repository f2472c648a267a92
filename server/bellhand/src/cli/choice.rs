//! Which rules are meant, by their names or those of their groups, and which part.

use clap::Args;
use rules::RuleSelector;

/// The rules, and the part, whose findings are reported.
#[derive(Debug, Default, Args)]
pub(crate) struct Choice {
    /// Report only these rules, or groups of them (mute, range/too-high)
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) only: Vec<RuleSelector>,
    /// Leave these rules, or groups of them, out of the report
    #[arg(long, value_name = "RULE", value_delimiter = ',')]
    pub(crate) without: Vec<RuleSelector>,
    /// Report only findings about this part, by its name
    #[arg(long, value_name = "PART", conflicts_with_all = ["known", "write_known"])]
    pub(crate) part: Option<String>,
}

impl Choice {
    /// Whether what is found about a part is reported, as far as the part goes.
    pub(crate) fn is_about(&self, part: Option<&str>) -> bool {
        let wanted = self.part.as_deref().map(str::trim);
        wanted
            .is_none_or(|wanted| part.is_some_and(|part| part.trim().eq_ignore_ascii_case(wanted)))
    }

    /// Whether a rule's findings are reported.
    pub(crate) fn holds(&self, rule: &str) -> bool {
        let named = |all: &[RuleSelector]| all.iter().any(|one| one.holds(rule));
        (self.only.is_empty() || named(&self.only)) && !named(&self.without)
    }
}
