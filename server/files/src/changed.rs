//! The files that git says have changed.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::sources::Narrowed;

/// The files of the present folder's repository that have changed, by their whole paths.
#[derive(Debug)]
pub struct Changed(HashSet<PathBuf>);

impl Changed {
    /// Asks git, where that is wanted. Fails with what to tell the user.
    pub fn asked(narrowed: &Narrowed) -> Result<Option<Self>, String> {
        if narrowed.staged {
            let files = git(&diff(&["--cached"]))?;
            return Self::of(&[files]).map(Some);
        }
        let Some(revision) = &narrowed.changed_since else {
            return Ok(None);
        };
        top()?;
        let commit = format!("{revision}^{{commit}}");
        let found = git(&[
            "rev-parse",
            "--verify",
            "--quiet",
            "--end-of-options",
            &commit,
        ])
        .map_err(|_| format!("git knows no revision `{revision}` here"))?;
        let commit = String::from_utf8_lossy(&found).trim().to_owned();
        let differ = git(&diff(&[&commit]))?;
        let new = git(&[
            "ls-files",
            "--others",
            "--exclude-standard",
            "--full-name",
            "-z",
            ":/",
        ])?;
        Self::of(&[differ, new]).map(Some)
    }

    /// Files by their names from the top of the repository, a NUL behind each.
    fn of(lists: &[Vec<u8>]) -> Result<Self, String> {
        let top = top()?;
        let names = lists.iter().flat_map(|list| list.split(|byte| *byte == 0));
        let names = names.filter(|name| !name.is_empty());
        // What cannot be found is gone.
        let files = names.filter_map(|name| top.join(path(name)).canonicalize().ok());
        Ok(Self(files.collect()))
    }

    /// Whether a file is one of them.
    pub fn holds(&self, path: &Path) -> bool {
        path.canonicalize().is_ok_and(|path| self.0.contains(&path))
    }
}

/// What git is asked for differences, deleted files left out.
fn diff<'a>(of: &[&'a str]) -> Vec<&'a str> {
    let mut words = vec![
        "diff",
        "--name-only",
        "-z",
        "--no-ext-diff",
        "--no-relative",
        "--diff-filter=d",
    ];
    words.extend(of);
    words.push("--");
    words
}

/// The top folder of the repository.
fn top() -> Result<PathBuf, String> {
    let mut top = git(&["rev-parse", "--show-toplevel"])?;
    while top.last().is_some_and(|byte| b"\r\n".contains(byte)) {
        top.pop();
    }
    Ok(path(&top).into())
}

#[cfg(unix)]
fn path(name: &[u8]) -> &Path {
    Path::new(<std::ffi::OsStr as std::os::unix::ffi::OsStrExt>::from_bytes(name))
}

#[cfg(not(unix))]
fn path(name: &[u8]) -> PathBuf {
    PathBuf::from(String::from_utf8_lossy(name).into_owned())
}

/// What git answers. Fails with what to tell the user.
fn git(words: &[&str]) -> Result<Vec<u8>, String> {
    let answer = Command::new("git").args(words).output().map_err(|error| {
        format!("git, which tells what has changed, cannot be started: {error}")
    })?;
    if answer.status.success() {
        return Ok(answer.stdout);
    }
    let why = String::from_utf8_lossy(&answer.stderr);
    Err(format!(
        "git does not tell what has changed: {}",
        why.trim()
    ))
}
