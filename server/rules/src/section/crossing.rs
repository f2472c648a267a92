//! `section/crossing`: the low horn above the high one.

use std::collections::BTreeMap;

use reading::{HornPart, PlayedNote};
use score::Row;
use theory::Quarters;

use crate::context::PieceContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static BARS: Setting = Setting {
    name: "bars",
    what: "How many bars in a row of crossing are told.",
    kind: Kind::Number("bars"),
    default: |_| number(horn::bars_of_crossing(), "bars"),
};

rule! {
    /// A second or fourth horn that lies above its first or third for bars on end.
    ///
    /// ## Why it matters
    /// First and third are high players, second and fourth low ones. When their lines stay crossed, each plays the other's
    /// part, and the chord is balanced differently from what the page suggests.
    ///
    /// ## What to write instead
    /// Swap the two lines for the passage, unless the crossing is what you want to hear.
    ///
    /// ## Source
    /// First and third high, second and fourth low: Hugill, *The Orchestra: A User's Manual*. After how many
    /// bars the rule speaks is bellhand's own choice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// V:2 name="Horn 2 in F" transpose=-7
    /// [V:1] c4 | d4 | c4 | e4 |]
    /// [V:2] e4 | f4 | g4 | c4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// V:2 name="Horn 2 in F" transpose=-7
    /// [V:1] e4 | f4 | g4 | e4 |]
    /// [V:2] c4 | d4 | c4 | c4 |]
    /// ```
    "section/crossing", Information, Piece(check), settings: [BARS], rests_on: Crooks
}

fn check(ctx: &PieceContext<'_>) -> Vec<Finding> {
    let chairs: Vec<Chair<'_>> = ctx.reading.horns.iter().flat_map(chairs).collect();
    let mut seats: BTreeMap<u8, Vec<&Chair<'_>>> = BTreeMap::new();
    for chair in &chairs {
        seats.entry(chair.player).or_default().push(chair);
    }
    let lows = chairs.iter().filter(|chair| chair.player % 2 == 0);
    let pairs = lows.filter_map(|low| {
        let above = seats.get(&low.player.checked_sub(1)?)?;
        let beside = above.iter().find(|high| high.staff == low.staff);
        // Where two staves claim a number, nobody can tell which of them is the neighbour.
        let above = match (beside, &above[..], seats.get(&low.player)?.len()) {
            (Some(beside), ..) => beside,
            (None, [only], 1) => only,
            _ => return None,
        };
        Some((low, *above))
    });
    pairs
        .flat_map(|(low, above)| judge(ctx, low, above))
        .collect()
}

/// A numbered player with what that player reads.
struct Chair<'a> {
    player: u8,
    /// The staff, by its part's place in the piece.
    staff: usize,
    line: &'a HornPart,
}

/// The numbered players of a staff; nobody where its name gives no numbers.
fn chairs(staff: &HornPart) -> Vec<Chair<'_>> {
    let named = &staff.seat.name.players;
    named
        .iter()
        .zip(staff.players())
        .map(|(player, line)| Chair {
            player: *player,
            staff: staff.seat.part,
            line,
        })
        .collect()
}

/// The runs of bars in which a low player lies above the high one.
fn judge(ctx: &PieceContext<'_>, low: &Chair<'_>, above: &Chair<'_>) -> Vec<Finding> {
    let least = ctx.house.number(RULE.name, &BARS);
    let crossed = crossed_bars(low.line, above.line);
    let upper = match above.line.player {
        Some(player) if above.line.label == low.line.label => format!("player {player}"),
        Some(player) => format!("{}, player {player},", above.line.label),
        None => above.line.label.clone(),
    };
    crossed
        .chunk_by(|a, b| a + 1 == *b)
        .filter(|run| run.len() as f64 >= least.value)
        .filter_map(|run| {
            let bar = run.first()?;
            let notes = &low.line.notes;
            let first = notes.get(notes.partition_point(|note| note.bar < *bar))?;
            let message = format!(
                "This line lies above {upper} for {} bars from here on. The low player is given the high player's line, and the \
                 other way round. Swap the two lines, unless the crossing is what you want to hear.",
                run.len(),
            );
            let mut finding = Finding::new(&RULE, first.pitch_span, message, &least.source);
            finding.part = Some(low.line.label.clone());
            finding.player = low.line.player;
            Some(finding.at_bar(first.number))
        })
        .collect()
}

/// The bars in which all that sounds together has the low part above, by one walk through both parts.
fn crossed_bars(low: &HornPart, high: &HornPart) -> Vec<usize> {
    let (lows, highs) = (line(low), line(high));
    let mut bars = Vec::new();
    let mut from = 0;
    for bar in lows.chunk_by(|a, b| a.bar == b.bar) {
        let mut together = false;
        let mut crosses = true;
        for one in bar {
            while highs
                .get(from)
                .is_some_and(|other| ends(other) <= one.onset)
            {
                from += 1;
            }
            let beside = highs
                .iter()
                .skip(from)
                .take_while(|other| other.onset < ends(one));
            for other in beside.filter(|other| other.bar == one.bar) {
                together = true;
                crosses &= one.sounding.midi() > other.sounding.midi();
            }
        }
        if let (Some(first), true) = (bar.first(), together && crosses) {
            bars.push(first.bar);
        }
    }
    bars
}

/// What a part's main line plays.
fn line(part: &HornPart) -> Row<&PlayedNote> {
    let notes = part.notes.iter();
    notes.filter(|note| note.leads() && !note.grace).collect()
}

fn ends(note: &PlayedNote) -> Quarters {
    note.onset + note.length
}
