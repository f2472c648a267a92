//! `notation/key-signature`: horn players read without one.

use horn::Source;
use reading::HornPart;
use score::{Intent, Span};
use theory::{Key, Letter};

use crate::context::AmongContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;
use crate::setting::{Kind, Setting, choice};

static SIGNATURE: Setting = Setting {
    name: "signature",
    what: "Whether horn parts carry a key signature in this house.",
    kind: Kind::Choice(&["none", "wanted", "leave"]),
    default: |_| choice("none", Source::CommonPractice),
};

rule! {
    /// A horn part with a key signature.
    ///
    /// ## Why it matters
    /// Horn parts have been written without key signatures since the days of natural horns, and players still
    /// prefer it: every accidental stands at its note, and nothing has to be kept in mind while also
    /// transposing. A player who is used to that reads past a signature and plays wrong notes.
    ///
    /// ## What to write instead
    /// Take the signature out and write every accidental at its note, even if the page gets busier. The fix does
    /// it and proves that nothing sounds different. Where signatures are the custom, as in many wind bands, set
    /// `signature = "wanted"`, here or under `[page]`; then the rule says instead which signature would spare a part its
    /// accidentals. `"leave"` leaves each part as it is.
    ///
    /// ## Source
    /// Common practice; that players prefer accidentals: Goss, "No key signatures, please!" (Orchestration Online). That
    /// the horn should have a signature like any other instrument has been said too (Casella, quoted there), so it can
    /// be set.
    ///
    /// ```abc speaks
    /// X:1
    /// T:Evening Ferry
    /// M:4/4
    /// L:1/4
    /// K:Bb
    /// V:1 name="Horn in F" transpose=-7
    /// B c d e | f4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// T:Evening Ferry
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-7
    /// _B c d _e | f4 |]
    /// ```
    "notation/key-signature", Warning, PartAmong(check), settings: [SIGNATURE], rests_on: Crook & Page,
    speaks_in: |house| house.choice("notation/key-signature", &SIGNATURE).value != "leave"
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let wanted = ctx.choice(&RULE, &SIGNATURE);
    let found = match wanted.value {
        "wanted" => missing(ctx, &wanted.source),
        "leave" => None,
        _ => spoken_once(ctx, &wanted.source),
    };
    found.into_iter().collect()
}

/// The signatures of a part, in one finding at the first of them.
///
/// Parts that share their first signature are spoken of together, with the first of these parts.
fn spoken_once(ctx: &AmongContext<'_>, source: &Source) -> Option<Finding> {
    let first = first_signature(ctx.part)?;
    let losers = ctx
        .reading
        .horns
        .iter()
        .filter(|horn| first_signature(horn).is_some());
    let losers: Vec<&HornPart> = losers.collect();
    let mut sharing = losers
        .iter()
        .filter(|horn| first_signature(horn) == Some(first));
    if sharing.next()?.seat.part != ctx.part.seat.part {
        return None;
    }
    let (key, span) = first;
    let sharing = 1 + sharing.count();
    let who = match sharing {
        1 => "This horn part has".to_owned(),
        several => format!("These {several} horn parts have"),
    };
    let message = format!(
        "{who} a key signature ({key}). Horn players expect none and read every accidental at its note; with a signature, wrong \
         notes creep in. Take it out and write the accidentals."
    );
    let mut finding = ctx.finding(&RULE, span, message, source).fix(
        Safety::Safe,
        "Take the key signatures out and write every accidental".to_owned(),
        vec![Intent::DropKeySignatures {
            parts: losers.iter().map(|horn| ctx.ref_to(horn)).collect(),
            courtesy: ctx.house.courtesy,
            brackets: ctx.house.courtesy_brackets,
        }],
    );
    for (_, key, later) in ctx.part.keys.iter().filter(|(_, key, _)| !key.is_none()) {
        finding = finding.related(Some(*later), &format!("another key signature ({key})"));
    }
    if sharing > 1 {
        finding.part = None;
    }
    Some(finding)
}

/// The first key signature of a part that has any, and where it stands.
fn first_signature(part: &HornPart) -> Option<(Key, Span)> {
    let mut signatures = part.keys.iter().filter(|(_, key, _)| !key.is_none());
    signatures.next().map(|(_, key, span)| (*key, *span))
}

/// For a house that wants signatures: a part without one whose accidentals add up to a key.
fn missing(ctx: &AmongContext<'_>, source: &Source) -> Option<Finding> {
    if ctx.part.keys.iter().any(|(_, key, _)| !key.is_none()) {
        return None;
    }
    let counts = altered(ctx);
    let cost = |key: &Key| -> usize {
        counts
            .iter()
            .map(|((letter, alteration), count)| {
                usize::from(key.alteration(*letter).0 != *alteration) * count
            })
            .sum()
    };
    let without = cost(&Key::NONE);
    let key = (-7..=7)
        .map(Key::from_fifths)
        .min_by_key(|key| (cost(key), key.altered_letters()))?;
    if key.is_none() || cost(&key) * 2 > without {
        return None;
    }
    let message = format!(
        "You have asked for key signatures, and this horn part has none. A signature of {key} would spare {} of the {without} \
         accidentals the player has to read now.",
        without - cost(&key)
    );
    Some(ctx.finding(&RULE, ctx.part.head, message, &source).fix(
        Safety::Safe,
        format!("Write a key signature of {key}"),
        vec![Intent::SetKeySignature {
            part: ctx.part_ref(),
            key,
        }],
    ))
}

/// How often each letter occurs with each alteration.
fn altered(ctx: &AmongContext<'_>) -> Vec<((Letter, i8), usize)> {
    let mut counts: Vec<((Letter, i8), usize)> = Vec::new();
    for note in &ctx.part.notes {
        let kind = (note.written.0.letter, note.written.0.alteration.0);
        match counts.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, count)) => *count += 1,
            None => counts.push((kind, 1)),
        }
    }
    counts
}
