//! `part/too-empty`: a part of nothing but after-beats.

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static SHARE: Setting = Setting {
    name: "share",
    what: "In how many of the bars it plays in the part must come in after the first beat, in percent.",
    kind: Kind::Number("percent"),
    default: |_| number(horn::after_beats_share(), "percent"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes a part must have before it is judged as a whole.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_of_a_whole_part(), "notes"),
};

rule! {
    /// A part that plays nothing but after-beats.
    ///
    /// ## Why it matters
    /// A player who fills in after the beat from the first page to the last has nothing to listen for, and plays so. What
    /// others have anyway needs no horn.
    ///
    /// ## What to write instead
    /// Give the part a counter-melody, a held note or a phrase of the tune now and then, and share the after-beats out.
    ///
    /// ## Source
    /// Parts with nothing to do beside what the others have: Ericson, *Horn Matters* (2011). From when on a part is one is
    /// bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:2/4
    /// L:1/8
    /// Q:1/4=100
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!zGzG | zGzG | zAzA | zAzA | zGzG | zGzG | zAzA | zAzA | zGzG | zGzG | zAzA | zAzA | zGzG | zGzG | zAzA | zAzA | zGzG | zGzG | zAzA | zAzA | zGzG | zGzG | zAzA | zAzA |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:2/4
    /// L:1/8
    /// Q:1/4=100
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!zGzG | zGzG | zAzA | G4 | zGzG | zGzG | zAzA | c4 | zGzG | zGzG | zAzA | G4 | zGzG | zGzG | zAzA | c4 | zGzG | zGzG | zAzA | G4 | zGzG | zGzG | zAzA | c4 |]
    /// ```
    "part/too-empty", Hint, Part(check), settings: [SHARE, NOTES]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let (share, least) = (ctx.number(&RULE, &SHARE), ctx.number(&RULE, &NOTES));
    let mut attacks = 0;
    // The bars that are played in, and those of them in which a note sounds on the first beat.
    let (mut bars, mut on_first) = (0_usize, 0_usize);
    let mut last = None;
    for note in ctx.part.notes.iter().filter(|note| !note.grace) {
        attacks += usize::from(!note.tied_from && !note.chord);
        // Notes come in the order of their bars.
        let (bar, sounds) = last.filter(|(bar, _)| *bar == note.bar).unwrap_or_else(|| {
            bars += 1;
            (note.bar, false)
        });
        on_first += usize::from(!sounds && note.offset.is_zero());
        last = Some((bar, sounds || note.offset.is_zero()));
    }
    let after = bars - on_first;
    let percent = 100.0 * after as f64 / bars.max(1) as f64;
    if (attacks as f64) < least.value || percent < share.value {
        return Vec::new();
    }
    let message = format!(
        "In {after} of the {bars} bars it plays in, this part comes in after the first beat. A player who has nothing but after-beats \
         has nothing to listen for. Give the part a held note, a counter-melody or a phrase of the tune now and then.",
    );
    let span = ctx.part.name_span.unwrap_or(ctx.part.head);
    vec![ctx.finding(&RULE, span, message, &share.source)]
}
