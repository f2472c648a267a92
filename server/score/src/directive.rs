//! Instructions to this tool inside a score's comments: `bellhand: …`, the same words in every notation.

mod lesson;

use theory::PagePitch;

use crate::piece::Part;
use crate::span::Span;

pub use lesson::Expect;

/// The word that opens an instruction.
const OPENING: &str = "bellhand:";

/// An instruction and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Directive {
    /// Where the comment's words stand, from `bellhand:` to their end.
    pub span: Span,
    /// Whether the comment has its line to itself; then it speaks of the line below it.
    pub own_line: bool,
    /// What it says.
    pub kind: DirectiveKind,
}

/// What an instruction can say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DirectiveKind {
    /// `part 2 = horn in F`, `part "Alto I" = horn in E flat`, `part * = horn`: what a part is.
    Part {
        /// Which part.
        selector: PartSelector,
        /// What it is said to be, as written: `horn in F`, `not a horn`.
        is: String,
    },
    /// `pitch sounding`, `pitch written`: what the notes of the pages stand for.
    Pitch(PagePitch),
    /// `ignore range/too-high, rip/off-series: reason`: keep silent about these here.
    Ignore {
        /// The rules.
        rules: Vec<IgnoredRule>,
    },
    /// `ignore in file …`: keep silent about these in the whole file.
    IgnoreInFile {
        /// The rules.
        rules: Vec<IgnoredRule>,
    },
    /// `expect stopped/too-low in bar 7`: a fault that this lesson is about.
    Expect(Expect),
    /// `task Move the stopped notes up`: what a lesson asks for.
    Task(String),
    /// `hint They are too low for the hand`: a step towards the task before it.
    Hint(String),
    /// `only stopped, mute`: what is looked at when an answer to the lesson is marked.
    Only {
        /// The rules and groups of rules by name.
        rules: Vec<String>,
    },
    /// Not understood; what was expected.
    Unknown(String),
}

/// A rule that an instruction names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IgnoredRule {
    /// Its name as written.
    pub name: String,
    /// Where it stands, counted from where the instruction's words begin.
    pub at: Span,
}

impl Directive {
    /// The rules it keeps silent, if it is one that does.
    #[must_use]
    pub fn ignored(&self) -> &[IgnoredRule] {
        match &self.kind {
            DirectiveKind::Ignore { rules } | DirectiveKind::IgnoreInFile { rules } => rules,
            _ => &[],
        }
    }

    /// Whether it keeps rules silent where it stands.
    #[must_use]
    pub const fn is_of_place(&self) -> bool {
        matches!(self.kind, DirectiveKind::Ignore { .. })
    }

    /// Whether it keeps rules silent in the whole file.
    #[must_use]
    pub const fn is_of_file(&self) -> bool {
        matches!(self.kind, DirectiveKind::IgnoreInFile { .. })
    }
}

/// Which part an instruction speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartSelector {
    /// Every part.
    All,
    /// The part with this id or name, or else with this number.
    Named(String),
}

impl PartSelector {
    /// What a name, id or number selects; `*` is every part.
    fn read(name: &str) -> Self {
        match name {
            "*" => Self::All,
            name => Self::Named(name.to_owned()),
        }
    }

    /// The parts that are meant, by their places: those with this id or name, or else the one with this number,
    /// counted from 1 in the order of the score.
    #[must_use]
    pub fn select(&self, parts: &[Part]) -> Vec<usize> {
        let Self::Named(wanted) = self else {
            return (0..parts.len()).collect();
        };
        let wanted = wanted.trim();
        let called = |part: &Part| {
            let name = part.name.as_ref().map_or("", |name| name.text.trim());
            part.id == wanted || !wanted.is_empty() && name.eq_ignore_ascii_case(wanted)
        };
        let named: Vec<usize> = (0..parts.len())
            .filter(|&index| parts.get(index).is_some_and(called))
            .collect();
        if !named.is_empty() {
            return named;
        }
        let number = wanted.parse::<usize>().ok();
        let counted = number.and_then(|number| number.checked_sub(1));
        counted
            .filter(|&index| index < parts.len())
            .into_iter()
            .collect()
    }
}

/// Reads the words of a comment, without its opening signs.
///
/// `None` when the comment is not addressed to this tool; the span covers the words within `comment`.
#[must_use]
pub fn parse_directive(comment: &str) -> Option<(Span, DirectiveKind)> {
    let lead = comment.len() - comment.trim_start().len();
    let words = comment.trim();
    let head = words.get(..OPENING.len())?;
    if !head.eq_ignore_ascii_case(OPENING) {
        return None;
    }
    let span = Span::new(lead, lead + words.len());
    Some((span, kind(words, words[OPENING.len()..].trim())))
}

/// What is said behind the opening of `whole`.
fn kind(whole: &str, words: &str) -> DirectiveKind {
    let unknown = || {
        DirectiveKind::Unknown(
            "`part 2 = horn in F`, `part \"Corno\" = not a horn`, `pitch sounding`, `ignore group/rule` or `ignore in file group/rule`; in a \
             lesson also `expect group/rule in bar 7`, `task` and `hint` with words, or `only group`"
                .to_owned(),
        )
    };
    let (verb, rest) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
    match verb.to_ascii_lowercase().as_str() {
        "ignore" => {
            let rest = rest.trim();
            let in_file = rest.strip_prefix("in file");
            let names = in_file.unwrap_or(rest);
            // They reach to the end of the words.
            let from = whole.len() - names.len();
            let rule = |(at, name): (usize, &str)| IgnoredRule {
                name: name.to_owned(),
                at: Span::new(at, at + name.len()).shifted(from),
            };
            let rules: Vec<IgnoredRule> = rule_names(names).map(rule).collect();
            match (rules, in_file) {
                (rules, _) if rules.is_empty() => unknown(),
                (rules, None) => DirectiveKind::Ignore { rules },
                (rules, Some(_)) => DirectiveKind::IgnoreInFile { rules },
            }
        }
        "part" => match rest.split_once('=') {
            Some((which, is)) if !which.trim().is_empty() && !is.trim().is_empty() => {
                DirectiveKind::Part {
                    selector: PartSelector::read(which.trim().trim_matches('"')),
                    is: is.trim().to_owned(),
                }
            }
            _ => unknown(),
        },
        "pitch" => PagePitch::of(rest.trim()).map_or_else(unknown, DirectiveKind::Pitch),
        verb => lesson::read(verb, rest.trim()).unwrap_or_else(unknown),
    }
}

/// Rule names up to a colon, after which a reason may stand; each with where it stands in the text.
fn rule_names(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let names = text.split_once(':').map_or(text, |(names, _)| names);
    let mut next = 0;
    let placed = names.split([',', ' ', '\t']).map(move |name| {
        let at = next;
        // What parts them is one byte each.
        next += name.len() + 1;
        (at, name)
    });
    placed.filter(|(_, name)| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts() {
        let (span, kind) = parse_directive("  bellhand: part 2 = horn in F ").unwrap();
        assert_eq!(span, Span::new(2, 30));
        assert_eq!(
            kind,
            DirectiveKind::Part {
                selector: PartSelector::Named("2".into()),
                is: "horn in F".into()
            }
        );
        let (_, kind) = parse_directive("Bellhand: part \"Alto = I\" = horn").unwrap();
        assert!(matches!(kind, DirectiveKind::Part { .. }));
        let (_, kind) = parse_directive("bellhand: part * = not a horn").unwrap();
        assert!(matches!(
            kind,
            DirectiveKind::Part {
                selector: PartSelector::All,
                ..
            }
        ));
    }

    #[test]
    fn what_the_notes_stand_for() {
        for (comment, pitch) in [
            ("bellhand: pitch sounding", PagePitch::Sounding),
            ("bellhand: Pitch  Written ", PagePitch::Written),
        ] {
            let (_, kind) = parse_directive(comment).unwrap();
            assert_eq!(kind, DirectiveKind::Pitch(pitch), "{comment}");
        }
    }

    #[test]
    fn a_part_is_selected_by_id_or_name_or_number() {
        let part = |id: &str, name: &str| Part {
            id: id.to_owned(),
            name: Some(crate::piece::Text {
                text: name.to_owned(),
                ..crate::piece::Text::default()
            }),
            ..Part::default()
        };
        let parts = [part("P7", "Flute"), part("3", "Horn"), part("x", "Horn")];
        for (wanted, selected) in [
            ("P7", &[0][..]),
            ("horn", &[1, 2]),
            ("3", &[1]),
            ("2", &[1]),
            ("1", &[0]),
            ("0", &[]),
            ("4", &[]),
            ("", &[]),
            ("Oboe", &[]),
        ] {
            let selector = PartSelector::Named(wanted.to_owned());
            assert_eq!(selector.select(&parts), selected, "{wanted}");
        }
        assert_eq!(PartSelector::All.select(&parts), [0, 1, 2]);
    }

    #[test]
    fn ignores_with_reasons() {
        for (comment, names) in [
            (
                "bellhand: ignore range/too-high, rip/too-few: the solo is meant so",
                &["range/too-high", "rip/too-few"][..],
            ),
            ("  bellhand:ignore\trange/too-high", &["range/too-high"]),
            (
                "Bellhand: ignore  mute/no-time ,rip/too-few\tmute :",
                &["mute/no-time", "rip/too-few", "mute"],
            ),
        ] {
            let (span, kind) = parse_directive(comment).unwrap();
            let DirectiveKind::Ignore { rules } = kind else {
                panic!("{comment}")
            };
            let words = &comment[span.range()];
            let there: Vec<_> = rules.iter().map(|rule| &words[rule.at.range()]).collect();
            assert_eq!(there, names);
            let read: Vec<_> = rules.iter().map(|rule| rule.name.as_str()).collect();
            assert_eq!(read, names);
        }
        let (_, kind) = parse_directive("bellhand: ignore in file notation/clef").unwrap();
        let rule = IgnoredRule {
            name: "notation/clef".into(),
            at: Span::new(25, 38),
        };
        assert_eq!(kind, DirectiveKind::IgnoreInFile { rules: vec![rule] });
    }

    #[test]
    fn others_are_left_alone_and_slips_are_told() {
        assert_eq!(parse_directive(" a comment about bellhand: ignore x"), None);
        assert_eq!(parse_directive(""), None);
        for slip in [
            "bellhand:",
            "bellhand: ignore",
            "bellhand: part 2",
            "bellhand: frobnicate",
            "bellhand: pitch",
            "bellhand: pitch concert score",
        ] {
            assert!(
                matches!(parse_directive(slip), Some((_, DirectiveKind::Unknown(_)))),
                "{slip}"
            );
        }
    }
}
