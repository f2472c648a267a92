//! Marks for programs.

use engine::{MarkSum, Task};
use files::JSON_VERSION;
use serde::Serialize;

use super::{AnswerMarks, ClassMarks};

#[derive(Serialize)]
struct Class<'a> {
    version: u32,
    class: &'a str,
    lessons: Vec<Lesson<'a>>,
    students: Vec<Student<'a>>,
}

#[derive(Serialize)]
struct Lesson<'a> {
    file: &'a str,
    title: Option<&'a str>,
    asked: usize,
    tasks: &'a [Task],
}

#[derive(Serialize)]
struct Student<'a> {
    name: &'a str,
    /// All answers together.
    sum: Option<MarkSum>,
    marks: Vec<Answer<'a>>,
    /// Lessons that are not answered.
    missing: Vec<&'a str>,
    problems: &'a [String],
}

#[derive(Serialize)]
struct Answer<'a> {
    lesson: &'a str,
    #[serde(flatten)]
    answer: &'a AnswerMarks,
}

/// The class as an object.
pub(super) fn object(class: &ClassMarks<'_>) -> std::io::Result<String> {
    let lessons = class.lessons.iter().map(|lesson| Lesson {
        file: &lesson.file,
        title: lesson.lesson.title(),
        asked: lesson.lesson.faults(),
        tasks: lesson.lesson.tasks(),
    });
    let students = class.students.iter().map(|student| {
        let mut marks = Vec::new();
        let mut missing = Vec::new();
        for (place, lesson) in class.lessons.iter().enumerate() {
            match student.answers.get(&place) {
                Some(answer) => marks.push(Answer {
                    lesson: &lesson.file,
                    answer,
                }),
                None => missing.push(lesson.file.as_str()),
            }
        }
        Student {
            name: &student.name,
            sum: student.sum(),
            marks,
            missing,
            problems: &student.problems,
        }
    });
    let class = Class {
        version: JSON_VERSION,
        class: &class.name,
        lessons: lessons.collect(),
        students: students.collect(),
    };
    let mut text = serde_json::to_string_pretty(&class)?;
    text.push('\n');
    Ok(text)
}
