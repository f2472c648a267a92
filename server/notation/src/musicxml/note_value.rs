//! The values of notes by their names (MusicXML 4.0, `note-type-value`).

use theory::Quarters;

/// Each with its length in quarter notes.
const VALUES: [(&str, (i64, i64)); 9] = [
    ("long", (16, 1)),
    ("breve", (8, 1)),
    ("whole", (4, 1)),
    ("half", (2, 1)),
    ("quarter", (1, 1)),
    ("eighth", (1, 2)),
    ("16th", (1, 4)),
    ("32nd", (1, 8)),
    ("64th", (1, 16)),
];

/// The length of a value without dots.
pub(super) fn length(name: &str) -> Option<Quarters> {
    let (_, (over, under)) = VALUES.iter().find(|(known, _)| *known == name)?;
    Some(Quarters::new(*over, *under))
}

/// The value that lasts so long by itself, with so many dots: what a note without `<type>` leaves to its reader.
pub(super) fn plain(length: Quarters) -> Option<(String, usize)> {
    VALUES.iter().find_map(|(name, (over, under))| {
        let dotted = |dots: &usize| {
            let times = (2_i64 << dots) - 1;
            Quarters::new(over * times, under << dots) == length
        };
        (0..=2).find(dotted).map(|dots| ((*name).to_owned(), dots))
    })
}
