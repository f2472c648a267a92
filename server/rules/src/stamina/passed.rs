//! When a sum that has passed its limit is spoken of, and when again.

/// A limit watched along a part.
pub(super) struct Passed {
    limit: f64,
    /// How much must be added, or have come back, before it is said again.
    step: f64,
    next: f64,
}

impl Passed {
    /// Watches a limit; `again` is the part of it after which it is said again.
    pub(super) fn new(limit: f64, again: f64) -> Self {
        Self {
            limit,
            step: limit * again,
            next: limit,
        }
    }

    /// Whether a sum has come to the point at which it is to be spoken of.
    pub(super) fn by(&mut self, sum: f64) -> bool {
        if sum <= self.limit - self.step {
            self.next = self.limit;
        }
        let passed = sum > self.next + 1e-6;
        if passed {
            self.next = sum + self.step;
        }
        passed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_said_once_and_again_after_a_step() {
        let mut passed = Passed::new(10.0, 0.5);
        let told: Vec<bool> = [9.0, 11.0, 12.0, 16.5, 8.0, 11.0, 4.0, 10.5]
            .into_iter()
            .map(|sum| passed.by(sum))
            .collect();
        assert_eq!(told, [false, true, false, true, false, false, false, true]);
    }
}
