//! The lessons of a class, and which of them a student's score answers.

use std::collections::BTreeMap;
use std::path::Path;

use engine::{Judged, Lesson, Marks};
use files::input::found;
use files::{Held, Narrowed, Sources};
use serde::Serialize;

use super::score::Score;

/// The most lessons that a class has at once. Bellhand's own choice.
pub(crate) const MOST_LESSONS: usize = 200;

/// The lessons of a class, in the order of their files' names.
#[derive(Debug, Clone, Default)]
pub(crate) struct Lessons {
    all: Vec<LessonFile>,
}

/// A lesson and its file.
#[derive(Debug, Clone)]
pub(crate) struct LessonFile {
    /// The file's name without its folder.
    pub(crate) file: String,
    pub(crate) lesson: Lesson,
}

/// What an answer to a lesson came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Answer {
    /// The lesson's place.
    pub(crate) lesson: usize,
    /// What tells that it is answered.
    pub(crate) by: By,
    pub(crate) marks: Marks,
}

/// What tells which lesson a score answers, the surest last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum By {
    /// The titles of their first pieces are the same.
    Title,
    /// The files are called the same, but for the notation.
    Stem,
    /// The files are called the same.
    File,
}

impl Lessons {
    /// Reads a lesson's file, or all that lie in a folder; those in folders within it, such as model answers, do not
    /// belong to the class.
    ///
    /// With them comes what to tell the teacher: files that cannot be read or are no lessons, and settings that are not
    /// understood. Fails where there is no lesson at all.
    pub(crate) fn read(path: &Path) -> Result<(Self, Vec<String>), String> {
        let sources = Sources {
            paths: vec![path.to_owned()],
            ..Sources::default()
        };
        let (mut files, mut complaints) = found(&sources, &Narrowed::default());
        files.retain(|file| file == path || file.parent() == Some(path));
        let complained = complaints.len();
        let mut all = Vec::new();
        for path in &files {
            match Self::one(path) {
                Ok((lesson, errors)) => {
                    all.push(lesson);
                    complaints.extend(errors);
                }
                Err(why) => complaints.push(why),
            }
        }
        if all.is_empty() {
            // What `found` has to say has been said.
            let mut why = complaints.split_off(complained.min(complaints.len()));
            why.push(format!(
                "{}: there is no lesson here; a lesson is a score with comments such as `bellhand: expect stopped/too-low in bar 7`",
                path.display()
            ));
            return Err(why.join("\n"));
        }
        if all.len() > MOST_LESSONS {
            return Err(format!(
                "{} holds {} lessons, and a class has at most {MOST_LESSONS} at once",
                path.display(),
                all.len()
            ));
        }
        complaints.drain(..complained);
        Ok((Self { all }, complaints))
    }

    fn one(path: &Path) -> Result<(LessonFile, Vec<String>), String> {
        let (held, errors) = Held::of(path, &Sources::default())?;
        let judged = held.judged()?.judged;
        let lesson = Lesson::of(&judged).ok_or_else(|| {
            format!(
                "{}: no lesson; a comment such as `bellhand: expect stopped/too-low in bar 7` or `bellhand: task …` makes one",
                path.display()
            )
        })?;
        let file = path.file_name().unwrap_or(path.as_os_str());
        let file = LessonFile {
            file: file.to_string_lossy().into_owned(),
            lesson,
        };
        let errors = errors.iter().map(ToString::to_string).collect();
        Ok((file, errors))
    }

    /// What a score's answer came to; `None` where it answers no lesson.
    pub(crate) fn mark(&self, path: &Path, judged: &Judged) -> Option<Answer> {
        let (lesson, by) = self.answered_by(path, judged)?;
        let marks = self.all.get(lesson)?.lesson.mark(judged);
        Some(Answer { lesson, by, marks })
    }

    /// All of them.
    pub(crate) fn all(&self) -> &[LessonFile] {
        &self.all
    }

    /// The place of the lesson that a score answers, and what tells so: its file's name, else its title.
    pub(crate) fn answered_by(&self, path: &Path, judged: &Judged) -> Option<(usize, By)> {
        let file = path.file_name()?.to_string_lossy().to_lowercase();
        let title = title(judged).map(str::to_lowercase);
        let by = |lesson: &LessonFile| {
            let name = lesson.file.to_lowercase();
            let own = lesson.lesson.title().map(str::to_lowercase);
            if name == file {
                Some(By::File)
            } else if stem(&name) == stem(&file) {
                Some(By::Stem)
            } else if own.is_some() && own == title {
                Some(By::Title)
            } else {
                None
            }
        };
        let lessons = self.all.iter().enumerate();
        let answered = lessons.filter_map(|(place, lesson)| Some((place, by(lesson)?)));
        // Of several by the same title the first.
        answered.reduce(|best, other| if other.1 > best.1 { other } else { best })
    }
}

/// The scores of a student that count as answers, by the places of their lessons: of several to one lesson the one that is
/// surest its answer, and of those the latest.
pub(crate) fn counting<'a>(
    scores: impl Iterator<Item = &'a Score>,
) -> BTreeMap<usize, (&'a Score, &'a Answer)> {
    let mut counting: BTreeMap<usize, (&Score, &Answer)> = BTreeMap::new();
    for score in scores {
        let Some(answer) = score.answer() else {
            continue;
        };
        let rank = |score: &Score, answer: &Answer| (answer.by, score.stamp.saved);
        let before = counting.get(&answer.lesson);
        if before.is_none_or(|(other, before)| rank(other, before) < rank(score, answer)) {
            counting.insert(answer.lesson, (score, answer));
        }
    }
    counting
}

/// The title of the first piece of a score that has one.
fn title(judged: &Judged) -> Option<&str> {
    let titles = judged
        .pieces()
        .filter_map(|(_, reading)| reading.piece.title.as_ref());
    let mut titles = titles.map(|title| title.text.trim());
    titles.find(|title| !title.is_empty())
}

fn stem(file: &str) -> &str {
    file.rsplit_once('.').map_or(file, |(stem, _)| stem)
}
