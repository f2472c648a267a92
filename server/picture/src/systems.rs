//! Cutting the line of time into systems, one below the other.

use reading::{HornPart, PieceReading};
use theory::Seconds;

use crate::time::Axis;

/// A barline that is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BarStart {
    /// Where, on the line of time.
    pub(crate) x: f64,
    /// The number of the bar it begins.
    pub(crate) number: u32,
}

/// The stretch of the line of time that one system shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Stretch {
    /// The part of an interval that lies in the stretch, counted from its beginning; `None` when none does.
    pub(crate) fn part(&self, from: f64, to: f64) -> Option<(f64, f64)> {
        let (inside, until) = (from.max(self.from), to.min(self.to));
        let touches = inside < until || (from == to && self.holds(from));
        touches.then_some((inside - self.from, until - self.from))
    }

    /// Whether a place lies in it; the place at its end belongs to the next.
    pub(crate) fn holds(&self, x: f64) -> bool {
        self.from <= x && x < self.to
    }
}

/// Shares things out to the systems that show them; each thing comes with where it begins and ends.
pub(crate) fn shared<T: Copy>(
    systems: &[Stretch],
    things: impl Iterator<Item = (f64, f64, T)>,
) -> Vec<Vec<T>> {
    let mut shares = vec![Vec::new(); systems.len()];
    for (from, to, thing) in things {
        let first = systems.partition_point(|system| system.to <= from);
        let seen = systems.iter().zip(&mut shares).skip(first);
        for (_, share) in seen.take_while(|(system, _)| system.part(from, to).is_some()) {
            share.push(thing);
        }
    }
    shares
}

/// The barlines, but for those within rests drawn together.
pub(crate) fn bar_starts(reading: &PieceReading, horn: &HornPart, axis: &Axis) -> Vec<BarStart> {
    let part = reading.piece.parts.get(horn.seat.part);
    part.into_iter()
        .flat_map(|part| &part.bars)
        .map(|bar| (reading.tempo.seconds(bar.onset), bar.number))
        .filter(|(starts, _)| !axis.hidden(*starts))
        .map(|(starts, number): (Seconds, u32)| BarStart {
            x: axis.x(starts),
            number,
        })
        .collect()
}

/// As many whole bars to a system as fit into `width`; a bar that is wider is cut. `None` where `most` systems will not do.
pub(crate) fn cut(length: f64, bars: &[BarStart], width: f64, most: usize) -> Option<Vec<Stretch>> {
    let mut systems = Vec::new();
    let mut from = 0.0;
    while from < length {
        if systems.len() >= most {
            return None;
        }
        let limit = from + width;
        let to = if length <= limit {
            length
        } else {
            let fits = bars.partition_point(|bar| bar.x <= limit);
            bars.get(fits.saturating_sub(1))
                .map(|bar| bar.x)
                .filter(|x| *x > from)
                .unwrap_or(limit)
        };
        systems.push(Stretch { from, to });
        from = to;
    }
    Some(systems)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_bars_fill_systems_and_nothing_is_left_out() {
        let bars: Vec<BarStart> = [0.0, 40.0, 80.0, 300.0, 320.0]
            .into_iter()
            .zip(1..)
            .map(|(x, number)| BarStart { x, number })
            .collect();
        let systems = cut(350.0, &bars, 100.0, 4).unwrap();
        assert_eq!(cut(350.0, &bars, 100.0, 3), None);
        let ends: Vec<f64> = systems.iter().map(|system| system.to).collect();
        // The third bar alone is wider than a system.
        assert_eq!(ends, [80.0, 180.0, 280.0, 350.0]);
        for pair in systems.windows(2) {
            assert!((pair[0].to - pair[1].from).abs() < f64::EPSILON);
        }
        assert_eq!(systems[0].part(60.0, 120.0), Some((60.0, 80.0)));
        assert_eq!(systems[1].part(60.0, 120.0), Some((0.0, 40.0)));
        assert_eq!(systems[2].part(60.0, 120.0), None);
        let things = [(60.0, 120.0, 'a'), (80.0, 80.0, 'b'), (90.0, 300.0, 'c')];
        assert_eq!(
            shared(&systems, things.into_iter()),
            [vec!['a'], vec!['a', 'b', 'c'], vec!['c'], vec!['c']]
        );
    }
}
