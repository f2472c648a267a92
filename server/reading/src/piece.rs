//! A piece as its horn players read it.

use std::collections::HashMap;
use std::sync::Arc;

use score::{Directive, Moved, Performance, Piece};
use theory::TempoMap;

use crate::common::CommonMarks;
use crate::moved;
use crate::orchestra::Orchestra;
use crate::part::{self, HornPart};
use crate::performed::Performed;
use crate::roster::{self, Cast, Casting, Seat};
use crate::side_by_side::side_by_side;
use crate::stop::Stop;
use crate::style::Style;
use crate::tempo::tempo_map;

/// All horn parts of a piece, read. Spans count from the start of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceReading {
    /// The piece.
    pub piece: Arc<Piece>,
    /// The speed at every place.
    pub tempo: TempoMap,
    /// The horn parts, in score order.
    pub horns: Vec<HornPart>,
    /// Parts whose names leave open whether they are horns', by their places in the piece; none of them is read.
    pub doubtful: Vec<usize>,
    /// What its page says to horns and others alike.
    common: CommonMarks,
    /// What sounds around the horns' notes.
    pub(crate) orchestra: Orchestra,
}

/// A horn part that was known from another text of its piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KnownHorn {
    /// Its place among that reading's horns.
    pub horn: usize,
    /// How its places have moved since.
    pub moved: Moved,
}

/// What of a piece was known from another text of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Known {
    /// All: it is the same piece, and its places have moved like this.
    Piece(Moved),
    /// For each of its horns, whether it was.
    Horns(Vec<Option<KnownHorn>>),
}

impl Known {
    /// Where the horn at a place was known from.
    #[must_use]
    pub fn horn(&self, horn: usize) -> Option<KnownHorn> {
        match self {
            Self::Piece(moved) => Some(KnownHorn {
                horn,
                moved: *moved,
            }),
            Self::Horns(horns) => horns.get(horn).copied().flatten(),
        }
    }

    /// Whether all of it was.
    #[must_use]
    pub const fn is_whole(&self) -> bool {
        matches!(self, Self::Piece(_))
    }
}

impl Default for Known {
    fn default() -> Self {
        Self::Horns(Vec::new())
    }
}

/// Reads the horn parts of a piece; `file` holds the instructions that stand outside any piece, `style` says what the
/// house says of a part of this name. `stop` is asked at every bar; fails when it says so.
///
/// `before` is how another text of the piece was read, by the same house: where nothing has changed in the piece, or in a
/// part, it is taken from there, at its new places. What was is said besides.
pub fn read<S: Stop>(
    piece: &Arc<Piece>,
    before: Option<&PieceReading>,
    file: &[Directive],
    casting: &Casting,
    style: &(impl Fn(&str) -> Style + Sync),
    stop: &S,
) -> Result<(PieceReading, Known), S::Stopped> {
    let tempo = tempo_map(piece, casting.assumed_tempo);
    let cast = roster::cast(piece, file, casting, style);
    let before = before.filter(|before| before.tempo == tempo);
    if let Some((reading, moved)) = before.and_then(|it| it.moved_to(piece, &cast, style)) {
        return Ok((reading, Known::Piece(moved)));
    }
    let Cast { seats, doubtful } = cast;
    let common = CommonMarks::of(piece, &seats);
    // Nearly always all parts have as many bars.
    let mut performances: HashMap<usize, Performance> = HashMap::new();
    for part in seats.iter().filter_map(|seat| piece.parts.get(seat.part)) {
        let bars = part.bars.len();
        let performance = performances.entry(bars);
        performance.or_insert_with(|| Performance::of(piece, bars));
    }
    let before = before.filter(|before| before.common == common);
    let horns = side_by_side(piece, &seats, |seat| {
        let part = piece.parts.get(seat.part);
        let ordered = part.and_then(|part| Some((part, performances.get(&part.bars.len())?)));
        let Some((part, performance)) = ordered else {
            return Ok(None);
        };
        let performed = Performed::of(performance, part, &tempo);
        let style = style(&part::label(part));
        if let Some(known) = before.and_then(|it| it.known(piece, seat, &performed, &style)) {
            return Ok(Some((known.1, Some(known.0))));
        }
        let read = part::read(part, performed, seat, &common, &tempo, &style, stop)?;
        Ok(Some((read, None)))
    })?;
    let (horns, known) = horns.into_iter().flatten().unzip();
    Ok((
        PieceReading {
            piece: Arc::clone(piece),
            tempo,
            horns,
            doubtful,
            common,
            orchestra: Orchestra::default(),
        },
        Known::Horns(known),
    ))
}

impl PieceReading {
    /// The reading of another text of the piece at the same tempo, where all of it and who plays what are the same, and how
    /// its places have moved.
    fn moved_to(
        &self,
        piece: &Arc<Piece>,
        cast: &Cast,
        style: &impl Fn(&str) -> Style,
    ) -> Option<(Self, Moved)> {
        let Cast { seats, doubtful } = cast;
        let seated = self.horns.iter().map(|horn| &horn.seat).eq(seats);
        let as_before = |horn: &HornPart| {
            // Where it is said why the order is not known, that has a place too, which hardly any score needs to have
            // followed.
            horn.performed.undecided.is_none() && horn.endurance == style(&horn.label).endurance
        };
        if !seated || *doubtful != self.doubtful || !self.horns.iter().all(as_before) {
            return None;
        }
        let moved = piece.moved_from(&self.piece)?;
        let horns = side_by_side(piece, &self.horns, |horn| {
            moved::move_part(horn, &moved).ok_or(())
        });
        let reading = Self {
            piece: Arc::clone(piece),
            tempo: self.tempo.clone(),
            horns: horns.ok()?,
            doubtful: self.doubtful.clone(),
            common: self.common.clone(),
            orchestra: Orchestra::default(),
        };
        Some((reading, moved))
    }

    /// A horn part of another text of the piece, where all that its reading rests on is the same here but for its places.
    fn known(
        &self,
        piece: &Piece,
        seat: &Seat,
        performed: &Performed,
        style: &Style,
    ) -> Option<(KnownHorn, HornPart)> {
        let (horn, old) = self.horns.iter().enumerate().find(|(_, old)| {
            old.seat == *seat && *old.performed == *performed && old.endurance == style.endurance
        })?;
        let (new, was) = (
            piece.parts.get(seat.part)?,
            self.piece.parts.get(seat.part)?,
        );
        let moved = new.moved_from(was)?;
        Some((KnownHorn { horn, moved }, moved::move_part(old, &moved)?))
    }
}
