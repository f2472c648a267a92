//! Names and patterns in settings that mean nothing below the folders that are looked through.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use engine::{Named, Origin, Whom};
use files::complain;

use super::meant::did_you_mean;

/// What the settings files below some folders speak of, and whether anything there is meant by it.
#[derive(Debug)]
pub(crate) struct Unmatched {
    /// As they were given.
    folders: Vec<PathBuf>,
    /// By where it stands, whether it is a pattern of files, and its words; whether any score is meant, or has the part.
    said: BTreeMap<(Origin, bool, String), bool>,
    /// What parts are called.
    names: BTreeSet<String>,
}

impl Unmatched {
    /// Nothing yet, of the sources that are folders; none where none is.
    pub(crate) fn of(sources: &[PathBuf]) -> Option<Self> {
        let folders = sources.iter().filter(|path| path.is_dir());
        let folders: Vec<PathBuf> = folders.cloned().collect();
        (!folders.is_empty()).then(|| Self {
            folders,
            said: BTreeMap::new(),
            names: BTreeSet::new(),
        })
    }

    /// Takes in what a score's settings name, whether the score is or has it, and what its parts are called.
    pub(crate) fn add(
        &mut self,
        named: &[Named],
        met: &[bool],
        names: impl IntoIterator<Item = String>,
    ) {
        for (named, met) in named.iter().zip(met) {
            let files = matches!(named.whom, Whom::Files(_));
            let known = (named.origin.clone(), files, named.words.clone());
            let known = self.said.entry(known);
            *known.or_default() |= met;
        }
        self.names.extend(names);
    }

    /// Says what nothing is meant by. What stands further up, or elsewhere, may speak of scores that were not looked at.
    pub(crate) fn report(&self) {
        let straight =
            |path: &Path| std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let unknown = self.said.iter().filter(|(_, met)| !**met);
        for (origin, files, words) in unknown.map(|(said, _)| said) {
            let file = straight(&origin.file);
            let above = |folder: &&PathBuf| file.starts_with(straight(folder));
            let Some(folder) = self.folders.iter().find(above) else {
                continue;
            };
            let place = format!("{}:{}", origin.file.display(), origin.line);
            let folder = folder.display();
            if *files {
                complain(&format!(
                    "{place}: no score below {folder} matches \"{words}\", so nothing is set by it"
                ));
                continue;
            }
            let instead = did_you_mean(words, self.names.iter().map(String::as_str));
            complain(&format!(
                "{place}: no part of the scores below {folder} is called \"{words}\", so nothing is set by it{instead}"
            ));
        }
    }
}
