//! Rips: the partials of the tube that the horn runs through, each as it lies in the harmonic series.

use std::collections::HashMap;

use theory::Seconds;

use super::Heard;
use crate::part::HornPart;

/// How far behind the note that a rip leaves the one that it reaches may stand among the sounds.
const AHEAD: usize = 16;

/// The rips of a part, by the note that each leaves.
pub(super) struct Runs(HashMap<usize, Run>);

struct Run {
    /// The note it reaches, by its place in the part's notes.
    to: usize,
    /// The partials on the way, in hertz.
    partials: Vec<f64>,
}

impl Runs {
    /// The rips that a tube of the part's horn carries; one that none carries is heard as its two notes.
    pub(super) fn of(horn: &HornPart) -> Self {
        let runs = horn.sounding_rips().filter_map(|(rip, from, to)| {
            let ways = horn::rips(horn.seat.instrument, from.height, to.height);
            let way = ways.into_iter().next()?;
            let partials = way.between().into_iter().map(|partial| {
                let fundamental = partial.tube.fundamental().sound();
                fundamental.0.hertz(horn::concert_a().value) * f64::from(partial.number)
            });
            let run = Run {
                to: rip.to,
                partials: partials.collect(),
            };
            (!run.partials.is_empty()).then_some((rip.from, run))
        });
        Self(runs.collect())
    }

    /// Lets the sounds of a stretch run through their rips at their ends.
    pub(super) fn run(&self, sounds: &mut [Heard]) {
        for place in 0..sounds.len() {
            let [sound, rest @ ..] = sounds.get_mut(place..).unwrap_or_default() else {
                continue;
            };
            let Some((from, began)) = sound.notes.last().copied() else {
                continue;
            };
            let Some(run) = self.0.get(&from) else {
                continue;
            };
            let mut next = rest.iter_mut().take(AHEAD);
            let reaches = |one: &&mut Heard| one.notes.first().is_some_and(|(to, _)| *to == run.to);
            let Some(reached) = next.find(reaches) else {
                continue;
            };
            let until = reached.starts().0;
            let whole = until - began.0;
            // However short it is, the note that it leaves is heard first.
            let most = whole - horn::time_before_rip().value.0;
            let most = most.max(whole * horn::share_for_rip().value);
            let count = run.partials.len() as f64;
            let each = horn::time_for_ripped_partial().value.0.min(most / count);
            let begin = until - each * count;
            let steps = run.partials.iter().enumerate();
            sound.steps = steps
                .map(|(step, hertz)| (Seconds(begin + each * step as f64), *hertz))
                .collect();
            sound.ends = Seconds(until);
            reached.slurred = true;
        }
    }
}
