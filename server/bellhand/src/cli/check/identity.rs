//! What makes a finding the same finding, wherever in its file the music has moved to.

use std::collections::HashMap;

use super::verdict::Remark;
use crate::cli::digest::short_digest;

/// A finding known by rule, part and the bar's own music.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Identity {
    /// A digest of all three.
    pub(crate) of: String,
    /// Which of several that are the same, from 1, in the order of the text.
    pub(crate) occurrence: usize,
}

/// The identities of a file's findings.
pub(crate) fn identities(remarks: &[Remark]) -> Vec<Identity> {
    let mut met: HashMap<String, usize> = HashMap::new();
    let each = remarks.iter().map(|remark| {
        let who = remark.who().unwrap_or_default();
        let of = short_digest(format!("{}\0{who}\0{}", remark.rule, remark.music).as_bytes());
        let count = met.entry(of.clone()).or_default();
        *count += 1;
        Identity {
            of,
            occurrence: *count,
        }
    });
    each.collect()
}
