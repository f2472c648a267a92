//! What an answer to a lesson came to.

use serde::Serialize;

/// What an answer to a lesson came to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Marks {
    /// The faults that the lesson announces, in the order of its text.
    pub asked: Vec<Asked>,
    /// How many of them are left.
    pub left: usize,
    /// What is found in the answer and was not in the lesson; at most [`MOST_NEW`](Self::MOST_NEW).
    pub new: Vec<NewFault>,
    /// Whether the music stayed that had to stay.
    pub kept: bool,
    /// Where it did not; at most [`MOST_CHANGES`](Self::MOST_CHANGES) places.
    pub changed: Vec<Changed>,
}

/// A fault that a lesson announces.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Asked {
    /// The rule.
    pub rule: &'static str,
    /// The bar's number in the lesson; none where the fault is in no bar.
    pub bar: Option<u32>,
    /// The part's name in the lesson.
    pub part: Option<String>,
    /// What the lesson asks for about it.
    pub task: Option<String>,
    /// Steps towards that, the smallest first.
    pub hints: Vec<String>,
    /// Whether it is gone.
    pub fixed: bool,
}

/// A finding that was not in the lesson.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
pub struct NewFault {
    /// The rule.
    pub rule: &'static str,
    /// The bar's number in the answer.
    pub bar: Option<u32>,
    /// The part's name in the answer.
    pub part: Option<String>,
}

/// A place where the music did not stay that had to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// The part's name in the lesson; none where it is about the whole piece.
    pub part: Option<String>,
    /// The bar's number in the lesson, or of a bar that was added, in the answer; none where it is about the whole part.
    pub bar: Option<u32>,
    /// What is other there.
    pub what: Change,
}

/// What is other than in the lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// A piece or part is no longer there, or is not read as a horn's.
    Missing,
    /// A bar was taken out.
    BarOut,
    /// A bar was put in.
    BarIn,
    /// The bar is longer or shorter.
    BarLength,
    /// Repeats or endings.
    Repeats,
    /// The tempo, where the lesson marks one.
    Tempo,
    /// When notes begin, how long they are, or how many there are.
    Rhythm,
    /// What sounds.
    Pitch,
    /// Which notes are held on.
    Ties,
    /// Which of the staff's players plays.
    Players,
    /// What the hand does.
    Hand,
    /// The mute.
    Mute,
    /// Whether the bell is raised.
    Bell,
    /// How the tone is made.
    Tone,
    /// A bar that might be written anew has no notes any more.
    Emptied,
}

impl Change {
    /// In words that can follow "bar 7:".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Missing => "not there, or no longer a horn's",
            Self::BarOut => "taken out",
            Self::BarIn => "put in",
            Self::BarLength => "longer or shorter",
            Self::Repeats => "other repeats",
            Self::Tempo => "another tempo",
            Self::Rhythm => "another rhythm",
            Self::Pitch => "other notes",
            Self::Ties => "other ties",
            Self::Players => "other players",
            Self::Hand => "the hand otherwise",
            Self::Mute => "the mute otherwise",
            Self::Bell => "the bell otherwise",
            Self::Tone => "another tone",
            Self::Emptied => "no notes left",
        }
    }
}

/// How many faults were asked for, fixed and left, and what else there is to say, of one answer or several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct MarkSum {
    /// The faults that were announced.
    pub asked: usize,
    /// Those that are fixed.
    pub fixed: usize,
    /// Those that are left.
    pub left: usize,
    /// New findings.
    pub new: usize,
    /// Whether the music stayed that had to stay, in all of them.
    pub kept: bool,
}

impl Marks {
    /// More new faults are not listed; bellhand's own choice.
    pub const MOST_NEW: usize = 500;

    /// More places where the music changed are not listed; bellhand's own choice.
    pub const MOST_CHANGES: usize = 100;

    /// The same as figures.
    #[must_use]
    pub const fn sum(&self) -> MarkSum {
        MarkSum {
            asked: self.asked.len(),
            fixed: self.asked.len() - self.left,
            left: self.left,
            new: self.new.len(),
            kept: self.kept,
        }
    }
}

impl MarkSum {
    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self {
            asked: self.asked + other.asked,
            fixed: self.fixed + other.fixed,
            left: self.left + other.left,
            new: self.new + other.new,
            kept: self.kept && other.kept,
        }
    }

    /// Whether everything is fixed, nothing new was found, and the music stayed.
    #[must_use]
    pub const fn is_perfect(&self) -> bool {
        self.left == 0 && self.new == 0 && self.kept
    }
}
