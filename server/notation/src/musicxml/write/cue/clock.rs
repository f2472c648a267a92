//! How a measure counts: what moves the place in it, and by how many units a quarter note.

use score::{Bar, EventKind};
use theory::Quarters;

use crate::edit::CannotWrite;
use crate::musicxml::write::cannot;
use crate::musicxml::write::page::Page;

/// What moves the place in a measure.
pub(super) const TIMED: [&str; 3] = ["note", "backup", "forward"];

/// How a measure counts: where its last line has come to, and how many units make a quarter note.
pub(super) struct Clock {
    pub(super) at: i64,
    units: Quarters,
}

impl Clock {
    pub(super) fn of(page: &Page<'_>, bar: &Bar) -> Option<Self> {
        let timed = bar.events(0).find_map(|placed| match &placed.event.kind {
            EventKind::Note(note) if !note.length.is_zero() => Some((placed.span(), note.length)),
            EventKind::Rest(rest) if !rest.length.is_zero() => Some((placed.span(), rest.length)),
            _ => None,
        })?;
        let (span, length) = timed;
        let units: i64 = page.at(span)?.child_number("duration")?;
        let (over, under) = length.parts();
        let mut at = 0_i64;
        for child in page.tree.top()?.children() {
            let moves = TIMED.contains(&child.name())
                && child.child("chord").is_none()
                && child.child("grace").is_none();
            if moves {
                let units: i64 = child.child_number("duration")?;
                let by = if child.name() == "backup" {
                    -units
                } else {
                    units
                };
                at = at.checked_add(by)?;
            }
        }
        let units = Quarters::new(units.checked_mul(under)?, over.max(1));
        Some(Self { at, units })
    }

    /// A length in units, where it is a whole number of them.
    pub(super) fn count(&self, length: Quarters) -> Result<i64, CannotWrite> {
        let ((a, b), (c, d)) = (length.parts(), self.units.parts());
        match (a.checked_mul(c), b.checked_mul(d)) {
            (Some(over), Some(under)) if under != 0 && over % under == 0 => Ok(over / under),
            _ => cannot("the divisions of this part cannot count the other part's notes"),
        }
    }
}
