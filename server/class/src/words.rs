//! The rule book's words on a rule, as plain text.

use rules::Rule;

/// What a rule's words say beside what it finds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct RuleWords {
    /// Why it matters to the player.
    pub(crate) why: String,
    /// What to write instead.
    pub(crate) instead: String,
}

/// A rule's words.
pub(crate) fn of(rule: &Rule) -> RuleWords {
    let words = rule.words();
    RuleWords {
        why: section(&words, "Why it matters"),
        instead: section(&words, "What to write instead"),
    }
}

/// The paragraphs under a heading, without the signs that set words in type.
fn section(words: &str, heading: &str) -> String {
    let mut lines = words.lines().skip_while(|line| {
        line.strip_prefix("## ")
            .is_none_or(|found| found.trim() != heading)
    });
    lines.next();
    let lines = lines.take_while(|line| !line.starts_with('#') && !line.starts_with("```"));
    let joined: Vec<&str> = lines.flat_map(str::split_whitespace).collect();
    joined.join(" ").replace(['`', '*'], "")
}

/// The name of a group of rules, as a heading.
pub(crate) fn title(group: &str) -> String {
    let mut letters = group.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_says_why_and_what_instead() {
        for rule in rules::ALL {
            let words = of(rule);
            assert!(words.why.len() > 20, "{}: {}", rule.name, words.why);
            assert!(words.instead.len() > 10, "{}: {}", rule.name, words.instead);
            assert!(
                !words.why.contains("##") && !words.instead.contains("##"),
                "{}",
                rule.name
            );
        }
        assert_eq!(title("stopped"), "Stopped");
    }
}
