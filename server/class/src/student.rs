//! One student's parts, as the wall shows them: pictures, and what is said about each, with its line of source.

use engine::Marks;
use files::{Excerpt, Remark, pictured};
use serde::Serialize;

use super::lessons::counting;
use super::score::{Read, Score};
use super::since::compare;
use super::state::{Class, Member};
use super::wall::seconds;
use super::words;

/// A student's scores.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Detail {
    id: String,
    name: String,
    revision: u64,
    scores: Vec<Shown>,
    /// What the answers to lessons came to.
    marks: Option<Vec<Marked>>,
}

/// What an answer came to.
#[derive(Debug, Clone, Serialize)]
struct Marked {
    file: String,
    #[serde(flatten)]
    marks: Marks,
}

/// A score.
#[derive(Debug, Clone, Serialize)]
struct Shown {
    file: String,
    notation: String,
    saved: Option<u64>,
    problem: Option<String>,
    parts: Vec<Part>,
    /// What is about no part.
    about: Vec<Said>,
}

/// A horn part.
#[derive(Debug, Clone, Serialize)]
struct Part {
    title: String,
    svg: String,
    findings: Vec<Said>,
}

/// A finding.
#[derive(Debug, Clone, Serialize)]
struct Said {
    /// The name of its mark in the picture.
    mark: Option<String>,
    rule: String,
    severity: &'static str,
    part: Option<String>,
    player: Option<u8>,
    bar: Option<u32>,
    line: usize,
    column: usize,
    /// Its line of source, or what of it stands near.
    text: String,
    /// The place in that text, in UTF-16 units.
    from: usize,
    to: usize,
    message: String,
    why: String,
    instead: String,
    source: String,
    fixes: Vec<String>,
    /// Whether it has come since the lesson began.
    new: bool,
}

/// A student's scores by the student's id; `None` when there is no such student, or a picture cannot be drawn.
pub(crate) fn detail(class: &Class, id: &str) -> Option<Detail> {
    let (revision, member) = {
        let state = class.state();
        let member = state.members.values().find(|member| member.id == id)?;
        (state.revision, member.clone())
    };
    let scores = (1..).zip(member.scores.values());
    let answers = counting(member.scores.values().map(AsRef::as_ref)).into_values();
    let marks: Vec<Marked> = answers
        .map(|(score, answer)| Marked {
            file: score.file.clone(),
            marks: answer.marks.clone(),
        })
        .collect();
    Some(Detail {
        scores: scores
            .map(|(number, score)| shown(number, score, &member))
            .collect::<Option<_>>()?,
        marks: (!marks.is_empty()).then_some(marks),
        revision,
        id: member.id,
        name: member.name,
    })
}

fn shown(number: usize, score: &Score, member: &Member) -> Option<Shown> {
    let mut shown = Shown {
        file: score.file.clone(),
        notation: String::new(),
        saved: score.stamp.saved.map(seconds),
        problem: None,
        parts: Vec::new(),
        about: Vec::new(),
    };
    let read = match &score.read {
        Ok(read) => read,
        Err(why) => {
            shown.problem = Some(why.clone());
            return Some(shown);
        }
    };
    shown.notation.clone_from(&read.verdict.format);
    let since = compare(member.begun(&score.path), &read.faults);
    let findings = read.judged.findings();
    let pictured = pictured(&read.judged, number, findings).ok()?;
    let said = |index: usize, mark: Option<String>| {
        let remark = read.verdict.remarks.get(index)?;
        let new = since.new.get(index).copied().unwrap_or(false);
        Some(said(read, index, remark, mark, new))
    };
    shown.about = pictured
        .rest
        .into_iter()
        .filter_map(|index| said(index, None))
        .collect();
    for part in pictured.parts {
        let about = part.about.into_iter();
        shown.parts.push(Part {
            title: part.heading,
            svg: part.drawing.whole().ok()?,
            findings: about
                .filter_map(|(index, mark)| said(index, Some(mark)))
                .collect(),
        });
    }
    Some(shown)
}

fn said(read: &Read, index: usize, remark: &Remark, mark: Option<String>, new: bool) -> Said {
    let words = rules::rule(&remark.rule).map(words::of).unwrap_or_default();
    let span = read
        .judged
        .findings()
        .get(index)
        .map(|finding| finding.span);
    let excerpt = Excerpt::around(read.judged.document(), span.unwrap_or_default());
    let (text, from, to) = excerpt.first_line();
    Said {
        mark,
        rule: remark.rule.clone(),
        severity: remark.severity.name(),
        part: remark.part.clone(),
        player: remark.player,
        bar: remark.bar,
        line: remark.at.start.line,
        column: remark.at.start.column,
        text: text.to_owned(),
        from,
        to,
        message: remark.message.clone(),
        why: words.why,
        instead: words.instead,
        source: remark.source.clone(),
        fixes: remark.fixes.iter().map(|fix| fix.title.clone()).collect(),
        new,
    }
}
