//! Instructions to this tool inside a score's comments: `bellhand: …`, the same words in every notation.

use crate::span::Span;

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
    /// `ignore range/too-high, rip/off-series: reason`: keep silent about these here.
    Ignore {
        /// The rules by name.
        rules: Vec<String>,
    },
    /// `ignore in file …`: keep silent about these in the whole file.
    IgnoreInFile {
        /// The rules by name.
        rules: Vec<String>,
    },
    /// Not understood; what was expected.
    Unknown(String),
}

/// Which part an instruction speaks of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PartSelector {
    /// Every part.
    All,
    /// The part with this id, or else with this name.
    Named(String),
}

impl PartSelector {
    /// Whether a part is meant.
    #[must_use]
    pub fn selects(&self, id: &str, name: Option<&str>) -> bool {
        match self {
            Self::All => true,
            Self::Named(wanted) => {
                wanted == id
                    || name.is_some_and(|name| name.trim().eq_ignore_ascii_case(wanted.trim()))
            }
        }
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
    Some((span, kind(words[OPENING.len()..].trim())))
}

fn kind(words: &str) -> DirectiveKind {
    let unknown = || {
        DirectiveKind::Unknown(
            "`part 2 = horn in F`, `part \"Corno\" = not a horn`, `ignore group/rule` or `ignore in file group/rule`"
                .to_owned(),
        )
    };
    let (verb, rest) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
    match verb.to_ascii_lowercase().as_str() {
        "ignore" => {
            let rest = rest.trim();
            let in_file = rest.strip_prefix("in file");
            match (rule_names(in_file.unwrap_or(rest)), in_file) {
                (rules, _) if rules.is_empty() => unknown(),
                (rules, None) => DirectiveKind::Ignore { rules },
                (rules, Some(_)) => DirectiveKind::IgnoreInFile { rules },
            }
        }
        "part" => match rest.split_once('=') {
            Some((which, is)) if !which.trim().is_empty() && !is.trim().is_empty() => {
                let which = which.trim();
                let selector = match which.trim_matches('"') {
                    "*" => PartSelector::All,
                    name => PartSelector::Named(name.to_owned()),
                };
                DirectiveKind::Part {
                    selector,
                    is: is.trim().to_owned(),
                }
            }
            _ => unknown(),
        },
        _ => unknown(),
    }
}

/// Rule names up to a colon, after which a reason may stand.
fn rule_names(text: &str) -> Vec<String> {
    let names = text.split_once(':').map_or(text, |(names, _)| names);
    names
        .split([',', ' ', '\t'])
        .map(str::trim)
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
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
    fn ignores_with_reasons() {
        let (_, kind) =
            parse_directive("bellhand: ignore range/too-high, rip/too-few: the solo is meant so")
                .unwrap();
        assert_eq!(
            kind,
            DirectiveKind::Ignore {
                rules: vec!["range/too-high".into(), "rip/too-few".into()]
            }
        );
        let (_, kind) = parse_directive("bellhand: ignore in file notation/key-signature").unwrap();
        assert_eq!(
            kind,
            DirectiveKind::IgnoreInFile {
                rules: vec!["notation/key-signature".into()]
            }
        );
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
        ] {
            assert!(
                matches!(parse_directive(slip), Some((_, DirectiveKind::Unknown(_)))),
                "{slip}"
            );
        }
    }
}
