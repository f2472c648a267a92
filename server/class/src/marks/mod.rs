//! The marks of a class: what each student's answers to its lessons came to, as a table, for programs or as a page.

mod csv;
mod html;
mod json;

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use engine::{Change, MarkSum, Marks};
use files::{Outcome, complain};
use rayon::prelude::*;
use serde::Serialize;

use super::lessons::{By, LessonFile, Lessons, counting};
use super::names::Names;
use super::roll::{self, Student};
use super::score::{Score, Stamp};
use crate::arguments::MarksFormat;

/// The marks of a class.
#[derive(Debug)]
pub(crate) struct ClassMarks<'a> {
    /// What the class is called: as its folder is.
    name: String,
    lessons: &'a [LessonFile],
    students: Vec<StudentMarks>,
}

/// The marks of a student.
#[derive(Debug)]
struct StudentMarks {
    name: String,
    /// The answers, by the places of their lessons.
    answers: BTreeMap<usize, AnswerMarks>,
    /// Scores that could not be read, and why.
    problems: Vec<String>,
}

/// What an answer to a lesson came to.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct AnswerMarks {
    /// The answer's file, without the student's folder.
    pub(crate) file: String,
    /// What tells that it answers the lesson.
    pub(crate) by: By,
    #[serde(flatten)]
    pub(crate) marks: Marks,
}

impl StudentMarks {
    /// All answers together; nothing where there is none.
    fn sum(&self) -> Option<MarkSum> {
        let sums = self.answers.values().map(|answer| answer.marks.sum());
        sums.reduce(MarkSum::with)
    }
}

/// Writes the marks of the class in a folder to standard output.
pub(crate) fn write(
    folder: &Path,
    names: &Names,
    lessons: &Path,
    format: MarksFormat,
) -> std::io::Result<Outcome> {
    let (lessons, complaints) = match Lessons::read(lessons) {
        Ok(read) => read,
        Err(why) => {
            complain(&why);
            return Ok(Outcome::Failed);
        }
    };
    let students = match roll::call(folder, names) {
        Ok(students) if students.is_empty() => Err(format!(
            "{} holds no student's folder and no score",
            folder.display()
        )),
        called => called,
    };
    let students = match students {
        Ok(students) => students,
        Err(why) => {
            complain(&why);
            return Ok(Outcome::Failed);
        }
    };
    let marked: Vec<StudentMarks> = students
        .par_iter()
        .map(|student| marked(folder, student, &lessons))
        .collect();
    let mut failures = complaints.len();
    complaints.iter().for_each(|why| complain(why));
    for student in &marked {
        failures += student.problems.len();
        for why in &student.problems {
            complain(&format!("{}: {why}", student.name));
        }
    }
    let folder = std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
    let name = folder.file_name().unwrap_or(folder.as_os_str());
    let class = ClassMarks {
        name: name.to_string_lossy().into_owned(),
        lessons: lessons.all(),
        students: marked,
    };
    let written = match format {
        MarksFormat::Csv => csv::table(&class)?,
        MarksFormat::Json => json::object(&class)?,
        MarksFormat::Html => html::page_of(&class)?,
    };
    let mut out = anstream::stdout();
    out.write_all(written.as_bytes())?;
    out.flush()?;
    Ok(Outcome::unless_failed(failures))
}

/// Marks a student's answers.
fn marked(folder: &Path, student: &Student, lessons: &Lessons) -> StudentMarks {
    let read = |path: &PathBuf| {
        let within = path.strip_prefix(folder).unwrap_or(path);
        Some(Score::read(path, within, Stamp::of(path)?, lessons).0)
    };
    let scores: Vec<Score> = student.scores.iter().filter_map(read).collect();
    let answers = counting(scores.iter()).into_iter();
    let problems = scores.iter().filter_map(|score| score.read.as_ref().err());
    StudentMarks {
        name: student.name.clone(),
        answers: answers
            .map(|(lesson, (score, answer))| {
                let marks = AnswerMarks {
                    file: score.file.clone(),
                    by: answer.by,
                    marks: answer.marks.clone(),
                };
                (lesson, marks)
            })
            .collect(),
        problems: problems.cloned().collect(),
    }
}

/// What is new in an answer, in words.
fn new_faults(marks: &Marks) -> Vec<String> {
    let new = marks.new.iter();
    new.map(|fault| format!("{}{}", fault.rule, place(fault.part.as_deref(), fault.bar)))
        .collect()
}

/// Where the music changed that had to stay, in words.
fn changes(marks: &Marks) -> Vec<String> {
    let changed = marks.changed.iter();
    changed
        .map(|one| {
            let place = place(one.part.as_deref(), one.bar);
            match (place.trim_start(), one.what) {
                ("", Change::Missing) => "the piece is not there".to_owned(),
                (place, what) => format!("{place}: {}", what.words()),
            }
        })
        .collect()
}

/// What is left of the faults that were asked for, in words.
fn left(marks: &Marks) -> Vec<String> {
    let left = marks.asked.iter().filter(|asked| !asked.fixed);
    left.map(|asked| format!("{}{}", asked.rule, place(asked.part.as_deref(), asked.bar)))
        .collect()
}

fn place(part: Option<&str>, bar: Option<u32>) -> String {
    let mut place = String::new();
    if let Some(bar) = bar {
        place.push_str(&format!(" bar {bar}"));
    }
    if let Some(part) = part {
        place.push_str(&format!(" {part}"));
    }
    place
}
