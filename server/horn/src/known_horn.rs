//! Reads the name of a part that is known to be a horn's, whether or not the name says so.

use crate::name::{PartName, read_name};
use crate::name_words::noun_at;
use crate::words::tokens;

/// The horn's word that a name leaves out, with the space after it.
const HORN: &str = "Horn ";

/// Reads the name of a part that something else says is a horn's: `in D`, `I`, `Primo in F` and plain `Staff` are then
/// names of a horn, and say what they say of crook and players.
///
/// `None` when the name itself says another instrument: `Corno inglese`.
#[must_use]
pub fn read_name_of_horn(name: &str) -> Option<PartName> {
    let read = read_name(name);
    if read.is_horn {
        return Some(read);
    }
    if names_a_relative(name) {
        return None;
    }
    let mut read = read_name(&format!("{HORN}{name}"));
    read.crook_range = read.crook_range.and_then(|range| {
        let at = |place: usize| place.checked_sub(HORN.len());
        Some(at(range.start)?..at(range.end)?)
    });
    read.is_horn.then_some(read).or_else(|| {
        Some(PartName {
            is_horn: true,
            ..PartName::default()
        })
    })
}

/// Whether a name speaks of another instrument that is called a horn: its word for a horn is one only in other company.
fn names_a_relative(name: &str) -> bool {
    let tokens = tokens(name);
    (0..tokens.len()).any(|at| {
        let alone = tokens.get(at..=at).unwrap_or_default();
        noun_at(alone, 0).is_some()
    })
}

/// Whether a name's word for a horn is also one for another instrument, so that a sign for programs decides between
/// them: a scribe's `Trompa` is a horn in Spain and a trumpet elsewhere.
#[must_use]
pub fn could_be_a_trumpet(name: &str) -> bool {
    let trumpet = |folded: &str| matches!(folded, "trompa" | "trompas" | "tpa");
    let tokens = tokens(name);
    let mut horns = (0..tokens.len()).filter(|&at| noun_at(&tokens, at).is_some());
    horns
        .next()
        .is_some_and(|first| trumpet(&tokens[first].folded))
        && horns.all(|at| trumpet(&tokens[at].folded))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crook::Crook;
    use crate::crook_name::CrookName;

    #[test]
    fn names_that_leave_the_horn_out() {
        for (name, crook, players) in [
            ("in D", CrookName::Named(Crook::D), vec![]),
            ("I", CrookName::Unnamed, vec![1]),
            ("Primo in F", CrookName::Named(Crook::F), vec![1]),
            ("2.", CrookName::Unnamed, vec![2]),
            ("Staff", CrookName::Unnamed, vec![]),
            // Whatever else would call "Horn anglais", this one was said to be a horn.
            ("anglais", CrookName::Unnamed, vec![]),
            ("", CrookName::Unnamed, vec![]),
            ("Corno II in Es", CrookName::Named(Crook::EFlat), vec![2]),
        ] {
            let read = read_name_of_horn(name).unwrap();
            assert!(read.is_horn, "{name}");
            assert_eq!((read.crook, read.players), (crook, players), "{name}");
        }
        for other in ["Corno inglese", "English Horn", "Cor anglais"] {
            assert_eq!(read_name_of_horn(other), None, "{other}");
        }
        let name = "Primo in Es";
        let range = read_name_of_horn(name).unwrap().crook_range.unwrap();
        assert_eq!(&name[range], "Es");
    }

    #[test]
    fn words_for_two_instruments() {
        for name in ["TROMPA I", "Trompas 1.2.", "Tpa. in F"] {
            assert!(could_be_a_trumpet(name), "{name}");
        }
        for name in ["Corno I", "Trompa (Horn)", "Tromba", "Horn in F"] {
            assert!(!could_be_a_trumpet(name), "{name}");
        }
    }
}
