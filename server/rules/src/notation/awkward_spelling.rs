//! `notation/awkward-spelling`: notes spelled so that players stumble.

use horn::Source;
use reading::PlayedNote;
use score::{Intent, Row};
use theory::{Letter, Pitch, WrittenPitch};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};

rule! {
    /// A double sharp or flat, or a white key by a black key's name, where a simpler name would do.
    ///
    /// ## Why it matters
    /// Horn players read accidentals one by one, and often transpose at sight. E sharp, C flat or a double sharp makes
    /// them think twice in the middle of a bar, unless the line climbs or falls through it step by step.
    ///
    /// ## What to write instead
    /// The simpler name for the same note (the fix): F for E sharp, B for C flat, G for F double sharp.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c _c' c g | ^^f4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c b c g | ^d ^e ^f2 |]
    /// ```
    "notation/awkward-spelling", Information, Part(check), rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let notes: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.layer == 0 && !note.chord)
        .collect();
    let neighbours = |index: usize| {
        [index.checked_sub(1), index.checked_add(1)]
            .into_iter()
            .flatten()
            .filter_map(|other| notes.get(other).copied())
    };
    notes
        .iter()
        .enumerate()
        .filter(|(_, note)| !note.tied_from)
        .filter_map(|(index, note)| {
            let pitch = note.written.0;
            let double = pitch.alteration.0.abs() > 1;
            let white = matches!(
                (pitch.letter, pitch.alteration.0),
                (Letter::E | Letter::B, 1) | (Letter::C | Letter::F, -1)
            );
            if !double && !white {
                return None;
            }
            // A step of the letter from or to its neighbour makes the name the right one.
            let stepwise = neighbours(index).any(|other| {
                (other.written.0.staff_steps() - pitch.staff_steps()).abs() == 1
                    && (other.written.midi() - pitch.midi()).abs() <= 2
                    && other.written.midi() != pitch.midi()
            });
            if !double && stepwise {
                return None;
            }
            let simple = WrittenPitch(simpler(pitch));
            let message = format!(
                "{} is an awkward name for {simple}. In the middle of a line the player has to think twice. Write {simple}.",
                note.written,
            );
            let finding = ctx
                .finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
                .at_bar(note.number)
                .fix(
                    Safety::Safe,
                    format!("Write {simple} for {}", note.written),
                    vec![Intent::MoveNote {
                        note: note.span,
                        from: note.written,
                        to: simple,
                    }],
                );
            Some(if double {
                finding.graver(Severity::Warning)
            } else {
                finding
            })
        })
        .collect()
}

fn simpler(pitch: Pitch) -> Pitch {
    Pitch::from_midi(pitch.midi(), pitch.alteration.0 > 0)
}
