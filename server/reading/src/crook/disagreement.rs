//! What witnesses of a part's crook say against one another.

use horn::CrookName;
use score::{Span, WitnessKind};
use theory::{Quarters, Transposition};

use super::{CrookInForce, CrookSaid};

/// A disagreement about a part's crook, from where it begins. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Disagreement {
    /// When it begins, in quarter notes from the start of the piece.
    pub from: Quarters,
    /// Where to speak of it.
    pub span: Span,
    /// The crook that is believed.
    pub crook: CrookInForce,
    /// What is wrong with the recorded transposition, if anything is.
    pub fault: Option<Fault>,
    /// Who else says another crook.
    pub contrary: Vec<Contrary>,
}

/// What can be wrong with a recorded transposition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// It is another crook's, or no horn's, than what the part is called.
    Other(Transposition),
    /// It lies whole octaves from that of the crook.
    Octaves(Transposition),
    /// It changes to that of another crook while nothing on the page says so.
    Silent(Transposition),
    /// It is no horn's, and nothing says which horn it is.
    NoHorn(Transposition),
    /// Its steps are not those of its semitones.
    Steps(Transposition),
}

/// A name or word that says another crook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Contrary {
    /// Who says it: a name, or words over the staff.
    pub kind: Option<WitnessKind>,
    /// What it says.
    pub name: CrookName,
    /// Where it stands.
    pub span: Span,
}

impl Disagreement {
    /// Whether a later one only goes on with this one.
    pub(crate) fn repeats(&self, later: &Self) -> bool {
        let told = |said: CrookSaid| said.span();
        self.crook.crook == later.crook.crook
            && told(self.crook.said) == told(later.crook.said)
            && self.fault == later.fault
            && self.contrary == later.contrary
    }
}
