//! What stands for a text and all that was in force before it, so that what was read from them is found again.

use std::hash::Hash;

use ahash::RandomState;

/// A hash of 128 bits, so that a chance meeting of two different texts is out of the question.
pub(crate) fn digest(of: &impl Hash) -> u128 {
    let hash =
        |seed: u64| u128::from(RandomState::with_seeds(seed, seed ^ 0x5bd1, 3, 7).hash_one(of));
    hash(11) << 64 | hash(0x9e37)
}
