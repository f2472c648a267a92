//! `bellhand rewrite --cues`: cues before entries after long rests, for whole parts.

use std::io::Write;

use engine::Fixed;
use files::write::{self, Deferred};
use files::{Input, complain};

use super::arguments::RewriteArguments;
use super::chosen;
use super::fix::described;

/// Writes the cues of a file; the error says why it could not be done.
pub(super) fn write<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    arguments: &RewriteArguments,
) -> Result<(), String> {
    let parts = chosen::parts(&input.judged, arguments.part.as_deref())?;
    let Fixed {
        judged,
        applied,
        refused,
        ..
    } = input.judged.cued(&parts);
    let shown = input.shown();
    for (fix, why) in &refused {
        complain(&format!("{shown}: not applied: {}: {why}", described(fix)));
    }
    let bytes = judged.document().to_bytes();
    let bytes = bytes.map_err(|error| error.to_string())?;
    if arguments.diff {
        write::difference(out, input, judged.document());
    } else if input.is_stdin() {
        out.bytes(&bytes);
    } else if applied.is_empty() {
        out.line(format_args!("{shown}: no cue to write"));
    } else {
        write::replace(&input.path, input.fingerprint, &bytes).map_err(|why| why.to_string())?;
        for fix in &applied {
            out.line(format_args!("{shown}: {}", described(fix)));
        }
    }
    Ok(())
}
