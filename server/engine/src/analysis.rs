//! All rules over a document; pieces that did not change are not judged again.

use std::collections::HashMap;
use std::sync::Arc;

use notation::Document;
use reading::PieceReading;
use rules::{Check, Finding, PartContext, PieceContext, Rule, ScoreContext, hold_back};
use score::{Directive, Piece, Score};

use crate::ignore;
use crate::settings::Settings;
use crate::staff;

/// What a document holds and what is to be said about it. Spans count from its start.
#[derive(Debug, Clone, Default)]
pub struct Analysis {
    /// The findings, in the order of the text.
    pub findings: Vec<Finding>,
    /// The pieces, each with where it begins; spans within a reading count from there.
    pub pieces: Vec<(usize, Arc<PieceReading>)>,
}

/// A piece judged.
#[derive(Debug, Clone)]
struct Judged {
    reading: Arc<PieceReading>,
    findings: Arc<[Finding]>,
}

/// Judges documents, and remembers the pieces of the last one.
#[derive(Debug, Default)]
pub struct Analyser {
    settings: Option<Settings>,
    directives: Vec<Directive>,
    /// By the piece's address; the reading keeps the piece alive, so an address is never another piece's.
    known: HashMap<usize, Judged>,
}

impl Analyser {
    /// An analyser that has seen nothing.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Judges a document as it was last read.
    pub fn analyse(&mut self, document: &Document, settings: &Settings) -> Analysis {
        let score = document.score();
        if self.settings.as_ref() != Some(settings) || !same_words(&self.directives, score) {
            self.known.clear();
            self.settings = Some(settings.clone());
            self.directives.clone_from(&score.directives);
        }
        let mut known = HashMap::with_capacity(score.pieces.len());
        let mut pieces = Vec::with_capacity(score.pieces.len());
        let mut findings = Vec::new();
        for (index, placed) in score.pieces.iter().enumerate() {
            let judged = self
                .known
                .get(&address(&placed.piece))
                .cloned()
                .unwrap_or_else(|| judge(&placed.piece, &score.directives, settings));
            findings.extend(
                judged
                    .findings
                    .iter()
                    .map(|finding| finding.clone().rebased(placed.base, index)),
            );
            pieces.push((placed.base, Arc::clone(&judged.reading)));
            known.insert(address(&placed.piece), judged);
        }
        self.known = known;
        findings.extend(whole(&pieces, score, settings));
        ignore::apply(document, &mut findings);
        // What is ignored at its own place is not named among the others.
        let mut findings = rules::once_a_part(findings);
        findings.sort_by_key(|finding| (finding.span, finding.rule));
        Analysis { findings, pieces }
    }
}

fn address(piece: &Arc<Piece>) -> usize {
    Arc::as_ptr(piece).addr()
}

/// Whether instructions say the same, wherever they stand.
fn same_words(before: &[Directive], score: &Score) -> bool {
    before
        .iter()
        .map(|directive| &directive.kind)
        .eq(score.directives.iter().map(|directive| &directive.kind))
}

fn judge(piece: &Arc<Piece>, directives: &[Directive], settings: &Settings) -> Judged {
    let house = &settings.house;
    let endurance = house.endurance();
    let reading = Arc::new(reading::read(
        piece,
        directives,
        &settings.casting,
        &endurance,
    ));
    let piece_context = PieceContext {
        reading: &reading,
        house,
    };
    let mut findings = Vec::new();
    for (rule, check) in checks() {
        let of = |part, check: fn(&PartContext<'_>) -> Vec<Finding>| {
            let mut said = check(&PartContext {
                reading: &reading,
                part,
                house,
            });
            hold_back(rule, &reading, Some(part), &mut said);
            said
        };
        match check {
            Check::Part(check) => {
                for part in &reading.horns {
                    findings.extend(of(part, *check));
                }
            }
            Check::Player(check) => {
                for part in &reading.horns {
                    let lines = part.players().iter().map(|line| of(line, *check));
                    findings.extend(staff::joined(part, lines.collect()));
                }
            }
            Check::Piece(check) => {
                let mut said = check(&piece_context);
                hold_back(rule, &reading, None, &mut said);
                findings.extend(said);
            }
            Check::Score(_) => {}
        }
    }
    Judged {
        findings: in_house(findings, settings).into(),
        reading,
    }
}

fn whole(
    pieces: &[(usize, Arc<PieceReading>)],
    score: &Score,
    settings: &Settings,
) -> Vec<Finding> {
    let pieces: Vec<(usize, &PieceReading)> = pieces
        .iter()
        .map(|(base, reading)| (*base, reading.as_ref()))
        .collect();
    let context = ScoreContext {
        pieces: &pieces,
        directives: &score.directives,
        unreadable: &score.unreadable,
        house: &settings.house,
    };
    let findings = checks()
        .filter_map(|(_, check)| match check {
            Check::Score(check) => Some(check(&context)),
            Check::Part(_) | Check::Player(_) | Check::Piece(_) => None,
        })
        .flatten()
        .collect();
    in_house(findings, settings)
}

fn checks() -> impl Iterator<Item = (&'static Rule, &'static Check)> {
    rules::ALL
        .iter()
        .flat_map(|rule| rule.checks.iter().map(move |check| (*rule, check)))
}

/// The findings as the house sees them.
fn in_house(findings: Vec<Finding>, settings: &Settings) -> Vec<Finding> {
    findings
        .into_iter()
        .filter_map(|mut finding| {
            finding.severity = settings.house.severity(finding.rule, finding.severity)?;
            Some(finding)
        })
        .collect()
}
