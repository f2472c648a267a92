//! The axis of time: seconds to places on one endless line, long rests and endless notes drawn together.

use reading::{HornPart, PieceReading};
use theory::Seconds;

/// The shortest common note is at least so wide.
const SHORTEST: f64 = 9.0;
/// Units a second that are wide enough, and as many as are sensible.
const SCALES: (f64, f64) = (14.0, 90.0);
/// A longer rest is drawn at this width, with its length in words.
const REST: f64 = 84.0;
/// No longer is the line between two moments at which a note begins or ends, so that a drawing grows with what is
/// written and not with how long it lasts. At the widest scale it is half a minute of one held note.
const HELD: f64 = 3000.0;

/// A stretch drawn together: a long rest, or a note that is held beyond all measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Gap {
    pub(crate) from: Seconds,
    pub(crate) to: Seconds,
    /// Where it begins on the line.
    pub(crate) x: f64,
    /// How wide it is drawn.
    pub(crate) width: f64,
    /// Whether nothing sounds in it.
    pub(crate) silent: bool,
}

/// Time laid out on a line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Axis {
    /// Units a second outside gaps.
    scale: f64,
    pub(crate) gaps: Vec<Gap>,
    /// When the piece ends.
    end: Seconds,
}

impl Axis {
    pub(crate) fn of(reading: &PieceReading, horn: &HornPart) -> Self {
        let scale = scale(horn);
        let bars = reading.piece.parts.get(horn.seat.part);
        let last = bars.and_then(|part| part.bars.last());
        let end = last.map_or(0.0, |bar| reading.tempo.seconds(bar.onset + bar.length).0);
        let mut axis = Self {
            scale,
            gaps: Vec::new(),
            end: Seconds(end),
        };
        let mut played: Vec<(f64, f64)> = horn
            .notes
            .iter()
            .map(|note| (note.starts.0, note.ends.0))
            .collect();
        played.sort_by(|one, other| one.0.total_cmp(&other.0));
        let mut moments: Vec<f64> = played
            .iter()
            .flat_map(|(starts, ends)| [*starts, *ends])
            .chain([0.0, end])
            .collect();
        moments.sort_by(f64::total_cmp);
        axis.end = Seconds(moments.last().copied().unwrap_or_default());
        let mut played = played.into_iter().peekable();
        let mut until = 0.0_f64;
        for pair in moments.windows(2) {
            let &[from, to] = pair else { continue };
            while let Some((_, ends)) = played.next_if(|(starts, _)| *starts <= from) {
                until = until.max(ends);
            }
            let silent = until <= from;
            let width = if silent { REST } else { HELD };
            if (to - from) * scale > width {
                let (from, to) = (Seconds(from), Seconds(to));
                axis.gaps.push(Gap {
                    from,
                    to,
                    x: axis.x(from),
                    width,
                    silent,
                });
            }
        }
        axis
    }

    /// The place of a moment.
    pub(crate) fn x(&self, at: Seconds) -> f64 {
        let after = self.gaps.partition_point(|gap| gap.from.0 <= at.0);
        let Some(gap) = after.checked_sub(1).and_then(|last| self.gaps.get(last)) else {
            return at.0 * self.scale;
        };
        if at.0 < gap.to.0 {
            gap.x + gap.width * (at - gap.from).0 / (gap.to - gap.from).0
        } else {
            gap.x + gap.width + (at - gap.to).0 * self.scale
        }
    }

    /// Whether a moment lies inside a stretch drawn together, its ends not counted.
    pub(crate) fn hidden(&self, at: Seconds) -> bool {
        let after = self.gaps.partition_point(|gap| gap.from.0 + 1e-6 < at.0);
        let gap = after.checked_sub(1).and_then(|last| self.gaps.get(last));
        gap.is_some_and(|gap| at.0 < gap.to.0 - 1e-6)
    }

    /// Where the line ends.
    pub(crate) fn length(&self) -> f64 {
        self.x(self.end)
    }
}

/// So many units a second that the shorter notes can be seen and clicked.
fn scale(horn: &HornPart) -> f64 {
    let mut lengths: Vec<f64> = horn
        .notes
        .iter()
        .filter(|note| !note.grace && !note.tied_from)
        .map(|note| (note.ends - note.starts).0)
        .filter(|length| *length > 0.0)
        .collect();
    lengths.sort_by(f64::total_cmp);
    // One note in ten may be shorter.
    let short = lengths.get(lengths.len() / 10).copied().unwrap_or(1.0);
    (SHORTEST / short).clamp(SCALES.0, SCALES.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_rest_is_drawn_together_and_time_goes_on_behind_it() {
        let axis = Axis {
            scale: 20.0,
            gaps: vec![Gap {
                from: Seconds(10.0),
                to: Seconds(50.0),
                x: 200.0,
                width: REST,
                silent: true,
            }],
            end: Seconds(60.0),
        };
        assert!((axis.x(Seconds(5.0)) - 100.0).abs() < 1e-9);
        assert!((axis.x(Seconds(30.0)) - (200.0 + REST / 2.0)).abs() < 1e-9);
        assert!((axis.x(Seconds(51.0)) - (220.0 + REST)).abs() < 1e-9);
        assert!((axis.length() - (400.0 + REST)).abs() < 1e-9);
        assert!(axis.hidden(Seconds(30.0)) && !axis.hidden(Seconds(50.0)));
    }
}
