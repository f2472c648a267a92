//! What the rules say of a piece, and of a document as a whole.

use std::sync::Arc;

use reading::{HornPart, Known, PieceReading, Stop, side_by_side};
use rules::{
    Check, Finding, FindingsContext, House, LooksAt, PieceContext, RestsOn, Rule, ScoreContext,
    hold_back,
};
use score::{Moved, Piece, Score};

use crate::settings::Settings;
use crate::staff;

/// A piece, read.
#[derive(Debug, Clone)]
pub(crate) struct ReadPiece {
    pub(crate) reading: Arc<PieceReading>,
    /// What of it was known from another text.
    pub(crate) known: Arc<Known>,
}

/// What is said of a piece, spans counted from its start.
#[derive(Debug, Clone)]
pub(crate) struct Said {
    /// In the order of the checks, for each horn of the piece, or once for the piece.
    by_check: Arc<[Vec<Arc<[Finding]>>]>,
    /// What of it is anything at all, in the same order: of most pieces hardly a check says something.
    spoken: Arc<[Arc<[Finding]>]>,
}

impl Said {
    fn new(by_check: Vec<Vec<Arc<[Finding]>>>) -> Self {
        let spoken = by_check.iter().flatten();
        let spoken = spoken.filter(|said| !said.is_empty()).cloned();
        Self {
            spoken: spoken.collect(),
            by_check: by_check.into(),
        }
    }

    /// All that is said, in the order of the checks.
    pub(crate) fn findings(&self) -> impl Iterator<Item = &Finding> {
        self.spoken.iter().flat_map(|said| said.iter())
    }
}

/// Reads a piece, `before` being how another text of it was read. Fails when `stop` says so.
pub(crate) fn read<S: Stop>(
    piece: &Arc<Piece>,
    before: Option<&PieceReading>,
    score: &Score,
    settings: &Settings,
    stop: &S,
) -> Result<ReadPiece, S::Stopped> {
    let style = |part: &str| settings.house_of(part).style();
    let (file, casting) = (&score.directives, &settings.casting);
    let (reading, known) = reading::read(piece, before, file, casting, &style, stop)?;
    Ok(ReadPiece {
        reading: Arc::new(reading),
        known: known.into(),
    })
}

/// What is said of a piece; `before` is what was said, by the same settings, of the text that its known horns are from.
/// Fails when `stop`, which is asked before every rule and part, says so.
pub(crate) fn judge<S: Stop>(
    piece: &ReadPiece,
    before: Option<&Said>,
    settings: &Settings,
    stop: &S,
) -> Result<Said, S::Stopped> {
    let reading = piece.reading.as_ref();
    let houses: Vec<_> = reading
        .horns
        .iter()
        .map(|part| settings.house_of(&part.label))
        .collect();
    let parts: Vec<(&HornPart, &House)> = reading
        .horns
        .iter()
        .zip(houses.iter().map(AsRef::as_ref))
        .collect();
    let tasks: Vec<Task<'_>> = checks()
        .enumerate()
        .flat_map(|(place, (rule, check))| {
            let of = match check {
                _ if check.looks_at().is_some() => parts.iter().map(Some).collect(),
                Check::Piece(_) => vec![None],
                _ => Vec::new(),
            };
            let holds = piece.known.is_whole() || rests_on_part_alone(rule, check);
            let known = |horn: usize| {
                let known = piece.known.horn(horn).filter(|_| holds)?;
                let said = before?.by_check.get(place)?.get(known.horn)?;
                Some((said, known.moved))
            };
            let of = of.into_iter().enumerate();
            of.map(move |(horn, part)| Task {
                place,
                rule,
                check,
                part,
                known: known(horn),
            })
            .collect::<Vec<_>>()
        })
        .collect();
    let said = side_by_side(&reading.piece, &tasks, |task| {
        stop.look()?;
        match task.known_before() {
            Some(said) => Ok(said),
            None => Ok(task.judge(reading, settings, &parts, stop)?.into()),
        }
    })?;
    let mut by_check = vec![Vec::new(); checks().count()];
    for (task, said) in tasks.iter().zip(said) {
        if let Some(of_check) = by_check.get_mut(task.place) {
            of_check.push(said);
        }
    }
    Ok(Said::new(by_check))
}

/// Whether what a check says of a part can change with that part alone.
fn rests_on_part_alone(rule: &Rule, check: &Check) -> bool {
    matches!(check, Check::Part(_) | Check::Player(_)) && !rule.rests_on.contains(&RestsOn::Crooks)
}

/// One check of one part, or of the piece.
struct Task<'a> {
    /// The check's place among all.
    place: usize,
    rule: &'static Rule,
    check: &'static Check,
    part: Option<&'a (&'a HornPart, &'a House)>,
    /// What it said of the same part in another text, and how its places have moved since.
    known: Option<(&'a Arc<[Finding]>, Moved)>,
}

impl Task<'_> {
    /// What it said of another text, where that holds for this one.
    fn known_before(&self) -> Option<Arc<[Finding]>> {
        let (said, moved) = self.known?;
        if said.is_empty() || moved.is_nothing() {
            return Some(Arc::clone(said));
        }
        said.iter().map(|finding| finding.moved(&moved)).collect()
    }

    /// What it says, as the house sees it.
    fn judge<S: Stop>(
        &self,
        reading: &PieceReading,
        settings: &Settings,
        parts: &[(&HornPart, &House)],
        stop: &S,
    ) -> Result<Vec<Finding>, S::Stopped> {
        let say = |part, house| {
            let mut said = self.check.judge(reading, part, house);
            hold_back(self.rule, reading, Some(part), &mut said);
            said
        };
        Ok(match (self.check, self.check.looks_at(), self.part) {
            (_, Some(LooksAt::Staff), Some((part, house))) => in_house(say(part, house), house),
            (_, Some(LooksAt::Player), Some((part, house))) => {
                let lines = part.players().iter().map(|line| {
                    stop.look()?;
                    Ok(say(line, house))
                });
                let lines = lines.collect::<Result<_, _>>()?;
                in_house(staff::joined(part, lines), house)
            }
            (Check::Piece(check), ..) => {
                let house = &settings.house;
                let mut said = check(&PieceContext { reading, house });
                hold_back(self.rule, reading, None, &mut said);
                let seen = said.into_iter().flat_map(|finding| {
                    let of = |(part, _): &&(&HornPart, &House)| {
                        Some(&part.label) == finding.part.as_ref()
                    };
                    let house = parts.iter().find(of).map_or(house, |(_, house)| *house);
                    in_house(vec![finding], house)
                });
                seen.collect()
            }
            _ => Vec::new(),
        })
    }
}

/// What is said of a document as a whole; `pieces` are its readings, each with where it begins.
pub(crate) fn judge_whole<S: Stop>(
    pieces: &[(usize, &PieceReading)],
    score: &Score,
    settings: &Settings,
    stop: &S,
) -> Result<Vec<Finding>, S::Stopped> {
    let context = ScoreContext {
        pieces,
        directives: &score.directives,
        unreadable: &score.unreadable,
        house: &settings.house,
    };
    let mut findings = Vec::new();
    for (_, check) in checks() {
        if let Check::Score(check) = check {
            stop.look()?;
            findings.extend(check(&context));
        }
    }
    Ok(in_house(findings, &settings.house))
}

/// What is said of what has been found in a document.
pub(crate) fn judge_findings(
    pieces: &[(usize, &PieceReading)],
    score: &Score,
    settings: &Settings,
    findings: &[Finding],
) -> Vec<Finding> {
    let context = FindingsContext {
        pieces,
        directives: &score.directives,
        findings,
        house: &settings.house,
    };
    let said = checks().filter_map(|(_, check)| match check {
        Check::Findings(check) => Some(check(&context)),
        _ => None,
    });
    in_house(said.flatten().collect(), &settings.house)
}

fn checks() -> impl Iterator<Item = (&'static Rule, &'static Check)> {
    rules::ALL
        .iter()
        .flat_map(|rule| rule.checks.iter().map(move |check| (*rule, check)))
}

/// The findings as the house sees them.
pub(crate) fn in_house(findings: Vec<Finding>, house: &House) -> Vec<Finding> {
    findings
        .into_iter()
        .filter_map(|mut finding| {
            finding.severity = house.severity(finding.rule, finding.severity)?;
            Some(finding)
        })
        .collect()
}
