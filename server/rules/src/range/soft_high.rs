//! `range/soft-high`: soft notes higher than soft goes.

use horn::{Dynamic, Height, Sourced};
use reading::PlayedNote;
use score::{Row, Span};

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

static CLIMB: Setting = Setting {
    name: "climb",
    what: "How much higher than it may begin a soft line may climb.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::soft_climb(), "semitones"),
};

static FAR: Setting = Setting {
    name: "far",
    what: "How far above the highest such note it is a warning.",
    kind: Kind::Number("semitones"),
    default: |_| number(horn::far_above_soft(), "semitones"),
};

rule! {
    /// A soft note higher than the horn can be soft.
    ///
    /// ## Why it matters
    /// High up the lip needs fast air, and fast air is loud. To begin softly there, with nothing played before to lean
    /// on, is what players dread most: the note comes late, cracks, or comes out mezzo forte. Within a line the lip is
    /// already at work and a little more is possible; then the top of the line stands out, or cracks.
    ///
    /// ## What to write instead
    /// Write the phrase an octave lower (the fix), write a louder dynamic, let the line begin lower and climb, or let it
    /// grow on its way up.
    ///
    /// ## Source
    /// That notes near the top of the staff and above are hard to play softly: Goss, *Orchestration Online*, on
    /// the horn's middle register. The notes themselves, and how much further a line may climb, are this project's
    /// choice and yours to set. Where a crescendo has begun since the last dynamic, nothing is said.
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
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | !pp!d f a b | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// z4 | !pp!d f g a | g4 | z4 | !pp!!<(!d f a b!<)! | !f!g4 |]
    /// ```
    "range/soft-high", Information, Player(check), settings: [HIGHEST_PP, HIGHEST_P, CLIMB, FAR], rests_on: Crook
}

/// A note that is too high for its dynamic.
struct TooHigh<'a> {
    note: &'a PlayedNote,
    dynamic: Dynamic,
    mark: Span,
    /// The highest that is asked so softly there.
    limit: Height,
    source: horn::Source,
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let far = ctx.number(&RULE, &FAR).value;
    let climb = ctx.number(&RULE, &CLIMB).value as i32;
    let (pp, p) = (ctx.pitch(&RULE, &HIGHEST_PP), ctx.pitch(&RULE, &HIGHEST_P));
    let too_high = |note: &'_ PlayedNote, climb: i32| {
        let (dynamic, mark) = note
            .marked
            .dynamic
            .filter(|(dynamic, _)| dynamic.is_soft())?;
        let Sourced { value, source } = if dynamic <= Dynamic::PP { pp } else { p };
        let limit = Height::from_midi(value.midi() + climb);
        let above = note.height > limit && !ctx.part.growth.since_mark(note.onset);
        above.then_some((dynamic, mark, limit, source))
    };
    let notes = &ctx.part.notes;
    let attacks: Row<(usize, &PlayedNote)> = notes
        .iter()
        .enumerate()
        .filter(|(_, note)| note.leads() && !note.tied_from && !note.grace)
        .collect();
    let mut passed = 0;
    let mut findings = Vec::new();
    for phrase in attacks.chunk_by(|_, (_, next)| next.since_rest.0 > 0.0) {
        passed += phrase.len();
        let end = attacks.get(passed).map_or(notes.len(), |(next, _)| *next);
        let found = phrase.iter().enumerate().find_map(|(place, (_, note))| {
            let climb = if place == 0 { 0 } else { climb };
            let (dynamic, mark, limit, source) = too_high(note, climb)?;
            let one = TooHigh {
                note,
                dynamic,
                mark,
                limit,
                source,
            };
            Some((one, place == 0))
        });
        let (Some((found, entry)), Some((start, _))) = (found, phrase.first()) else {
            continue;
        };
        let whole = notes.get(*start..end).unwrap_or_default();
        findings.push(judge(ctx, &found, entry, whole, far));
    }
    findings
}

/// What is said of a phrase at the first note of it that is too high; `entry` when the phrase begins with that note.
fn judge(
    ctx: &PartContext<'_>,
    found: &TooHigh<'_>,
    entry: bool,
    phrase: &[PlayedNote],
    far: f64,
) -> Finding {
    let TooHigh {
        note,
        dynamic,
        mark,
        limit,
        source,
    } = found;
    let (name, limit_said) = (ctx.name_and_height(note), ctx.limit(*limit, note));
    let message = if entry {
        format!(
            "{name} is to begin {dynamic}, after a rest. Above {limit_said} a horn can hardly begin that softly: the note comes \
             late, cracks, or comes out louder. Begin lower, or mark it louder."
        )
    } else {
        format!(
            "{name} is reached within a line marked {dynamic}. Above {limit_said} a horn can hardly stay that soft: the note \
             stands out, or cracks. Write the phrase an octave lower, mark it louder, or let it grow on its way up."
        )
    };
    let above = f64::from(note.height.midi() - limit.midi());
    let severity = if above >= far {
        Severity::Warning
    } else {
        Severity::Information
    };
    let mut finding = ctx
        .finding(&RULE, note.pitch_span, message, source)
        .at_bar(note.number)
        .graver(severity)
        .related(Some(*mark), "the dynamic in force");
    let own = || phrase.iter().filter(|other| other.layer == note.layer);
    let played: Vec<Span> = own().map(|other| other.span).collect();
    let floor = horn::extreme_low().value.midi();
    if played.len() > 1 && own().all(|other| other.height.midi() - 12 >= floor) {
        finding = finding.fix(
            Safety::Review,
            "Move the phrase down an octave".to_owned(),
            PartContext::octaves(played, -1),
        );
    }
    if entry {
        finding = finding.fix(
            Safety::Review,
            format!("Move {} down an octave", note.written),
            PartContext::octaves([note.span], -1),
        );
    }
    finding
}
