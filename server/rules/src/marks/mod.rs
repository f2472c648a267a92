//! Rules about the words and signs over the staff.

pub mod house_players;
pub mod house_words;
pub mod language_mix;
pub mod no_dynamic;
pub mod second_time;
pub mod string_words;
pub mod vague;
