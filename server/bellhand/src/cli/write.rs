//! What a command makes of a file: put in its place, or shown as a difference.

use std::io::Write;
use std::path::Path;

use notation::Document;
use similar::TextDiff;

use super::input::Input;

/// Shows what would change.
pub(super) fn difference(
    out: &mut impl Write,
    input: &Input,
    after: &Document,
) -> std::io::Result<()> {
    let path = input.shown();
    let (before, after) = (input.document.text(), after.text());
    if before != after {
        let text = TextDiff::from_lines(&before, &after);
        write!(out, "{}", text.unified_diff().header(&path, &path))?;
    }
    Ok(())
}

/// Puts new bytes in a file's place in one step, so that it is never half-written.
pub(super) fn replace(path: &Path, bytes: &[u8]) -> std::io::Result<()> {
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
