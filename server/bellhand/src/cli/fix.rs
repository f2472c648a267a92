//! `bellhand fix`: fixes files in place, or shows how.

use std::io::Write;

use engine::{Applied, Fixed, Which};
use files::write::Deferred;
use files::{Input, Outcome, complain, input};

use super::arguments::{FailOn, FixArguments};
use super::deliver::deliver;

pub(crate) fn run(arguments: &FixArguments) -> std::io::Result<Outcome> {
    let which = if arguments.review {
        Which::Review
    } else {
        Which::Safe
    };
    let mut out = Deferred::new(anstream::stdout());
    let (mut left_over, mut would_change, mut undone) = (false, false, 0);
    let failures = input::in_turn(&arguments.sources, &arguments.narrowed, |input| {
        // A difference that nobody sees is not worth the work; a file is.
        if arguments.diff && !out.is_heard() {
            return;
        }
        let fixed = input.judged.fix_all(which);
        if let Err(why) = written(&mut out, &input, &fixed, arguments.diff) {
            complain(&why);
            undone += 1;
        }
        left_over |= fixed
            .judged
            .findings()
            .iter()
            .any(|finding| arguments.fail_on.is_reached_by(finding.severity));
        would_change |= arguments.diff && !fixed.applied.is_empty();
    });
    out.end()?;
    Ok(if failures + undone > 0 {
        Outcome::Failed
    } else if left_over || would_change && arguments.fail_on != FailOn::Never {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Writes what fixing came to; the error says why a file could not be written.
fn written<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    fixed: &Fixed,
    diff: bool,
) -> Result<(), String> {
    let path = input.shown();
    if !fixed.settled {
        return Err(format!(
            "{path}: fixing does not come to rest, since its fixes undo each other; nothing is written. Apply them one by one in \
             an editor, and report the score if you can"
        ));
    }
    changed(out, input, fixed, diff, "nothing to fix")
}

/// Tells what was refused, and delivers what was applied.
pub(super) fn changed<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    fixed: &Fixed,
    diff: bool,
    nothing: &str,
) -> Result<(), String> {
    let shown = input.shown();
    for (fix, why) in &fixed.refused {
        complain(&format!("{shown}: not applied: {}: {why}", described(fix)));
    }
    let done: Vec<String> = fixed.applied.iter().map(described).collect();
    deliver(out, input, fixed.judged.document(), diff, &done, nothing)
}

/// What a fix did, and where, on one line.
fn described(fix: &Applied) -> String {
    let place = match (&fix.part, fix.bar) {
        (Some(part), Some(bar)) => format!("{part}, bar {bar}: "),
        (Some(part), None) => format!("{part}: "),
        (None, _) => String::new(),
    };
    format!("{place}{} ({})", fix.title, fix.rule)
}
