//! The rules' own words: a page for each, and the book of all.

use std::fmt::Write as _;

use crate::Rule;
use horn::Level;

/// A rule's page in Markdown: its words, and what can be set.
#[must_use]
pub fn page(rule: &Rule) -> String {
    format!("# {}\n\n{}", rule.name, body(rule))
}

/// The rule book in Markdown: all rules by group.
#[must_use]
pub fn book() -> String {
    let mut book = String::from(
        "# The rule book\n\nWhat bellhand says about a horn part, rule by rule, and why. \
         Made by `bellhand explain --book` from the rules themselves; do not edit it by hand.\n\n",
    );
    let _ = write!(book, "{}\n\n", horn::caution());
    book.push_str("| rule | usually | what it finds |\n|---|---|---|\n");
    for rule in crate::ALL {
        let _ = writeln!(
            book,
            "| [{0}](#{1}) | {2} | {3} |",
            rule.name,
            rule.name.replace('/', ""),
            rule.severity,
            rule.summary()
        );
    }
    for rule in crate::ALL {
        // One level down: the book has a title of its own.
        let body = body(rule).replace("\n## ", "\n### ");
        let _ = write!(book, "\n## {}\n\n{body}", rule.name);
    }
    book
}

fn body(rule: &Rule) -> String {
    let words = rule
        .words()
        .trim()
        .replace("```abc speaks", "Reported:\n\n```abc")
        .replace("```abc silent", "Not reported:\n\n```abc");
    let mut page = format!(
        "Usually: {}\n\n{words}\n\n## Settings\n\nIn `bellhand.toml`, under `[rules]`: `\"{}\" = \"off\"`, or another \
         severity.\n",
        rule.severity, rule.name
    );
    if !rule.settings.is_empty() {
        page.push('\n');
    }
    for setting in rule.settings {
        let defaults: Vec<String> = Level::ALL
            .into_iter()
            .map(|level| (level, (setting.default)(level)))
            .map(|(level, default)| format!("{level} {} ({})", default.value, default.source))
            .collect();
        let same = Level::ALL
            .windows(2)
            .all(|pair| (setting.default)(pair[0]).value == (setting.default)(pair[1]).value);
        let shown = if same {
            let default = (setting.default)(Level::Professional);
            format!("{} ({})", default.value, default.source)
        } else {
            defaults.join("; ")
        };
        let _ = writeln!(
            page,
            "- `{}`: {} Default: {shown}.",
            setting.name, setting.what
        );
    }
    page
}
