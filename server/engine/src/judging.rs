//! What the rules say of a piece, and of a document as a whole.

use std::sync::Arc;

use reading::{HornPart, PieceReading, Stop, side_by_side};
use rules::{
    Check, Finding, FindingsContext, House, PartContext, PieceContext, Rule, ScoreContext,
    hold_back,
};
use score::{Piece, Score};

use crate::settings::Settings;
use crate::staff;

/// Reads a piece. Fails when `stop` says so.
pub(crate) fn read<S: Stop>(
    piece: &Arc<Piece>,
    score: &Score,
    settings: &Settings,
    stop: &S,
) -> Result<Arc<PieceReading>, S::Stopped> {
    let style = |part: &str| settings.house_of(part).style();
    reading::read(piece, &score.directives, &settings.casting, &style, stop).map(Arc::new)
}

/// What is said of a piece, spans counted from its start. Fails when `stop`, which is asked before every rule and
/// part, says so.
pub(crate) fn judge<S: Stop>(
    reading: &PieceReading,
    settings: &Settings,
    stop: &S,
) -> Result<Arc<[Finding]>, S::Stopped> {
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
        .flat_map(|(rule, check)| {
            let of = match check {
                Check::Part(_) | Check::Player(_) => parts.iter().map(Some).collect(),
                Check::Piece(_) => vec![None],
                Check::Score(_) | Check::Findings(_) | Check::Ignores(_) => Vec::new(),
            };
            of.into_iter().map(move |part| Task { rule, check, part })
        })
        .collect();
    let said = side_by_side(&reading.piece, &tasks, |task| {
        stop.look()?;
        task.judge(reading, settings, &parts, stop)
    })?;
    Ok(said.into_iter().flatten().collect())
}

/// One check of one part, or of the piece.
struct Task<'a> {
    rule: &'static Rule,
    check: &'static Check,
    part: Option<&'a (&'a HornPart, &'a House)>,
}

impl Task<'_> {
    /// What it says, as the house sees it.
    fn judge<S: Stop>(
        &self,
        reading: &PieceReading,
        settings: &Settings,
        parts: &[(&HornPart, &House)],
        stop: &S,
    ) -> Result<Vec<Finding>, S::Stopped> {
        let of = |part, house, check: fn(&PartContext<'_>) -> Vec<Finding>| {
            let mut said = check(&PartContext {
                reading,
                part,
                house,
            });
            hold_back(self.rule, reading, Some(part), &mut said);
            said
        };
        Ok(match (self.check, self.part) {
            (Check::Part(check), Some((part, house))) => in_house(of(part, house, *check), house),
            (Check::Player(check), Some((part, house))) => {
                let lines = part.players().iter().map(|line| {
                    stop.look()?;
                    Ok(of(line, house, *check))
                });
                let lines = lines.collect::<Result<_, _>>()?;
                in_house(staff::joined(part, lines), house)
            }
            (Check::Piece(check), _) => {
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
