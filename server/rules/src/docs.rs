//! The examples that stand in a rule's words, so that tests can run them.

use crate::rule::Rule;

/// An example from a rule's words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Example {
    /// The notation it is in (`abc`).
    pub format: String,
    /// Whether the rule must speak.
    pub speaks: bool,
    /// The text.
    pub text: String,
    /// The text of the settings that it is judged by, where the default does not do.
    pub settings: String,
}

/// The examples of a rule: fenced blocks opened by ` ```abc speaks ` or ` ```abc silent `; a block opened by
/// ` ```toml settings ` holds for those after it.
#[must_use]
pub fn examples(rule: &Rule) -> Vec<Example> {
    let mut found = Vec::new();
    let words = rule.words();
    let mut rest = words.as_str();
    let mut settings = String::new();
    while let Some((_, after)) = rest.split_once("```") {
        let Some((head, after)) = after.split_once('\n') else {
            break;
        };
        let Some((text, after)) = after.split_once("```") else {
            break;
        };
        if head.trim() == "toml settings" {
            text.clone_into(&mut settings);
        } else if let Some((format, word)) = head.trim().split_once(' ') {
            found.push(Example {
                format: format.to_owned(),
                speaks: word.trim() == "speaks",
                text: text.to_owned(),
                settings: settings.clone(),
            });
        }
        rest = after;
    }
    found
}
