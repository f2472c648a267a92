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

/// Reads the horn parts of a piece; `file` holds the instructions that stand outside any piece, `style` says what the
/// house says of a part of this name. `stop` is asked at every bar; fails when it says so.
///
/// `before` is how another text of the piece was read, by the same house: a part in which nothing has changed is taken
/// from there, at its new places. Which of the horns are is said besides, for each.
pub fn read<S: Stop>(
    piece: &Arc<Piece>,
    before: Option<&PieceReading>,
    file: &[Directive],
    casting: &Casting,
    style: &(impl Fn(&str) -> Style + Sync),
    stop: &S,
) -> Result<(PieceReading, Vec<Option<KnownHorn>>), S::Stopped> {
    let tempo = tempo_map(piece, casting.assumed_tempo);
    let Cast { seats, doubtful } = roster::cast(piece, file, casting, style);
    let common = CommonMarks::of(piece, &seats);
    // Nearly always all parts have as many bars.
    let mut performances: HashMap<usize, Performance> = HashMap::new();
    for part in seats.iter().filter_map(|seat| piece.parts.get(seat.part)) {
        let bars = part.bars.len();
        let performance = performances.entry(bars);
        performance.or_insert_with(|| Performance::of(piece, bars));
    }
    let before = before.filter(|before| before.tempo == tempo && before.common == common);
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
        known,
    ))
}

impl PieceReading {
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
