//! `notation/wrong-transposition`: the witnesses of the horn disagree.

use horn::{Crook, CrookName, Source};
use reading::{Contrary, CrookSaid, Disagreement, Fault};
use score::{Intent, WitnessKind};
use theory::{PagePitch, Transposition};

use super::no_transposition::{below, record};
use super::witnesses;
use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::{Severity, rule};

rule! {
    /// A name, a word over the staff or a recorded transposition that stands for another horn than the rest.
    ///
    /// ## Why it matters
    /// The player reads the name, "Horn in F", or the last word over the staff, "muta in D"; the file plays back what it
    /// records. Where they differ, one of them is wrong, and whoever checks the score by ear has been checking other notes
    /// than the player will play. Until that is settled, notes are not judged for range or spelling here.
    ///
    /// ## What to write instead
    /// If the name is right, record its transposition (the fix). If the record is right, name the part after the horn it
    /// stands for, or put the change over the staff. In Humdrum the notes of the file are what sounds, and the record says
    /// how they are printed.
    ///
    /// ## Source
    /// Transpositions by crook after Grove, *A Dictionary of Music and Musicians*, vol. 1 (1879), "Horn", p. 750.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in F" transpose=-2
    /// c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn in E flat" transpose=-9
    /// c d e f | g4 |]
    /// ```
    "notation/wrong-transposition", Warning, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let disagreements = ctx.part.disagreements.iter();
    let judged = disagreements.map(|disagreement| judge(ctx, disagreement));
    recorded_at_concert(ctx).into_iter().chain(judged).collect()
}

/// A transposition that is recorded for a part whose page is said to show what sounds already.
fn recorded_at_concert(ctx: &PartContext<'_>) -> Option<Finding> {
    let part = ctx.score;
    let sounds = ctx.part.seat.pitch == PagePitch::Sounding && part.pitch.is_none();
    let (recorded, span) = part.transposition.filter(|_| sounds)?;
    let semitones = recorded.0.semitones;
    if semitones == 0 {
        return None;
    }
    let message = format!(
        "The part is said to be at sounding pitch, yet the file records {semitones} semitones: playback moves what sounds \
         already once more, and whoever checks by ear hears other notes. Take the record out, or say that the part is at \
         written pitch."
    );
    let part = ctx.part_ref();
    let finding = ctx.finding(&RULE, span, message, &Source::CommonPractice);
    Some(finding.fix(
        Safety::Safe,
        "Record that nothing is transposed".to_owned(),
        vec![
            Intent::DropLaterTranspositions { part },
            Intent::SetTransposition {
                part,
                transposition: Transposition::CONCERT,
            },
        ],
    ))
}

fn judge(ctx: &PartContext<'_>, said: &Disagreement) -> Finding {
    let words = match said.fault {
        Some(fault) => about_record(ctx, said, fault),
        None => about_names(said),
    };
    let mut finding = ctx.finding(&RULE, said.span, words, &Source::CommonPractice);
    let later = ctx.part.notes.iter().find(|note| note.onset >= said.from);
    if let Some(note) = later.filter(|_| !said.from.is_zero()) {
        finding = finding.at_bar(note.number);
    }
    // Where the record says what the page says, the other name is only left over.
    if said.fault.is_none() && said.crook.settled {
        finding = finding.graver(Severity::Information);
    }
    finding = finding.related(said.crook.said.span(), "this says which horn it is");
    for contrary in &said.contrary {
        finding = finding.related(Some(contrary.span), "this says another horn");
    }
    let (Some(_), true, Some(crook)) = (said.fault, said.from.is_zero(), said.crook.crook) else {
        return finding;
    };
    if said.crook.said != CrookSaid::Recorded {
        let safe =
            said.contrary.is_empty() && !ctx.score.notes_sound && witnesses::none_but(ctx, crook);
        let safety = if safe { Safety::Safe } else { Safety::Review };
        finding.fixes.push(record(ctx, crook, safety));
    }
    finding
}

fn about_record(ctx: &PartContext<'_>, said: &Disagreement, fault: Fault) -> String {
    let named = said.crook.crook;
    let label = said.crook.label();
    let who = who(said);
    let right = named.map_or(0, |crook| crook.transposition().0.semitones);
    let consequence = if ctx.score.notes_sound {
        "In this notation the notes of the file are what sounds, and the record says how they are printed."
    } else {
        "The player will follow the words, so what you hear in playback is not what will be played."
    };
    match fault {
        Fault::Other(recorded) => {
            let other = Crook::from_semitones(recorded.0.semitones).map_or_else(
                || " No horn has that transposition.".to_owned(),
                |other| {
                    format!(
                        " If the record is right, this is a {}: say so in its place.",
                        other.label()
                    )
                },
            );
            format!(
                "{who} a {label}, which sounds {} what it reads ({right} semitones), but the file records {}. \
                 {consequence}{other}",
                below(right),
                recorded.0.semitones,
            )
        }
        Fault::Octaves(recorded) => format!(
            "The recorded transposition ({} semitones) is mistaken by {}: {} a {label}, which sounds {} what it reads \
             ({right} semitones). {} Correct the record, or name the horn whose octave it is.",
            recorded.0.semitones,
            octaves(recorded, right),
            who_small(said),
            below(right),
            if ctx.score.notes_sound {
                "Either the notes of the file sound in the wrong octave, or the page is printed in it."
            } else {
                "Playback is in another octave than the player."
            },
        ),
        Fault::Silent(recorded) => format!(
            "From here on the file records {} semitones, which is a {label}, but nothing on the page says so, and the \
             player goes on reading as before. Put the change over the staff, as in \"muta in {}\", or take the record back.",
            recorded.0.semitones,
            named.map_or("", Crook::abbreviation),
        ),
        Fault::NoHorn(recorded) => {
            let high = Crook::from_semitones(recorded.0.semitones - 12)
                .filter(|_| recorded.0.semitones > 0)
                .map_or_else(String::new, |crook| {
                    format!(
                        " An octave lower it would be a {}: the notes may stand an octave too high in the file.",
                        crook.label()
                    )
                });
            format!(
                "The file records {} semitones, which is no horn's transposition, and the name does not say which horn this \
                 is. The player will take it for a horn in F. Name the crook, and correct the record.{high}",
                recorded.0.semitones,
            )
        }
        Fault::Steps(recorded) => {
            let own = named.map_or(Transposition::CONCERT, Crook::transposition);
            format!(
                "The recorded transposition counts {} steps for {} semitones; a {label} is {} steps and {} semitones \
                 from what it reads. Programs that go by the steps print wrong notes. Correct the steps.",
                recorded.0.steps.abs(),
                recorded.0.semitones.abs(),
                own.0.steps.abs(),
                own.0.semitones.abs(),
            )
        }
    }
}

/// How many octaves a record is off.
fn octaves(recorded: Transposition, right: i32) -> String {
    match (recorded.0.semitones - right).abs() / 12 {
        1 => "an octave".to_owned(),
        several => format!("{several} octaves"),
    }
}

fn who(said: &Disagreement) -> &'static str {
    match said.crook.said {
        CrookSaid::Words(_) => "The words over the staff ask for",
        CrookSaid::Told => "The part is said to be for",
        _ => "The part is named for",
    }
}

fn who_small(said: &Disagreement) -> &'static str {
    match said.crook.said {
        CrookSaid::Words(_) => "the words over the staff ask for",
        CrookSaid::Told => "the part is said to be for",
        _ => "the part is named for",
    }
}

fn about_names(said: &Disagreement) -> String {
    let others: Vec<String> = said.contrary.iter().map(spoken).collect();
    let others = others.join(", and ");
    let label = said.crook.label();
    let settled = if said.crook.settled {
        format!("The file records a {label}.")
    } else if said.crook.recorded.is_none() {
        "Nothing is recorded that would settle it.".to_owned()
    } else {
        String::new()
    };
    format!(
        "{} a {label}, but {others}. The player does not know which to take. {settled} Let all of them say the same horn.",
        who(said),
    )
}

/// What another witness says: `its short form says "in F"`.
fn spoken(other: &Contrary) -> String {
    let place = match other.kind {
        None => "words over the staff",
        Some(WitnessKind::Abbreviation) => "its short name",
        Some(WitnessKind::Instrument) => "the name of its instrument",
        Some(WitnessKind::DisplayName | WitnessKind::Name | WitnessKind::Class(_)) => {
            "another name of it"
        }
    };
    let horn = match other.name {
        CrookName::Named(crook) => crook.label(),
        CrookName::Ambiguous(choices) => {
            let labels: Vec<String> = choices.iter().map(|crook| crook.label()).collect();
            labels.join(" or ")
        }
        CrookName::Unnamed => "horn".to_owned(),
    };
    let says = if other.kind.is_none() { "say" } else { "says" };
    format!("{place} {says} {horn}")
}
