//! Where reports go: each score's part of a report is written as soon as its turn comes.

use std::fs::File;
use std::io::{BufWriter, Seek as _, Write};
use std::path::{Path, PathBuf};

use files::NewFile;
use files::write::put;

use super::formats::html::page_name;
use super::formats::{Ending, Shape};
use super::tally::Tally;

/// A report on its way.
pub(crate) struct Output<'a> {
    shape: &'a dyn Shape,
    out: BufWriter<Sink>,
    /// What waits for a beginning that is made last; on disk, since it may be long.
    kept: Option<BufWriter<File>>,
    /// Whether anything has been reported of any score.
    any: bool,
}

impl<'a> Output<'a> {
    /// Begins a report.
    pub(crate) fn begun(shape: &'a dyn Shape, out: Sink) -> std::io::Result<Self> {
        let mut out = BufWriter::new(out);
        let kept = if shape.begins_with_the_sum() {
            let kept = tempfile::tempfile();
            Some(BufWriter::new(kept.map_err(|error| in_temporary(&error))?))
        } else {
            out.write_all(&shape.open(&Tally::default())?)?;
            None
        };
        Ok(Self {
            shape,
            out,
            kept,
            any: false,
        })
    }

    /// Writes what is reported of the next score, which is shown by a path.
    pub(crate) fn add(&mut self, shown: &str, chunk: &[u8]) -> std::io::Result<()> {
        if chunk.is_empty() {
            return Ok(());
        }
        if let Sink::Pages { folder, .. } = self.out.get_ref() {
            let page = folder.join(page_name(shown));
            return put(&page, chunk).map_err(|error| named(&page, &error));
        }
        let between: &[u8] = if self.any { self.shape.between() } else { b"" };
        self.any = true;
        match &mut self.kept {
            Some(kept) => {
                let written = kept.write_all(between).and_then(|()| kept.write_all(chunk));
                written.map_err(|error| in_temporary(&error))
            }
            None => {
                self.out.write_all(between)?;
                self.out.write_all(chunk)
            }
        }
    }

    /// Ends the report.
    pub(crate) fn end(mut self, ending: &Ending<'_>) -> std::io::Result<()> {
        if let Some(kept) = self.kept {
            self.out.write_all(&self.shape.open(ending.tally)?)?;
            let kept = kept.into_inner();
            let mut kept = kept.map_err(|error| in_temporary(&error.into_error()))?;
            kept.rewind()?;
            std::io::copy(&mut kept, &mut self.out)?;
        }
        let ending = Ending {
            any: self.any,
            ..*ending
        };
        self.out.write_all(&self.shape.close(&ending)?)?;
        let sink = self.out.into_inner();
        sink.map_err(std::io::IntoInnerError::into_error)?.end()
    }
}

/// Where a report goes.
pub(crate) enum Sink {
    /// Standard output.
    Standard(Box<dyn Write>),
    /// A file, which is there when it is whole.
    File(NewFile),
    /// A folder of pages, one for each score, and the contents of all.
    Pages { folder: PathBuf, index: NewFile },
}

impl Sink {
    fn end(self) -> std::io::Result<()> {
        match self {
            Self::Standard(mut out) => out.flush(),
            Self::File(file) | Self::Pages { index: file, .. } => {
                let path = file.path().to_owned();
                file.commit().map_err(|error| named(&path, &error))
            }
        }
    }
}

impl Write for Sink {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        match self {
            Self::Standard(out) => out.write(bytes),
            Self::File(file) | Self::Pages { index: file, .. } => {
                let written = file.write(bytes);
                written.map_err(|error| named(file.path(), &error))
            }
        }
    }

    fn flush(&mut self) -> std::io::Result<()> {
        match self {
            Self::Standard(out) => out.flush(),
            Self::File(file) | Self::Pages { index: file, .. } => file.flush(),
        }
    }
}

/// A fault that says which file it is about.
fn named(path: &Path, error: &std::io::Error) -> std::io::Error {
    std::io::Error::new(error.kind(), format!("{}: {error}", path.display()))
}

/// A fault of a file that has no name, in the folder of such.
fn in_temporary(error: &std::io::Error) -> std::io::Error {
    named(&std::env::temp_dir(), error)
}
