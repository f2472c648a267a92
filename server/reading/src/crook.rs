//! The crook in force: what the name says, what the file records, and which of the two is believed.

use horn::{Crook, CrookName};
use score::Span;
use theory::Transposition;

/// Who says which crook it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrookSaid {
    /// The part's name, or an instruction to this tool.
    Named,
    /// Words over the staff ("muta in E"), standing there.
    Words(Span),
    /// Only the transposition the file records.
    Recorded,
    /// Nobody; a horn in F is assumed, as players do today.
    Assumed,
}

/// A crook, how it is known, and the transposition that is used because of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CrookInForce {
    /// The crook; `None` when the recorded transposition is no horn's.
    pub crook: Option<Crook>,
    /// Who says so.
    pub said: CrookSaid,
    /// What is added to written pitch.
    pub transposition: Transposition,
    /// What the file records, and where.
    pub recorded: Option<(Transposition, Span)>,
    /// Whether the name left open which crook it is ("in B") and nothing settled it.
    pub ambiguous: bool,
}

impl CrookInForce {
    /// Weighs a name against what the file records.
    ///
    /// A name that says one crook wins over a contradicting record, since players read the name; a name
    /// that leaves a choice is settled by the record.
    #[must_use]
    pub fn settle(
        name: &CrookName,
        said: CrookSaid,
        recorded: Option<(Transposition, Span)>,
    ) -> Self {
        let of = |crook: Crook, said, ambiguous| Self {
            crook: Some(crook),
            said,
            transposition: crook.transposition(),
            recorded,
            ambiguous,
        };
        let same = |crook: &Crook, heard: Transposition| {
            crook.transposition().0.semitones == heard.0.semitones
        };
        match (name, recorded) {
            (CrookName::Named(crook), _) => of(*crook, said, false),
            (CrookName::Ambiguous(choices), Some((heard, _))) => {
                match choices.iter().find(|crook| same(crook, heard)) {
                    Some(crook) => of(*crook, said, false),
                    None => of(likeliest(choices), said, true),
                }
            }
            (CrookName::Ambiguous(choices), None) => of(likeliest(choices), said, true),
            (CrookName::Unnamed, Some((heard, _))) => {
                match Crook::from_semitones(heard.0.semitones) {
                    Some(crook) => of(crook, CrookSaid::Recorded, false),
                    None => Self {
                        crook: None,
                        said: CrookSaid::Recorded,
                        transposition: heard,
                        recorded,
                        ambiguous: false,
                    },
                }
            }
            (CrookName::Unnamed, None) => of(Crook::F, CrookSaid::Assumed, false),
        }
    }

    /// The crook in words: `horn in F`, or `horn` when no crook fits.
    #[must_use]
    pub fn label(&self) -> String {
        self.crook.map_or_else(|| "horn".to_owned(), Crook::label)
    }
}

/// The lower of two crooks, which later music mostly means when it does not say.
fn likeliest(choices: &[Crook]) -> Crook {
    choices
        .iter()
        .copied()
        .min_by_key(|crook| crook.transposition().0.semitones)
        .unwrap_or(Crook::F)
}
