//! What a comment can say of a score as a lesson: `expect`, `task`, `hint` and `only`.

use std::ops::RangeInclusive;

use super::{DirectiveKind, PartSelector, rule_names};

/// A fault that a lesson announces, so that those who learn may find it and put it right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expect {
    /// The rule by name.
    pub rule: String,
    /// The numbers of the bars in one of which it is; anywhere when none are named.
    pub bars: Option<RangeInclusive<u32>>,
    /// The part; any when none is named.
    pub part: Option<PartSelector>,
}

impl Expect {
    /// Whether it may be found in a bar of this number, or in none.
    #[must_use]
    pub fn is_in_bar(&self, number: Option<u32>) -> bool {
        let bars = self.bars.as_ref();
        bars.is_none_or(|bars| number.is_some_and(|number| bars.contains(&number)))
    }
}

/// What a verb of lessons says with the words after it; `None` when it is no such verb.
pub(super) fn read(verb: &str, words: &str) -> Option<DirectiveKind> {
    let unknown = |expected: &str| DirectiveKind::Unknown(expected.to_owned());
    let said = |kind: fn(String) -> DirectiveKind, expected: &str| {
        if words.is_empty() {
            unknown(expected)
        } else {
            kind(words.to_owned())
        }
    };
    Some(match verb {
        "expect" => expect(words).map_or_else(
            || {
                unknown(
                    "`expect group/rule`, with `in bar 7` or `in bars 5-8`, `in part \"Horn 2\"` or both behind it",
                )
            },
            DirectiveKind::Expect,
        ),
        "task" => said(DirectiveKind::Task, "`task` and what is to be done"),
        "hint" => said(
            DirectiveKind::Hint,
            "`hint` and a step towards the task above it",
        ),
        "only" => {
            let names = rule_names(words).map(|(_, name)| name.to_owned());
            match names.collect::<Vec<_>>() {
                rules if rules.is_empty() => {
                    unknown("`only` and rules or groups, as in `only stopped, mute`")
                }
                rules => DirectiveKind::Only { rules },
            }
        }
        _ => return None,
    })
}

/// Reads `group/rule in bar 7 in part "Horn 2"`; bar, or `bars 5-8`, and part may be left out or change places.
fn expect(words: &str) -> Option<Expect> {
    let (rule, mut rest) = word(words)?;
    let mut expect = Expect {
        rule: rule.to_owned(),
        bars: None,
        part: None,
    };
    while let Some(("in", after)) = word(rest) {
        let (what, after) = word(after)?;
        let (value, after) = value(after)?;
        match what {
            "bar" | "bars" if expect.bars.is_none() => expect.bars = Some(bars(value)?),
            "part" if expect.part.is_none() => expect.part = Some(PartSelector::read(value)),
            _ => return None,
        }
        rest = after;
    }
    rest.is_empty().then_some(expect)
}

/// Reads `7` or `5-8`.
fn bars(value: &str) -> Option<RangeInclusive<u32>> {
    let (first, last) = value.split_once(['-', '–']).unwrap_or((value, value));
    let bars = first.parse().ok()?..=last.parse().ok()?;
    (!bars.is_empty()).then_some(bars)
}

/// The first word of a text and what stands behind it; commas part words as spaces do.
fn word(text: &str) -> Option<(&str, &str)> {
    let parts = |letter: char| letter.is_whitespace() || letter == ',';
    let end = text.find(parts).unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    (!word.is_empty()).then(|| (word, rest.trim_start_matches(parts)))
}

/// The same for a word that may stand in quotation marks with spaces in it.
fn value(text: &str) -> Option<(&str, &str)> {
    let Some(quoted) = text.strip_prefix('"') else {
        return word(text);
    };
    let (value, rest) = quoted.split_once('"')?;
    let rest = rest.trim_start_matches(|letter: char| letter.is_whitespace() || letter == ',');
    (!value.trim().is_empty()).then(|| (value.trim(), rest))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse_directive;

    fn kind(words: &str) -> DirectiveKind {
        let (_, kind) = parse_directive(words).unwrap();
        kind
    }

    #[test]
    fn what_is_expected_and_where() {
        let horn = || Some(PartSelector::Named("Horn 2".to_owned()));
        for (words, bars, part) in [
            ("stopped/too-low", None, None),
            ("stopped/too-low in bar 7", Some(7..=7), None),
            (
                "stopped/too-low in bar 7 in part \"Horn 2\"",
                Some(7..=7),
                horn(),
            ),
            (
                "stopped/too-low, in part \"Horn 2\", in bar 0",
                Some(0..=0),
                horn(),
            ),
            (
                "stopped/too-low in part 2",
                None,
                Some(PartSelector::Named("2".to_owned())),
            ),
            ("stopped/too-low in bars 5-8", Some(5..=8), None),
            ("stopped/too-low in bars 5–8", Some(5..=8), None),
            ("stopped/too-low in part *", None, Some(PartSelector::All)),
        ] {
            let wanted = Expect {
                rule: "stopped/too-low".to_owned(),
                bars,
                part,
            };
            assert_eq!(
                kind(&format!("bellhand: expect {words}")),
                DirectiveKind::Expect(wanted),
                "{words}"
            );
        }
    }

    #[test]
    fn tasks_hints_and_what_is_looked_at() {
        for (words, wanted) in [
            (
                "task  Move it up ",
                DirectiveKind::Task("Move it up".to_owned()),
            ),
            ("Hint: where?", DirectiveKind::Unknown(String::new())),
            ("hint in bar 7", DirectiveKind::Hint("in bar 7".to_owned())),
            (
                "only stopped, mute/already: the rest comes later",
                DirectiveKind::Only {
                    rules: vec!["stopped".to_owned(), "mute/already".to_owned()],
                },
            ),
        ] {
            match (kind(&format!("bellhand: {words}")), wanted) {
                (DirectiveKind::Unknown(_), DirectiveKind::Unknown(_)) => {}
                (kind, wanted) => assert_eq!(kind, wanted, "{words}"),
            }
        }
    }

    #[test]
    fn what_is_half_said_is_not_followed() {
        for (words, meant) in [
            ("expect", "`expect group/rule`"),
            ("expect stopped/too-low in bar", "`expect group/rule`"),
            ("expect stopped/too-low in bar seven", "`expect group/rule`"),
            (
                "expect stopped/too-low in bar 7 in bar 8",
                "`expect group/rule`",
            ),
            ("expect stopped/too-low bar 7", "`expect group/rule`"),
            ("expect stopped/too-low in bars 8-5", "`expect group/rule`"),
            ("expect stopped/too-low in bars 5-", "`expect group/rule`"),
            (
                "expect stopped/too-low in part \"Horn",
                "`expect group/rule`",
            ),
            ("expect stopped/too-low in part \"\"", "`expect group/rule`"),
            ("task", "`task`"),
            ("hint ", "`hint`"),
            ("only", "`only`"),
            ("expects range/too-high", "`expect group/rule in bar 7`"),
        ] {
            match kind(&format!("bellhand: {words}")) {
                DirectiveKind::Unknown(expected) => {
                    assert!(expected.contains(meant), "{words}: {expected}");
                }
                other => panic!("{words}: {other:?}"),
            }
        }
    }
}
