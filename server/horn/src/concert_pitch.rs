//! The words by which a part's name says that it is written at concert pitch.

use crate::crook::Crook;
use crate::crook_name::{CrookName, Found, Spelling};
use crate::words::{Token, phrase_at};

/// Folded phrases, each longer one before those that it holds.
const PHRASES: [&str; 10] = [
    "at concert pitch",
    "concert pitch",
    "klingend",
    "suoni reali",
    "sons reels",
    "sonidos reales",
    "sons reais",
    "brzmienie rzeczywiste",
    "znejici",
    "sounding pitch",
];

/// Where a name's tokens say so; such a part sounds as a horn in C alto does.
pub(crate) fn concert_pitch(tokens: &[Token<'_>]) -> Option<Found> {
    (0..tokens.len()).find_map(|at| {
        let length = PHRASES
            .iter()
            .find_map(|phrase| phrase_at(tokens, at, phrase))?;
        let (first, last) = (tokens.get(at)?, tokens.get(at + length - 1)?);
        Some(Found {
            name: CrookName::Named(Crook::CAlto),
            spelling: Spelling::ConcertPitch,
            note_at: at,
            tokens: at..at + length,
            has_octave: false,
            range: first.range.start..last.range.end,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::name::read_name;

    #[test]
    fn names_at_concert_pitch() {
        for (name, words) in [
            ("Horn 1 (concert pitch)", "concert pitch"),
            ("Horns at concert pitch", "at concert pitch"),
            ("Hörner (klingend)", "klingend"),
            ("CORNI (SUONI REALI)", "SUONI REALI"),
            ("Cors (sons réels)", "sons réels"),
        ] {
            let read = read_name(name);
            assert_eq!(read.crook, CrookName::Named(Crook::CAlto), "{name}");
            assert_eq!(&name[read.crook_range.unwrap()], words);
        }
        // A crook that is named all the same is the page's.
        let read = read_name("Horn in F (concert pitch)");
        assert_eq!(read.crook, CrookName::Named(Crook::F));
        assert!(!read_name("Concert band").is_horn);
    }
}
