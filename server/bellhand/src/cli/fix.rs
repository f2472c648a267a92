//! `bellhand fix`: fixes files in place, or shows how.

use std::io::Write;

use engine::{Applied, Fixed, Which};

use super::arguments::FixArguments;
use super::input::{self, Input};
use super::write;
use super::{Outcome, complain};

pub(crate) fn run(arguments: &FixArguments) -> std::io::Result<Outcome> {
    let which = if arguments.review {
        Which::Review
    } else {
        Which::Safe
    };
    let mut out = anstream::stdout();
    let (mut left_over, mut undone) = (false, 0);
    let failures = input::in_turn(&arguments.sources, |input| {
        let fixed = input.judged.fix_all(which);
        if let Err(why) = deliver(&mut out, &input, &fixed, arguments.diff)? {
            complain(&why);
            undone += 1;
        }
        left_over |= fixed
            .judged
            .findings()
            .iter()
            .any(|finding| finding.severity >= arguments.fail_on);
        Ok(())
    })?;
    out.flush()?;
    Ok(if failures + undone > 0 {
        Outcome::Failed
    } else if left_over {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

/// Writes what fixing came to; the inner error says why a file could not be written.
fn deliver(
    out: &mut impl Write,
    input: &Input,
    fixed: &Fixed,
    diff: bool,
) -> std::io::Result<Result<(), String>> {
    let path = input.shown();
    let bytes = match fixed.judged.document().to_bytes() {
        Ok(bytes) => bytes,
        Err(error) => return Ok(Err(format!("{path}: {error}"))),
    };
    if !fixed.settled {
        return Ok(Err(format!(
            "{path}: fixing does not come to rest, since its fixes undo each other; nothing is written. Apply them one by one in \
             an editor, and report the score if you can"
        )));
    }
    for (fix, why) in &fixed.refused {
        complain(&format!("{path}: not applied: {}: {why}", described(fix)));
    }
    if diff {
        write::difference(out, input, fixed.judged.document())?;
        return Ok(Ok(()));
    }
    if input.is_stdin() {
        out.write_all(&bytes)?;
        return Ok(Ok(()));
    }
    if fixed.applied.is_empty() {
        writeln!(out, "{path}: nothing to fix")?;
        return Ok(Ok(()));
    }
    if let Err(why) = write::replace(&input.path, input.fingerprint, &bytes) {
        return Ok(Err(format!("{path} {why}")));
    }
    for fix in &fixed.applied {
        writeln!(out, "{path}: {}", described(fix))?;
    }
    Ok(Ok(()))
}

fn described(fix: &Applied) -> String {
    let place = match (&fix.part, fix.bar) {
        (Some(part), Some(bar)) => format!("{part}, bar {bar}: "),
        (Some(part), None) => format!("{part}: "),
        (None, _) => String::new(),
    };
    format!("{place}{} ({})", fix.title, fix.rule)
}
