//! `bellhand fix`: mends files in place, or shows how.

use std::io::Write;
use std::path::Path;

use engine::{Analyser, Applied, Fixed, Which};
use similar::TextDiff;

use super::arguments::FixArguments;
use super::input::{self, Input};
use super::{Outcome, complain};

pub(crate) fn run(arguments: &FixArguments) -> std::io::Result<Outcome> {
    let (inputs, mut failures) = input::read(&arguments.sources);
    let which = if arguments.review {
        Which::Review
    } else {
        Which::Safe
    };
    let mut out = anstream::stdout();
    let mut left_over = false;
    for input in &inputs {
        let fixed = engine::fix_all(&input.document, &input.settings, which);
        if let Err(why) = deliver(&mut out, input, &fixed, arguments.diff)? {
            complain(&why);
            failures += 1;
        }
        let analysis = Analyser::new().analyse(&fixed.document, &input.settings);
        left_over |= analysis
            .findings
            .iter()
            .any(|finding| finding.severity >= arguments.fail_on);
    }
    out.flush()?;
    Ok(if failures > 0 {
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
    let bytes = match fixed.document.to_bytes() {
        Ok(bytes) => bytes,
        Err(error) => return Ok(Err(format!("{path}: {error}"))),
    };
    for (fix, why) in &fixed.refused {
        complain(&format!("{path}: not applied: {}: {why}", described(fix)));
    }
    if diff {
        let (before, after) = (input.document.text(), fixed.document.text());
        let text = TextDiff::from_lines(&before, &after);
        if before != after {
            write!(out, "{}", text.unified_diff().header(&path, &path))?;
        }
        return Ok(Ok(()));
    }
    if input.is_stdin() {
        out.write_all(&bytes)?;
        return Ok(Ok(()));
    }
    if fixed.applied.is_empty() {
        writeln!(out, "{path}: nothing to mend")?;
        return Ok(Ok(()));
    }
    if let Err(error) = replace(&input.path, &bytes) {
        return Ok(Err(format!("{path} cannot be written: {error}")));
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

/// Puts new bytes in a file's place in one step, so that it is never half-written.
fn replace(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
    // A link stays a link: what it leads to is replaced.
    let path = path.canonicalize()?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    std::fs::set_permissions(file.path(), std::fs::metadata(&path)?.permissions())?;
    file.persist(&path).map_err(|error| error.error)?;
    Ok(())
}
