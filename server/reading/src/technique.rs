//! How the horn is held and blown: hand, mute, bell and tone.

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

/// Which mute is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Mute {
    /// None.
    #[default]
    Out,
    /// The horn's one kind of mute, which leaves the pitch as it is.
    Usual,
    /// The stopping mute: it sounds as the stopping hand does, is put in and taken out like a mute, and plays lower than
    /// the hand can.
    Stopping,
}

/// How the tone is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Tone {
    /// As usual.
    #[default]
    Usual,
    /// Blown until the metal rings (cuivré).
    Brassy,
    /// With the tongue fluttering.
    Flutter,
}

/// Hand, mute, bell and tone at one moment, each with the mark that put it there.
///
/// Mark spans count from the start of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Technique {
    /// What the right hand does.
    pub hand: Hand,
    /// The mark that says so.
    pub hand_mark: Option<Span>,
    /// Which mute is in.
    pub mute: Mute,
    /// The mark that put it in or took it out.
    pub mute_mark: Option<Span>,
    /// Whether the bell is raised.
    pub bell_up: bool,
    /// The mark that raised or lowered it.
    pub bell_mark: Option<Span>,
    /// How the tone is made.
    pub tone: Tone,
    /// The mark that says so.
    pub tone_mark: Option<Span>,
}

impl Technique {
    /// Whether a mute is in.
    #[must_use]
    pub const fn muted(&self) -> bool {
        !matches!(self.mute, Mute::Out)
    }

    /// The mark a player would point at for the way a note is played, the hand's first.
    #[must_use]
    pub const fn mark(&self) -> Option<Span> {
        match (self.hand, self.muted()) {
            (Hand::Stopped | Hand::HalfStopped, _) => self.hand_mark,
            (Hand::Open, true) => self.mute_mark,
            (Hand::Open, false) => None,
        }
    }

    /// The technique in words: `open`, `stopped`, `muted`, `stopping mute`, `stopped, muted`.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match (self.hand, self.mute) {
            (Hand::Open, Mute::Out) => "open",
            (Hand::Open, Mute::Usual) => "muted",
            (Hand::Open, Mute::Stopping) => "stopping mute",
            (Hand::Stopped, Mute::Out) => "stopped",
            (Hand::Stopped, _) => "stopped, muted",
            (Hand::HalfStopped, Mute::Out) => "half-stopped",
            (Hand::HalfStopped, _) => "half-stopped, muted",
        }
    }
}
