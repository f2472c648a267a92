//! One score of a student: what was read of it, and what is said about it.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use engine::{Judged, SettingsError};
use files::{Held, Sources, Verdict, Wanted, identities};

use super::lessons::{Answer, Lessons};
use super::since::Fault;

/// What tells a file from what it was at the last look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stamp {
    /// When it was saved, where the system knows.
    pub(crate) saved: Option<SystemTime>,
    length: u64,
}

impl Stamp {
    /// A file's stamp now; `None` when there is no such file.
    pub(crate) fn of(path: &Path) -> Option<Self> {
        let data = std::fs::metadata(path).ok()?;
        Some(Self {
            saved: data.modified().ok(),
            length: data.len(),
        })
    }
}

/// A score as it lay in its folder at one moment.
#[derive(Debug)]
pub(crate) struct Score {
    /// Where it lies.
    pub(crate) path: PathBuf,
    /// What it is called: its path from the class's folder, without the student's own folder.
    pub(crate) file: String,
    pub(crate) stamp: Stamp,
    /// What was read, or why it could not be.
    pub(crate) read: Result<Read, String>,
}

/// What was read of a score.
#[derive(Debug)]
pub(crate) struct Read {
    pub(crate) judged: Judged,
    pub(crate) verdict: Verdict,
    /// What is said of it, in the order of the verdict's remarks.
    pub(crate) faults: Vec<Fault>,
    /// What it came to as an answer to a lesson.
    answer: Option<Answer>,
}

impl Score {
    /// Reads, judges and marks a score, whose path from the class's folder is `within`.
    ///
    /// What is not understood of its settings is told beside it; the rest of them holds.
    pub(crate) fn read(
        path: &Path,
        within: &Path,
        stamp: Stamp,
        lessons: &Lessons,
    ) -> (Self, Vec<SettingsError>) {
        let (read, errors) = match Held::of(path, &Sources::default()) {
            Ok((held, errors)) => {
                let read = held.into_answer().judged().map(|input| Read {
                    answer: lessons.mark(path, &input.judged),
                    ..Read::of(input.judged)
                });
                (read, errors)
            }
            Err(why) => (Err(why), Vec::new()),
        };
        let mut steps = within.components();
        let first = steps.next();
        let rest = steps.as_path();
        let file = if rest.as_os_str().is_empty() {
            first.map_or_else(PathBuf::new, |first| PathBuf::from(first.as_os_str()))
        } else {
            rest.to_owned()
        };
        let score = Self {
            path: path.to_owned(),
            file: file.display().to_string(),
            stamp,
            // The class's folder is nobody's business who looks at the wall.
            read: read.map_err(|why| {
                why.replace(&path.display().to_string(), &file.display().to_string())
            }),
        };
        (score, errors)
    }

    /// What is said of it; nothing where it could not be read.
    pub(crate) fn faults(&self) -> &[Fault] {
        self.read.as_ref().map_or(&[], |read| &read.faults)
    }

    /// What it came to as an answer to a lesson; `None` where it is none.
    pub(crate) fn answer(&self) -> Option<&Answer> {
        self.read.as_ref().ok()?.answer.as_ref()
    }

    /// How many horn parts it holds.
    pub(crate) fn horns(&self) -> usize {
        self.read
            .as_ref()
            .map_or(0, |read| read.verdict.horns.len())
    }
}

impl Read {
    /// A judged score with what is said about it.
    pub(crate) fn of(judged: Judged) -> Self {
        let verdict = Verdict::of(&judged, Wanted::default());
        let each = verdict.remarks.iter().zip(identities(&verdict.remarks));
        let faults = each.map(|(remark, identity)| Fault::of(remark, identity));
        Self {
            faults: faults.collect(),
            answer: None,
            judged,
            verdict,
        }
    }
}
