//! Marks as a page to read or to print: a table of the class, and below it each student's answers.

use std::fmt::Write as _;
use std::io::Error;

use files::page;
use quick_xml::escape::escape;

use super::{AnswerMarks, ClassMarks, StudentMarks, changes, left, new_faults};

/// The page.
pub(super) fn page_of(class: &ClassMarks<'_>) -> std::io::Result<String> {
    let mut out = String::new();
    write_page(class, &mut out).map_err(Error::other)?;
    Ok(out)
}

fn write_page(class: &ClassMarks<'_>, out: &mut String) -> std::fmt::Result {
    let title = format!("Marks of {}", class.name);
    out.push_str(&page::begin(&title));
    writeln!(
        out,
        "<h1>{}</h1>\n<p>In each field: faults fixed of those the lesson asks for, new ones, and whether the rest of the \
         music stayed as it was. An empty field has no answer.</p>\n\
         <div class=\"wide\">\n<table class=\"grid\">\n<thead><tr><th scope=\"col\">Student</th>",
        escape(&title)
    )?;
    for lesson in class.lessons {
        let title = lesson.lesson.title().unwrap_or(&lesson.file);
        write!(
            out,
            "<th scope=\"col\" title=\"{}\">{}</th>",
            escape(&lesson.file),
            escape(title)
        )?;
    }
    writeln!(out, "<th scope=\"col\">Together</th></tr></thead>\n<tbody>")?;
    for (number, student) in (1..).zip(&class.students) {
        write!(
            out,
            "<tr><th scope=\"row\"><a href=\"#student-{number}\">{}</a></th>",
            escape(&student.name)
        )?;
        for place in 0..class.lessons.len() {
            match student.answers.get(&place) {
                Some(answer) => field(answer, out)?,
                None => write!(out, "<td class=\"none\"></td>")?,
            }
        }
        let together = student
            .sum()
            .map_or_else(String::new, |sum| format!("{} of {}", sum.fixed, sum.asked));
        writeln!(out, "<td>{together}</td></tr>")?;
    }
    writeln!(out, "</tbody>\n</table>\n</div>")?;
    for (number, student) in (1..).zip(&class.students) {
        details(class, student, number, out)?;
    }
    out.push_str(page::END);
    Ok(())
}

/// An answer in the table.
fn field(answer: &AnswerMarks, out: &mut String) -> std::fmt::Result {
    let sum = answer.marks.sum();
    let class = if sum.is_perfect() {
        " class=\"good\""
    } else {
        ""
    };
    write!(out, "<td{class}>{} of {}", sum.fixed, sum.asked)?;
    if sum.new > 0 {
        write!(out, "<br>{} new", sum.new)?;
    }
    let kept = if sum.kept {
        "music kept"
    } else {
        "music changed"
    };
    write!(out, "<br>{kept}</td>")
}

/// A student's answers one by one.
fn details(
    class: &ClassMarks<'_>,
    student: &StudentMarks,
    number: usize,
    out: &mut String,
) -> std::fmt::Result {
    writeln!(
        out,
        "<section id=\"student-{number}\">\n<h2>{}</h2>",
        escape(&student.name)
    )?;
    for problem in &student.problems {
        writeln!(out, "<p>{}</p>", escape(problem))?;
    }
    if student.answers.is_empty() {
        writeln!(out, "<p>No answer to any of the lessons.</p>")?;
    }
    for (place, answer) in &student.answers {
        let Some(lesson) = class.lessons.get(*place) else {
            continue;
        };
        let title = lesson.lesson.title().unwrap_or(&lesson.file);
        writeln!(out, "<h3>{} ({})</h3>", escape(title), escape(&answer.file))?;
        if answer.marks.sum().is_perfect() {
            writeln!(out, "<p>Everything fixed, nothing new, the music kept.</p>")?;
            continue;
        }
        let marks = &answer.marks;
        writeln!(out, "<ul>")?;
        let said = [
            ("still there", left(marks)),
            ("new", new_faults(marks)),
            ("changed that had to stay", changes(marks)),
        ];
        for (head, list) in said {
            for one in list {
                writeln!(out, "<li>{head}: {}</li>", escape(&one))?;
            }
        }
        writeln!(out, "</ul>")?;
    }
    writeln!(out, "</section>")
}
