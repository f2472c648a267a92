//! `bellhand explain`: a rule's own words, and what can be set of all.

use std::io::Write;

use super::arguments::ExplainArguments;
use super::{Outcome, complain};
use crate::explain::{book, page};
use crate::schema::schema;

pub(crate) fn run(arguments: &ExplainArguments) -> std::io::Result<Outcome> {
    let mut out = anstream::stdout();
    match &arguments.rule {
        None if arguments.settings_schema => writeln!(out, "{:#}", schema())?,
        None if arguments.book => write!(out, "{}", book())?,
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
