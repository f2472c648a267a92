//! Rules of whether the horn is heard among the others.

pub(crate) mod covered_solo;
pub(crate) mod lost_effect;
mod passage;

pub(crate) use passage::{bars, strongest};

use horn::Sourced;

use crate::setting::{Kind, Setting, Value, number};

/// How many times the horn's own weight covers it.
pub(crate) static COVERED_BY: Setting = Setting {
    name: "covered-by",
    what: "How many times the horn's own weight the parts around it must have together to cover it.",
    kind: Kind::Number("times"),
    default: covered_by,
};

fn covered_by(_: horn::Level) -> Sourced<Value> {
    number(horn::covered_by(), "times")
}
