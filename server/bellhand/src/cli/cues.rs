//! `bellhand rewrite --cues`: cues before entries after long rests, for whole parts.

use std::io::Write;

use files::Input;
use files::write::Deferred;

use super::arguments::RewriteArguments;
use super::{chosen, fix};

/// Writes the cues of a file; the error says why it could not be done.
pub(super) fn write<W: Write>(
    out: &mut Deferred<W>,
    input: &Input,
    arguments: &RewriteArguments,
) -> Result<(), String> {
    let parts = chosen::parts(&input.judged, arguments.part.as_deref());
    let parts = parts.map_err(|why| format!("{}: {why}", input.shown()))?;
    let fixed = input.judged.cued(&parts);
    fix::changed(out, input, &fixed, arguments.diff, "no cue to write")
}
