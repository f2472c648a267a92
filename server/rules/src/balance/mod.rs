//! Rules of whether the horn is heard among the others.

pub(crate) mod covered_solo;
pub(crate) mod lost_effect;
mod passage;

pub(crate) use passage::{bars, strongest};

use crate::setting::{Kind, Setting, number};

/// How many times the horn's own weight covers it.
pub(crate) static COVERED_BY: Setting = Setting {
    name: "covered-by",
    what: "How many times the horn's own weight the parts around it must have together to cover it.",
    kind: Kind::Number("times"),
    default: |_| number(horn::covered_by(), "times"),
};

/// How many notes a line must have.
pub(crate) static NOTES: Setting = Setting {
    name: "notes",
    what: "How many notes a line must have to be judged among the others.",
    kind: Kind::Number("notes"),
    default: |_| number(horn::notes_of_a_line(), "notes"),
};
