//! `range/wrong-seat`: a low player's part that lies high, or the other way round.

use horn::{Chair, Source};
use reading::PlayedNote;
use score::Row;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::rule;
use crate::setting::{Kind, Setting, choice, pitch};

static LOW_HIGHEST: Setting = Setting {
    name: "low-highest",
    what: "The highest note to give a low player (2nd, 4th), as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::low_chair_highest()),
};

static HIGH_LOWEST: Setting = Setting {
    name: "high-lowest",
    what: "The lowest note to give a high player (1st, 3rd), as written for horn in F.",
    kind: Kind::Pitch,
    default: |_| pitch(horn::high_chair_lowest()),
};

static SEATING: Setting = Setting {
    name: "seating",
    what: "Whether high and low players alternate (1 and 3 high, 2 and 4 low) or chairs are alike.",
    kind: Kind::Choice(&["interlocked", "alike"]),
    default: |_| choice("interlocked", Source::CommonPractice),
};

rule! {
    /// A low player taken very high, or a high player taken very low.
    ///
    /// ## Why it matters
    /// Horn sections sit in pairs: first and third are high players, second and fourth low ones, each at home at that end
    /// of the horn. The very top given to the second chair, or the very bottom to the first, asks the wrong specialist.
    ///
    /// ## What to write instead
    /// Swap the lines: give the high one to first or third and the low one to second or fourth.
    ///
    /// ## Source
    /// First and third high, second and fourth low: Hugill, *The Orchestra: A User's Manual*. From which note on is
    /// bellhand's own choice; set `seating = "alike"` where chairs are not divided so.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 2 in F" transpose=-7
    /// !f!g b a g | e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// !f!g b a g | e4 |]
    /// ```
    "range/wrong-seat", Information, Player(check), settings: [LOW_HIGHEST, HIGH_LOWEST, SEATING], rests_on: Crook
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let named = &ctx.part.seat.name.players;
    // On a shared staff the line is one player's, in that player's chair.
    let Some(player) = ctx.part.player.or(named.first().copied()) else {
        return Vec::new();
    };
    if named.is_empty() || ctx.choice(&RULE, &SEATING).value == "alike" {
        return Vec::new();
    }
    let chair = horn::chair(player).value;
    // What players of both kinds play together has no chair of its own.
    let mixed = named
        .iter()
        .any(|player| horn::chair(*player).value != chair);
    let limit = match chair {
        Chair::Low => ctx.pitch(&RULE, &LOW_HIGHEST),
        Chair::High => ctx.pitch(&RULE, &HIGH_LOWEST),
    };
    let wrong = |note: &PlayedNote| {
        let beyond = match chair {
            Chair::Low => note.height > limit.value,
            Chair::High => note.height < limit.value,
        };
        beyond && (!mixed || note.players.count() == 1)
    };
    let attacks: Row<&PlayedNote> = ctx
        .part
        .notes
        .iter()
        .filter(|note| note.leads() && !note.tied_from)
        .collect();
    attacks
        .chunk_by(|_, next| next.since_rest.0 > 0.0)
        .filter_map(|phrase| {
            let first = phrase.iter().find(|note| wrong(note))?;
            let (kind, way, other) = match chair {
                Chair::Low => ("low", "above", "first or third"),
                Chair::High => ("high", "below", "second or fourth"),
            };
            let message = format!(
                "{} goes {way} {} in a {kind} player's part. The player in this chair specialises in the other end of the horn. Give \
                 the line to the {other} horn, or swap the two parts here.",
                ctx.name_and_height(first),
                ctx.limit(limit.value, first),
            );
            Some(
                ctx.finding(&RULE, first.pitch_span, message, &limit.source)
                    .at_bar(first.number),
            )
        })
        .collect()
}
