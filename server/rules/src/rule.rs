//! What a rule is: a name, a severity, words for people, settings, and a check.

use std::fmt;
use std::str::FromStr;

use reading::{HornPart, PieceReading};

use crate::context::{
    AmongContext, FindingsContext, IgnoreContext, PartContext, PieceContext, ScoreContext,
};
use crate::finding::Finding;
use crate::house::House;
use crate::setting::Setting;

/// The severity of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// A nicety.
    Hint,
    /// Worth knowing.
    Information,
    /// The player will stumble, ask, or play something else.
    Warning,
    /// It cannot be read or played.
    Error,
}

impl Severity {
    /// All, the mildest first.
    pub const ALL: [Self; 4] = [Self::Hint, Self::Information, Self::Warning, Self::Error];

    /// The word for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hint => "hint",
            Self::Information => "information",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Severity {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|severity| severity.name().eq_ignore_ascii_case(text.trim()))
            .ok_or_else(|| {
                format!("`{text}` is no severity; write error, warning, information or hint")
            })
    }
}

/// What a rule looks at.
#[derive(Debug, Clone, Copy)]
pub enum Check {
    /// One horn part at a time, as it lies on the stand: one staff, whoever shares it.
    Part(fn(&PartContext<'_>) -> Vec<Finding>),
    /// One player at a time: each of those who share a staff is judged by what that player plays.
    Player(fn(&PartContext<'_>) -> Vec<Finding>),
    /// One horn part at a time, with what the other parts play.
    PartAmong(fn(&AmongContext<'_>) -> Vec<Finding>),
    /// One player at a time, with what the other parts play.
    PlayerAmong(fn(&AmongContext<'_>) -> Vec<Finding>),
    /// A piece as a whole.
    Piece(fn(&PieceContext<'_>) -> Vec<Finding>),
    /// The whole document; spans count from its start.
    Score(fn(&ScoreContext<'_>) -> Vec<Finding>),
    /// What has been found in the whole document; spans count from its start.
    Findings(fn(&FindingsContext<'_>) -> Vec<Finding>),
    /// An instruction to keep silent, once all else is judged; spans count from the document's start.
    Ignores(fn(&IgnoreContext<'_>) -> Vec<Finding>),
}

impl Check {
    /// Whether it looks at a staff as a whole, or at each of those who play from it; neither where it looks at no part.
    #[must_use]
    pub const fn looks_at(&self) -> Option<LooksAt> {
        match self {
            Self::Part(_) | Self::PartAmong(_) => Some(LooksAt::Staff),
            Self::Player(_) | Self::PlayerAmong(_) => Some(LooksAt::Player),
            Self::Piece(_) | Self::Score(_) | Self::Findings(_) | Self::Ignores(_) => None,
        }
    }

    /// What it says of a part, or of a player's line of one; nothing where it looks at no part.
    #[must_use]
    pub fn judge(&self, reading: &PieceReading, part: &HornPart, house: &House) -> Vec<Finding> {
        let Some(own) = PartContext::of(reading, part, house) else {
            return Vec::new();
        };
        match self {
            Self::Part(check) | Self::Player(check) => check(&own),
            Self::PartAmong(check) | Self::PlayerAmong(check) => {
                check(&AmongContext { own, reading })
            }
            Self::Piece(_) | Self::Score(_) | Self::Findings(_) | Self::Ignores(_) => Vec::new(),
        }
    }
}

/// Whose notes a check looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LooksAt {
    /// All that stands on a staff, whoever shares it.
    Staff,
    /// What one player plays.
    Player,
}

/// What a rule takes for granted, so that it must be silent where that is in doubt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestsOn {
    /// The part's crook: how high its notes lie, or what stands on its page.
    Crook,
    /// The crooks of all horns that play at the moment.
    Crooks,
    /// That the page is the player's own, and no score at concert pitch from which it is still to be made.
    Page,
}

/// A rule.
#[derive(Debug)]
pub struct Rule {
    /// Its name, `group/name`.
    pub name: &'static str,
    /// Its severity unless a house says otherwise.
    pub severity: Severity,
    /// The words of its file as its doc comment holds them, a space before each line; see [`Rule::words`].
    pub docs: &'static str,
    /// What a house can set.
    pub settings: &'static [&'static Setting],
    /// What must be settled before it can judge.
    pub rests_on: &'static [RestsOn],
    /// Whether a house has it speak at all, severities aside; what it leaves unset may keep a rule silent.
    pub speaks_in: fn(&House) -> bool,
    /// What it looks at, and how.
    pub checks: &'static [Check],
}

impl Rule {
    /// The name of its group: `stopped` of `stopped/too-low`.
    #[must_use]
    pub fn group(&self) -> &'static str {
        group_of(self.name)
    }

    /// The first sentence of its words.
    #[must_use]
    pub fn summary(&self) -> &'static str {
        self.docs
            .trim_start()
            .lines()
            .next()
            .unwrap_or_default()
            .trim()
    }

    /// Its words in Markdown: what, why, what to write instead, source, examples.
    #[must_use]
    pub fn words(&self) -> String {
        self.docs
            .lines()
            .map(|line| line.strip_prefix(' ').unwrap_or(line))
            .collect::<Vec<_>>()
            .join("\n")
    }
}

/// The group in a rule's name.
pub(crate) fn group_of(name: &str) -> &str {
    name.split_once('/').map_or(name, |(group, _)| group)
}

/// Declares a file's rule, so that its doc comment is also what `explain` and the rule book show.
macro_rules! rule {
    (
        $(#[doc = $doc:literal])*
        $name:literal, $severity:ident, $($kind:ident($check:path))&+ $(, settings: [$($setting:path),* $(,)?])?
        $(, rests_on: $($rests:ident)&+)? $(, speaks_in: $speaks_in:expr)? $(,)?
    ) => {
        $(#[doc = $doc])*
        pub static RULE: $crate::rule::Rule = $crate::rule::Rule {
            name: $name,
            severity: $crate::rule::Severity::$severity,
            docs: concat!($($doc, "\n"),*),
            settings: &[$($(&$setting),*)?],
            rests_on: &[$($($crate::rule::RestsOn::$rests),+)?],
            speaks_in: rule!(@speaks_in $($speaks_in)?),
            checks: &[$($crate::rule::Check::$kind($check)),+],
        };
    };
    (@speaks_in) => { |_| true };
    (@speaks_in $speaks_in:expr) => { $speaks_in };
}

pub(crate) use rule;
