//! `notation/courtesy`: a note without the reminder that the house prints.

use std::collections::BTreeMap;

use horn::Source;
use reading::PlayedNote;
use score::{AlterationFrom, Courtesy, Intent};
use theory::Letter;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A note that lacks the courtesy accidental this house prints.
    ///
    /// ## Why it matters
    /// A sign ends at the barline, and in most players' reading it holds for its own octave; the ear and the fingers carry
    /// it on. A reminder at the first note that is otherwise again costs nothing, and spares the wrong note at sight and the
    /// question in rehearsal.
    ///
    /// ## What to write instead
    /// The accidental again (the fix). Where it is wanted stands in the settings, `courtesy` under `[page]`: in the next bar,
    /// in another octave of the same bar, or both. Without it the rule is silent.
    ///
    /// ## Source
    /// That reminders help: common practice. Where they stand: the house.
    ///
    /// ```toml settings
    /// [page]
    /// courtesy = "both"
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^f e d2 | f4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// ^f e d2 | =f4 |]
    /// ```
    "notation/courtesy", Warning, Part(check), rests_on: Crook,
    speaks_in: |house| house.courtesy_kept && house.courtesy != Courtesy::Never
}

/// The last note at each line or space, by letter and octave.
type Lines<'a> = BTreeMap<(Letter, i8), &'a PlayedNote>;

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    if !(RULE.speaks_in)(ctx.house) {
        return Vec::new();
    }
    let courtesy = ctx.house.courtesy;
    let (mut bar, mut before, mut here) = (0, Lines::new(), Lines::new());
    let mut findings = Vec::new();
    for note in &ctx.part.notes {
        if note.bar != bar {
            // A bar without a note in between has nothing to remind of.
            before = if note.bar == bar + 1 {
                here
            } else {
                Lines::new()
            };
            here = Lines::new();
            bar = note.bar;
        }
        let pitch = note.written.0;
        let line = (pitch.letter, pitch.octave);
        let bare = note.alteration_from != AlterationFrom::Accidental && !note.tied_from;
        if bare && !here.contains_key(&line) {
            let other = |met: &&&PlayedNote| met.written.0.alteration != pitch.alteration;
            let mut octaves = here.range((pitch.letter, i8::MIN)..=(pitch.letter, i8::MAX));
            let in_bar = octaves.find_map(|(_, met)| Some(met).filter(other));
            let in_bar = in_bar.filter(|_| courtesy.of_other_octave());
            let in_last = before.get(&line).filter(other);
            let in_last = in_last.filter(|_| courtesy.of_bar_before());
            findings.extend(in_bar.or(in_last).map(|met| finding(ctx, note, met)));
        }
        here.insert(line, note);
    }
    findings
}

fn finding(ctx: &PartContext<'_>, note: &PlayedNote, met: &PlayedNote) -> Finding {
    let place = if met.bar == note.bar {
        "earlier in the bar"
    } else {
        "in the bar before"
    };
    let message = format!(
        "{} comes after {} {place}, without a sign. Fingers and ears carry the other note on; this house prints a reminder here. \
         Write the accidental.",
        note.written, met.written
    );
    ctx.finding(&RULE, note.pitch_span, message, &Source::HouseSetting)
        .at_bar(note.number)
        .related(Some(met.pitch_span), "the note it is otherwise than")
        .fix(
            Safety::Safe,
            format!("Write the accidental at {}", note.written),
            vec![Intent::ShowAccidental {
                note: note.span,
                brackets: ctx.house.courtesy_brackets,
            }],
        )
}
