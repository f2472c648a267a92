//! Which horn parts of a score a command is about.

use engine::{HornOf, Judged};
use score::{Part, PartSelector};

use super::meant::did_you_mean;

/// How the second of two parts of one name is called: `Horn in F, second`.
const ORDINALS: [&str; 10] = [
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
];

/// The horn parts that go by a name, number or id, in every piece that has such a part; or all of them.
///
/// The error says what there is to choose from, also when two parts of one piece go by that name.
pub(crate) fn parts<'a>(
    judged: &'a Judged,
    named: Option<&str>,
) -> Result<Vec<HornOf<'a>>, String> {
    let mut all = Vec::new();
    let mut chosen = Vec::new();
    let mut others: Option<&Part> = None;
    for (piece, (base, reading)) in judged.pieces().enumerate() {
        let horns: Vec<HornOf<'_>> = reading
            .horns
            .iter()
            .map(|horn| HornOf {
                piece,
                base,
                reading,
                horn,
            })
            .collect();
        let Some(named) = named else {
            all.extend(horns);
            continue;
        };
        let meant = meant(&reading.piece.parts, named);
        let found: Vec<HornOf<'_>> = horns
            .iter()
            .filter(|part| meant.contains(&part.horn.seat.part))
            .copied()
            .collect();
        if found.len() > 1 {
            return Err(format!(
                "\"{named}\" is the name of {} parts; say one of {}",
                found.len(),
                names(&found)
            ));
        }
        if let (true, Some(&other)) = (found.is_empty(), meant.first()) {
            others = reading.piece.parts.get(other);
        }
        chosen.extend(found);
        all.extend(horns);
    }
    if all.is_empty() {
        return Err("there is no horn part here".to_owned());
    }
    if named.is_none() {
        return Ok(all);
    }
    if chosen.is_empty() {
        let (why, instead) = match others {
            Some(part) => (
                format!("{} is not a horn part", called(part)),
                String::new(),
            ),
            None => {
                let known = all.iter().map(|part| part.horn.label.as_str());
                let instead = did_you_mean(named.unwrap_or_default(), known);
                ("no such horn part".to_owned(), instead)
            }
        };
        return Err(format!("{why}; there are {}{instead}", names(&all)));
    }
    Ok(chosen)
}

/// The one horn part that goes by a name, number or id, or the only one. The error says what there is to choose from.
pub(crate) fn part<'a>(judged: &'a Judged, named: Option<&str>) -> Result<HornOf<'a>, String> {
    let chosen = parts(judged, named)?;
    match chosen[..] {
        [one] => Ok(one),
        _ => Err(format!(
            "which part? Say --part and one of {}",
            names(&chosen)
        )),
    }
}

/// The places of the parts that are meant: by id, name or number, or as one of several of a name (`Horn in F, second`).
fn meant(parts: &[Part], named: &str) -> Vec<usize> {
    let selected = PartSelector::Named(named.to_owned()).select(parts);
    if !selected.is_empty() {
        return selected;
    }
    let one_of = || {
        let (name, which) = named.rsplit_once(',')?;
        let which = which.trim();
        let place = ORDINALS
            .iter()
            .position(|ordinal| ordinal.eq_ignore_ascii_case(which))?;
        let selected = PartSelector::Named(name.to_owned()).select(parts);
        selected.get(place).copied()
    };
    one_of().into_iter().collect()
}

fn called(part: &Part) -> String {
    match &part.name {
        Some(name) if !name.text.trim().is_empty() => format!("\"{}\"", name.text.trim()),
        _ => format!("part {}", part.id),
    }
}

/// Parts by their names and numbers; those of one name are told apart.
fn names(chosen: &[HornOf<'_>]) -> String {
    let mut names: Vec<String> = Vec::new();
    for part in chosen {
        let (label, seat) = (&part.horn.label, part.horn.seat.part);
        let parts = &part.reading.piece.parts;
        let alike = PartSelector::Named(label.clone()).select(parts);
        let place = alike.iter().position(|&other| other == seat);
        let which = place
            .filter(|_| alike.len() > 1)
            .and_then(|place| ORDINALS.get(place))
            .map(|ordinal| format!(", {ordinal}"))
            .unwrap_or_default();
        let name = format!("\"{label}{which}\" (part {})", seat + 1);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names.join(", ")
}
