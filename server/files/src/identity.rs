//! What makes a finding the same finding, wherever in its file the music has moved to.

use std::collections::HashMap;

use super::music::of_words;
use super::verdict::Remark;
use crate::digest::short_digest;

/// A finding known by rule and the bar's own music, and mostly by its part.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Identity {
    /// A digest of these.
    pub of: String,
    /// Which of several that are the same, from 1, in the order of the text.
    pub occurrence: usize,
}

/// The digest of a finding, were it about this part or player.
pub fn fingerprint(remark: &Remark, who: &str) -> String {
    let music = match &remark.part {
        // Where it speaks of the part's printed name, that would be another.
        Some(part) if remark.music == of_words(part) => {
            let player = remark.player.map(|player| format!(", player {player}"));
            of_words(who.strip_suffix(&player.unwrap_or_default()).unwrap_or(who))
        }
        _ => remark.music.clone(),
    };
    short_digest(format!("{}\0{who}\0{music}", remark.rule).as_bytes())
}

/// The identities of a file's findings.
pub fn identities(remarks: &[Remark]) -> Vec<Identity> {
    counted(remarks, |remark| remark.who().unwrap_or_default())
}

/// The same whatever parts are called, for those who have no memory of the names that a fix has changed.
pub fn nameless_identities(remarks: &[Remark]) -> Vec<Identity> {
    counted(remarks, |remark| {
        let part = remark.part.as_ref();
        part.map(|_| remark.as_part("")).unwrap_or_default()
    })
}

fn counted(remarks: &[Remark], who: impl Fn(&Remark) -> String) -> Vec<Identity> {
    let mut met: HashMap<String, usize> = HashMap::new();
    let each = remarks.iter().map(|remark| {
        let of = fingerprint(remark, &who(remark));
        let count = met.entry(of.clone()).or_default();
        *count += 1;
        Identity {
            of,
            occurrence: *count,
        }
    });
    each.collect()
}
