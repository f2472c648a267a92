//! Where words, names and values stand in Humdrum.

use super::spot::{Spot, Wanted};
use super::values::Values;

/// What can stand at the end of a line's beginning.
pub(super) fn spot(before: &str) -> Option<Spot<'_>> {
    let cell = before.rsplit('\t').next()?;
    if before.starts_with("!!") {
        return None;
    }
    if let Some(parameters) = cell.strip_prefix("!LO:TX:") {
        let last = parameters.rsplit(':').next()?;
        let typed = last.strip_prefix("t=")?;
        return Some(Spot::new(Wanted::Words, typed));
    }
    if let Some(typed) = cell.strip_prefix("*I\"") {
        return Some(Spot::new(Wanted::PartName, typed));
    }
    let values = match cell.chars().next()? {
        '*' if cell.starts_with("**") => Values::KernSpine,
        '*' => Values::KernInterpretation,
        '!' => Values::KernComment,
        _ => return None,
    };
    Some(Spot::new(Wanted::Value(values), cell))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_the_cell_tells_what_is_wanted() {
        for (before, wanted) in [
            ("4c\t!LO:TX:a:t=con", Some((Wanted::Words, "con"))),
            (".\t*I\"Ho", Some((Wanted::PartName, "Ho"))),
            (
                "*clefF4\t*cl",
                Some((Wanted::Value(Values::KernInterpretation), "*cl")),
            ),
            ("**k", Some((Wanted::Value(Values::KernSpine), "**k"))),
            ("!\t!L", Some((Wanted::Value(Values::KernComment), "!L"))),
            ("!LO:TX:a", None),
            ("!! bell", None),
            ("4c\t4", None),
            ("4c\t", None),
        ] {
            let found = spot(before).map(|spot| (spot.wanted, spot.typed));
            assert_eq!(found, wanted, "{before}");
        }
    }
}
