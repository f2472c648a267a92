//! What a mark asks of the player, and how long it takes.

use horn::{Instruction, StoppedBy, TakenUp};
use reading::{HornPart, PlayedMark};

/// The words for a mark; `told` says whether a finding at it tells already that the hand has too little time.
pub(super) fn words(mark: &PlayedMark, horn: &HornPart, told: bool) -> String {
    let what = match mark.said.instruction() {
        Instruction::Stopped => {
            let fingered = match horn::stopped_by(horn.seat.instrument).value {
                StoppedBy::FSide => "the player fingers a semitone lower on the F side.",
                StoppedBy::StoppingValve => {
                    "on a single B♭ horn only a stopping valve makes it in tune, and the note is fingered as when open."
                }
            };
            format!(
                "**Stopped**: the right hand closes the bell; {fingered} Good from written middle C up; buzzes when loud."
            )
        }
        Instruction::HalfStopped => {
            "**Half-stopped** (echo horn): the hand covers the bell loosely; soft and far away."
                .to_owned()
        }
        Instruction::Open => {
            "**Open**: the hand goes back to its place, or the mute comes out.".to_owned()
        }
        Instruction::MuteOn => {
            let time = horn::time_to_insert();
            format!(
                "**Mute in**: the right hand takes the mute and seats it in the bell; about {} ({}).",
                time.value, time.source
            )
        }
        Instruction::StoppingMute => {
            let time = horn::time_to_insert();
            format!(
                "**Stopping mute in**: a mute that sounds as the stopping hand does, and plays lower than the hand can; it needs \
                 about {} to put in ({}).",
                time.value, time.source
            )
        }
        Instruction::MuteOff => {
            let time = horn::time_to_remove();
            format!(
                "**Mute out**: the right hand pulls the mute and goes back into the bell; about {} ({}).",
                time.value, time.source
            )
        }
        Instruction::ForeignMute(kind) => {
            format!("**{kind}**: the ordinary mute is what will be used.")
        }
        Instruction::BellsUp => {
            "**Bells up**: the bell is raised and the hand comes out; loud and less safe in tune."
                .to_owned()
        }
        Instruction::BellsNormal => "**Bells down**: back to the normal hold.".to_owned(),
        Instruction::Flutter => "**Fluttered**: the tongue rolls an r while the note sounds.".to_owned(),
        Instruction::Cuivre => "**Brassy**: blown until the metal rings.".to_owned(),
        Instruction::Solo => "**Solo**: to be heard above the others.".to_owned(),
        Instruction::TakeUp(TakenUp::Other) => {
            "**Another instrument**: what follows is not read as the horn's until the horn is taken up again.".to_owned()
        }
        Instruction::TakeUp(TakenUp::Horn) => "**Horn again**: back from another instrument.".to_owned(),
        Instruction::Tutti => "**Tutti**: among the others again.".to_owned(),
        Instruction::Unison(players) => format!("**a {players}**: {players} players on this line."),
        Instruction::Gliss => rip(mark, horn),
        Instruction::Crook(name) => match name {
            horn::CrookName::Named(crook) => {
                format!(
                    "**Change to {}**: from here the notes are read for it.",
                    crook.label()
                )
            }
            _ => "**Change of crook**.".to_owned(),
        },
        Instruction::Dynamic(dynamic) => format!("**{dynamic}**"),
    };
    match free(mark, horn) {
        _ if told => what,
        Some(free) if free < 0.05 => {
            format!("{what}  \nThere is no rest between the last note and the next.")
        }
        Some(free) => {
            format!("{what}  \nThere are {free:.1} s between the last note and the next.")
        }
        None => what,
    }
}

/// The notes a rip will brush.
fn rip(mark: &PlayedMark, horn: &HornPart) -> String {
    let what = "**Rip**: a fast slur through the harmonic series, played late, at the end of the first note.";
    let found = horn
        .rips
        .iter()
        .find(|rip| rip.mark == mark.span)
        .and_then(|rip| {
            let (from, to) = (horn.notes.get(rip.from)?, horn.notes.get(rip.to)?);
            let best = horn::rips(horn.seat.instrument, from.height, to.height)
                .into_iter()
                .next()?;
            let between: Vec<String> = best
                .between()
                .into_iter()
                .map(|partial| partial.height().to_string())
                .collect();
            Some((best.tube, between))
        });
    match found {
        Some((tube, between)) if !between.is_empty() => format!(
            "{what} On {tube} it brushes {} (as a horn in F reads them).",
            between.join(", ")
        ),
        Some(_) => format!("{what} Nothing lies between these two notes."),
        None => format!("{what} No one fingering carries both notes."),
    }
}

/// Seconds between the notes on both sides of a mark that moves the right hand.
fn free(mark: &PlayedMark, horn: &HornPart) -> Option<f64> {
    let moves = matches!(
        mark.said.instruction(),
        Instruction::MuteOn | Instruction::MuteOff | Instruction::ForeignMute(_)
    );
    let (last, next) = (
        horn.notes.get(mark.last_note?)?,
        horn.notes.get(mark.next_note?)?,
    );
    moves.then(|| (next.starts - last.ends).0.max(0.0))
}
