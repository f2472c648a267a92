//! Which witness is believed where they are weighed, and what the others say against it.
//!
//! The name counts most, since players read the name; then words over the staff at their moment; what the file records
//! decides where a name leaves a choice, or says nothing.

use horn::{ClefConvention, Crook, CrookName};
use theory::{Interval, Transposition};

use super::disagreement::{Contrary, Disagreement, Fault};
use super::octave::within_compass;
use super::statement::{Moment, Word};
use super::{CrookInForce, CrookSaid};
use score::Span;

/// What stands in force while a part is read.
#[derive(Debug, Default)]
pub(super) struct Force {
    words: Vec<Word>,
    recorded: Option<(Transposition, Span)>,
    /// Whether the record changed after the last words, and to another crook's.
    record_leads: bool,
}

/// A horn in F, which players take where nothing is said.
pub(super) const fn assumed() -> CrookInForce {
    CrookInForce {
        crook: Some(Crook::F),
        said: CrookSaid::Assumed,
        transposition: Crook::F.transposition(),
        recorded: None,
        choices: &[],
        settled: true,
    }
}

impl Force {
    /// The crook from a moment on, and what is said against it.
    pub(super) fn take(
        &mut self,
        moment: &Moment<'_>,
        convention: ClefConvention,
        start: bool,
    ) -> (CrookInForce, Option<Disagreement>) {
        let before = self.recorded.map(|(recorded, _)| recorded);
        if !moment.words.is_empty() {
            self.words.clone_from(&moment.words);
            self.record_leads = false;
        }
        if let Some(recorded) = moment.recorded {
            self.recorded = Some(recorded);
            if before != Some(recorded.0) && moment.words.is_empty() && !start {
                self.record_leads = true;
            }
        }
        self.weigh(moment, convention)
    }

    fn weigh(
        &self,
        moment: &Moment<'_>,
        convention: ClefConvention,
    ) -> (CrookInForce, Option<Disagreement>) {
        let recorded = self.recorded.map(|(recorded, _)| recorded);
        let (mut crook, mut fault) = match self.words.first() {
            Some(word) => self.by_word(*word, recorded, moment, convention),
            None => self.by_record(recorded),
        };
        let misspelled = |recorded: &Transposition| {
            let crook = crook.crook.filter(|crook| same(*recorded, *crook));
            crook.is_some_and(|crook| crook.spelled(*recorded).is_none())
        };
        fault = fault.or(recorded.filter(misspelled).map(Fault::Steps));
        let contrary = self.contrary(&crook);
        let confirmed = recorded
            .zip(crook.crook)
            .is_some_and(|(recorded, crook)| same(recorded, crook));
        let told = crook.said == CrookSaid::Told;
        let doubted = matches!(fault, Some(fault) if !matches!(fault, Fault::Steps(_)));
        crook.settled =
            crook.choices.is_empty() && (told || !doubted && (contrary.is_empty() || confirmed));
        let span = match (fault, self.recorded, contrary.first()) {
            (Some(_), Some((_, span)), _) => span,
            (_, _, Some(contrary)) => contrary.span,
            _ => moment.span,
        };
        let disagreement = (fault.is_some() || !contrary.is_empty()).then_some(Disagreement {
            from: moment.from,
            span,
            crook,
            fault,
            contrary,
        });
        (crook, disagreement)
    }

    /// The crook that a word says, unless the record has changed since.
    fn by_word(
        &self,
        word: Word,
        recorded: Option<Transposition>,
        moment: &Moment<'_>,
        convention: ClefConvention,
    ) -> (CrookInForce, Option<Fault>) {
        let open = self.narrowed(word.name);
        let matching = |crook: &&Crook| recorded.is_some_and(|recorded| same(recorded, **crook));
        let chosen = open.iter().find(matching).copied();
        let octave = || within_compass(open, moment.notes, convention);
        let Some(crook) = chosen.or_else(octave) else {
            return self.by_record(recorded);
        };
        let is = CrookInForce {
            crook: Some(crook),
            said: word.said,
            transposition: spelled(crook, recorded),
            recorded: self.recorded,
            choices: &[],
            settled: true,
        };
        let is = match word.name {
            CrookName::Ambiguous(choices) if chosen.is_none() && open.len() > 1 => {
                CrookInForce { choices, ..is }
            }
            _ => is,
        };
        match recorded {
            Some(recorded) if !same(recorded, crook) => {
                let apart = recorded.0.semitones - crook.transposition().0.semitones;
                let (by_record, _) = self.by_record(Some(recorded));
                if apart % Interval::OCTAVE.semitones == 0 {
                    (is, Some(Fault::Octaves(recorded)))
                } else if self.record_leads && by_record.crook.is_some() {
                    (by_record, Some(Fault::Silent(recorded)))
                } else {
                    (is, Some(Fault::Other(recorded)))
                }
            }
            _ => (is, None),
        }
    }

    /// The crooks a name can mean, when another witness says which of them it is.
    fn narrowed(&self, name: CrookName) -> &'static [Crook] {
        let choices = choices(name);
        let narrower = self.words.iter().find_map(|word| match word.name {
            CrookName::Named(crook) => choices.iter().position(|choice| *choice == crook),
            _ => None,
        });
        narrower
            .and_then(|at| choices.get(at..=at))
            .unwrap_or(choices)
    }

    /// The crook that the record says where nothing else does.
    fn by_record(&self, recorded: Option<Transposition>) -> (CrookInForce, Option<Fault>) {
        let Some(recorded) = recorded else {
            return (assumed(), None);
        };
        let crook = Crook::from_semitones(recorded.0.semitones);
        let is = CrookInForce {
            crook,
            said: CrookSaid::Recorded,
            transposition: crook.map_or_else(
                || possible(recorded),
                |crook| spelled(crook, Some(recorded)),
            ),
            recorded: self.recorded,
            choices: &[],
            settled: true,
        };
        let fault = crook.is_none().then_some(Fault::NoHorn(recorded));
        (is, fault)
    }

    /// The names and words that say another crook; an instruction to this tool settles them all.
    fn contrary(&self, is: &CrookInForce) -> Vec<Contrary> {
        let (false, Some(crook)) = (is.said == CrookSaid::Told, is.crook) else {
            return Vec::new();
        };
        // Where the record leads, it is the page that says nothing; that is told already.
        if is.said == CrookSaid::Recorded {
            return Vec::new();
        }
        let other = |word: &&Word| !choices(word.name).contains(&crook);
        self.words
            .iter()
            .filter(other)
            .filter_map(|word| {
                Some(Contrary {
                    kind: match word.said {
                        CrookSaid::Named(kind, _) => Some(kind),
                        _ => None,
                    },
                    name: word.name,
                    span: word.said.span()?,
                })
            })
            .collect()
    }
}

/// The crooks a name can mean.
fn choices(name: CrookName) -> &'static [Crook] {
    match name {
        CrookName::Named(crook) => Crook::ALL
            .iter()
            .position(|one| *one == crook)
            .and_then(|at| ALL.get(at..=at))
            .unwrap_or_default(),
        CrookName::Ambiguous(choices) => choices,
        CrookName::Unnamed => &[],
    }
}

/// Every crook, to be lent out.
static ALL: [Crook; 16] = Crook::ALL;

const fn same(recorded: Transposition, crook: Crook) -> bool {
    recorded.0.semitones == crook.transposition().0.semitones
}

/// A crook's transposition; where the file's own is one that the crook may be called by, in the file's spelling.
fn spelled(crook: Crook, recorded: Option<Transposition>) -> Transposition {
    recorded
        .and_then(|recorded| crook.spelled(recorded))
        .unwrap_or_else(|| crook.transposition())
}

/// A recorded transposition; where its steps cannot be those of its semitones, these decide, as playback goes by them.
fn possible(recorded: Transposition) -> Transposition {
    if recorded.0.is_possible() {
        recorded
    } else {
        Transposition(Interval::from_semitones(recorded.0.semitones))
    }
}
