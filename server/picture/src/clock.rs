//! Where moments lie on a line of music: between the columns around them.

use reading::PieceReading;
use theory::Seconds;

use crate::draw::Scene;

/// Moments and their places, in order.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Clock(Vec<(f64, f64)>);

impl Clock {
    pub(crate) fn of(scene: &Scene<'_, '_>, reading: &PieceReading) -> Self {
        let mut moments: Vec<(f64, f64)> = Vec::new();
        for (piece, measure, laid) in scene.pieces() {
            let columns = piece
                .columns
                .clone()
                .filter_map(|column| measure.columns.get(column));
            for (column, x) in columns.zip(&piece.places) {
                moments.push((reading.tempo.seconds(measure.onset + column.offset).0, *x));
            }
            if piece.columns.end >= laid.columns.len() {
                moments.push((
                    reading.tempo.seconds(measure.onset + measure.length).0,
                    piece.right,
                ));
            }
        }
        Self(moments)
    }

    /// The first and last moment of the line.
    pub(crate) fn span(&self) -> Option<(f64, f64)> {
        Some((self.0.first()?.0, self.0.last()?.0))
    }

    /// The place of a moment, or the nearest end of the line.
    pub(crate) fn x(&self, at: Seconds) -> f64 {
        let after = self.0.partition_point(|(moment, _)| *moment <= at.0);
        let before = after.checked_sub(1).and_then(|place| self.0.get(place));
        match (before, self.0.get(after)) {
            (Some((from, left)), Some((to, right))) => {
                left + (right - left) * (at.0 - from) / (to - from).max(f64::EPSILON)
            }
            (Some((_, x)), None) | (None, Some((_, x))) => *x,
            (None, None) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_lie_between_columns() {
        let clock = Clock(vec![(0.0, 10.0), (1.0, 30.0), (3.0, 50.0)]);
        for (at, x) in [
            (-1.0, 10.0),
            (0.0, 10.0),
            (0.5, 20.0),
            (2.0, 40.0),
            (9.0, 50.0),
        ] {
            assert!((clock.x(Seconds(at)) - x).abs() < 1e-9, "{at}");
        }
        assert_eq!(clock.span(), Some((0.0, 3.0)));
    }
}
