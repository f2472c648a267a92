//! All that one measure hands to the next within a voice.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use score::AlterationFrom;
use theory::{Key, Letter, Meter, Pitch, Quarters};

use crate::digest::digest;

/// How far an accidental reaches (ABC 2.1, section 11.3, `propagate-accidentals`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(super) enum Propagation {
    /// Its own note only.
    Not,
    /// The same line or space to the end of the bar.
    Octave,
    /// The same letter in all octaves to the end of the bar. The standard's default, and taken for files of
    /// every version, since older texts say nothing.
    #[default]
    Pitch,
}

impl Propagation {
    pub(super) fn of(word: &str) -> Option<Self> {
        match word.trim() {
            "not" => Some(Self::Not),
            "octave" => Some(Self::Octave),
            "pitch" => Some(Self::Pitch),
            _ => None,
        }
    }
}

/// A note held into the next.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct OpenTie {
    pub(super) pitch: Pitch,
    pub(super) layer: u8,
}

/// A tuplet that is not yet full.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Tuplet {
    pub(super) left: u32,
    pub(super) factor: Quarters,
}

/// What is in force in a voice at the start of a measure.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct State {
    pub(super) key: Key,
    pub(super) meter: Option<Meter>,
    /// The unit note length, in quarter notes.
    pub(super) unit: Quarters,
    /// Octaves by which the voice's code is raised.
    pub(super) octave: i8,
    pub(super) transpose: Option<i32>,
    pub(super) propagation: Propagation,
    /// What letters stand for, by `U:` fields.
    pub(super) symbols: BTreeMap<char, String>,
    /// Whether a lone `!` ends a line of print.
    pub(super) bang_breaks: bool,
    /// Accidentals of this bar, by letter and, where it matters, octave.
    pub(super) accidentals: BTreeMap<(u8, Option<i8>), i8>,
    pub(super) ties: Vec<OpenTie>,
    pub(super) slurs: u8,
    pub(super) tuplet: Option<Tuplet>,
    /// What a broken rhythm leaves for the next note.
    pub(super) broken: Option<Quarters>,
    /// Quarter notes passed since the barline.
    pub(super) at: Quarters,
    pub(super) layer: u8,
}

/// What is in force at a place of a voice, and what stands for it. It is shared by all that begins or ends there.
#[derive(Debug)]
pub(super) struct Entry {
    pub(super) state: State,
    pub(super) digest: u128,
    /// What is left of it behind a barline, where that is less.
    crossed: OnceLock<Arc<Self>>,
}

impl Entry {
    pub(super) fn new(state: State) -> Arc<Self> {
        Arc::new(Self {
            digest: digest(&state),
            state,
            crossed: OnceLock::new(),
        })
    }

    /// What is in force behind a barline.
    pub(super) fn crossed(self: &Arc<Self>) -> Arc<Self> {
        if !self.state.is_within_bar() {
            return Arc::clone(self);
        }
        let crossed = self.crossed.get_or_init(|| {
            let mut state = self.state.clone();
            state.cross_barline();
            Self::new(state)
        });
        Arc::clone(crossed)
    }
}

impl State {
    /// Whether a barline takes something away.
    fn is_within_bar(&self) -> bool {
        !self.accidentals.is_empty()
            || !self.at.is_zero()
            || self.layer != 0
            || self.broken.is_some()
    }

    /// What a barline takes away.
    fn cross_barline(&mut self) {
        self.accidentals.clear();
        self.at = Quarters::ZERO;
        self.layer = 0;
        self.broken = None;
    }

    /// The place of a note's letter in the memory of accidentals; `None` when nothing is remembered.
    const fn place(&self, letter: Letter, octave: i8) -> Option<(u8, Option<i8>)> {
        match self.propagation {
            Propagation::Not => None,
            Propagation::Octave => Some((letter as u8, Some(octave))),
            Propagation::Pitch => Some((letter as u8, None)),
        }
    }

    /// The alteration of a note and where it comes from; an accidental at it is remembered.
    pub(super) fn alter(
        &mut self,
        letter: Letter,
        octave: i8,
        accidental: Option<i8>,
    ) -> (i8, AlterationFrom) {
        let place = self.place(letter, octave);
        if let Some(accidental) = accidental {
            if let Some(place) = place {
                self.accidentals.insert(place, accidental);
            }
            return (accidental, AlterationFrom::Accidental);
        }
        // A tie carries its note's alteration over a barline to the tied note alone (the standard is silent
        // on it; staff practice is not).
        let tied = self.ties.iter().find(|tie| {
            tie.layer == self.layer && tie.pitch.letter == letter && tie.pitch.octave == octave
        });
        if let Some(tie) = tied {
            return (tie.pitch.alteration.0, AlterationFrom::Tie);
        }
        if let Some(alteration) = place.and_then(|place| self.accidentals.get(&place)) {
            return (*alteration, AlterationFrom::Bar);
        }
        match self.key.alteration(letter).0 {
            0 => (0, AlterationFrom::Nothing),
            alteration => (alteration, AlterationFrom::Key),
        }
    }
}
