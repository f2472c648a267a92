//! What a part's name says: which horn, how it sounds, what it holds, and who says so.

use engine::Mentions;
use reading::{HornPart, HornSaid};
use score::Span;

use crate::methods::code_lens::compass;
use crate::view::View;

/// The words where a part is called, or its transposition recorded, and where that stands; `None` anywhere else.
pub(super) fn words(view: &View, byte: usize) -> Option<(Span, String)> {
    let (span, base, horn) = called(view, byte).or_else(|| recorded(view, byte))?;
    let mut lines = vec![format!(
        "**{}**: {}, {}",
        horn.label,
        horn.crook.label(),
        sounds(horn)
    )];
    if let Some((count, lowest, highest)) = compass(horn) {
        lines.push(format!("{count} notes, written {lowest} to {highest}"));
    }
    let players: Vec<String> = horn
        .lines
        .iter()
        .filter_map(|line| line.player.map(|player| player.to_string()))
        .collect();
    if players.len() > 1 {
        lines.push(format!("players {} read this staff", players.join(" and ")));
    }
    lines.push(who_says(&horn.seat.said).to_owned());
    for (_, crook, at) in &horn.crook_changes {
        let line = view.range(at.shifted(base)).start.line + 1;
        lines.push(format!("from line {line} on {}", crook.label()));
    }
    Some((span, lines.join("  \n")))
}

/// The horn part that is called at a byte, and where its piece begins.
fn called(view: &View, byte: usize) -> Option<(Span, usize, &HornPart)> {
    let (mentions, (span, _)) = Mentions::at(&view.judged, byte)?;
    let (base, reading) = view.judged.pieces().nth(mentions.piece)?;
    let mut horns = reading.horns.iter();
    let horn = horns.find(|horn| horn.seat.part == mentions.part)?;
    Some((span, base, horn))
}

/// The horn part whose transposition is recorded at a byte.
fn recorded(view: &View, byte: usize) -> Option<(Span, usize, &HornPart)> {
    view.horns().find_map(|(base, reading, horn)| {
        let part = reading.piece.parts.get(horn.seat.part)?;
        let (_, span) = part.transposition?;
        let span = span.shifted(base);
        span.range().contains(&byte).then_some((span, base, horn))
    })
}

/// How far from the page a part sounds, by its first note where it has one.
fn sounds(horn: &HornPart) -> String {
    let transposition = horn.crook.transposition;
    let written = theory::WrittenPitch::new(theory::Letter::C, 0, 5);
    let sounding = transposition.sound(written);
    match transposition.0.semitones {
        0 => "which sounds as written".to_owned(),
        _ => format!("so that written {written} sounds {sounding}"),
    }
}

const fn who_says(said: &HornSaid) -> &'static str {
    match said {
        HornSaid::Directive => "so says the instruction in the text",
        HornSaid::Settings => "so say the settings",
        HornSaid::Name => "so says its name",
        HornSaid::Class => "so says the kind of instrument that the file records",
    }
}
