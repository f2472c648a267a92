//! A piece as its horn players read it.

use std::collections::HashMap;
use std::sync::Arc;

use score::{Directive, Performance, Piece};
use theory::TempoMap;

use crate::common::CommonMarks;
use crate::orchestra::Orchestra;
use crate::part::{self, HornPart};
use crate::roster::{self, Cast, Casting};
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
    /// What sounds around the horns' notes.
    pub(crate) orchestra: Orchestra,
}

/// Reads the horn parts of a piece; `file` holds the instructions that stand outside any piece, `style` says what the
/// house says of a part of this name. `stop` is asked at every bar; fails when it says so.
pub fn read<S: Stop>(
    piece: &Arc<Piece>,
    file: &[Directive],
    casting: &Casting,
    style: &(impl Fn(&str) -> Style + Sync),
    stop: &S,
) -> Result<PieceReading, S::Stopped> {
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
    let horns = side_by_side(piece, &seats, |seat| {
        let part = piece.parts.get(seat.part);
        let ordered = part.and_then(|part| Some((part, performances.get(&part.bars.len())?)));
        let read = ordered.map(|(part, performance)| {
            part::read(part, performance, seat, &common, &tempo, style, stop)
        });
        read.transpose()
    })?;
    Ok(PieceReading {
        piece: Arc::clone(piece),
        tempo,
        horns: horns.into_iter().flatten().collect(),
        doubtful,
        orchestra: Orchestra::default(),
    })
}
