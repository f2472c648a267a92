//! Findings as a page to read, to print or to show in class: each part's picture with what is said about it.

mod contents;

use std::collections::HashMap;
use std::io::Write;

use files::digest::short_digest;
use files::{Remark, Wanted, page, pictured, sounds};
use quick_xml::escape::escape;

use super::together::{also, together};
use super::{Ending, Score, Shape};
use crate::cli::check::tally::Tally;
use contents::{contents, filters, group};

/// What the pages are called together.
const TITLE: &str = "As the horn players read it";

/// Whether each score has a page of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Apart {
    /// One page has all.
    No,
    /// The page has the contents, and each score one of its own.
    Yes,
}

/// A page with all parts, or the contents of pages for each score.
pub(crate) struct Html {
    pub(crate) apart: Apart,
}

impl Shape for Html {
    fn wanted(&self) -> Wanted {
        Wanted {
            score: true,
            ..Wanted::default()
        }
    }

    fn begins_with_the_sum(&self) -> bool {
        true
    }

    fn open(&self, sum: &Tally) -> std::io::Result<Vec<u8>> {
        let mut page = page::begin(TITLE);
        page += &format!("<h1>{TITLE}</h1>\n<p>{}</p>\n", escape(sum.summary()));
        page += &filters(sum);
        page += &contents(sum, self.apart);
        Ok(page.into_bytes())
    }

    fn score(&self, score: &Score<'_>) -> std::io::Result<Vec<u8>> {
        let mut out = Vec::new();
        let shown = score.shown();
        if self.apart == Apart::Yes {
            let sum = Tally::of(&shown, score.verdict);
            out.extend(page::begin(&shown).into_bytes());
            writeln!(
                out,
                "<p class=\"back\"><a href=\"index.html\">All scores</a></p>"
            )?;
            writeln!(
                out,
                "<h1>{}</h1>\n<p>{}</p>",
                escape(&*shown),
                escape(sum.summary())
            )?;
            out.extend(filters(&sum).into_bytes());
            parts(&mut out, score)?;
            out.extend(self.close_page());
            return Ok(out);
        }
        writeln!(
            out,
            "<h2 id=\"{}\">{}</h2>",
            anchor(&shown),
            escape(&*shown)
        )?;
        parts(&mut out, score)?;
        Ok(out)
    }

    fn close(&self, _: &Ending<'_>) -> std::io::Result<Vec<u8>> {
        Ok(self.close_page())
    }
}

impl Html {
    fn close_page(&self) -> Vec<u8> {
        let caution = escape(horn::caution());
        format!("<p>{caution}</p>\n{}{}", page::with_sound(), page::END).into_bytes()
    }
}

/// Where a score is on its page.
fn anchor(file: &str) -> String {
    format!("score-{}", short_digest(file.as_bytes()))
}

/// What the page of a score is called: as its file is, as far as any system can have it, and what tells it from others.
pub(crate) fn page_name(file: &str) -> String {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let name: String = name
        .chars()
        .map(|letter| {
            if letter.is_ascii_alphanumeric() {
                letter
            } else {
                '-'
            }
        })
        .take(40)
        .collect();
    format!(
        "{}-{}.html",
        name.trim_matches('-'),
        short_digest(file.as_bytes())
    )
}

/// The parts of a score, and what is said about none of them.
fn parts(out: &mut impl Write, score: &Score<'_>) -> std::io::Result<()> {
    let Some(judged) = score.judged else {
        return Ok(());
    };
    let findings = score.findings();
    let remarks = &score.verdict.remarks;
    let pictured = pictured(judged, score.number, &findings)?;
    for (part, sound) in pictured.parts.iter().zip(sounds(judged, score.number)) {
        writeln!(out, "<h3>{}</h3>", escape(&part.heading))?;
        writeln!(out, "<div class=\"part\">")?;
        writeln!(out, "{}", page::heard(&sound)?)?;
        for strip in part.drawing.strips()? {
            writeln!(out, "{strip}")?;
        }
        writeln!(out, "</div>")?;
        let about = part.about.iter();
        let about: Vec<(&Remark, &str)> = about
            .filter_map(|(index, mark)| Some((remarks.get(*index)?, mark.as_str())))
            .collect();
        let marks = about
            .iter()
            .map(|(remark, mark)| (std::ptr::from_ref(*remark), *mark));
        let marks: HashMap<*const Remark, &str> = marks.collect();
        list(out, about.iter().map(|(remark, _)| *remark), |remark| {
            marks.get(&std::ptr::from_ref(remark)).copied()
        })?;
    }
    if !pictured.rest.is_empty() {
        writeln!(out, "<h3>About the whole</h3>")?;
        let rest = pictured.rest.iter().filter_map(|index| remarks.get(*index));
        list(out, rest, |_| None)?;
    }
    Ok(())
}

/// Findings, those that say the same together; `mark` gives the name of a finding's mark in the picture.
fn list<'a>(
    out: &mut impl Write,
    remarks: impl Iterator<Item = &'a Remark>,
    mark: impl Fn(&Remark) -> Option<&'a str>,
) -> std::io::Result<()> {
    let together = together(remarks, false);
    if together.is_empty() {
        return writeln!(out, "<p>Nothing to say.</p>");
    }
    writeln!(out, "<ol>")?;
    for (remark, same) in together {
        said(out, remark, &same, &mark)?;
    }
    writeln!(out, "</ol>")
}

/// One finding, with those that say the same.
fn said<'a>(
    out: &mut impl Write,
    remark: &Remark,
    same: &[&Remark],
    mark: impl Fn(&Remark) -> Option<&'a str>,
) -> std::io::Result<()> {
    let place = |remark: &Remark| {
        let place = match remark.bar {
            Some(bar) => format!("Bar {bar}"),
            None => "The part".to_owned(),
        };
        match mark(remark) {
            Some(mark) => format!("<a href=\"#{mark}\">{place}</a>"),
            None => place,
        }
    };
    write!(
        out,
        "<li class=\"s-{} g-{}\"><b>{}, {}</b>: {} ",
        remark.severity,
        group(&remark.rule),
        place(remark),
        remark.severity,
        escape(&remark.message)
    )?;
    if let Some(also) = also(same) {
        let places: Vec<String> = same.iter().map(|remark| place(remark)).collect();
        write!(
            out,
            "<br><span class=\"also\">Also {also}: {}</span> ",
            places.join(", ")
        )?;
    }
    for fix in &remark.fixes {
        write!(out, "<br>→ {} ", escape(&fix.title))?;
    }
    writeln!(
        out,
        "<br><small>{}; {}</small></li>",
        escape(&remark.rule),
        escape(&remark.source)
    )
}
