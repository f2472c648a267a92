//! What a class is begun with.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, ValueEnum};
use engine::Severity;

use super::desk::Day;

/// The arguments of a class.
#[derive(Debug, Args)]
pub struct ClassArguments {
    /// The folder of the class: it holds a folder, or a score, for each student
    #[arg(value_name = "FOLDER")]
    pub folder: PathBuf,
    /// What students are called: a file with a line for each, folder = name
    #[arg(long, value_name = "FILE")]
    pub names: Option<PathBuf>,
    /// The mildest severity that keeps a student from being done
    #[arg(long, value_name = "SEVERITY", default_value_t = Severity::Warning, ignore_case = true, value_parser = severity())]
    pub bar: Severity,
    /// Let students write in their browsers, at desks of their own
    #[arg(long)]
    pub desks: bool,
    /// Let other machines of the network come to the desks; without it only this one can
    #[arg(long, requires = "desks")]
    pub share: bool,
    /// The lessons: a score, or a folder of scores, with comments that say which faults it is about
    #[arg(long, value_name = "PATH")]
    pub lessons: Option<PathBuf>,
    /// Write what the students' answers to the lessons came to, instead of serving
    #[arg(long, value_name = "FORMAT", value_enum, requires = "lessons", conflicts_with_all = ["desks", "share"])]
    pub marks: Option<MarksFormat>,
    /// Delete the pieces that students began at desks on a day (today, or a date as in 2026-11-27), instead of serving
    #[arg(long, value_name = "DAY", conflicts_with_all = ["desks", "share", "lessons", "names"])]
    pub forget: Option<Day>,
    /// The port to serve on; 0 is any that is free
    #[arg(long, value_name = "PORT", default_value_t = 7411)]
    pub port: u16,
}

/// The shape of a report of marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MarksFormat {
    /// A table for spreadsheets, with a line for each student and lesson
    Csv,
    /// For programs
    Json,
    /// A page to read or to print
    Html,
}

/// The severities by their names, which shells complete.
fn severity() -> impl TypedValueParser<Value = Severity> {
    PossibleValuesParser::new(Severity::ALL.map(Severity::name))
        .try_map(|name| name.parse::<Severity>())
}
