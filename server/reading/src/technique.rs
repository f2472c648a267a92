//! How the horn is being held: hand and mute.

use score::Span;

/// What the right hand does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Hand {
    /// In its normal place.
    #[default]
    Open,
    /// Closing the bell.
    Stopped,
    /// Half closing it (echo horn).
    HalfStopped,
}

/// Hand and mute at one moment, each with the mark that put it there.
///
/// Mark spans count from the start of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Technique {
    /// What the right hand does.
    pub hand: Hand,
    /// The mark that says so.
    pub hand_mark: Option<Span>,
    /// Whether the mute is in.
    pub muted: bool,
    /// The mark that put it in or took it out.
    pub mute_mark: Option<Span>,
}

impl Technique {
    /// The mark a player would point at for the way a note is played, the hand's first.
    #[must_use]
    pub const fn mark(&self) -> Option<Span> {
        match (self.hand, self.muted) {
            (Hand::Stopped | Hand::HalfStopped, _) => self.hand_mark,
            (Hand::Open, true) => self.mute_mark,
            (Hand::Open, false) => None,
        }
    }

    /// The technique in words: `open`, `stopped`, `muted`, `stopped, muted`.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match (self.hand, self.muted) {
            (Hand::Open, false) => "open",
            (Hand::Open, true) => "muted",
            (Hand::Stopped, false) => "stopped",
            (Hand::Stopped, true) => "stopped, muted",
            (Hand::HalfStopped, false) => "half-stopped",
            (Hand::HalfStopped, true) => "half-stopped, muted",
        }
    }
}
