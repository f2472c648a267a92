//! `part/lives-low`: a part that never leaves the cellar.

use horn::Sourced;
use reading::PlayedNote;
use theory::Seconds;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch};

static BELOW: Setting = Setting {
    name: "below",
    what: "Below which note a part lies low, as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::lives_low_below()),
};

static SHARE: Setting = Setting {
    name: "share",
    what: "How much of its playing must lie low, in percent.",
    kind: Kind::Number("percent"),
    default: |_| number(horn::lives_low_share(), "percent"),
};

static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes a part must have before it is judged as a whole.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_of_a_whole_part(), "notes"),
};

rule! {
    /// A part that lies low from end to end.
    ///
    /// ## Why it matters
    /// Written out of fear of the horn, a part that stays at the bottom has the weight of the instrument without its voice:
    /// the low notes are slow to speak, do not carry, and tire a player who never comes up to where the horn sings.
    ///
    /// ## What to write instead
    /// Let the part sing between C4 and E5 for most of the time, and go down for what only the low notes can do.
    ///
    /// ## Source
    /// Too much bass clef, a part that lives low: Ericson, *Horn Matters* (2008). Where low begins is the bottom of the notes
    /// of greatest expression (Rimsky-Korsakov, *Principles of Orchestration*, 1922, table C, p. 25); how much of it is too
    /// much is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!A,G,A,B, | G,A,B,A, | G,2z2 | A,G,A,B, | G,A,B,A, | G,2z2 | A,G,A,B, | G,A,B,A, | G,2z2 | A,G,A,B, | G,A,B,A, | G,2z2 | A,G,A,B, | G,A,B,A, | G,2z2 | A,G,A,B, | G,A,B,A, | G,2z2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// Q:1/4=80
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !mf!A,G,A,B, | EFGA | G2z2 | A,G,A,B, | EFGA | G2z2 | A,G,A,B, | EFGA | G2z2 | A,G,A,B, | EFGA | G2z2 | A,G,A,B, | EFGA | G2z2 | A,G,A,B, | EFGA | G2z2 |]
    /// ```
    "part/lives-low", Hint, Player(check), settings: [BELOW, SHARE, NOTES], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let (below, share) = (ctx.pitch(&RULE, &BELOW), ctx.number(&RULE, &SHARE));
    let least: Sourced<f64> = ctx.number(&RULE, &NOTES);
    let notes: Vec<&PlayedNote> = ctx.part.notes.iter().filter(|note| note.leads()).collect();
    let attacks = notes.iter().filter(|note| !note.tied_from && !note.grace);
    if (attacks.count() as f64) < least.value {
        return Vec::new();
    }
    let lasts = |notes: &mut dyn Iterator<Item = &&PlayedNote>| -> f64 {
        notes.map(|note| lasting(note).0).sum()
    };
    let all = lasts(&mut notes.iter());
    let low = lasts(&mut notes.iter().filter(|note| note.height < below.value));
    let percent = 100.0 * low / all;
    let Some(first) = notes
        .first()
        .filter(|_| all > 0.0 && percent >= share.value)
    else {
        return Vec::new();
    };
    let message = format!(
        "{percent:.0} of 100 seconds of this part's playing lie below {}. A part that lives so low is slow to speak and does not \
         carry, and the horn never comes to where it sings. Give it lines between C4 and E5, and keep the depth for what needs it.",
        ctx.limit(below.value, first),
    );
    let span = ctx.part.name_span.unwrap_or(ctx.part.head);
    vec![ctx.finding(&RULE, span, message, &share.source)]
}

/// How long a note lasts.
fn lasting(note: &PlayedNote) -> Seconds {
    note.ends - note.starts
}
