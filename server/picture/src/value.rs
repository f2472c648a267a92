//! Note values: what a head, a stem, flags and dots say of a length.

use theory::Quarters;

/// The longest value that is written, a double whole note, as a power of two of quarter notes.
const LONGEST: i32 = 3;
/// The shortest, a 1024th.
const SHORTEST: i32 = -8;
/// A length takes no more values, tied to one another.
const MOST: usize = 12;
/// The most notes of a tuplet that is told by its number.
const MOST_IN_TUPLET: i64 = 99;

/// A note value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Value {
    /// A power of two of quarter notes: 2 is a whole note, -1 an eighth.
    pub(crate) power: i32,
    /// Dots behind it.
    pub(crate) dots: u32,
    /// So many are played in the time of so many.
    pub(crate) tuplet: Option<(i64, i64)>,
}

impl Value {
    /// How many flags or beams its stem has.
    pub(crate) const fn flags(self) -> usize {
        if self.power < 0 {
            self.power.unsigned_abs() as usize
        } else {
            0
        }
    }

    /// Whether it has a stem.
    pub(crate) const fn has_stem(self) -> bool {
        self.power < 2
    }

    /// How long it lasts, in quarter notes.
    pub(crate) fn length(self) -> Quarters {
        let dotted = (2 << self.dots) - 1;
        let (over, under) = match self.power - self.dots.cast_signed() {
            power @ 0.. => (dotted << power, 1),
            power => (dotted, 1 << -power),
        };
        let (many, time) = self.tuplet.unwrap_or((1, 1));
        Quarters::new(over * time, under * many)
    }
}

/// The values that, tied to one another, last so long; the longest first. `None` where no values say it.
pub(crate) fn values(length: Quarters) -> Option<Vec<Value>> {
    let (over, under) = length.parts();
    if over <= 0 || under <= 0 {
        return None;
    }
    let many = under >> under.trailing_zeros();
    let tuplet = (many > 1).then(|| (many, 1 << (63 - many.leading_zeros())));
    if many > MOST_IN_TUPLET {
        return None;
    }
    let (_, time) = tuplet.unwrap_or((1, 1));
    let nominal = Quarters::new(over.checked_mul(many)?, under.checked_mul(time)?);
    let (mut over, under) = nominal.parts();
    // What is left of the denominator is a power of two.
    let shift = under.trailing_zeros().cast_signed();
    let mut values = Vec::new();
    while over > 0 {
        if values.len() == MOST {
            return None;
        }
        let top = 63 - over.leading_zeros().cast_signed();
        let power = (top - shift).min(LONGEST);
        if power < SHORTEST {
            return None;
        }
        let bit = power + shift;
        let mut dots = 0;
        let mut taken = 1_i64 << bit;
        // A dot for each half that follows, two at most; no length that is left is shorter than a 1024th.
        while dots < 2 && bit > dots && power - dots > SHORTEST {
            let half = 1_i64 << (bit - dots - 1);
            if (over - taken) < half || power == LONGEST && top - shift > LONGEST {
                break;
            }
            taken += half;
            dots += 1;
        }
        over -= taken;
        values.push(Value {
            power,
            dots: dots.unsigned_abs(),
            tuplet,
        });
    }
    Some(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(over: i64, under: i64) -> Option<Vec<(i32, u32, i64)>> {
        let values = values(Quarters::new(over, under))?;
        let told = values.into_iter();
        let told = told.map(|value| (value.power, value.dots, value.tuplet.map_or(1, |(n, _)| n)));
        Some(told.collect())
    }

    #[test]
    fn lengths_as_a_copyist_writes_them() {
        for (over, under, expected) in [
            (1, 1, vec![(0, 0, 1)]),
            (3, 1, vec![(1, 1, 1)]),
            (7, 2, vec![(1, 2, 1)]),
            (1, 2, vec![(-1, 0, 1)]),
            (3, 8, vec![(-2, 1, 1)]),
            (5, 2, vec![(1, 0, 1), (-1, 0, 1)]),
            (8, 1, vec![(3, 0, 1)]),
            (16, 1, vec![(3, 0, 1), (3, 0, 1)]),
            // Triplets, a quintuplet, a sextuplet and a septuplet.
            (1, 3, vec![(-1, 0, 3)]),
            (2, 3, vec![(0, 0, 3)]),
            (1, 5, vec![(-2, 0, 5)]),
            (1, 6, vec![(-2, 0, 3)]),
            (4, 7, vec![(0, 0, 7)]),
            (1, 256, vec![(-8, 0, 1)]),
        ] {
            assert_eq!(told(over, under), Some(expected), "{over}/{under}");
        }
        for (over, under) in [(0, 1), (-1, 1), (1, 512), (i64::MAX, 1), (1, 101)] {
            assert_eq!(told(over, under), None, "{over}/{under}");
        }
    }

    #[test]
    fn values_add_up_to_the_length() {
        let mut tried = 0;
        for over in 1..=64 {
            for under in [1, 2, 3, 4, 5, 6, 7, 8, 12, 16, 24, 32, 64, 128, 256] {
                let length = Quarters::new(over, under);
                let Some(values) = values(length) else {
                    continue;
                };
                let sum: Quarters = values.iter().map(|value| value.length()).sum();
                assert_eq!(sum, length);
                tried += 1;
            }
        }
        assert!(tried > 900, "{tried}");
    }
}
