//! `notation/unnamed-crook`: the name on the page does not say which horn.

use horn::{Crook, CrookName, Source, WrittenFor, read_name, read_name_of_horn, renamed};
use reading::{CrookInForce, CrookSaid, WrittenOf};
use score::{Intent, Span, WitnessKind};
use theory::Quarters;

use super::witnesses;
use crate::context::AmongContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};

rule! {
    /// A horn part whose name does not say in what key it stands.
    ///
    /// ## Why it matters
    /// The name at the top of the page is where the player looks first: "Horn in F" is read straight off, "Horn
    /// in E flat" is transposed at sight, "Horn" is a guess, and "in B" or "in C" can mean two octaves. A part that
    /// sounds in another key than F without saying so will be played in F.
    ///
    /// ## What to write instead
    /// Put the crook in the part's name: "Horn in F"; for B flat and C also alto or basso.
    ///
    /// ## Source
    /// Common practice; B flat unmarked is disputed by period (Bryan, "Mozart's Use of Horns in B flat").
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1" transpose=-9
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// c d e f | g4 |]
    /// ```
    "notation/unnamed-crook", Information, PartAmong(check)
}

fn check(ctx: &AmongContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    let later = part
        .crook_changes
        .iter()
        .map(|(from, crook, span)| (*from, crook, *span));
    let head = part.name_span.unwrap_or(part.head);
    let all = std::iter::once((Quarters::ZERO, &part.crook, head)).chain(later);
    let mut findings: Vec<Finding> = all
        .filter(|(_, crook, _)| !crook.choices.is_empty())
        .map(|(from, crook, span)| which_octave(ctx, from, crook, span))
        .collect();
    if part.seat.page == WrittenOf::Crook || !part.crook.choices.is_empty() {
        return findings;
    }
    findings.extend(part.crook.crook.map(|crook| unnamed(ctx, crook, head)));
    findings
}

fn unnamed(ctx: &AmongContext<'_>, crook: Crook, span: Span) -> Finding {
    let part = ctx.part;
    let (why, severity) = match (crook, part.crook.said) {
        (Crook::F, CrookSaid::Recorded) => (
            "The file records a horn in F, but the page does not say so.".to_owned(),
            Severity::Information,
        ),
        (Crook::F, CrookSaid::Assumed) => (
            "A horn in F is taken for granted here.".to_owned(),
            Severity::Information,
        ),
        (_, CrookSaid::Named(kind, _)) => {
            let who = match kind {
                WitnessKind::Abbreviation => "Only its short name says",
                _ => "Only the name of its instrument, which the page does not show, says",
            };
            (format!("{who} {}.", crook.label()), Severity::Information)
        }
        (_, CrookSaid::Words(_)) => (
            format!("Only words over the staff say {}.", crook.label()),
            Severity::Information,
        ),
        (Crook::F, CrookSaid::Told) => (
            "An instruction says horn in F, but the page does not.".to_owned(),
            Severity::Information,
        ),
        (_, _) => (
            "It is no horn in F, yet the page does not say so, and the player will play it in F."
                .to_owned(),
            Severity::Warning,
        ),
    };
    let named = named(ctx, crook);
    let message = format!(
        "The name does not say in what key the horn stands. {why} Name the crook, as in \"{named}\"."
    );
    let granted = part.crook.said == CrookSaid::Assumed && !witnesses::all_in_f(ctx);
    let safe = part.crook.settled && !granted && witnesses::none_but(ctx, crook);
    ctx.finding(&RULE, span, message, &Source::CommonPractice)
        .graver(severity)
        .fix(
            if safe { Safety::Safe } else { Safety::Review },
            format!("Name the part \"{named}\""),
            vec![Intent::NamePart {
                part: ctx.part_ref(),
                name: named,
            }],
        )
}

/// The part's name with the crook in it, such that it is read as that horn's: a name that says no horn gives way.
fn named(ctx: &AmongContext<'_>, crook: Crook) -> String {
    let target = WrittenFor::Crook(crook);
    let name = ctx.part.name_span.map_or("", |_| ctx.part.label.as_str());
    let with_crook = renamed(name, target);
    let read = read_name(&with_crook);
    if read.is_horn && read.crook == CrookName::Named(crook) {
        return with_crook;
    }
    let numbers: Vec<String> = read_name_of_horn(name)
        .map(|read| read.players)
        .unwrap_or_default()
        .iter()
        .map(u8::to_string)
        .collect();
    let horn = match numbers.as_slice() {
        [] => "Horn".to_owned(),
        [number] => format!("Horn {number}"),
        several => format!("Horns {}", several.join("+")),
    };
    renamed(&horn, target)
}

/// A name that leaves two crooks an octave or so apart.
fn which_octave(
    ctx: &AmongContext<'_>,
    from: Quarters,
    crook: &CrookInForce,
    span: Span,
) -> Finding {
    let labels: Vec<String> = crook.choices.iter().map(|crook| crook.label()).collect();
    let who = match crook.said {
        CrookSaid::Words(_) => "These words",
        CrookSaid::Named(WitnessKind::Abbreviation, _) => "The short name",
        CrookSaid::Named(WitnessKind::Instrument, _) => "The name of the instrument",
        _ => "The name",
    };
    let message = format!(
        "{who} can mean {}. The player has to guess the octave. Here it is read as a {}, which keeps the part within its \
         compass, and no note is judged by it. Say which in the name, or record the transposition.",
        labels.join(" or "),
        crook.label(),
    );
    let span = crook.said.span().unwrap_or(span);
    let finding = ctx.finding(&RULE, span, message, &Source::CommonPractice);
    let first = ctx.part.notes.iter().find(|note| note.onset >= from);
    match first.filter(|_| !from.is_zero()) {
        Some(note) => finding.at_bar(note.number),
        None => finding,
    }
}
