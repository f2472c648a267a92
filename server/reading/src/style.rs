//! What a house says of a part that its reading rests on.

use theory::PagePitch;

use crate::effort::Endurance;

/// What a house says of a part that its reading rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// What its players can spend before they must breathe or rest.
    pub endurance: Endurance,
    /// What the notes of a page stand for where neither the file nor a comment says; nothing is as written.
    pub pitch: Option<PagePitch>,
}
