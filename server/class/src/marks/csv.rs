//! Marks as a table for spreadsheets: a line for each student and lesson.

use std::io::Error;

use csv::Writer;

use super::{ClassMarks, changes, left, new_faults};

const HEAD: [&str; 14] = [
    "student",
    "lesson",
    "title",
    "file",
    "answered",
    "asked",
    "fixed",
    "left",
    "new",
    "kept",
    "still there",
    "new faults",
    "changed music",
    "problems",
];

/// The table.
pub(super) fn table(class: &ClassMarks<'_>) -> std::io::Result<String> {
    let mut table = Writer::from_writer(Vec::new());
    table.write_record(HEAD).map_err(Error::other)?;
    for student in &class.students {
        let problems = student.problems.join("; ");
        for (place, lesson) in class.lessons.iter().enumerate() {
            let title = lesson.lesson.title().unwrap_or_default();
            let mut line = vec![text(&student.name), text(&lesson.file), text(title)];
            match student.answers.get(&place) {
                Some(answer) => {
                    let marks = &answer.marks;
                    let sum = marks.sum();
                    let counts = [sum.asked, sum.fixed, sum.left, sum.new];
                    line.extend([text(&answer.file), "yes".to_owned()]);
                    line.extend(counts.map(|count| count.to_string()));
                    line.push(if sum.kept { "yes" } else { "no" }.to_owned());
                    let said = [left(marks), new_faults(marks), changes(marks)];
                    line.extend(said.map(|said| text(&said.join("; "))));
                }
                None => {
                    let asked = lesson.lesson.faults();
                    line.extend([String::new(), "no".to_owned(), asked.to_string()]);
                    line.extend((0..7).map(|_| String::new()));
                }
            }
            line.push(text(&problems));
            table.write_record(&line).map_err(Error::other)?;
        }
    }
    let bytes = table
        .into_inner()
        .map_err(|error| Error::other(error.to_string()))?;
    String::from_utf8(bytes).map_err(Error::other)
}

/// Words that a spreadsheet must not take for a formula: students and their files are called what they like.
fn text(words: &str) -> String {
    let formula = words.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula {
        format!("'{words}")
    } else {
        words.to_owned()
    }
}
