//! What the wall shows, as its page is told: a row for each student, and what the class meets most.

use std::collections::{BTreeMap, HashSet};
use std::time::SystemTime;

use engine::{MarkSum, Severity};
use serde::Serialize;

use super::desk::Desks;
use super::lessons::{Answer, counting};
use super::score::Score;
use super::since::compare;
use super::state::{Class, Member, State};
use super::words;

/// How many rules stand below the rows.
const MOST_MET: usize = 8;

/// The whole class.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Wall {
    name: String,
    /// When the lesson began.
    began: u64,
    now: u64,
    revision: u64,
    bar: &'static str,
    /// How students come to the desks.
    desks: Option<Board>,
    /// The groups of rules, in the order of the rule book.
    groups: Vec<Group>,
    rules: BTreeMap<&'static str, Known>,
    /// The lessons, by the names of their files.
    lessons: Vec<String>,
    students: Vec<Row>,
    met: Vec<Met>,
}

/// What stands on the board for students.
#[derive(Debug, Clone, Serialize)]
struct Board {
    address: String,
    code: String,
}

/// A group of rules.
#[derive(Debug, Clone, Serialize)]
struct Group {
    name: &'static str,
    title: String,
}

/// What is known of a rule.
#[derive(Debug, Clone, Serialize)]
struct Known {
    brief: &'static str,
    severity: &'static str,
}

/// What has changed.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Change {
    revision: u64,
    now: u64,
    students: Vec<Row>,
    /// Students who are no longer in the class.
    gone: Vec<String>,
    met: Vec<Met>,
}

/// A student.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Row {
    id: String,
    name: String,
    /// When a score was last saved.
    saved: Option<u64>,
    files: usize,
    horns: usize,
    /// Why a score could not be read.
    problem: Option<String>,
    /// Whether the student is at a desk.
    desk: bool,
    /// Whether there are horn parts, nothing stands above the bar, and lessons that were begun are answered.
    done: bool,
    cells: Vec<Cell>,
    /// What the answers to lessons came to, all together.
    marks: Option<MarkSum>,
}

/// What has become of the findings of a rule.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Cell {
    rule: String,
    severity: &'static str,
    open: usize,
    fixed: usize,
    new: usize,
}

/// A rule that many meet.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct Met {
    rule: &'static str,
    brief: &'static str,
    why: String,
    instead: String,
    students: usize,
    findings: usize,
}

/// Seconds since the Unix epoch.
pub(crate) fn seconds(time: SystemTime) -> u64 {
    let since = time.duration_since(SystemTime::UNIX_EPOCH);
    since.map_or(0, |since| since.as_secs())
}

/// The whole class.
pub(crate) fn whole(class: &Class, desks: Option<&Desks>) -> Wall {
    let state = class.state();
    let mut groups: Vec<Group> = Vec::new();
    for rule in rules::ALL {
        if groups.iter().all(|group| group.name != rule.group()) {
            groups.push(Group {
                name: rule.group(),
                title: words::title(rule.group()),
            });
        }
    }
    let known = rules::ALL.iter().map(|rule| {
        let known = Known {
            brief: rule.summary(),
            severity: rule.severity.name(),
        };
        (rule.name, known)
    });
    Wall {
        name: class.name(),
        began: seconds(class.began),
        now: seconds(SystemTime::now()),
        revision: state.revision,
        bar: class.bar.name(),
        desks: desks.map(|desks| Board {
            address: desks.address().to_owned(),
            code: desks.code().to_owned(),
        }),
        groups,
        rules: known.collect(),
        lessons: class
            .lessons
            .all()
            .iter()
            .map(|lesson| lesson.file.clone())
            .collect(),
        students: state
            .members
            .values()
            .map(|member| row(member, class.bar))
            .collect(),
        met: met(&state),
    }
}

impl Change {
    /// What has become of some students, by what they are known by.
    pub(crate) fn of(class: &Class, state: &State, changed: &[String], gone: Vec<String>) -> Self {
        let students = changed.iter().filter_map(|key| state.members.get(key));
        Self {
            revision: state.revision,
            now: seconds(SystemTime::now()),
            students: students.map(|member| row(member, class.bar)).collect(),
            gone,
            met: met(state),
        }
    }
}

/// A student's row.
fn row(member: &Member, bar: Severity) -> Row {
    let mut cells: BTreeMap<(&str, Severity), Cell> = BTreeMap::new();
    let mut reached = false;
    let mut each = Vec::new();
    for (path, score) in &member.scores {
        each.push((score.faults(), compare(member.begun(path), score.faults())));
    }
    for (faults, since) in &each {
        for (fault, new) in faults.iter().zip(&since.new) {
            let cell = cell(&mut cells, &fault.rule, fault.severity);
            cell.open += 1;
            cell.new += usize::from(*new);
            reached |= fault.severity >= bar;
        }
        for fault in &since.fixed {
            cell(&mut cells, &fault.rule, fault.severity).fixed += 1;
        }
    }
    let scores = || member.scores.values();
    let problem = scores().find_map(|score| score.read.as_ref().err().cloned());
    let horns = scores().map(|score| score.horns()).sum();
    let marks = answers(member).into_values();
    let marks = marks.map(|(_, answer)| answer.marks.sum());
    let marks = marks.reduce(MarkSum::with);
    // What a lesson asks for may be milder than the bar.
    let answered = marks.is_none_or(|marks| marks.left == 0 && marks.kept);
    Row {
        id: member.id.clone(),
        name: member.name.clone(),
        saved: scores()
            .filter_map(|score| score.stamp.saved)
            .max()
            .map(seconds),
        files: member.scores.len(),
        horns,
        desk: member.windows > 0,
        done: horns > 0 && !reached && problem.is_none() && answered,
        problem,
        cells: cells.into_values().collect(),
        marks,
    }
}

/// The answers of a student that count.
fn answers(member: &Member) -> BTreeMap<usize, (&Score, &Answer)> {
    counting(member.scores.values().map(AsRef::as_ref))
}

fn cell<'a, 'f>(
    cells: &'a mut BTreeMap<(&'f str, Severity), Cell>,
    rule: &'f str,
    severity: Severity,
) -> &'a mut Cell {
    cells.entry((rule, severity)).or_insert_with(|| Cell {
        rule: rule.to_owned(),
        severity: severity.name(),
        open: 0,
        fixed: 0,
        new: 0,
    })
}

/// The rules that most students meet, those that most meet first.
fn met(state: &State) -> Vec<Met> {
    let mut counts: BTreeMap<&str, (HashSet<&str>, usize)> = BTreeMap::new();
    for member in state.members.values() {
        for fault in member.scores.values().flat_map(|score| score.faults()) {
            let (students, findings) = counts.entry(&fault.rule).or_default();
            students.insert(&member.id);
            *findings += 1;
        }
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by_key(|(_, (students, findings))| std::cmp::Reverse((students.len(), *findings)));
    let met = |(rule, (students, findings)): (&str, (HashSet<&str>, usize))| {
        let rule = rules::rule(rule)?;
        let words = words::of(rule);
        Some(Met {
            rule: rule.name,
            brief: rule.summary(),
            why: words.why,
            instead: words.instead,
            students: students.len(),
            findings,
        })
    };
    counts.into_iter().take(MOST_MET).filter_map(met).collect()
}
