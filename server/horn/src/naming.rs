//! Names for horn parts by a house's pattern: numbers in one way, crooks spelt in one way.

use crate::crook::Crook;
use crate::crook_name::CrookName;
use crate::name::{PartName, read_name};
use crate::players::{JOINTS, ROMAN};
use crate::rename::renamed;
use crate::words::{Kind, Token, tokens};
use crate::written_for::WrittenFor;

/// What stands for the numbers of the players in a pattern, of one and of several.
const NUMBERS: [&str; 2] = ["{number}", "{numbers}"];
/// What stands for the crook.
const CROOK: &str = "{crook}";

/// How players are numbered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Numerals {
    /// 1, 2.
    #[default]
    Arabic,
    /// I, II.
    Roman,
}

impl Numerals {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Arabic, Self::Roman];

    /// The word for them in settings.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Arabic => "arabic",
            Self::Roman => "roman",
        }
    }

    /// A number written so; beyond the horns of any row always in Arabic numerals.
    fn write(self, number: u8) -> String {
        let place = usize::from(number).checked_sub(1);
        let roman = place.and_then(|place| ROMAN.get(place));
        match (self, roman) {
            (Self::Roman, Some(roman)) => roman.to_uppercase(),
            _ => number.to_string(),
        }
    }
}

/// How a house names its horn parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Naming {
    /// The pattern of a part for one player, such as `Horn {number} in {crook}`.
    pub single: Option<String>,
    /// The pattern of a part for several, such as `Horns {numbers} in {crook}`.
    pub shared: Option<String>,
    /// How players are numbered.
    pub numerals: Numerals,
    /// How E flat is spelt, after which every crook is: `Eb`, `E flat`, `E♭`, `Es`, `Mi♭`.
    pub e_flat: String,
    /// What stands between the numbers of several players.
    pub between: String,
}

impl Default for Naming {
    fn default() -> Self {
        Self {
            single: None,
            shared: None,
            numerals: Numerals::default(),
            e_flat: "E flat".to_owned(),
            between: ", ".to_owned(),
        }
    }
}

impl Naming {
    /// Whether the house names any parts by a pattern of its own.
    #[must_use]
    pub const fn has_pattern(&self) -> bool {
        self.single.is_some() || self.shared.is_some()
    }

    /// The name of a part for these players on this crook; nothing where the house has no pattern for it, or where its
    /// pattern makes a name that would be read as others'.
    #[must_use]
    pub fn name(&self, players: &[u8], crook: Crook) -> Option<String> {
        let pattern = match players {
            [] | [_] => self.single.as_deref(),
            _ => self.shared.as_deref(),
        }?;
        let name = self.filled(pattern, players, crook);
        let read = read_name(&name);
        let same = read.is_horn
            && read.players == players
            && (!pattern.contains(CROOK) || read.crook == CrookName::Named(crook));
        same.then_some(name)
    }

    fn filled(&self, pattern: &str, players: &[u8], crook: Crook) -> String {
        let numbers: Vec<String> = players
            .iter()
            .map(|number| self.numerals.write(*number))
            .collect();
        let numbers = numbers.join(&self.between);
        let mut name = pattern.to_owned();
        for place in NUMBERS {
            // The one horn of a piece has no number, nor the space before it.
            if numbers.is_empty() {
                name = name.replace(&format!(" {place}"), "").replace(place, "");
            } else {
                name = name.replace(place, &numbers);
            }
        }
        if name.contains(CROOK) {
            let named = name.replace(CROOK, &self.e_flat);
            // The example is E flat itself: to write it anew would only risk another spelling of it.
            if crook == Crook::EFlat {
                return named;
            }
            return renamed(&named, WrittenFor::Crook(crook));
        }
        name
    }
}

/// Words in a part's name that say something besides horn, players and crook, such as "offstage".
#[must_use]
pub fn words_beside(name: &str) -> Vec<&str> {
    let read = read_name(name);
    let without = |token: &Token<'_>| {
        let (before, after) = (name.get(..token.range.start), name.get(token.range.end..));
        read_name(&[before, after].map(Option::unwrap_or_default).concat())
    };
    let said = |name: &PartName| {
        let PartName {
            is_horn,
            crook,
            players,
            unison,
            plural,
            natural,
            ..
        } = name;
        (
            *is_horn,
            *crook,
            players.clone(),
            *unison,
            *plural,
            *natural,
        )
    };
    // What can be left out and leaves all that is read has said something else, but for words such as "in".
    tokens(name)
        .iter()
        .filter(|token| token.kind == Kind::Word && token.text.chars().count() > 2)
        .filter(|token| !JOINTS.contains(&token.folded.as_str()))
        .filter(|token| said(&without(token)) == said(&read))
        .map(|token| token.text)
        .collect()
}

/// Checks a pattern of names; the error says what is wrong with it.
pub fn check_pattern(pattern: &str, shared: bool) -> Result<(), String> {
    let naming = Naming {
        single: (!shared).then(|| pattern.to_owned()),
        shared: shared.then(|| pattern.to_owned()),
        ..Naming::default()
    };
    let players: &[u8] = if shared { &[3, 4] } else { &[2] };
    if !NUMBERS.iter().any(|place| pattern.contains(place)) {
        return Err(format!(
            "`{pattern}` does not say where the number stands; write {{number}} or {{numbers}}"
        ));
    }
    let name = naming.filled(pattern, players, Crook::F);
    match naming.name(players, Crook::F) {
        Some(_) => Ok(()),
        None => Err(format!(
            "`{pattern}` makes names such as \"{name}\", which players do not read as the part of horn {}",
            players
                .iter()
                .map(u8::to_string)
                .collect::<Vec<_>>()
                .join(" and ")
        )),
    }
}

/// Checks how E flat is spelt; the error says what it is read as.
pub fn check_e_flat(spelling: &str) -> Result<(), String> {
    let read = read_name(&format!("Horn in {spelling}")).crook;
    if read == CrookName::Named(Crook::EFlat) {
        Ok(())
    } else {
        Err(format!(
            "`{spelling}` is not read as E flat; expected \"E flat\", \"Eb\", \"E♭\", \"Es\" or \"Mi♭\""
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn naming(single: &str, shared: &str, e_flat: &str, numerals: Numerals) -> Naming {
        Naming {
            single: Some(single.to_owned()),
            shared: Some(shared.to_owned()),
            e_flat: e_flat.to_owned(),
            numerals,
            ..Naming::default()
        }
    }

    #[test]
    fn names_follow_the_pattern_and_are_read_back() {
        let english = naming(
            "Horn {number} in {crook}",
            "Horns {numbers} in {crook}",
            "E flat",
            Numerals::Arabic,
        );
        let italian = naming(
            "Corno {number} in {crook}",
            "Corni {numbers} in {crook}",
            "Mi♭",
            Numerals::Roman,
        );
        let german = naming(
            "{number}. Horn in {crook}",
            "{numbers}. Horn in {crook}",
            "Es",
            Numerals::Arabic,
        );
        for (naming, players, crook, name) in [
            (&english, &[2][..], Crook::F, "Horn 2 in F"),
            (&english, &[3, 4], Crook::EFlat, "Horns 3, 4 in E flat"),
            (&english, &[], Crook::D, "Horn in D"),
            (&italian, &[1], Crook::F, "Corno I in Fa"),
            (&italian, &[1, 2], Crook::EFlat, "Corni I, II in Mi♭"),
            (&german, &[4], Crook::EFlat, "4. Horn in Es"),
            (&german, &[1], Crook::F, "1. Horn in F"),
        ] {
            assert_eq!(naming.name(players, crook).as_deref(), Some(name));
        }
        let mut read = 0;
        for naming in [&english, &italian, &german] {
            for crook in Crook::ALL {
                for player in 1..=8 {
                    let Some(name) = naming.name(&[player], crook) else {
                        continue;
                    };
                    let back = read_name(&name);
                    assert_eq!(
                        (back.crook, back.players),
                        (CrookName::Named(crook), vec![player]),
                        "{name}"
                    );
                    read += 1;
                }
            }
        }
        println!("{read} names read back");
        assert!(read > 200, "{read}");
    }

    #[test]
    fn what_a_name_says_besides_is_known() {
        for (name, beside) in [
            ("Horn 1 in F", &[][..]),
            ("Corno I in Fa", &[]),
            ("2. Horn in Es", &[]),
            ("Hörner 3 und 4 in F", &[]),
            ("Horn 1 in F (offstage)", &["offstage"]),
            (
                "Horn 2 in F, doubling Wagner tuba",
                &["doubling", "Wagner", "tuba"],
            ),
        ] {
            assert_eq!(words_beside(name), beside, "{name}");
        }
    }

    #[test]
    fn a_pattern_that_makes_no_name_is_told() {
        assert_eq!(check_pattern("Horn {number} in {crook}", false), Ok(()));
        assert_eq!(check_pattern("F-Horn {number}", false), Ok(()));
        for (pattern, shared, words) in [
            ("Horn in {crook}", false, "where the number stands"),
            ("Flute {number} in {crook}", false, "do not read"),
            ("Horn {number} and 9 in {crook}", true, "do not read"),
        ] {
            let error = check_pattern(pattern, shared).unwrap_err();
            assert!(error.contains(words), "{error}");
        }
        assert_eq!(check_e_flat("Mi♭"), Ok(()));
        assert!(
            check_e_flat("F")
                .unwrap_err()
                .contains("not read as E flat")
        );
    }
}
