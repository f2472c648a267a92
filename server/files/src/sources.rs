//! Which files a command is about: the arguments that several commands share.

use std::path::PathBuf;

use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};

use super::share::Shard;

/// The files that are meant, and how they are read.
#[derive(Debug, Default, Args)]
pub struct Sources {
    /// The files, or folders of files; `-` is standard input
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// The notation, when the file's name does not tell it
    #[arg(long = "as", value_name = "NOTATION", ignore_case = true, value_parser = notation())]
    pub notation: Option<notation::Format>,
    /// The settings file, instead of the nearest bellhand.toml
    #[arg(long, value_name = "FILE")]
    pub settings: Option<PathBuf>,
    /// The path that standard input is taken to have: it tells the notation and the settings, and stands in reports
    #[arg(long, value_name = "PATH")]
    pub stdin_name: Option<PathBuf>,
}

/// Which of the files found are meant.
#[derive(Debug, Default, Args)]
pub struct Narrowed {
    /// Only files that differ from a revision of git, or that git does not know yet
    #[arg(long, value_name = "REVISION", conflicts_with = "staged")]
    pub changed_since: Option<String>,
    /// Only files that are staged for git's next commit, as they lie in their folder
    #[arg(long)]
    pub staged: bool,
    /// Only a share of the files, such as 1/4; all shares together are all files, and no file is in two
    #[arg(long, value_name = "K/N")]
    pub shard: Option<Shard>,
}

impl Narrowed {
    /// Whether all of them are meant.
    #[must_use]
    pub const fn is_none(&self) -> bool {
        self.changed_since.is_none() && !self.staged && self.shard.is_none()
    }
}

/// The notations by their names, which shells complete.
fn notation() -> impl TypedValueParser<Value = notation::Format> {
    PossibleValuesParser::new(notation::Format::ALL.map(notation::Format::name))
        .try_map(|name| notation::Format::of_name(&name).ok_or("no notation goes by this name"))
}
