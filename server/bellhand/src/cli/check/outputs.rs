//! Where reports go: each score's part of a report is written as soon as its turn comes.

use std::fs::File;
use std::io::{BufWriter, Seek as _, Write};

use super::formats::{Ending, Shape};
use super::tally::Tally;

/// A report on its way.
pub(crate) struct Output<'a> {
    shape: &'a dyn Shape,
    out: BufWriter<Box<dyn Write>>,
    /// What waits for a beginning that is made last; on disk, since it may be long.
    kept: Option<BufWriter<File>>,
    /// Whether anything has been reported of any score.
    any: bool,
}

impl<'a> Output<'a> {
    /// Begins a report.
    pub(crate) fn begun(shape: &'a dyn Shape, out: Box<dyn Write>) -> std::io::Result<Self> {
        let mut out = BufWriter::new(out);
        let kept = if shape.begins_with_the_sum() {
            Some(BufWriter::new(tempfile::tempfile()?))
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

    /// Writes what is reported of the next score.
    pub(crate) fn add(&mut self, chunk: &[u8]) -> std::io::Result<()> {
        if chunk.is_empty() {
            return Ok(());
        }
        let out: &mut dyn Write = match &mut self.kept {
            Some(kept) => kept,
            None => &mut self.out,
        };
        if self.any {
            out.write_all(self.shape.between())?;
        }
        self.any = true;
        out.write_all(chunk)
    }

    /// Ends the report.
    pub(crate) fn end(mut self, sum: &Tally) -> std::io::Result<()> {
        if let Some(kept) = self.kept {
            self.out.write_all(&self.shape.open(sum)?)?;
            let mut kept = kept
                .into_inner()
                .map_err(std::io::IntoInnerError::into_error)?;
            kept.rewind()?;
            std::io::copy(&mut kept, &mut self.out)?;
        }
        let ending = Ending {
            tally: sum,
            any: self.any,
        };
        self.out.write_all(&self.shape.close(&ending)?)?;
        self.out.flush()
    }
}
