//! `bellhand fix`: fixes files in place, or shows how.

use std::io::Write;

use engine::{Applied, Fixed, Which};
use files::write::{self, Deferred};
use files::{Input, Outcome, complain, input};

use super::arguments::{FailOn, FixArguments};

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
        if let Err(why) = deliver(&mut out, &input, &fixed, arguments.diff) {
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
fn deliver<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    fixed: &Fixed,
    diff: bool,
) -> Result<(), String> {
    let path = input.shown();
    let bytes = fixed.judged.document().to_bytes();
    let bytes = bytes.map_err(|error| format!("{path}: {error}"))?;
    if !fixed.settled {
        return Err(format!(
            "{path}: fixing does not come to rest, since its fixes undo each other; nothing is written. Apply them one by one in \
             an editor, and report the score if you can"
        ));
    }
    for (fix, why) in &fixed.refused {
        complain(&format!("{path}: not applied: {}: {why}", described(fix)));
    }
    if diff {
        write::difference(out, input, fixed.judged.document());
    } else if input.is_stdin() {
        out.bytes(&bytes);
    } else if fixed.applied.is_empty() {
        out.line(format_args!("{path}: nothing to fix"));
    } else {
        let replaced = write::replace(&input.path, input.fingerprint, &bytes);
        replaced.map_err(|why| format!("{path} {why}"))?;
        for fix in &fixed.applied {
            out.line(format_args!("{path}: {}", described(fix)));
        }
    }
    Ok(())
}

/// What a fix did, and where, on one line.
pub(super) fn described(fix: &Applied) -> String {
    let place = match (&fix.part, fix.bar) {
        (Some(part), Some(bar)) => format!("{part}, bar {bar}: "),
        (Some(part), None) => format!("{part}: "),
        (None, _) => String::new(),
    };
    format!("{place}{} ({})", fix.title, fix.rule)
}
