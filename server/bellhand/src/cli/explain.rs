//! `bellhand explain`: a rule's own words, and what can be set of all.

use std::io::Write;

use files::{Outcome, complain};
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
                let near: Vec<&str> = rules::ALL
                    .iter()
                    .map(|rule| rule.name)
                    .filter(|known| shares_a_word(known, name))
                    .collect();
                let mut message =
                    format!("there is no rule `{name}`; `bellhand explain` lists them all");
                if !near.is_empty() {
                    message += &format!(", among them {}", near.join(", "));
                }
                complain(&message);
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
