//! The words of care that go with every report.

/// The usual words about lips and ears, deferring to teachers, players and medical advice.
#[must_use]
pub const fn caution() -> &'static str {
    "No rule here knows the player. Rest often, and stop at pain, swelling or loss of control; long loud \
     playing also asks for care of the ears. What a teacher, the player or a doctor says comes first."
}

#[cfg(test)]
mod tests {
    use super::caution;

    #[test]
    fn it_defers_to_people() {
        for word in ["teacher", "player", "doctor", "ears"] {
            assert!(caution().contains(word));
        }
    }
}
