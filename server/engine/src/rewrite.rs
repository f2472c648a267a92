//! A part written for another crook, or at concert pitch, with the sound proven unchanged.

use horn::{Crook, read_name};
use notation::{Document, TextEdit};
use reading::{HornPart, PieceReading};
use rules::{Fix, Safety};
use score::{Intent, PartRef};

use crate::fix;
use crate::guard::{Refused, refused};
use crate::settings::Settings;

/// The edits that write a horn part for another crook; its place is the piece's among the document's and the horn's
/// part among the piece's.
///
/// Fails when the part changes crooks on the way, when the notation cannot say it, or when something would sound
/// otherwise.
pub fn rewrite(
    document: &Document,
    settings: &Settings,
    piece: usize,
    reading: &PieceReading,
    horn: &HornPart,
    crook: Crook,
) -> Result<Vec<TextEdit>, Refused> {
    if !horn.crook_changes.is_empty() {
        return Err(refused(
            "the part changes crooks on the way; write each stretch for itself",
        ));
    }
    if horn.crook.crook == Some(crook) && horn.crook.recorded.is_some() {
        return Err(refused(format!(
            "the part is written for {} already",
            crook.label()
        )));
    }
    let part = PartRef {
        piece,
        part: horn.seat.part,
    };
    let transposition = crook.transposition();
    let by = horn.crook.transposition.0 + -transposition.0;
    let name = reading
        .piece
        .parts
        .get(horn.seat.part)
        .and_then(|part| part.name.as_ref())
        .map_or_else(|| "Horn".to_owned(), |name| name.text.clone());
    let fix = Fix {
        title: format!("Write the part for {}", crook.label()),
        safety: Safety::Safe,
        intents: vec![
            Intent::RewritePart { part, by },
            Intent::SetTransposition {
                part,
                transposition,
            },
            Intent::NamePart {
                part,
                name: renamed(&name, crook),
            },
        ],
    };
    fix::edits(document, settings, &fix)
}

/// A name with another crook in the old one's place, or at its end.
fn renamed(name: &str, crook: Crook) -> String {
    match read_name(name).crook_range {
        Some(range) => {
            let (before, after) = (
                name.get(..range.start).unwrap_or_default(),
                name.get(range.end..).unwrap_or_default(),
            );
            format!("{before}{}{after}", crook.abbreviation())
        }
        None => format!("{} in {}", name.trim(), crook.abbreviation()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_keep_all_but_the_crook() {
        for (name, new) in [
            ("Horn 1 in D", "Horn 1 in F"),
            ("Corno in Es I", "Corno in F I"),
            ("Horns 1.2.", "Horns 1.2. in F"),
            ("E Horn 1", "F Horn 1"),
        ] {
            assert_eq!(renamed(name, Crook::F), new);
        }
    }
}
