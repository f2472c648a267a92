//! Where words, signs, names and values stand in ABC.

use super::spot::{Spot, Wanted};
use super::values::Values;

/// The signs that say where words stand about the staff (ABC 2.1, section 4.19).
const PLACES: [char; 5] = ['^', '_', '<', '>', '@'];

/// What can stand at the end of a line's beginning; `rest` is what stands behind on the same line.
pub(super) fn spot<'t>(before: &'t str, rest: &str) -> Option<Spot<'t>> {
    if before.starts_with('%') {
        return None;
    }
    match field(before).or_else(|| inline_field(before)) {
        Some((letter, value)) => of_field(letter, value, rest),
        None => in_music(before, rest),
    }
}

/// The letter and value of a field, as they stand at the start of some text.
fn field(text: &str) -> Option<(char, &str)> {
    let mut letters = text.chars();
    let letter = letters.next().filter(char::is_ascii_alphabetic)?;
    let value = letters.as_str().strip_prefix(':')?;
    Some((letter, value))
}

/// A field in brackets that is not closed.
fn inline_field(before: &str) -> Option<(char, &str)> {
    let (_, inside) = before.rsplit_once('[')?;
    field(inside).filter(|(_, value)| !value.contains(']'))
}

fn of_field<'t>(letter: char, value: &'t str, rest: &str) -> Option<Spot<'t>> {
    let typed = value.trim_start();
    let values = match letter {
        'V' => return of_voice(value, rest),
        'K' => match typed.rsplit_once(char::is_whitespace) {
            Some((_, word)) => return of_property(word),
            None => Values::AbcKey,
        },
        'L' => Values::AbcUnit,
        'M' => Values::AbcMeter,
        'Q' => Values::AbcTempo,
        _ => return None,
    };
    Some(Spot::new(Wanted::Value(values), typed))
}

/// A voice's name in quotes, or another of its properties once it has an id.
fn of_voice<'t>(value: &'t str, rest: &str) -> Option<Spot<'t>> {
    if value.matches('"').count() % 2 == 1 {
        let (key, typed) = value.rsplit_once('"')?;
        let named = key.ends_with("name=") || key.ends_with("nm=");
        let short = key.ends_with("subname=");
        return (named && !short).then(|| Spot::new(Wanted::PartName, typed).closed_by("\"", rest));
    }
    let (id, word) = value.trim_start().rsplit_once(char::is_whitespace)?;
    (!id.is_empty()).then(|| of_property(word)).flatten()
}

fn of_property(word: &str) -> Option<Spot<'_>> {
    let (values, typed) = match word.split_once('=') {
        Some(("clef", typed)) => (Values::AbcClef, typed),
        Some(("transpose", typed)) => (Values::AbcTranspose, typed),
        Some(_) => return None,
        None => (Values::AbcProperty, word),
    };
    Some(Spot::new(Wanted::Value(values), typed))
}

fn in_music<'t>(before: &'t str, rest: &str) -> Option<Spot<'t>> {
    let mut open: Option<(char, usize)> = None;
    for (at, sign) in before.char_indices() {
        match (open, sign) {
            (Some((opening, _)), sign) if sign == opening => open = None,
            (None, '"' | '!') => open = Some((sign, at + 1)),
            (None, '%') => return None,
            _ => {}
        }
    }
    let Some((opening, at)) = open else {
        // Among notes nobody wants to be offered anything.
        let free = before
            .chars()
            .next_back()
            .is_none_or(|last| last.is_whitespace() || last == '|');
        return free.then(|| Spot::new(Wanted::Music, ""));
    };
    let typed = before.get(at..)?;
    if opening == '!' {
        return Some(Spot::new(Wanted::Sign, typed).closed_by("!", rest));
    }
    let placed = typed.strip_prefix(PLACES);
    let spot = Spot::new(Wanted::Words, placed.unwrap_or(typed)).closed_by("\"", rest);
    Some(match placed {
        Some(_) => spot,
        // Words without a place would be read as the name of a chord.
        None => Spot {
            opening: "^",
            ..spot
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(before: &str, rest: &str) -> Option<(Wanted, String, usize, String)> {
        let spot = spot(before, rest)?;
        let around = format!("{}…{}", spot.opening, spot.closing);
        Some((spot.wanted, spot.typed.to_owned(), spot.over, around))
    }

    fn some(
        wanted: Wanted,
        typed: &str,
        over: usize,
        around: &str,
    ) -> Option<(Wanted, String, usize, String)> {
        Some((wanted, typed.to_owned(), over, around.to_owned()))
    }

    #[test]
    fn what_stands_before_tells_what_is_wanted() {
        use Wanted::{Music, PartName, Sign, Value, Words};
        for (before, rest, wanted) in [
            ("c4 \"^con", "", some(Words, "con", 0, "…\"")),
            ("c4 \"^con", "\" d4", some(Words, "con", 0, "…")),
            ("c4 \"con", "", some(Words, "con", 0, "^…\"")),
            ("\"^con", " sord.\" c4", some(Words, "con", 6, "…")),
            ("\"^con", " c4 \"^open\" d4", some(Words, "con", 0, "…\"")),
            ("\"^open\" c4 !o", "", some(Sign, "o", 0, "…!")),
            ("!", "!c4", some(Sign, "", 0, "…")),
            ("V:1 name=\"Ho", "\"", some(PartName, "Ho", 0, "…")),
            ("[V:1 nm=\"", "", some(PartName, "", 0, "…\"")),
            ("V:1 cl", "", some(Value(Values::AbcProperty), "cl", 0, "…")),
            ("V:1 clef=b", "", some(Value(Values::AbcClef), "b", 0, "…")),
            ("K:", "", some(Value(Values::AbcKey), "", 0, "…")),
            ("c2 [K: n", "]", some(Value(Values::AbcKey), "n", 0, "…")),
            ("K:C clef=", "", some(Value(Values::AbcClef), "", 0, "…")),
            ("Q:1/4", "", some(Value(Values::AbcTempo), "1/4", 0, "…")),
            ("c4 | ", "", some(Music, "", 0, "…")),
            ("", "c4 |", some(Music, "", 0, "…")),
            // Not among notes, in comments, in other fields, in a voice's id or its short name.
            ("c4 d", "", None),
            ("% c ", "", None),
            ("c4 | % \"^", "", None),
            ("T:Ferry \"", "", None),
            ("V:1", "", None),
            ("V:1 subname=\"H", "", None),
            ("V:1 stem=u", "", None),
        ] {
            assert_eq!(found(before, rest), wanted, "{before}");
        }
    }
}
