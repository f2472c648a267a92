//! Musical time in exact quarter notes, and metres.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, AddAssign, Mul, Sub};

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub, Zero};

/// A length or a place in time, in quarter notes, exact.
///
/// Sums that leave the range of 64-bit fractions (no music does; damaged text may) are rounded to a grid
/// fine enough for every tuplet of up to thirteen, so that nothing here can panic.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Quarters(Ratio<i64>);

/// 2^10 · 3^4 · 5^2 · 7 · 11 · 13: the grid of last resort.
const GRID: i64 = 1024 * 81 * 25 * 7 * 11 * 13;
/// The finest fraction that is added by halves.
const MOST_HALVED: i64 = 1 << 30;
/// The longest time that is told apart, in quarter notes.
const LONGEST: i64 = 1 << 28;

impl Quarters {
    /// No time at all.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// One quarter note.
    pub const ONE: Self = Self(Ratio::new_raw(1, 1));

    /// So many quarter notes as a fraction; a zero denominator counts as one.
    #[must_use]
    pub fn new(numerator: i64, denominator: i64) -> Self {
        let denominator = if denominator == 0 {
            1
        } else {
            denominator.clamp(-i64::MAX, i64::MAX)
        };
        Self(Ratio::new(
            numerator.clamp(-i64::MAX, i64::MAX),
            denominator,
        ))
    }

    /// So many whole quarter notes.
    #[must_use]
    pub const fn whole(quarters: i64) -> Self {
        Self(Ratio::new_raw(quarters, 1))
    }

    /// The nearest `f64` (of all but absurdly fine fractions), for seconds and pictures only.
    #[must_use]
    pub const fn to_f64(self) -> f64 {
        let (numerator, denominator) = self.parts();
        numerator as f64 / denominator as f64
    }

    /// Numerator and denominator in lowest terms.
    #[must_use]
    pub const fn parts(self) -> (i64, i64) {
        (*self.0.numer(), *self.0.denom())
    }

    /// Whether it is no time.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    /// Divided by a whole number; by zero counts as by one.
    #[must_use]
    pub fn over(self, divisor: i64) -> Self {
        self * Self::new(1, divisor)
    }

    /// The exact sum with whole quarter notes, which needs no common denominator; `None` past 64 bits.
    fn checked_add_whole(self, whole: i64) -> Option<Self> {
        let (numerator, denominator) = self.parts();
        let numerator = numerator.checked_add(whole.checked_mul(denominator)?)?;
        Some(Self(Ratio::new_raw(numerator, denominator)))
    }

    /// The exact sum of fractions whose denominators are powers of two, as those of most music are; `None` past 64 bits
    /// and for others.
    fn checked_add_halves(self, other: Self) -> Option<Self> {
        let ((one, of), (two, by)) = (self.parts(), other.parts());
        if of.count_ones() != 1 || by.count_ones() != 1 || of.max(by) > MOST_HALVED {
            return None;
        }
        let denominator = of.max(by);
        let scaled = |numerator: i64, of: i64| numerator.checked_mul(denominator / of);
        let sum = scaled(one, of)?.checked_add(scaled(two, by)?)?;
        let common = sum.trailing_zeros().min(denominator.trailing_zeros());
        Some(Self(Ratio::new_raw(sum >> common, denominator >> common)))
    }

    fn rounded(value: f64) -> Self {
        let held = value.clamp(-(LONGEST as f64), LONGEST as f64);
        Self(Ratio::new((held * GRID as f64).round() as i64, GRID))
    }
}

impl Add for Quarters {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        let sum = match (self.parts(), other.parts()) {
            (_, (whole, 1)) => self.checked_add_whole(whole),
            ((whole, 1), _) => other.checked_add_whole(whole),
            _ => self
                .checked_add_halves(other)
                .or_else(|| self.0.checked_add(&other.0).map(Self)),
        };
        sum.unwrap_or_else(|| Self::rounded(self.to_f64() + other.to_f64()))
    }
}

impl AddAssign for Quarters {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sub for Quarters {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        let difference = match other.parts() {
            (whole, 1) => whole
                .checked_neg()
                .and_then(|whole| self.checked_add_whole(whole)),
            (numerator, denominator) => {
                let negative = numerator.checked_neg();
                let negative = negative.map(|negative| Self(Ratio::new_raw(negative, denominator)));
                negative
                    .and_then(|negative| self.checked_add_halves(negative))
                    .or_else(|| self.0.checked_sub(&other.0).map(Self))
            }
        };
        difference.unwrap_or_else(|| Self::rounded(self.to_f64() - other.to_f64()))
    }
}

impl Mul for Quarters {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        self.0
            .checked_mul(&other.0)
            .map_or_else(|| Self::rounded(self.to_f64() * other.to_f64()), Self)
    }
}

impl PartialOrd for Quarters {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Quarters {
    fn cmp(&self, other: &Self) -> Ordering {
        let ((one, of), (two, by)) = (self.parts(), other.parts());
        if of == by {
            return one.cmp(&two);
        }
        // Denominators are positive, and the products of 64 bits fit into 128.
        (i128::from(one) * i128::from(by)).cmp(&(i128::from(two) * i128::from(of)))
    }
}

impl std::iter::Sum for Quarters {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, |total, item| total + item)
    }
}

impl fmt::Display for Quarters {
    /// A whole number, or a fraction in lowest terms as in `3/2`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A metre: how much time a full bar holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    /// Beats in a bar, the upper number (a sum is added up).
    pub beats: u32,
    /// The note value of a beat, the lower number: 4 is a quarter note.
    pub unit: u32,
}

impl Meter {
    /// The length of a full bar.
    #[must_use]
    pub fn bar(self) -> Quarters {
        Quarters::new(i64::from(self.beats) * 4, i64::from(self.unit.max(1)))
    }

    /// Whether beats divide in three: 6/8, 9/8, 12/8 and the like.
    #[must_use]
    pub const fn is_compound(self) -> bool {
        self.beats > 3 && self.beats.is_multiple_of(3) && self.unit >= 8
    }
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.beats, self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fractions_stay_exact() {
        let third = Quarters::new(1, 3);
        assert_eq!(third + third + third, Quarters::ONE);
        assert_eq!(Quarters::new(6, 4).to_string(), "3/2");
        assert_eq!(Quarters::whole(2).to_string(), "2");
    }

    #[test]
    fn whole_numbers_add_as_fractions_do() {
        let mut compared = 0;
        for numerator in -40..40 {
            for denominator in [1, 2, 3, 7, 8, 12] {
                for whole in -5..5 {
                    let (part, whole) = (
                        Quarters::new(numerator, denominator),
                        Quarters::whole(whole),
                    );
                    assert_eq!((part + whole).0, part.0 + whole.0);
                    assert_eq!((whole + part).0, part.0 + whole.0);
                    assert_eq!((part - whole).0, part.0 - whole.0);
                    assert_eq!((whole - part).0, whole.0 - part.0);
                    compared += 4;
                }
            }
        }
        println!("{compared} sums");
        assert_eq!(compared, 19_200);
    }

    #[test]
    fn fractions_add_and_compare_as_any_do() {
        let denominators = [1, 2, 3, 4, 6, 8, 16, 64];
        let all: Vec<Quarters> = (-9..9)
            .flat_map(|numerator| {
                denominators.map(|denominator| Quarters::new(numerator, denominator))
            })
            .collect();
        let mut compared = 0;
        for one in &all {
            for two in &all {
                assert_eq!((*one + *two).0, one.0 + two.0);
                assert_eq!((*one - *two).0, one.0 - two.0);
                assert_eq!(one.cmp(two), one.0.cmp(&two.0), "{one} {two}");
                compared += 3;
            }
        }
        println!("{compared} sums, differences and comparisons");
        assert_eq!(compared, 3 * 144 * 144);
        // Sums that leave 64 bits are rounded, however they are cut.
        let far = Quarters::new(i64::MAX, 1 << 20);
        assert!(far + far > Quarters::ZERO && far - Quarters::new(-1, 2) > Quarters::ZERO);
        assert!(Quarters::new(i64::MAX, 2) > Quarters::new(i64::MAX, 3));
    }

    #[test]
    fn absurd_lengths_round_instead_of_panicking() {
        let mut sum = Quarters::ZERO;
        for prime in [
            1_000_003i64,
            999_983,
            999_979,
            999_961,
            999_959,
            999_953,
            999_931,
        ] {
            sum += Quarters::new(prime - 1, prime);
        }
        assert!((sum.to_f64() - 7.0).abs() < 1e-3);
        assert!(Quarters::new(i64::MAX, 1) + Quarters::new(i64::MAX, 1) > Quarters::ZERO);
        assert_eq!(Quarters::new(1, 0), Quarters::ONE);
        assert!(Quarters::new(i64::MIN, i64::MIN) > Quarters::ZERO);
    }

    #[test]
    fn bars() {
        assert_eq!(Meter { beats: 6, unit: 8 }.bar(), Quarters::whole(3));
        assert!(Meter { beats: 6, unit: 8 }.is_compound());
        assert!(!Meter { beats: 3, unit: 4 }.is_compound());
    }
}
