//! How the horn is held and blown: hand, mute, bell and tone.

use horn::Instruction;
use score::Span;

use crate::note::Said;

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

    /// Hand, mute and bell without the marks that put them there; what the tone is like, a rest can end.
    #[must_use]
    pub const fn held(&self) -> (Hand, Mute, bool) {
        (self.hand, self.mute, self.bell_up)
    }

    /// Obeys what a mark says; a sign that closes the bell does so for its own note alone, and changes nothing here.
    pub(crate) fn obey(&mut self, said: &Said, span: Span) {
        match said {
            Said::Sign(Instruction::Open) => self.turn_hand(Hand::Open, span),
            Said::Sign(_) => {}
            Said::Word(instruction) => self.obey_word(instruction, span),
        }
    }

    /// Takes a word at its word.
    fn obey_word(&mut self, instruction: &Instruction, span: Span) {
        match instruction {
            Instruction::Stopped => self.turn_hand(Hand::Stopped, span),
            Instruction::HalfStopped => self.turn_hand(Hand::HalfStopped, span),
            // "Open" takes the hand out; with no hand in the bell it can only mean the mute.
            Instruction::Open if self.hand == Hand::Open && self.muted() => {
                self.change_mute(Mute::Out, span);
                self.change_tone(Tone::Usual, Some(span));
            }
            Instruction::Open => {
                self.turn_hand(Hand::Open, span);
                self.change_tone(Tone::Usual, Some(span));
            }
            Instruction::BellsUp => self.turn_bell(true, span),
            Instruction::BellsNormal => self.turn_bell(false, span),
            Instruction::Cuivre => self.change_tone(Tone::Brassy, Some(span)),
            Instruction::Flutter => self.change_tone(Tone::Flutter, Some(span)),
            Instruction::MuteOn | Instruction::ForeignMute(_) => {
                self.change_mute(Mute::Usual, span);
            }
            Instruction::StoppingMute => {
                // The hand has nothing to do while the mute does its work.
                self.turn_hand(Hand::Open, span);
                self.change_mute(Mute::Stopping, span);
            }
            Instruction::MuteOff => self.change_mute(Mute::Out, span),
            _ => {}
        }
    }

    const fn turn_hand(&mut self, hand: Hand, span: Span) {
        self.hand = hand;
        self.hand_mark = Some(span);
    }

    const fn change_mute(&mut self, mute: Mute, span: Span) {
        self.mute = mute;
        self.mute_mark = Some(span);
    }

    const fn turn_bell(&mut self, up: bool, span: Span) {
        self.bell_up = up;
        self.bell_mark = Some(span);
    }

    /// Has the tone made in some way; `mark` is what asks for it, if anything does.
    pub(crate) const fn change_tone(&mut self, tone: Tone, mark: Option<Span>) {
        self.tone = tone;
        self.tone_mark = mark;
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
