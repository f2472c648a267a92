//! What a command makes of a file: put in its place, or shown as a difference; and what it tells of it.

use std::fmt;
use std::fs::{File, Metadata};
use std::hash::{BuildHasher as _, BuildHasherDefault, DefaultHasher};
use std::io::{Read as _, Write};
use std::path::Path;

use notation::Document;
use similar::TextDiff;

use super::input::Input;
use super::new_file::NewFile;

/// What a file held when it was read, so that a later look tells whether it still does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fingerprint {
    length: usize,
    hash: u64,
}

impl Fingerprint {
    /// The fingerprint of a file's bytes.
    pub fn of(bytes: &[u8]) -> Self {
        let hasher = BuildHasherDefault::<DefaultHasher>::default();
        Self {
            length: bytes.len(),
            hash: hasher.hash_one(bytes),
        }
    }
}

/// Why a file was left as it is.
#[derive(Debug)]
pub enum Unwritten {
    /// Somebody else wrote it after it was read.
    Changed,
    /// It may not be written.
    ReadOnly,
    /// It is one of several names of a file, which a replacement would part.
    SeveralNames,
    /// The system refused.
    Failed(std::io::Error),
}

impl fmt::Display for Unwritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed => f.write_str(
                "was changed by someone else after it was read, and is left as it is now; run the command again",
            ),
            Self::ReadOnly => f.write_str("is read-only, and is left as it is"),
            Self::SeveralNames => f.write_str(
                "is one file under several names (hard links), which a new file would part; it is left as it is. Give it on \
                 standard input instead",
            ),
            Self::Failed(error) => {
                write!(f, "cannot be written, and is left as it is: {error}")
            }
        }
    }
}

impl From<std::io::Error> for Unwritten {
    fn from(error: std::io::Error) -> Self {
        Self::Failed(error)
    }
}

/// Output that holds up no work on files: a failure to write it is kept for the end, and nothing is written after it.
#[derive(Debug)]
pub struct Deferred<W> {
    out: W,
    failed: Option<std::io::Error>,
}

impl<W: Write> Deferred<W> {
    /// Output of which nothing has failed yet.
    pub const fn new(out: W) -> Self {
        Self { out, failed: None }
    }

    /// Whether anything can still be told.
    pub const fn is_heard(&self) -> bool {
        self.failed.is_none()
    }

    /// Writes words and a line end.
    pub fn line(&mut self, words: impl fmt::Display) {
        self.bytes(format!("{words}\n").as_bytes());
    }

    /// Writes bytes as they are.
    pub fn bytes(&mut self, bytes: &[u8]) {
        if self.is_heard() {
            self.failed = self.out.write_all(bytes).err();
        }
    }

    /// What became of it; that the reader of a pipe has left is no fault.
    pub fn end(mut self) -> std::io::Result<()> {
        let outcome = self.failed.map_or_else(|| self.out.flush(), Err);
        match outcome {
            Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
            outcome => outcome,
        }
    }
}

/// Shows what would change.
pub fn difference<W: Write>(out: &mut Deferred<W>, input: &Input, after: &Document) {
    let path = input.shown();
    let (before, after) = (input.judged.document().text(), after.text());
    if before != after {
        let text = TextDiff::from_lines(&before, &after);
        let shown = text.unified_diff().header(&path, &path).to_string();
        out.bytes(shown.as_bytes());
    }
}

/// Puts new bytes in the place of those that were read, in one step: whoever looks finds the old file or the new one,
/// whole. Permissions, owner and links stay.
///
/// Fails, and leaves the file as it is, where it no longer holds what was read or may not be replaced.
pub fn replace(path: &Path, read: Fingerprint, bytes: &[u8]) -> Result<(), Unwritten> {
    // A link stays a link: what it leads to is replaced.
    let path = path.canonicalize()?;
    let held = File::open(&path)?;
    // Two of us at once take turns; where a file system has no locks, the comparison still stands.
    let _ = held.lock();
    let metadata = held.metadata()?;
    if metadata.permissions().readonly() {
        return Err(Unwritten::ReadOnly);
    }
    if names(&metadata) > 1 {
        return Err(Unwritten::SeveralNames);
    }
    // By its name, not by the lock's handle: another may have put a new file there while this one waited.
    let mut now = Vec::new();
    let most = read.length as u64 + 1;
    File::open(&path)?.take(most).read_to_end(&mut now)?;
    if Fingerprint::of(&now) != read {
        return Err(Unwritten::Changed);
    }
    put(&path, bytes)?;
    Ok(())
}

/// Writes a file of the program's own making, new or in the place of another, in one step.
pub fn put(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    let mut file = NewFile::begin(path)?;
    file.write_all(bytes)?;
    file.commit()
}

/// Under how many names a file lies on its disk.
#[cfg(unix)]
fn names(metadata: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(metadata)
}

#[cfg(not(unix))]
const fn names(_: &Metadata) -> u64 {
    1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_changed_meanwhile_is_never_overwritten() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("part.abc");
        std::fs::write(&path, "as read").unwrap();
        let read = Fingerprint::of(b"as read");
        std::fs::write(&path, "as saved since").unwrap();
        let outcome = replace(&path, read, b"fixed");
        assert!(matches!(outcome, Err(Unwritten::Changed)), "{outcome:?}");
        assert_eq!(std::fs::read(&path).unwrap(), b"as saved since");
        let now = Fingerprint::of(b"as saved since");
        replace(&path, now, b"fixed").unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"fixed");
        std::fs::remove_file(&path).unwrap();
        assert!(matches!(
            replace(&path, now, b"x"),
            Err(Unwritten::Failed(_))
        ));
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
