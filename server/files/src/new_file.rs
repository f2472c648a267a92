//! A file that is made whole beside its place and put there in one step, or not at all.

use std::io::{Result, Write};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;

/// A file on its way to its place; nobody sees it there before it is committed, and what is dropped leaves nothing.
#[derive(Debug)]
pub struct NewFile {
    file: AtomicWriteFile,
    path: PathBuf,
}

impl NewFile {
    /// Begins a file for a place, where another may lie whose permissions and owner it takes. Fails where the system refuses.
    pub fn begin(path: &Path) -> Result<Self> {
        Ok(Self {
            file: options().open(path)?,
            path: path.to_owned(),
        })
    }

    /// The place that it is for.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Puts it in its place. Where that fails, the one before is whole, and nothing lies beside it.
    pub fn commit(self) -> Result<()> {
        let left = Left::of(&self);
        self.file.commit().inspect_err(|_| left.remove())
    }
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> Result<()> {
        self.file.flush()
    }
}

#[cfg(unix)]
fn options() -> atomic_write_file::OpenOptions {
    use atomic_write_file::unix::OpenOptionsExt as _;
    let mut options = AtomicWriteFile::options();
    options.preserve_mode(true).try_preserve_owner(true);
    options
}

#[cfg(not(unix))]
fn options() -> atomic_write_file::OpenOptions {
    AtomicWriteFile::options()
}

/// What a commit that fails leaves under a name nobody is told: a file is given one before it takes its place, and the
/// library that does so does not take it back.
#[cfg(unix)]
struct Left {
    path: PathBuf,
    /// The disk, and the file's number on it.
    file: Option<(u64, u64)>,
}

#[cfg(unix)]
impl Left {
    fn of(new: &NewFile) -> Self {
        let metadata = new.file.as_file().metadata();
        Self {
            path: new.path.clone(),
            file: metadata.ok().map(|metadata| number(&metadata)),
        }
    }

    /// Removes hidden files that are this very file. What cannot be removed stays: why it was not written is told already.
    fn remove(&self) {
        let (Some(name), Some(file)) = (self.path.file_name(), self.file) else {
            return;
        };
        let folder = match self.path.parent() {
            Some(folder) if folder != Path::new("") => folder,
            _ => Path::new("."),
        };
        let hidden = [b".", name.as_encoded_bytes(), b"."].concat();
        for entry in folder.read_dir().into_iter().flatten().flatten() {
            let is_hidden = entry.file_name().as_encoded_bytes().starts_with(&hidden);
            if is_hidden && entry.metadata().is_ok_and(|found| number(&found) == file) {
                let _ = std::fs::remove_file(entry.path());
            }
        }
    }
}

#[cfg(unix)]
fn number(metadata: &std::fs::Metadata) -> (u64, u64) {
    use std::os::unix::fs::MetadataExt as _;
    (metadata.dev(), metadata.ino())
}

/// Elsewhere a file has its hidden name from the start, and its number cannot be asked for.
#[cfg(not(unix))]
struct Left;

#[cfg(not(unix))]
impl Left {
    const fn of(_: &NewFile) -> Self {
        Self
    }

    const fn remove(&self) {}
}
