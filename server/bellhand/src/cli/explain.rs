//! `bellhand explain`: a rule's own words, and what can be set of all.

use std::io::Write;

use files::{Outcome, complain};
use rules::RuleSelector;
use rules::explain::{book, page};

use super::arguments::ExplainArguments;
use super::terminal;
use super::typeset::typeset;
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
                complain(&no_such_rule(name));
                return Ok(Outcome::Failed);
            };
            let page = page(rule);
            if terminal::is_read_there() {
                write!(out, "{}", typeset(&page, terminal::width()))?;
            } else {
                writeln!(out, "{page}")?;
            }
        }
    }
    out.flush()?;
    Ok(Outcome::Clean)
}

/// What to say of a name that no rule has: which was likely meant, or which are about what was asked for.
fn no_such_rule(name: &str) -> String {
    if let Some(meant) = RuleSelector::rule_meant_by(name) {
        return format!("there is no rule `{name}`; did you mean `{meant}`?");
    }
    let meant = RuleSelector::meant_by(name);
    let near: Vec<&str> = rules::ALL
        .iter()
        .map(|rule| rule.name)
        .filter(|known| shares_a_word(known, meant.unwrap_or(name)))
        .collect();
    let among = match near.as_slice() {
        [] => String::new(),
        near => format!(", among them {}", near.join(", ")),
    };
    format!("there is no rule `{name}`; `bellhand explain` lists them all{among}")
}

/// Whether a rule's name holds a word that was asked for: `mute` and `mute-time` ask for all about mutes.
fn shares_a_word(known: &str, asked: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let words = text.split(|letter: char| !letter.is_alphanumeric());
        words.map(str::to_lowercase).collect()
    };
    let known = words(known);
    words(asked)
        .iter()
        .any(|word| word.len() > 2 && known.contains(word))
}
