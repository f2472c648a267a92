//! How loud a part is marked, followed through hairpins.

use horn::{Dynamic, Loudness};
use score::{EventKind, Kinds, MarkKind, Part};
use theory::Quarters;

use crate::growth::grows;

/// The loudness of a part over time.
#[derive(Debug, Clone, Default)]
pub(crate) struct Curve {
    stretches: Vec<Stretch>,
    /// The last mark.
    mark: f64,
}

/// From a moment on, as loud as this, and on the way to something else where a hairpin stands.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: Quarters,
    level: f64,
    way: Option<(Quarters, f64)>,
}

/// A hairpin that has begun.
struct Hairpin {
    from: Quarters,
    louder: bool,
    ended: Option<Quarters>,
}

impl Curve {
    /// The loudness of a part; it is unknown up to its first mark.
    pub(crate) fn of(part: &Part) -> Self {
        let mut curve = Self::default();
        let mut open: Option<Hairpin> = None;
        let turning = Kinds::DYNAMICS.and(Kinds::HAIRPINS).and(Kinds::WORDS);
        for placed in part.events_of(turning) {
            let EventKind::Mark(mark) = &placed.event.kind else {
                continue;
            };
            let begins = match &mark.kind {
                MarkKind::HairpinStart(louder) => Some(*louder),
                MarkKind::Words(text) => grows(&text.text),
                _ => None,
            };
            if let Some(louder) = begins {
                if let Some(hairpin) = open.take() {
                    curve.close(&hairpin, None);
                }
                open = Some(Hairpin {
                    from: placed.onset,
                    louder,
                    ended: None,
                });
            }
            match &mark.kind {
                MarkKind::Dynamic(letters) => {
                    let Some(dynamic) = Dynamic::read_lasting(letters) else {
                        continue;
                    };
                    let level = Loudness::of(dynamic).0;
                    if let Some(hairpin) = open.take() {
                        curve.close(&hairpin, Some((placed.onset, level)));
                    }
                    curve.step(placed.onset, level);
                    curve.mark = level;
                }
                MarkKind::HairpinEnd => {
                    if let Some(hairpin) = &mut open {
                        hairpin.ended.get_or_insert(placed.onset);
                    }
                }
                _ => {}
            }
        }
        if let Some(hairpin) = open {
            curve.close(&hairpin, None);
        }
        curve
    }

    fn step(&mut self, from: Quarters, level: f64) {
        self.stretches.push(Stretch {
            from,
            level,
            way: None,
        });
    }

    /// Draws a hairpin that leads to a mark, or to one degree more or less where no mark is near.
    fn close(&mut self, hairpin: &Hairpin, mark: Option<(Quarters, f64)>) {
        let Some(level) = self.stretches.last().map(|stretch| stretch.level) else {
            return;
        };
        let near = mark.filter(|(at, _)| {
            hairpin
                .ended
                .is_none_or(|ended| *at <= ended + horn::mark_after_a_hairpin().value)
        });
        let degrees = horn::degrees_of_a_hairpin().value;
        let unmarked = if hairpin.louder { degrees } else { -degrees };
        let (to, goal) = match (near, hairpin.ended) {
            (Some((at, goal)), ended) => (ended.map_or(at, |ended| ended.min(at)), goal),
            // However many hairpins follow each other, nobody goes further than that from the mark.
            (None, Some(ended)) => {
                let goal = level + unmarked;
                (ended, goal.clamp(self.mark - degrees, self.mark + degrees))
            }
            // One that never ends, and leads to no mark, says nothing of how far.
            (None, None) => return,
        };
        if to <= hairpin.from {
            return;
        }
        self.stretches.push(Stretch {
            from: hairpin.from,
            level,
            way: Some((to, goal)),
        });
        self.step(to, goal);
    }

    /// The loudness at a moment, and when it was marked.
    pub(super) fn at_once(&self, onset: Quarters) -> Option<(Loudness, Quarters)> {
        let mut next = self
            .stretches
            .partition_point(|stretch| stretch.from <= onset);
        self.at(onset, &mut next)
    }

    /// The same; `next` is where the last moment that was asked for was found, and none was later.
    pub(super) fn at(&self, onset: Quarters, next: &mut usize) -> Option<(Loudness, Quarters)> {
        while self
            .stretches
            .get(*next)
            .is_some_and(|stretch| stretch.from <= onset)
        {
            *next += 1;
        }
        let stretch = self.stretches.get(next.checked_sub(1)?)?;
        Some((Loudness(stretch.level_at(onset)), stretch.from))
    }

    /// The loudness from one moment to another: how loud at which moment, the growth between them even, and two at once
    /// where it changes at once. Nothing where it is unknown; what it stays at is said once.
    pub(crate) fn between(&self, from: Quarters, to: Quarters) -> Vec<(Quarters, Loudness)> {
        let mut next = self
            .stretches
            .partition_point(|stretch| stretch.from <= from);
        let Some((begins, _)) = self.at(from, &mut next) else {
            return Vec::new();
        };
        let mut points = vec![(from, begins)];
        let inside = self.stretches.get(next..).unwrap_or_default();
        for stretch in inside.iter().take_while(|stretch| stretch.from < to) {
            points.push((stretch.from, self.until(stretch.from)));
            points.push((stretch.from, Loudness(stretch.level)));
        }
        if to > from {
            points.push((to, self.until(to)));
        }
        while let [.., (_, before), (_, last)] = points[..]
            && before == last
        {
            points.pop();
        }
        points
    }

    /// The loudness that a moment is reached with.
    fn until(&self, at: Quarters) -> Loudness {
        let before = self.stretches.partition_point(|stretch| stretch.from < at);
        let stretch = before
            .checked_sub(1)
            .and_then(|last| self.stretches.get(last));
        Loudness(stretch.map_or(0.0, |stretch| stretch.level_at(at)))
    }
}

impl Stretch {
    /// The loudness at a moment in it.
    fn level_at(&self, onset: Quarters) -> f64 {
        match self.way {
            Some((to, goal)) if to > self.from => {
                let passed = (onset - self.from).to_f64() / (to - self.from).to_f64();
                self.level + (goal - self.level) * passed.clamp(0.0, 1.0)
            }
            _ => self.level,
        }
    }
}
