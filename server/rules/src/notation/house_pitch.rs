//! `notation/house-pitch`: a part at another pitch than the house writes its parts.

use horn::Source;
use score::{Intent, Part, Way};
use theory::{PagePitch, Quarters, Transposition};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// A horn part at sounding pitch where the house wants written pitch, or the other way round.
    ///
    /// ## Why it matters
    /// Whoever copies a part, or reads the score in a rehearsal, takes all horn staves for what the house always writes. One
    /// that is otherwise is copied, or read, a fifth off.
    ///
    /// ## What to write instead
    /// The part at the other pitch, with its transposition recorded (the fix); what sounds, and what the player will read,
    /// stays. Which it is stands in the settings, `pitch` under `[page]`: `"written"` or `"sounding"`. Without it the rule is
    /// silent. What a score itself is at is said in it: by a recorded transposition, by `<concert-score/>`, or in a comment,
    /// `bellhand: pitch sounding` or `bellhand: part 2 = horn in F, sounding pitch`. The notes of a Humdrum file are the sound
    /// whatever is printed, so its parts are never told.
    ///
    /// ## Source
    /// That a score keeps to one of the two: common practice. Which one: the house.
    ///
    /// ```toml settings
    /// [page]
    /// pitch = "sounding"
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=0
    /// F G A _B | c4 |]
    /// ```
    "notation/house-pitch", Warning, Part(check), rests_on: Crook, speaks_in: |house| house.pitch.is_some()
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let Some(wanted) = ctx.house.pitch else {
        return Vec::new();
    };
    let part = ctx.score;
    // The page of a Humdrum file is made when it is printed, from the sound.
    let made = part.pitch == Some(PagePitch::Written);
    let found = match wanted {
        _ if made => None,
        PagePitch::Written => at_concert(ctx, part),
        PagePitch::Sounding => transposed(ctx),
    };
    found.into_iter().collect()
}

/// For a house of written pitch: a part that shows what sounds.
fn at_concert(ctx: &PartContext<'_>, part: &Part) -> Option<Finding> {
    let named = part
        .name
        .as_ref()
        .filter(|name| horn::is_at_concert_pitch(&name.text));
    if let Some(name) = named {
        let message = "The part is called after concert pitch, and this house writes horn parts for their horns: a player \
                       who is handed it has to transpose at sight. Write it for its horn, with `bellhand rewrite --for \"horn in F\"`."
            .to_owned();
        return Some(ctx.finding(&RULE, name.span, message, &Source::HouseSetting));
    }
    let horn = ctx.part;
    if horn.seat.pitch == PagePitch::Written || is_the_same(ctx) {
        return None;
    }
    let label = horn.crook.label();
    let whole_score = part.pitch.is_some();
    let what = if whole_score {
        "The score is at concert pitch, and this house writes horn parts as they are read. Export it at written pitch, so that \
         every part is transposed at once."
            .to_owned()
    } else {
        format!(
            "The part shows what sounds, and this house writes horn parts as they are read: a player who is handed it as a part \
             for {label} plays every note too low. Write it for the {label}."
        )
    };
    let finding = ctx.finding(&RULE, horn.head, what, &Source::HouseSetting);
    Some(if whole_score {
        finding
    } else {
        finding.fix(
            Safety::Safe,
            format!("Write the part for {label}"),
            rewritten(ctx, PagePitch::Written),
        )
    })
}

/// For a house of sounding pitch: a part that is written for its horn.
fn transposed(ctx: &PartContext<'_>) -> Option<Finding> {
    let horn = ctx.part;
    if horn.seat.pitch == PagePitch::Sounding || is_the_same(ctx) {
        return None;
    }
    let message = format!(
        "The part is written for {}, and this house writes its scores at sounding pitch: whoever reads the chords takes the staff \
         for what sounds. Write it at sounding pitch; the player's notes stay what they are.",
        horn.crook.label()
    );
    let finding = ctx.finding(&RULE, horn.head, message, &Source::HouseSetting);
    Some(finding.fix(
        Safety::Safe,
        "Write the part at sounding pitch".to_owned(),
        rewritten(ctx, PagePitch::Sounding),
    ))
}

/// Whether all its crooks sound as they read.
fn is_the_same(ctx: &PartContext<'_>) -> bool {
    let horn = ctx.part;
    let later = horn.crook_changes.iter().map(|(_, crook, _)| crook);
    std::iter::once(&horn.crook)
        .chain(later)
        .all(|crook| crook.transposition == Transposition::CONCERT)
}

/// What writes a part at the other pitch.
fn rewritten(ctx: &PartContext<'_>, wanted: PagePitch) -> Vec<Intent> {
    let (horn, part) = (ctx.part, ctx.part_ref());
    let way = |from: Quarters, transposition: Transposition| Way {
        from,
        by: match wanted {
            PagePitch::Written => -transposition.0,
            PagePitch::Sounding => transposition.0,
        },
    };
    let start = way(Quarters::ZERO, horn.crook.transposition);
    let later = horn.crook_changes.iter();
    let later = later.map(|(from, crook, _)| way(*from, crook.transposition));
    let transposition = match wanted {
        PagePitch::Written => horn.crook.transposition,
        PagePitch::Sounding => Transposition::CONCERT,
    };
    vec![
        Intent::SetTransposition {
            part,
            transposition,
        },
        Intent::DropLaterTranspositions { part },
        Intent::RewritePart {
            part,
            ways: std::iter::once(start).chain(later).collect(),
        },
    ]
}
