//! `section/wrong-players`: a mark calls players that the staff does not have.

use horn::{Addressed, Source};
use reading::Call;

use crate::context::PartContext;
use crate::finding::Finding;
use crate::rule::{Severity, rule};

rule! {
    /// A mark that calls for players the staff does not have.
    ///
    /// ## Why it matters
    /// "a2" in the part of one horn, "a4" on a staff for two, "3." on the staff of the first and second: the players
    /// wonder who else should be playing, and whether a part is missing.
    ///
    /// ## What to write instead
    /// On a staff for two "1.", "2." and "a2", with the numbers of its own players; in a part for one nothing.
    ///
    /// ## Source
    /// Common practice.
    ///
    /// ```abc speaks
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horn 1 in F" transpose=-7
    /// "^a2" c d e f | g4 |]
    /// ```
    ///
    /// ```abc silent
    /// X:1
    /// M:4/4
    /// L:1/4
    /// K:none
    /// V:1 name="Horns 3.4. in F" transpose=-7
    /// "^3." c d e f | "^a2" g4 |]
    /// ```
    "section/wrong-players", Warning, Part(check)
}

fn check(ctx: &PartContext<'_>) -> Vec<Finding> {
    let part = ctx.part;
    let named = &part.seat.name.players;
    // Without numbers the name leaves open who reads it.
    if named.is_empty() {
        return Vec::new();
    }
    let staff = match named[..] {
        [one] => format!("this part is for player {one} alone"),
        _ => {
            let numbers: Vec<String> = named.iter().map(u8::to_string).collect();
            format!("this staff is for players {}", numbers.join(", "))
        }
    };
    let wrong: Vec<&Call> = part.calls.iter().filter(|call| !call.fits).collect();
    // Parts drawn out of a shared staff keep every "a2" of it; each player does the right thing all the same.
    if let ([_], Some(first)) = (&named[..], wrong.first()) {
        let more = match wrong.len() {
            1 => String::new(),
            count => format!(" It stands here {count} times."),
        };
        let message = format!("{}{more}", words(first, &staff));
        return vec![finding(ctx, first, message).graver(Severity::Information)];
    }
    wrong
        .into_iter()
        .map(|call| finding(ctx, call, words(call, &staff)))
        .collect()
}

fn finding(ctx: &PartContext<'_>, call: &Call, message: String) -> Finding {
    ctx.finding(&RULE, call.span, message, &Source::CommonPractice)
        .at_bar(call.number)
}

/// What is wrong with a call on a staff.
fn words(call: &Call, staff: &str) -> String {
    let called = match &call.to {
        Addressed::Together(count) => format!("{count} players"),
        Addressed::Players(players) => {
            let numbers: Vec<String> = players.iter().map(u8::to_string).collect();
            format!("player {}", numbers.join(" and "))
        }
        Addressed::All | Addressed::Others => "others".to_owned(),
    };
    format!(
        "This calls for {called}, but {staff}. The players wonder who else should play. Write who of them does, or take the \
         mark out."
    )
}
