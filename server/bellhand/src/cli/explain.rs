//! `bellhand explain`: a rule's own words.

use std::io::Write;

use rules::Rule;

use super::arguments::ExplainArguments;
use super::{Outcome, complain};

pub(crate) fn run(arguments: &ExplainArguments) -> std::io::Result<Outcome> {
    let mut out = anstream::stdout();
    match &arguments.rule {
        None => {
            for rule in rules::ALL {
                writeln!(
                    out,
                    "{:<30} {:<12} {}",
                    rule.name,
                    rule.severity.name(),
                    rule.summary()
                )?;
            }
            writeln!(
                out,
                "\nSay `bellhand explain RULE` for one of them.\n\n{}",
                horn::caution()
            )?;
        }
        Some(name) => {
            let Some(rule) = rules::rule(name) else {
                complain(&format!(
                    "there is no rule `{name}`; `bellhand explain` lists them all"
                ));
                return Ok(Outcome::Failed);
            };
            writeln!(out, "{}", page(rule))?;
        }
    }
    out.flush()?;
    Ok(Outcome::Clean)
}

/// A rule's page in Markdown: its words, and what can be set.
#[must_use]
pub fn page(rule: &Rule) -> String {
    let mut page = format!(
        "# {}\n\nUsually: {}\n\n{}\n\n## Settings\n",
        rule.name,
        rule.severity,
        rule.words().trim()
    );
    page.push_str(&format!(
        "In `bellhand.toml`, under `[rules]`: `\"{0}\" = \"off\"`, or another severity.\n",
        rule.name
    ));
    for setting in rule.settings {
        let default = (setting.default)(horn::Level::Professional);
        page.push_str(&format!(
            "- `{}`: {} Default for professional players: {} ({}).\n",
            setting.name, setting.what, default.value, default.source
        ));
    }
    page
}
