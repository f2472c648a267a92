//! `notation/unclear-accidental`: an accidental that players read differently from the file.

use std::collections::BTreeMap;

use horn::Source;
use reading::PlayedNote;
use score::{AlterationFrom, Intent};
use theory::Letter;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A note whose only accidental stands earlier in the bar, in another octave.
    ///
    /// ## Why it matters
    /// Some notations let an accidental hold in all octaves to the end of the bar, and ABC does so unless told
    /// otherwise; others record what sounds, whether or not the page shows it. Players on the stand mostly take an
    /// accidental to hold for its own line or space only: the file plays F sharp and the player F.
    ///
    /// ## What to write instead
    /// Write the accidental again in the other octave (the fix); it costs nothing and leaves no doubt.
    ///
    /// ## Source
    /// That an accidental holds for its own octave is common practice, if not universal; the all-octaves default is
    /// the ABC standard 2.1, section 11.3.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^F A d f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^F A d ^f | g4 |]
    /// ```
    "notation/unclear-accidental", Warning, Part(check), rests_on: Crook
}

/// The last accidentals shown in a bar, for each letter: in any octave, and in each.
#[derive(Default)]
struct Shown<'a> {
    bar: usize,
    in_any: BTreeMap<Letter, &'a PlayedNote>,
    in_octave: BTreeMap<(Letter, i8), &'a PlayedNote>,
}

impl<'a> Shown<'a> {
    /// Forgets what a bar before has shown.
    fn enter(&mut self, bar: usize) {
        if self.bar != bar {
            *self = Self {
                bar,
                ..Self::default()
            };
        }
    }

    fn show(&mut self, note: &'a PlayedNote) {
        let pitch = note.written.0;
        self.in_any.insert(pitch.letter, note);
        self.in_octave.insert((pitch.letter, pitch.octave), note);
    }
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let mut shown = Shown::default();
    let mut findings = Vec::new();
    for note in &ctx.part.notes {
        shown.enter(note.bar);
        match note.alteration_from {
            AlterationFrom::Accidental => shown.show(note),
            AlterationFrom::Bar => findings.extend(judge(ctx, &shown, note)),
            _ => {}
        }
    }
    findings
}

/// Judges a note that is altered by what stands before it in its bar.
fn judge(ctx: &PartContext<'_>, shown: &Shown<'_>, note: &PlayedNote) -> Option<Finding> {
    let pitch = note.written.0;
    let says_so = |other: &&PlayedNote| other.written.0.alteration == pitch.alteration;
    let own_octave = shown.in_octave.get(&(pitch.letter, pitch.octave));
    if own_octave.is_some_and(&says_so) {
        return None;
    }
    let origin = shown
        .in_any
        .get(&pitch.letter)
        .filter(|other| says_so(other))?;
    let message = format!(
        "{} has its accidental only from {} earlier in the bar. Most players take an accidental for its own octave and will play \
         another note here. Write it again.",
        note.written, origin.written,
    );
    Some(
        ctx.finding(&RULE, note.pitch_span, message, &Source::CommonPractice)
            .at_bar(note.number)
            .related(Some(origin.pitch_span), "the accidental it comes from")
            .fix(
                Safety::Safe,
                format!("Write the accidental at {}", note.written),
                vec![Intent::ShowAccidental {
                    note: note.span,
                    brackets: ctx.house.courtesy_brackets,
                }],
            ),
    )
}
