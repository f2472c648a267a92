//! From the data of a spine to the page: which way `*ITr` is meant, and how far the written notes lie from the data.

use horn::{Crook, CrookName};
use theory::{Interval, Transposition};

use super::spot::Spot;

/// What a spine says of its transposition, with where it says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(super) struct Said {
    /// `*ITr`.
    pub(super) page: Option<(Interval, Spot)>,
    /// `*Tr`.
    pub(super) data: Option<(Interval, Spot)>,
}

/// How a spine's notes are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(super) struct Reading {
    /// What leads from the data to the written notes.
    pub(super) up: Interval,
    /// What leads from the data to the sound.
    pub(super) heard: Interval,
    /// What is added to the written notes to get their sound, and where the file says so.
    pub(super) recorded: Option<(Transposition, Spot)>,
}

/// Weighs what a spine says.
///
/// The reference manual writes what leads from the sound to the page (`*ITrd4c7` for a horn in F), an older guide what
/// leads back (`*ITrd-4c-7`); files of both kinds exist. The crook in the part's name decides: the way that gives its
/// sound, or else its sound octaves away. Where the name fits neither or names none, the manual is followed, as by far
/// the most files do.
pub(super) fn settle(said: &Said, crook: CrookName) -> Reading {
    let page = said
        .page
        .map(|(interval, spot)| (meant(interval, crook), spot));
    match (page, said.data) {
        (Some((meant, spot)), None) => Reading {
            up: meant.up,
            heard: Interval::UNISON,
            recorded: Some((Transposition(-meant.said), spot)),
        },
        (None, Some((moved, spot))) => {
            // The data are what is written.
            let meant = meant(moved, crook);
            Reading {
                up: Interval::UNISON,
                heard: -meant.up,
                recorded: Some((Transposition(-meant.said), spot)),
            }
        }
        (Some((page, spot)), Some((moved, _))) => {
            let up = page.up + -moved;
            Reading {
                up,
                heard: -moved,
                recorded: Some((Transposition(-page.up), spot)),
            }
        }
        // Where nothing is recorded, the page is the named horn's.
        (None, None) => Reading {
            up: match crook {
                CrookName::Named(crook) => -crook.transposition().0,
                CrookName::Ambiguous(_) | CrookName::Unnamed => Interval::UNISON,
            },
            ..Reading::default()
        },
    }
}

/// What a cell means.
struct Meant {
    /// From sound to page.
    up: Interval,
    /// The same as the cell says it, steps that no horn's name has included.
    said: Interval,
}

/// The interval from sound to page that a cell means.
fn meant(said: Interval, crook: CrookName) -> Meant {
    let both = [said, -said];
    let choices: &[Crook] = match &crook {
        CrookName::Named(crook) => std::slice::from_ref(crook),
        CrookName::Ambiguous(choices) => choices,
        CrookName::Unnamed => &[],
    };
    let exact = |up: &Interval| {
        choices
            .iter()
            .find(|crook| crook.transposition().0.semitones == -up.semitones)
    };
    // Many files have the data an octave above the horn; the pitch class still tells the direction.
    let octaves_apart = |up: &&Interval| {
        choices
            .iter()
            .any(|crook| (crook.transposition().0.semitones + up.semitones) % 12 == 0)
    };
    if let Some((up, crook)) = both.iter().find_map(|up| Some((up, exact(up)?))) {
        // Semitones are what playback goes by; steps that no name of the crook has are a slip of the pen.
        let own = || -crook.transposition().0;
        let called = crook.spelled(Transposition(-*up));
        return Meant {
            up: called.map_or_else(own, |called| -called.0),
            said: *up,
        };
    }
    let said = both.iter().find(octaves_apart).copied().unwrap_or(said);
    Meant {
        up: if said.is_possible() {
            said
        } else {
            Interval::from_semitones(said.semitones)
        },
        said,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn up(steps: i32, semitones: i32, name: &str) -> i32 {
        let said = Said {
            page: Some((Interval::new(steps, semitones), Spot::default())),
            data: None,
        };
        let crook = horn::read_name(name).crook;
        settle(&said, crook).up.semitones
    }

    #[test]
    fn the_name_decides_the_direction() {
        assert_eq!(up(4, 7, "Corno in F"), 7);
        assert_eq!(up(-4, -7, "Corno in F"), 7);
        // An octave above the horn in G, not the guide's horn in F.
        assert_eq!(up(-4, -7, "Corno in G"), -7);
        assert_eq!(up(-1, -2, "Corno in D"), -2);
        assert_eq!(up(-1, -2, "Corno in B"), 2);
        // The name says E flat, the record F: told elsewhere, read as recorded.
        assert_eq!(up(4, 7, "Corno in Es"), 7);
    }

    #[test]
    fn without_a_crook_the_manual_is_followed() {
        assert_eq!(up(4, 7, "Corno primo"), 7);
        assert_eq!(up(-2, -3, "Corno primo"), -3);
        assert_eq!(up(-4, -7, "Corno primo"), -7);
        assert_eq!(up(1, 2, "Clarinetto"), 2);
    }

    #[test]
    fn displaced_data_are_the_page() {
        let said = Said {
            page: None,
            data: Some((Interval::new(6, 10), Spot::default())),
        };
        let reading = settle(&said, CrookName::Named(Crook::D));
        assert_eq!(reading.up, Interval::UNISON);
        assert_eq!(reading.heard, Interval::new(-6, -10));
        assert_eq!(reading.recorded.unwrap().0.0.semitones, -10);
    }

    #[test]
    fn without_a_record_the_page_is_the_named_horns() {
        let read = |name| settle(&Said::default(), horn::read_name(name).crook);
        assert_eq!(read("Corno in D").up, Interval::new(6, 10));
        assert_eq!(read("Corno in D").recorded, None);
        assert_eq!(read("Corno primo").up, Interval::UNISON);
    }

    #[test]
    fn steps_that_no_horn_is_called_by() {
        let said = Said {
            page: Some((Interval::new(8, 12), Spot::default())),
            data: None,
        };
        let reading = settle(&said, horn::read_name("Corno in C").crook);
        assert_eq!(reading.up, Interval::OCTAVE);
        assert_eq!(reading.recorded.unwrap().0.0, Interval::new(-8, -12));
    }
}
