//! What tandem interpretations say: signatures, clefs, metres, tempos, transpositions, names.

use score::bounds::{CLEF_OCTAVES, LONGEST};
use score::{Clef, ClefKind, TempoMark};
use theory::{Alteration, Interval, Key, Letter, Meter, Tempo};

use crate::staff_sign::StaffSign;

/// `*k[b-e-]`: the signature at the level of the spine's data. `None` when it holds something else than letters with signs.
pub(super) fn key(cell: &str) -> Option<Key> {
    let list = cell.strip_prefix("*k[")?.strip_suffix(']')?;
    let mut key = Key::NONE;
    let mut signs = list.chars().peekable();
    while let Some(letter) = signs.next() {
        let letter = Letter::from_char(letter)?;
        let mut alteration = 0i8;
        while let Some(step) = signs.peek().and_then(|sign| match sign {
            '#' => Some(1),
            '-' => Some(-1),
            'n' => Some(0),
            _ => None,
        }) {
            alteration = (alteration + step).clamp(-2, 2);
            signs.next();
        }
        key = key.with(letter, Alteration(alteration));
    }
    Some(key)
}

/// The signature that `*k[…]` is to say, in the usual order of sharps or flats.
pub(super) fn written_key(key: &Key) -> String {
    const SHARPS: [Letter; 7] = [
        Letter::F,
        Letter::C,
        Letter::G,
        Letter::D,
        Letter::A,
        Letter::E,
        Letter::B,
    ];
    let mut list = String::new();
    let mut put = |letters: &mut dyn Iterator<Item = Letter>, wanted: fn(i8) -> bool| {
        for letter in letters {
            let alteration = key.alteration(letter).0;
            if wanted(alteration) {
                list.push(letter.as_char().to_ascii_lowercase());
                let sign = if alteration > 0 { "#" } else { "-" };
                list.push_str(&sign.repeat(usize::from(alteration.unsigned_abs())));
            }
        }
    };
    put(&mut SHARPS.into_iter(), |alteration| alteration > 0);
    put(&mut SHARPS.into_iter().rev(), |alteration| alteration < 0);
    format!("*k[{list}]")
}

/// A signature moved by an interval; one with unusual letters is moved letter by letter.
pub(super) fn moved_key(key: &Key, by: Interval) -> Key {
    if let Some(fifths) = key.fifths() {
        return Key::from_fifths(fifths + by.fifths());
    }
    Letter::ALL.into_iter().fold(Key::NONE, |moved, letter| {
        let pitch = theory::Pitch::new(letter, key.alteration(letter).0, 4).transposed(by);
        moved.with(pitch.letter, Alteration(pitch.alteration.0.clamp(-2, 2)))
    })
}

/// Which of the two transpositions of a spine a cell speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Moved {
    /// `*ITr`: the page is moved away from the data.
    Page,
    /// `*Tr`: the data are moved away from the sound.
    Data,
}

/// `*ITrd4c7`, `*Trd-4c-7`: steps and semitones. `None` for other cells; no interval when it is not one.
pub(super) fn transposition(cell: &str) -> Option<(Moved, Option<Interval>)> {
    let (moved, interval) = match cell.strip_prefix("*ITr") {
        Some(interval) => (Moved::Page, interval),
        None => (Moved::Data, cell.strip_prefix("*Tr")?),
    };
    let read = || -> Option<Interval> {
        let (steps, semitones) = interval.strip_prefix('d')?.split_once('c')?;
        let within = |text: &str| text.parse().ok().filter(|n: &i32| (-48..=48).contains(n));
        Some(Interval::new(within(steps)?, within(semitones)?))
    };
    Some((moved, read()))
}

/// `*M3/4`, `*M2+3/8`; `*MX` is free time. `None` for other cells.
pub(super) fn meter(cell: &str) -> Option<Option<Meter>> {
    let words = cell.strip_prefix("*M")?;
    if matches!(words, "X" | "?" | "Z") {
        return Some(None);
    }
    let (beats, unit) = words.split_once('/')?;
    let beats: u32 = beats
        .split('+')
        .map(|part| part.parse::<u32>().ok().filter(|beats| *beats <= 128))
        .sum::<Option<u32>>()?;
    // `3%2` counts units of a third of two, which no clock ticks; `0` is a breve.
    let unit: u32 = unit.split('%').next()?.parse().ok()?;
    match unit {
        0 => Some(Meter {
            beats: beats * 2,
            unit: 1,
        }),
        1..=256 if beats > 0 => Some(Meter { beats, unit }),
        _ => None,
    }
    .filter(|meter| meter.bar() <= LONGEST)
    .map(Some)
}

/// `*MM96`, `*MM[Adagio]`: quarter notes a minute, or words.
pub(super) fn tempo(cell: &str) -> Option<TempoMark> {
    let said = cell.strip_prefix("*MM")?;
    if let Some(words) = said.strip_prefix('[') {
        return Some(TempoMark {
            words: Some(words.trim_end_matches(']').to_owned()),
            tempo: None,
        });
    }
    let rate: f64 = said.split('-').next()?.parse().ok()?;
    if !Tempo::is_believed(rate) {
        return None;
    }
    Some(TempoMark {
        words: None,
        tempo: Some(Tempo::quarters_a_minute(rate)),
    })
}

/// `*clefG2`, `*clefFv4`. `None` for other cells.
pub(super) fn clef(cell: &str) -> Option<Clef> {
    let said = cell.strip_prefix("*clef")?;
    let letter = said.chars().next()?;
    let line = said.chars().find(char::is_ascii_digit);
    let kind = match (letter, line) {
        ('G', Some('2') | None) => ClefKind::Treble,
        ('C', Some('3')) => ClefKind::Alto,
        ('C', Some('4')) => ClefKind::Tenor,
        ('F', Some('4') | None) => ClefKind::Bass,
        _ => ClefKind::Other,
    };
    let count = |sign| i64::try_from(said.matches(sign).count()).unwrap_or(i64::MAX);
    let octaves = i8::try_from(count('^') - count('v')).ok();
    let octaves = octaves.filter(|octaves| CLEF_OCTAVES.contains(octaves))?;
    Some(Clef { kind, octaves })
}

/// The clef or metre that a cell says.
pub(crate) fn staff_sign(cell: &str) -> Option<StaffSign> {
    let clef = clef(cell).map(StaffSign::Clef);
    clef.or_else(|| meter(cell).map(StaffSign::Meter))
}

/// What is wrong with a cell that begins as one of these and could not be read as it, and what was expected.
pub(super) fn misread(cell: &str) -> Option<(&'static str, &'static str)> {
    let number =
        |words: &str| words.starts_with(|sign: char| sign.is_ascii_digit() || "+-.".contains(sign));
    if let Some(rate) = cell.strip_prefix("*MM") {
        return number(rate).then_some((
            "no tempo that can be played",
            "quarter notes a minute, as in `*MM96`",
        ));
    }
    if cell.strip_prefix("*M").is_some_and(number) {
        return Some((
            "no metre",
            "beats and their value, as in `*M3/4`, or `*MX` for free time",
        ));
    }
    cell.starts_with("*clef")
        .then_some(("no clef", "a sign and its line, as in `*clefG2`"))
}

/// What an instrument's name cell says: `*I"…` the name, `*I'…` its abbreviation, `*I…` a code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Naming<'t> {
    /// The name on the page.
    Name(&'t str),
    /// Its short form.
    Short(&'t str),
    /// The kind of instrument, as `cor`.
    Code(&'t str),
}

/// The naming in a cell, and how many bytes stand before it.
pub(super) fn naming(cell: &str) -> Option<(usize, Naming<'_>)> {
    let said = cell.strip_prefix("*I")?;
    if let Some(name) = said.strip_prefix('"') {
        let bare = name.trim_start_matches('"');
        return Some((cell.len() - bare.len(), Naming::Name(bare)));
    }
    if let Some(short) = said.strip_prefix('\'') {
        return Some((3, Naming::Short(short)));
    }
    // `*IC…` and `*IG…` name classes and groups, `*ITr` is no name.
    let code = said.starts_with(|sign: char| sign.is_ascii_lowercase());
    code.then_some((2, Naming::Code(said)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signatures_go_and_come() {
        for fifths in -7..=7 {
            let signature = Key::from_fifths(fifths);
            assert_eq!(key(&written_key(&signature)), Some(signature));
        }
        assert_eq!(key("*k[cnf#]").unwrap().fifths(), Some(1));
        assert_eq!(key("*k[c#f#]").unwrap().fifths(), Some(2));
        assert_eq!(key("*k[b§]"), None);
        assert_eq!(written_key(&Key::from_fifths(-2)), "*k[b-e-]");
    }

    #[test]
    fn transpositions() {
        let fifth = Interval::new(4, 7);
        assert_eq!(transposition("*ITrd4c7"), Some((Moved::Page, Some(fifth))));
        assert_eq!(
            transposition("*Trd-4c-7"),
            Some((Moved::Data, Some(-fifth)))
        );
        assert_eq!(transposition("*ITrx"), Some((Moved::Page, None)));
        assert_eq!(transposition("*Icor"), None);
    }

    #[test]
    fn others() {
        assert_eq!(meter("*M2+3/8"), Some(Some(Meter { beats: 5, unit: 8 })));
        assert_eq!(meter("*M3/0"), Some(Some(Meter { beats: 6, unit: 1 })));
        assert_eq!(meter("*MM96"), None);
        assert_eq!(tempo("*MM96").unwrap().tempo.unwrap().rate(), 96.0);
        assert_eq!(
            naming("*I\"\"Corni in F"),
            Some((4, Naming::Name("Corni in F")))
        );
        assert_eq!(naming("*Icor"), Some((2, Naming::Code("cor"))));
        assert_eq!(naming("*ICbras"), None);
        assert_eq!(clef("*clefGv2").unwrap().octaves, -1);
    }
}
