//! Names for horn parts, in the house's way, with the next player's number.

use horn::{Crook, read_name};

use crate::{House, Judged};

/// Crooks in the order in which they are met.
const CROOKS: [Crook; 16] = [
    Crook::F,
    Crook::EFlat,
    Crook::D,
    Crook::E,
    Crook::G,
    Crook::CBasso,
    Crook::A,
    Crook::BFlatBasso,
    Crook::BFlatAlto,
    Crook::AFlat,
    Crook::DFlat,
    Crook::CAlto,
    Crook::FSharp,
    Crook::BBasso,
    Crook::ABasso,
    Crook::AFlatBasso,
];

/// Names for a part at a byte, each with what it says.
pub(super) fn offered(judged: &Judged, byte: usize) -> Vec<(String, String)> {
    let house = &judged.settings().house;
    let pieces = judged.pieces().take_while(|(base, _)| *base <= byte);
    let known = pieces.last().map(|(_, reading)| &reading.piece.parts);
    let names = known
        .into_iter()
        .flatten()
        .filter_map(|part| part.name.as_ref());
    let numbers = names.flat_map(|name| read_name(&name.text).players);
    let next = numbers.max().unwrap_or(0).saturating_add(1);
    let mut offers = Vec::new();
    for crook in CROOKS {
        let sounds = sounds(crook);
        if next == 1 {
            offers.push((named(house, &[], crook), format!("The one horn: {sounds}")));
        }
        let one = format!("Player {next}: {sounds}");
        offers.push((named(house, &[next], crook), one));
        if crook == Crook::F {
            let both = [next, next.saturating_add(1)];
            let what = format!("Players {} and {} on one staff: {sounds}", both[0], both[1]);
            offers.push((named(house, &both, crook), what));
        }
    }
    offers
}

/// The name of a part for these players on this crook: the house's, else a plain one.
pub(super) fn named(house: &House, players: &[u8], crook: Crook) -> String {
    house.naming.name(players, crook).unwrap_or_else(|| {
        let crook = match crook {
            // Plain "B basso" would be read as B flat in half the world.
            Crook::BBasso => crook.abbreviation(),
            other => other.name(),
        };
        match players {
            [] => format!("Horn in {crook}"),
            [one] => format!("Horn {one} in {crook}"),
            several => {
                let numbers: Vec<String> = several.iter().map(u8::to_string).collect();
                format!("Horns {} in {crook}", numbers.join(", "))
            }
        }
    })
}

/// How far a crook's part sounds from what it reads.
fn sounds(crook: Crook) -> String {
    match crook.transposition().0.semitones {
        0 => "sounds as written".to_owned(),
        down => format!("sounds {} semitones below what is written", -down),
    }
}
