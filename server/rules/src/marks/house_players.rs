//! `marks/house-players`: words for who plays on a shared staff that the house prints otherwise.

use std::collections::HashMap;

use horn::{Addressed, Called, Source};
use reading::Call;
use score::{EventKind, Intent, Kinds, MarkKind, NewMark, Span};

use crate::context::PartContext;
use crate::finding::{Finding, Safety};
use crate::rule::rule;

rule! {
    /// Words for who plays on a shared staff that this house prints otherwise.
    ///
    /// ## Why it matters
    /// Two players look at one staff, and each must see at a glance whether a line is theirs. Where "1.", "I" and "Solo 1mo"
    /// stand on the pages of one folder, or "a2", "zu 2" and "unis.", they look twice.
    ///
    /// ## What to write instead
    /// The house's words (the fix); what else the words say stays. They stand in the settings under `[words]`, as `both`,
    /// `first` and `second`; players from the third on are called after the first. Without them the rule is silent. "Tutti"
    /// and its like, which may call a whole orchestra, are left alone.
    ///
    /// ## Source
    /// That a house keeps to one wording: common practice. The words themselves: the house.
    ///
    /// ```toml settings
    /// [words]
    /// both = "a2"
    /// first = "1."
    /// second = "2."
    /// ```
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// "^zu 2" c d e f | "^I." g4 | "^2." e4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 1.2. in F" transpose=-7
    /// "^a2" c d e f | "^1." g4 | "^2." e4 |]
    /// ```
    "marks/house-players", Warning, Part(check), speaks_in: |house| house.calls.are_set()
}

/// Words that may call more than the players of the staff.
const CALLS_OF_MORE: [&str; 4] = ["tutti", "alle", "tous", "todos"];

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    let players = part.seat.name.players.len();
    if players < 2 || !(RULE.speaks_in)(ctx.house) || part.calls.is_empty() {
        return Vec::new();
    }
    let said: HashMap<Span, &str> = ctx
        .events_of(Kinds::WORDS)
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Mark(mark) => match &mark.kind {
                MarkKind::Words(text) => Some((placed.span(), text.text.as_str())),
                _ => None,
            },
            _ => None,
        })
        .collect();
    let calls = part.calls.iter().filter(|call| call.fits);
    calls
        .filter_map(|call| {
            let text = said.get(&call.span)?.trim();
            in_text(ctx, call, text, &wanted(ctx, call, text, players)?)
        })
        .collect()
}

/// What the house prints for a call on a staff for so many.
fn wanted(ctx: &PartContext<'_>, call: &Call, text: &str, players: usize) -> Option<String> {
    let calls = &ctx.house.calls;
    let both = || calls.printed(Called::Both).map(str::to_owned);
    match &call.to {
        Addressed::Together(2) if players == 2 => both(),
        Addressed::All if players == 2 => {
            let folded = text.to_lowercase();
            let more = CALLS_OF_MORE.iter().any(|word| folded.starts_with(word));
            both().filter(|_| !more)
        }
        Addressed::Players(named) => match named[..] {
            [player] => calls.of_player(player),
            _ => None,
        },
        _ => None,
    }
}

/// What is to be changed in a text that calls players, where it is not as the house prints it.
fn in_text(ctx: &PartContext<'_>, call: &Call, text: &str, wanted: &str) -> Option<Finding> {
    let rest = text.get(horn::read_address(text)?.rest..)?;
    let own = text.strip_suffix(rest)?.trim_end_matches([' ', ',', ':']);
    if own == wanted || own.starts_with(['(', '[']) && own.get(1..)?.starts_with(wanted) {
        return None;
    }
    let words = match rest {
        "" => wanted.to_owned(),
        rest => format!("{wanted} {rest}"),
    };
    let message = format!(
        "\"{own}\" is printed \"{wanted}\" in this house. Two players look at one staff, and see by one wording whose a line \
         is. Write \"{wanted}\"."
    );
    Some(
        ctx.finding(&RULE, call.span, message, &Source::HouseSetting)
            .at_bar(call.number)
            .fix(
                Safety::Safe,
                format!("Write \"{words}\""),
                vec![Intent::ReplaceMark {
                    mark: call.span,
                    with: NewMark::Words(words),
                }],
            ),
    )
}
