//! A score looked at again: whether anything else may be said of it than before, and what.

use std::path::{Path, PathBuf};

use engine::SettingsError;
use files::digest::hex;
use sha2::{Digest as _, Sha256};

use crate::cli::check::tally::Tally;
use crate::cli::check::{Plan, Reported, held, report};

/// What a score came to when it was last looked at.
#[derive(Debug)]
pub(super) enum Last {
    /// It was reported.
    Reported {
        /// Of all that its findings rest on.
        digest: String,
        tally: Tally,
        /// How many findings the record of known ones holds.
        known: usize,
    },
    /// It cannot be read, for a reason that was told.
    Unread(String),
}

/// What came of looking at a score again.
pub(super) enum Look {
    /// All is as it was.
    Same,
    /// Another digest, and what is reported.
    Reported(String, Box<Reported>),
    Unread(String),
}

/// Looks at a score again. Also the settings files that were read for it.
pub(super) fn look(
    number: usize,
    path: &Path,
    last: Option<&Last>,
    plan: &Plan<'_>,
    records: usize,
) -> ((PathBuf, Look, Vec<PathBuf>), Vec<SettingsError>) {
    let unread = |why: String| match last {
        Some(Last::Unread(told)) if *told == why => Look::Same,
        _ => Look::Unread(why),
    };
    let (held, errors) = match held(path, plan) {
        Ok(held) => held,
        Err(why) => return ((path.to_owned(), unread(why), Vec::new()), Vec::new()),
    };
    let settings = held.settings_files.clone();
    let mut digest = Sha256::new();
    digest.update(format!("{records}\0"));
    held.digest(&mut digest);
    let now = hex(&digest.finalize());
    let look = match last {
        Some(Last::Reported { digest, .. }) if *digest == now => Look::Same,
        _ => match report(number, path, held, plan) {
            Ok(reported) => Look::Reported(now, Box::new(reported)),
            Err(why) => unread(why),
        },
    };
    ((path.to_owned(), look, settings), errors)
}
