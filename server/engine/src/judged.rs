//! A text, read and judged: one value that does not change, from which every answer is made.

use std::collections::HashMap;
use std::sync::Arc;

use notation::{Document, OverlappingEdits, TextEdit};
use reading::{PieceReading, Stop, ToTheEnd};
use rules::Finding;
use score::{DirectiveKind, Piece, Score};

use crate::ignore::Ignores;
use crate::judging::{self, ReadPiece, Said};
use crate::settings::Settings;

/// A document with the settings that hold for it, how its players read it, and what is to be said about it.
///
/// It never changes, and its clones share everything. Another text of the same document is judged from it at the cost
/// of the pieces that are others.
#[derive(Debug, Clone)]
pub struct Judged {
    document: Arc<Document>,
    settings: Arc<Settings>,
    pieces: Arc<[JudgedPiece]>,
    findings: Arc<[Finding]>,
}

/// A piece of a document. Spans within count from where it begins.
#[derive(Debug, Clone)]
struct JudgedPiece {
    base: usize,
    reading: Arc<PieceReading>,
    said: Said,
}

/// What is known of a piece before it is judged.
#[derive(Debug, Clone)]
enum Known {
    /// All.
    Judged(JudgedPiece),
    /// How it is read.
    Read(ReadPiece),
}

/// What is known of another text of a document.
#[derive(Debug, Default)]
struct Memory {
    /// Pieces that may be the same, by their addresses; the readings keep them alive, so an address is never another
    /// piece's.
    same: HashMap<usize, Known>,
    /// The pieces of that text in their order, in which those of this one may have been edited.
    before: Arc<[JudgedPiece]>,
    /// Whether what was said of them holds, and not only how they are read.
    said: bool,
}

impl Memory {
    /// The piece that stood where one of so many stands.
    fn before(&self, index: usize, of: usize) -> Option<&JudgedPiece> {
        self.before.get(index).filter(|_| self.before.len() == of)
    }
}

impl Judged {
    /// Reads and judges a document.
    #[must_use]
    pub fn new(document: impl Into<Arc<Document>>, settings: impl Into<Arc<Settings>>) -> Self {
        let Ok(judged) = Self::first(document, settings, &ToTheEnd);
        judged
    }

    /// Reads and judges a document that nothing is known of. Fails when `stop` says so.
    pub fn first<S: Stop>(
        document: impl Into<Arc<Document>>,
        settings: impl Into<Arc<Settings>>,
        stop: &S,
    ) -> Result<Self, S::Stopped> {
        Self::of(document.into(), settings.into(), &Memory::default(), stop)
    }

    /// Judges another text of the same document; pieces that are the same are not read or judged again.
    ///
    /// Fails when `stop` says so.
    pub fn next<S: Stop>(
        &self,
        document: impl Into<Arc<Document>>,
        settings: impl Into<Arc<Settings>>,
        stop: &S,
    ) -> Result<Self, S::Stopped> {
        let document = document.into();
        let settings = settings.into();
        let memory = self.memory(&document, &settings);
        Self::of(document, settings, &memory, stop)
    }

    /// The document with edits made, judged; all are counted in its present text, in any order.
    ///
    /// Fails when two of them overlap.
    pub fn edited(&self, edits: &[TextEdit]) -> Result<Self, OverlappingEdits> {
        let document = self.document.with_edits(edits)?;
        let Ok(judged) = self.next(document, Arc::clone(&self.settings), &ToTheEnd);
        Ok(judged)
    }

    /// The same document by other settings.
    #[must_use]
    pub fn with_settings(&self, settings: impl Into<Arc<Settings>>) -> Self {
        let settings = settings.into();
        let memory = self.memory(&self.document, &settings);
        let Ok(judged) = Self::of(Arc::clone(&self.document), settings, &memory, &ToTheEnd);
        judged
    }

    /// Another text of the document whose pieces have been read already, in their order.
    pub(crate) fn with_readings(&self, document: Arc<Document>, readings: Vec<ReadPiece>) -> Self {
        let mut memory = self.memory(&document, &self.settings);
        for piece in readings {
            let known = memory.same.entry(address(&piece.reading.piece));
            known.or_insert(Known::Read(piece));
        }
        let settings = Arc::clone(&self.settings);
        let Ok(judged) = Self::of(document, settings, &memory, &ToTheEnd);
        judged
    }

    fn of<S: Stop>(
        document: Arc<Document>,
        settings: Arc<Settings>,
        memory: &Memory,
        stop: &S,
    ) -> Result<Self, S::Stopped> {
        let score = document.score();
        let mut pieces = Vec::with_capacity(score.pieces.len());
        let mut findings = Vec::new();
        for (index, placed) in score.pieces.iter().enumerate() {
            stop.look()?;
            let before = memory.before(index, score.pieces.len());
            let judge = |read: ReadPiece| {
                let before = before.filter(|_| memory.said).map(|before| &before.said);
                Ok(JudgedPiece {
                    base: placed.base,
                    said: judging::judge(&read, before, &settings, stop)?,
                    reading: read.reading,
                })
            };
            let piece = match memory.same.get(&address(&placed.piece)) {
                Some(Known::Judged(piece)) => JudgedPiece {
                    base: placed.base,
                    ..piece.clone()
                },
                Some(Known::Read(piece)) => judge(piece.clone())?,
                None => {
                    let before = before.map(|before| before.reading.as_ref());
                    let piece = &placed.piece;
                    judge(judging::read(piece, before, score, &settings, stop)?)?
                }
            };
            findings.extend(piece.findings(index));
            pieces.push(piece);
        }
        let readings: Vec<(usize, &PieceReading)> = pieces
            .iter()
            .map(|piece| (piece.base, piece.reading.as_ref()))
            .collect();
        findings.extend(judging::judge_whole(&readings, score, &settings, stop)?);
        let mut ignores = Ignores::of(&document);
        ignores.apply(&mut findings);
        // What is ignored at its own place is not named among the others.
        let mut findings = rules::once_a_part(findings);
        let mut about = judging::judge_findings(&readings, score, &settings, &findings);
        ignores.apply(&mut about);
        findings.extend(about);
        findings.extend(ignores.judge(&readings, &settings));
        findings.sort_by_key(|finding| (finding.span, finding.rule));
        Ok(Self {
            document,
            settings,
            pieces: pieces.into(),
            findings: findings.into(),
        })
    }

    /// What of this holds for another text of the document, or by other settings.
    fn memory(&self, document: &Document, settings: &Arc<Settings>) -> Memory {
        let mine = &self.settings;
        let same = Arc::ptr_eq(mine, settings) || mine == settings;
        let same_reading = same
            || mine.casting == settings.casting
                && mine.house.style() == settings.house.style()
                && mine.same_for_parts(settings);
        if !same_reading || !same_casting(self.document.score(), document.score()) {
            return Memory::default();
        }
        let known = |piece: &JudgedPiece| {
            if same {
                Known::Judged(piece.clone())
            } else {
                Known::Read(ReadPiece {
                    reading: Arc::clone(&piece.reading),
                    known: Arc::default(),
                })
            }
        };
        let pieces = self.pieces.iter();
        Memory {
            same: pieces
                .map(|piece| (address(&piece.reading.piece), known(piece)))
                .collect(),
            before: Arc::clone(&self.pieces),
            said: same,
        }
    }

    /// The document.
    #[must_use]
    pub const fn document(&self) -> &Arc<Document> {
        &self.document
    }

    /// The settings it was judged by.
    #[must_use]
    pub const fn settings(&self) -> &Arc<Settings> {
        &self.settings
    }

    /// What is to be said, in the order of the text. Spans count from its start.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// All that the rules say of the score, also where its comments ask to keep silent, each place by itself.
    pub(crate) fn unsilenced(&self) -> Vec<Finding> {
        let pieces = self.pieces.iter().enumerate();
        let mut findings: Vec<Finding> = pieces
            .flat_map(|(index, piece)| piece.findings(index))
            .collect();
        let readings: Vec<(usize, &PieceReading)> = self.pieces().collect();
        let score = self.document.score();
        let Ok(whole) = judging::judge_whole(&readings, score, &self.settings, &ToTheEnd);
        findings.extend(whole);
        findings.sort_by_key(|finding| (finding.span, finding.rule));
        findings
    }

    /// The pieces, each with where it begins; spans within a reading count from there.
    pub fn pieces(&self) -> impl ExactSizeIterator<Item = (usize, &PieceReading)> {
        self.pieces
            .iter()
            .map(|piece| (piece.base, piece.reading.as_ref()))
    }

    /// The reading of the piece at a place.
    pub(crate) fn reading(&self, piece: usize) -> Option<&Arc<PieceReading>> {
        self.pieces.get(piece).map(|piece| &piece.reading)
    }
}

impl JudgedPiece {
    /// What is said of it as the piece at a place, spans counted from the document's start.
    fn findings(&self, index: usize) -> impl Iterator<Item = Finding> {
        let said = self.said.findings();
        said.map(move |finding| finding.clone().rebased(self.base, index))
    }
}

fn address(piece: &Arc<Piece>) -> usize {
    Arc::as_ptr(piece).addr()
}

/// Whether the instructions outside any piece say the same of what the parts are and at which pitch they stand, wherever
/// they stand; the reading of a piece rests on nothing else outside it.
pub(crate) fn same_casting(one: &Score, other: &Score) -> bool {
    casting(one).eq(casting(other))
}

fn casting(score: &Score) -> impl Iterator<Item = &DirectiveKind> {
    let kinds = score.directives.iter().map(|directive| &directive.kind);
    kinds.filter(|kind| matches!(kind, DirectiveKind::Part { .. } | DirectiveKind::Pitch(_)))
}
