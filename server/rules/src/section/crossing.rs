//! `section/crossing`: the low horn above the high one.

use reading::{HornPart, PlayedNote};
use score::Row;
use theory::Quarters;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, number};

static BARS: Setting = Setting {
    name: "bars",
    what: "After how many bars of crossing in a row the rule speaks.",
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
    /// bars the rule speaks is this project's choice.
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
    "section/crossing", Information, Part(check), settings: [BARS]
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let [low] = ctx.part.seat.name.players[..] else {
        return Vec::new();
    };
    if low % 2 == 1 {
        return Vec::new();
    }
    let above = ctx
        .reading
        .horns
        .iter()
        .find(|horn| horn.seat.name.players[..] == [low - 1]);
    let Some(upper) = above else {
        return Vec::new();
    };
    let least = ctx.number(&RULE, &BARS);
    let crossed = crossed_bars(ctx.part, upper);
    crossed
        .chunk_by(|a, b| a + 1 == *b)
        .filter(|run| run.len() as f64 >= least.value)
        .filter_map(|run| {
            let bar = *run.first()?;
            let first = ctx.part.notes.partition_point(|note| note.bar < bar);
            let first = ctx.part.notes.get(first)?;
            let message = format!(
                "This part lies above {} for {} bars from here on. The low player is given the high player's line, and the other way \
                 round. Swap the two lines, unless the crossing is what you want to hear.",
                upper.label,
                run.len(),
            );
            Some(
                ctx.finding(&RULE, first.pitch_span, message, &least.source)
                    .at_bar(first.number),
            )
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
