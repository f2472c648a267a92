//! `line/trill`: a whole-step trill where the lip has no two partials a tone apart.

use horn::TrillWay;
use reading::PlayedNote;
use score::TrillTo;
use theory::{Alteration, Interval, Key, Letter, Pitch};

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;

rule! {
    /// A whole-step trill where the horn has no lip trill.
    ///
    /// ## Why it matters
    /// Half-step trills are made with the valves and are fine anywhere. Whole steps are made with the lip, between
    /// two partials a tone apart on one tube; below written F sharp 4 the partials lie too far apart, above G5 the
    /// neighbours come in between. With the valves alone a whole step is clumsy and slow.
    ///
    /// ## What to write instead
    /// Write a half-step trill, move the note between written F sharp 4 and G5, or give the trill to another
    /// instrument.
    ///
    /// ## Source
    /// Lower notes from F sharp 4 to G5: the trills between partials 8-9 and 9-10 in Eddins, *Horn fingering and
    /// harmonics chart* (2023). Half steps with the valves: common practice. The upper note is taken from the key
    /// signature; an accidental over the trill is not read. Single horns have the trills of their one side, and what
    /// a triple's high F side adds (to D6) is computed.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !trill!C4 | D4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !trill!c4 | !trill!E4 |]
    /// ```
    "line/trill", Warning, Player(check), rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let instrument = ctx.instrument();
    let (lowest, highest) = (
        horn::lowest_lip_trill(instrument),
        horn::highest_lip_trill(instrument),
    );
    ctx.part
        .notes
        .iter()
        .filter_map(|note| {
            let (to, sign) = *note.trill.as_deref()?;
            let (upper, semitones, said) = match to {
                TrillTo::Key => {
                    let upper = upper_note(ctx, note, None);
                    let semitones = Interval::between(note.written.0, upper).semitones;
                    (upper, semitones, " as the key gives it,")
                }
                TrillTo::Accidental(alteration) => {
                    let upper = upper_note(ctx, note, Some(alteration));
                    let semitones = Interval::between(note.written.0, upper).semitones;
                    (upper, semitones, "")
                }
                TrillTo::Semitones(semitones) => {
                    let by = Interval::new(1, i32::from(semitones));
                    (note.written.0.transposed(by), i32::from(semitones), "")
                }
            };
            if semitones > 2 || horn::trill_way(instrument, note.height, semitones) != TrillWay::Neither {
                return None;
            }
            let (side, why) = if note.height < lowest.value {
                (
                    format!("below {}", lowest.value),
                    "the partials lie too far apart for a lip trill",
                )
            } else {
                (
                    format!("above {}", highest.value),
                    "the lip slips over more than two partials",
                )
            };
            let message = format!(
                "A whole-step trill on {}, with {upper}{said} lies {side}: there {why}, and with the valves it \
                 is slow and clumsy. Trill a half step, move it between {} and {} as a horn in F reads them, or give it to \
                 another instrument.",
                ctx.name(note),
                lowest.value,
                highest.value,
            );
            Some(
                ctx.finding(&RULE, sign, message, &lowest.source)
                    .at_bar(note.number)
                    .related(Some(note.pitch_span), "the lower note"),
            )
        })
        .collect()
}

/// The next note up on the page, by the key or by an accidental of the trill's own.
fn upper_note(ctx: &PartContext<'_>, note: &PlayedNote, own: Option<Alteration>) -> Pitch {
    let keys = &ctx.part.keys;
    let begun = keys.partition_point(|(from, _, _)| *from <= note.onset);
    let last = begun.checked_sub(1).and_then(|last| keys.get(last));
    let key = last.map_or(Key::NONE, |(_, key, _)| *key);
    let steps = note.written.0.staff_steps() + 1;
    let letter = Letter::from_steps(steps);
    let octave = i8::try_from(steps.div_euclid(7)).unwrap_or_default();
    Pitch::new(
        letter,
        own.unwrap_or_else(|| key.alteration(letter)).0,
        octave,
    )
}
