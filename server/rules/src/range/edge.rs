//! `range/edge`: the limits of the players touched again and again.

use reading::PlayedNote;
use score::Row;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number, pitch, seconds};

static HIGHEST: Setting = Setting {
    name: "highest",
    what: "The players' upper limit, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::highest(level)),
};

static LOWEST: Setting = Setting {
    name: "lowest",
    what: "The players' lower limit, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::lowest(level)),
};

static NEAR: Setting = Setting {
    name: "near",
    what: "How close to a limit counts as near it.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::near_a_limit(), "semitones"),
};

static TIMES: Setting = Setting {
    name: "times",
    what: "How many notes near a limit are too many within the window.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::edge_attacks(), "notes"),
};

static WINDOW: Setting = Setting {
    name: "window",
    what: "Seconds over which the notes near a limit are counted.",
    kind: Kind::Seconds,
    default: |_| seconds(horn::edge_window()),
};

rule! {
    /// Notes near the limits of the players, again and again.
    ///
    /// ## Why it matters
    /// A note near the top or the bottom of a player's range is a feat every time. Once or twice it shines; asked for all
    /// the time, it fails more and more often, and high up the lip pays for it.
    ///
    /// ## What to write instead
    /// Keep such notes for the places that need them; between them, write lower (or higher), hand the line to
    /// another horn, or give rests.
    ///
    /// ## Source
    /// The limits are those of `range/too-high` and `range/too-low`. How near and how often is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!b c' b c' | b c' b c' | z4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// !f!e g b c' | g e g2 | z4 |]
    /// ```
    "range/edge", Information, Player(check), settings: [HIGHEST, LOWEST, NEAR, TIMES, WINDOW], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let near = ctx.number(&RULE, &NEAR).value;
    let (high, low) = (ctx.pitch(&RULE, &HIGHEST), ctx.pitch(&RULE, &LOWEST));
    // What lies beyond a limit is told by the rules of that limit.
    let under_top = |note: &PlayedNote| {
        let below = high.value.midi() - note.height.midi();
        below >= 0 && f64::from(below) <= near
    };
    let over_floor = |note: &PlayedNote| {
        let above = note.height.midi() - low.value.midi();
        above >= 0 && f64::from(above) <= near
    };
    let mut findings = crowds(ctx, "top", &under_top);
    findings.extend(crowds(ctx, "bottom", &over_floor));
    findings
}

/// Each stretch in which notes of a kind come too often, told once.
fn crowds(ctx: &PartContext<'_>, end: &str, near: &dyn Fn(&PlayedNote) -> bool) -> Vec<Finding> {
    let times = ctx.number(&RULE, &TIMES);
    let window = ctx.seconds(&RULE, &WINDOW).value.0;
    let needed = (times.value.max(1.0)) as usize;
    let notes: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from && !note.grace && near(note))
        .collect();
    let mut findings = Vec::new();
    let mut at = 0;
    while let Some(first) = notes.get(at) {
        let count = notes
            .iter()
            .skip(at)
            .take_while(|note| (note.starts - first.starts).0 <= window)
            .count();
        if count < needed {
            at += 1;
            continue;
        }
        let enough = notes
            .get(at + needed - 1)
            .map_or(0.0, |note| (note.starts - first.starts).0);
        let message = format!(
            "From {} on, {count} notes within {window:.0} s lie at the very {end} of these players' range. Each of them is a feat, and \
             each fails a little more easily than the one before. Spread them out, share them with another horn, or give \
             rests. {}",
            ctx.name(first),
            horn::caution(),
        );
        findings.push(
            ctx.at_tempo(
                ctx.finding(&RULE, first.pitch_span, message, &times.source)
                    .at_bar(first.number)
                    .related(
                        notes.get(at + count - 1).map(|note| note.pitch_span),
                        "the last of them",
                    ),
                first,
                enough / window,
            ),
        );
        at += count;
    }
    findings
}
