//! Rules of what a horn plays together with others, note by note.

pub(crate) mod drowned;
pub(crate) mod high;

use reading::{Around, PlayedNote};

use crate::context::AmongContext;

/// The runs of a player's attacks that lie together with others in a way, from a length in seconds on. A single note
/// that does not is passed over.
fn runs<'a>(
    ctx: &AmongContext<'a>,
    seconds: f64,
    together: impl Fn(&Around<'_>) -> bool,
) -> Vec<Vec<&'a PlayedNote>> {
    let notes = ctx.part.notes.iter();
    let attacks = notes.filter(|note| note.leads() && !note.tied_from && !note.grace);
    let mut runs: Vec<Vec<&PlayedNote>> = Vec::new();
    let rest = horn::rest_that_ends_a_doubling().value;
    let mut apart = 2;
    for note in attacks {
        let is_together = together(&ctx.reading.around(ctx.part, note));
        if is_together {
            let near = |run: &&mut Vec<&PlayedNote>| {
                run.last().is_some_and(|last| note.bar <= last.bar + rest)
            };
            match runs.last_mut().filter(|_| apart < 2).filter(near) {
                Some(run) => run.push(note),
                None => runs.push(vec![note]),
            }
            apart = 0;
        } else {
            apart += 1;
        }
    }
    runs.retain(|run| match (run.first(), run.last()) {
        (Some(first), Some(last)) => (last.ends - first.starts).0 >= seconds,
        _ => false,
    });
    runs
}
