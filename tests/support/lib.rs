//! What tests share: where the test scores lie and how their truth is written, what can be asked of a document, and how a
//! document is drawn or damaged.
#![expect(
    clippy::unwrap_used,
    reason = "what helps tests fails loudly, as they do"
)]

mod commands;
pub mod damage;
mod drawn;
pub mod excerpt;
mod judge;

pub use commands::{Done, ask_everything};
pub use drawn::subjects;
pub use judge::judge;

use std::path::{Path, PathBuf};

use serde::Deserialize;

/// The folder of this package.
#[must_use]
pub fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// The truth about one score.
#[derive(Debug, Deserialize)]
pub struct Truth {
    /// The score's file name.
    pub file: String,
    /// Its horn parts.
    pub parts: Vec<TruePart>,
}

/// The truth about one part.
#[derive(Debug, Deserialize)]
pub struct TruePart {
    /// The part's name.
    pub name: String,
    /// Its notes, in order.
    pub notes: Vec<TrueNote>,
}

/// The truth about one note.
#[derive(Debug, Deserialize)]
pub struct TrueNote {
    /// The bar's number.
    pub m: String,
    /// Quarter notes from the barline.
    pub off: TrueTime,
    /// Written pitch as a MIDI number.
    pub wm: i32,
    /// Sounding pitch as a MIDI number.
    pub s: i32,
    /// Quarter notes.
    pub d: TrueTime,
}

/// A time in quarter notes: a number, or a fraction in words where the number would not be exact.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub enum TrueTime {
    /// `1.5`
    Number(f64),
    /// `"1/3"`
    Fraction(String),
}

impl TrueTime {
    /// Quarter notes.
    #[must_use]
    pub fn quarters(&self) -> f64 {
        match self {
            Self::Number(number) => *number,
            Self::Fraction(words) => match words.split_once('/') {
                Some((over, under)) => {
                    over.parse::<f64>().unwrap_or(f64::NAN)
                        / under.parse::<f64>().unwrap_or(f64::NAN)
                }
                None => words.parse().unwrap_or(f64::NAN),
            },
        }
    }
}
