//! `range/soft-high`: soft entries higher than soft goes.

use horn::Dynamic;

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};
use crate::setting::{Kind, Setting, number, pitch};

static HIGHEST_PP: Setting = Setting {
    name: "highest-pp",
    what: "The highest note to begin on at pp or softer, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::highest_pp_entry(level)),
};

static HIGHEST_P: Setting = Setting {
    name: "highest-p",
    what: "The highest note to begin on at p, as written for horn in F.",
    kind: Kind::Pitch,
    default: |level| pitch(horn::highest_p_entry(level)),
};

static FAR: Setting = Setting {
    name: "far",
    what: "How far above the highest such note an entry is a warning.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::far_above_soft(), "semitones"),
};

rule! {
    /// A soft entry higher than the horn can be soft.
    ///
    /// ## Why it matters
    /// High up the lip needs fast air, and fast air is loud. To begin softly there, with nothing played before to
    /// lean on, is what players dread most: the note comes late, cracks, or comes out mezzo forte.
    ///
    /// ## What to write instead
    /// Begin lower, an octave down (the fix), write a louder dynamic, or let the line start on a lower note and
    /// climb.
    ///
    /// ## Source
    /// That notes near the top of the staff and above are hard to play softly: Goss, *Orchestration Online*, on
    /// the horn's middle register. The notes themselves are this project's choice and yours to set.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | !pp!b2 a2 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | !pp!B2 d2 | z4 | !mf!a2 g2 |]
    /// ```
    "range/soft-high", Information, Player(check), settings: [HIGHEST_PP, HIGHEST_P, FAR]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let far = ctx.number(&RULE, &FAR).value;
    let (pp, p) = (ctx.pitch(&RULE, &HIGHEST_PP), ctx.pitch(&RULE, &HIGHEST_P));
    ctx.part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from && !note.grace && note.since_rest.0 <= 0.0)
        .filter_map(|note| {
            let (dynamic, mark) = note.dynamic.filter(|(dynamic, _)| dynamic.is_soft())?;
            let limit = if dynamic <= Dynamic::PP { pp } else { p };
            let above = note.height.midi() - limit.value.midi();
            if above <= 0 {
                return None;
            }
            let message = format!(
                "{} is to begin {dynamic}, after a rest. Above {} a horn hardly begins that softly: the note comes late, \
                 cracks, or comes out louder. Begin lower, or mark it louder.",
                ctx.name_and_height(note),
                limit.value,
            );
            Some(
                ctx.finding(&RULE, note.pitch_span, message, &limit.source)
                    .at_bar(note.number)
                    .graver(if f64::from(above) >= far {
                        Severity::Warning
                    } else {
                        Severity::Information
                    })
                    .related(Some(mark), "the dynamic in force")
                    .fix(
                        Safety::Review,
                        format!("Move {} down an octave", note.written),
                        PartContext::octaves([note.span], -1),
                    ),
            )
        })
        .collect()
}
