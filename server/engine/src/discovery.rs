//! Finding the settings file that holds for a score: the nearest one upward.

use std::path::{Path, PathBuf};

use crate::settings::{Settings, SettingsError};

/// The name of a settings file.
pub const FILE_NAME: &str = "bellhand.toml";

/// The settings for a file or folder, and the settings file they come from; the default when there is none.
///
/// Fails when the nearest settings file cannot be read or says something that is not understood.
pub fn discover(start: &Path) -> Result<(Settings, Option<PathBuf>), SettingsError> {
    let start = std::path::absolute(start).unwrap_or_else(|_| start.to_owned());
    let nearest = start
        .ancestors()
        .map(|folder| folder.join(FILE_NAME))
        .find(|path| path.is_file());
    match nearest {
        None => Ok((Settings::default(), None)),
        Some(path) => Settings::read(&path).map(|settings| (settings, Some(path))),
    }
}
