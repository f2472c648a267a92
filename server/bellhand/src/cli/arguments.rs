//! The arguments of each command.

use std::path::PathBuf;

use clap::builder::{PossibleValuesParser, TypedValueParser};
use clap::{Args, Parser, Subcommand, ValueEnum};
use class::ClassArguments;
use engine::Severity;
use files::{Narrowed, Sources};

use super::choice::Choice;
use super::meant;
use super::pitch;
use super::rule_name::RuleName;

/// What stands at the end of the help and of the manual's page.
const AFTER: &str = "\
Exit code 0 is clean, 1 is findings at or above --fail-on, 2 is something that could not be done.
Settings are taken from the nearest bellhand.toml in the score's folder or above it.
BELLHAND_CACHE_DIR names the folder where check keeps what it said of scores; where it is empty, nothing is kept.";

/// Reads plain-text horn parts the way a horn player would.
#[derive(Debug, Parser)]
#[command(version, about, max_term_width = 100, after_help = AFTER)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Say what a horn player would say about the parts in these files
    Check(CheckArguments),
    /// Show a class its own horn parts, live, on a page served from this machine
    Class(ClassArguments),
    /// Fix what can be fixed without changing the music
    Fix(FixArguments),
    /// Write horn parts for another crook or at concert pitch, or cues into them; what sounds stays as it is
    Rewrite(RewriteArguments),
    /// Show the horn parts as their players read them
    Notes(NotesArguments),
    /// Draw horn parts as pictures (SVG): the line against time, register, hand and mute, breath, lip, findings
    Draw(DrawArguments),
    /// Say how a note is fingered, open and stopped
    Fingering(FingeringArguments),
    /// Say what lies between two notes when they are ripped
    Rip(RipArguments),
    /// Explain a rule, or list all rules
    Explain(ExplainArguments),
    /// Show every value in force for a score or folder, with the file and line it was set in
    Settings(SettingsArguments),
    /// Write what a shell needs to complete this command's words
    Completions(CompletionsArguments),
    /// Write the manual's page, or a page for each command into a folder
    Man(ManArguments),
    /// Serve an editor over standard input and output (Language Server Protocol)
    Lsp(LspArguments),
}

#[derive(Debug, Args)]
pub(crate) struct CheckArguments {
    #[command(flatten)]
    pub(crate) sources: Sources,
    #[command(flatten)]
    pub(crate) narrowed: Narrowed,
    #[command(flatten)]
    pub(crate) choice: Choice,
    /// Judge by what players of this level can do, whatever the settings say of it
    #[arg(long, value_name = "LEVEL", ignore_case = true, value_parser = level())]
    pub(crate) level: Option<horn::Level>,
    /// How to report
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: Report,
    /// A record of known findings, which are not reported and do not count
    #[arg(long, value_name = "FILE", conflicts_with = "write_known")]
    pub(crate) known: Option<PathBuf>,
    /// Write a record of all that is found, for --known; what is known and no longer found is taken out of it
    #[arg(long, value_name = "FILE")]
    pub(crate) write_known: Option<PathBuf>,
    /// Read and judge every score anew, also those that have not changed since the last time
    #[arg(long)]
    pub(crate) no_cache: bool,
    /// Another report, into a file; can be given several times
    #[arg(long, value_name = "FORMAT=FILE", value_parser = target)]
    pub(crate) output: Vec<(Report, PathBuf)>,
    /// Write the page of --format html as a page for each score, and one with the contents (index.html), into this folder
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
    /// List every finding of the text report by itself, also those that say the same of one part
    #[arg(long)]
    pub(crate) full: bool,
    /// Count findings by rule, part and file: below the text report, else on standard error
    #[arg(long)]
    pub(crate) statistics: bool,
    /// Report nothing on standard output; the exit code tells
    #[arg(short, long, conflicts_with_all = ["format", "full", "statistics"])]
    pub(crate) quiet: bool,
    /// The mildest severity that makes the exit code 1, or never
    #[arg(long, value_name = "SEVERITY", default_value = "warning", ignore_case = true, value_parser = fail_on())]
    pub(crate) fail_on: FailOn,
    /// Go on, and report a score again when it or its settings change, until Ctrl-C
    #[arg(short, long, conflicts_with_all = ["staged", "write_known", "output", "quiet", "stdin_name", "fail_on"])]
    pub(crate) watch: bool,
}

#[derive(Debug, Args)]
pub(crate) struct FixArguments {
    #[command(flatten)]
    pub(crate) sources: Sources,
    #[command(flatten)]
    pub(crate) narrowed: Narrowed,
    /// Show the changes instead of writing them; the exit code is 1 where there are any
    #[arg(long)]
    pub(crate) diff: bool,
    /// Also apply fixes that change the music (the first that each finding offers, or the next where that is refused)
    #[arg(long)]
    pub(crate) review: bool,
    /// The mildest severity left over that makes the exit code 1, or never
    #[arg(long, value_name = "SEVERITY", default_value = "warning", ignore_case = true, value_parser = fail_on())]
    pub(crate) fail_on: FailOn,
}

#[derive(Debug, Args)]
pub(crate) struct RewriteArguments {
    #[command(flatten)]
    pub(crate) sources: Sources,
    /// The part, by its name, number or id, or as in "Horn in F, second"; all horn parts when it is left out
    #[arg(long, value_name = "PART")]
    pub(crate) part: Option<String>,
    /// What to write it for: a crook ("horn in F", "E flat", "B flat basso") or "concert"
    #[arg(long = "for", value_name = "CROOK", value_parser = meant::written_for, required_unless_present = "cues")]
    pub(crate) target: Option<horn::WrittenFor>,
    /// Write a cue before every entry after a long rest that has none: small notes in MusicXML, elsewhere words
    #[arg(long, conflicts_with = "target")]
    pub(crate) cues: bool,
    /// Show the changes instead of writing them
    #[arg(long)]
    pub(crate) diff: bool,
}

#[derive(Debug, Args)]
pub(crate) struct NotesArguments {
    #[command(flatten)]
    pub(crate) sources: Sources,
    /// How to report
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: Shape,
    /// Write the horns as they sound to a Standard MIDI File, to be heard in any program that plays one
    #[arg(long, value_name = "FILE", conflicts_with = "format")]
    pub(crate) midi: Option<PathBuf>,
    /// Write all parts to that file, not the horns alone
    #[arg(long, requires = "midi")]
    pub(crate) all_parts: bool,
}

#[derive(Debug, Args)]
pub(crate) struct DrawArguments {
    #[command(flatten)]
    pub(crate) sources: Sources,
    /// The part, by its name, number or id; not needed where there is only one horn part, or for all of them with --into
    #[arg(long, value_name = "PART")]
    pub(crate) part: Option<String>,
    /// Which pitch to draw
    #[arg(long, value_enum, default_value_t)]
    pub(crate) pitch: Pitch,
    /// How wide the picture is, in pixels
    #[arg(long, value_name = "PIXELS", default_value_t = 960, value_parser = clap::value_parser!(u16).range(240..=10000))]
    pub(crate) width: u16,
    /// Draw the part alone, as it lies on the stand: no registers, breath, lip and findings
    #[arg(long)]
    pub(crate) plain: bool,
    /// Write the best fingering and the partial below each note: F12/8 is the F side, valves 1 and 2, partial 8
    #[arg(long)]
    pub(crate) fingering: bool,
    /// Write below each note when it is played first, in minutes and seconds
    #[arg(long)]
    pub(crate) seconds: bool,
    /// Leave out breath and lip below each line
    #[arg(long)]
    pub(crate) no_effort: bool,
    /// Lay each part out on pages, one HTML file to print from any browser
    #[arg(
        long,
        value_name = "PAPER",
        value_enum,
        requires = "into",
        conflicts_with = "width"
    )]
    pub(crate) page: Option<Paper>,
    /// Write a file for each part into this folder, instead of one to standard output
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
}

/// The paper that is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 inches
    Letter,
}

impl From<Paper> for picture::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => Self::A4,
            Paper::Letter => Self::Letter,
        }
    }
}

/// The pitch that is drawn.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Pitch {
    /// As the player reads it
    #[default]
    Written,
    /// As it sounds
    Sounding,
}

impl From<Pitch> for picture::Pitched {
    fn from(pitch: Pitch) -> Self {
        match pitch {
            Pitch::Written => Self::Written,
            Pitch::Sounding => Self::Sounding,
        }
    }
}

#[derive(Debug, Args)]
pub(crate) struct RipArguments {
    /// The first note, as written for horn in F: C4 is middle C; H4, B♭4 and ABC's _B are read too
    #[arg(value_parser = pitch::written)]
    pub(crate) from: theory::WrittenPitch,
    /// The last note
    #[arg(value_parser = pitch::written)]
    pub(crate) to: theory::WrittenPitch,
    /// The kind of horn: double, "single F", "single B flat" or triple
    #[arg(long, value_name = "KIND", default_value = "double", value_parser = meant::instrument)]
    pub(crate) instrument: horn::Instrument,
}

#[derive(Debug, Args)]
pub(crate) struct FingeringArguments {
    /// The note, as written: C4 is middle C; H4, B♭4 and ABC's _B are read too
    #[arg(value_parser = pitch::written)]
    pub(crate) note: theory::WrittenPitch,
    /// The kind of horn: double, "single F", "single B flat" or triple
    #[arg(long, value_name = "KIND", default_value = "double", value_parser = meant::instrument)]
    pub(crate) instrument: horn::Instrument,
    /// What the note is written for ("E flat", "B flat basso"), or "concert"
    #[arg(long, value_name = "CROOK", default_value = "F", value_parser = crook)]
    pub(crate) crook: horn::Crook,
}

#[derive(Debug, Args)]
pub(crate) struct LspArguments {
    /// Standard input and output, which is all there is; many clients say so
    #[arg(long)]
    pub(crate) stdio: bool,
}

#[derive(Debug, Args)]
pub(crate) struct ExplainArguments {
    /// The rule, such as range/too-high; all are listed when none is named
    #[arg(value_parser = RuleName, hide_possible_values = true)]
    pub(crate) rule: Option<String>,
    /// The whole rule book, in Markdown
    #[arg(long, conflicts_with = "rule")]
    pub(crate) book: bool,
    /// The JSON Schema of bellhand.toml, for editors that complete and check it
    #[arg(long, conflicts_with_all = ["rule", "book"])]
    pub(crate) settings_schema: bool,
}

#[derive(Debug, Args)]
pub(crate) struct SettingsArguments {
    /// The score, or the folder of scores; with --new all scores to learn words and names from
    #[arg(value_name = "PATH")]
    pub(crate) paths: Vec<PathBuf>,
    /// Write a new settings file to standard output, with all that can be set and the words and names the scores mostly use
    #[arg(long, conflicts_with_all = ["settings", "part", "only_set", "format"])]
    pub(crate) new: bool,
    /// What the new file starts from
    #[arg(long, value_enum, requires = "new")]
    pub(crate) style: Option<HouseStyle>,
    /// The settings file, instead of the nearest bellhand.toml
    #[arg(long, value_name = "FILE")]
    pub(crate) settings: Option<PathBuf>,
    /// The values for a part, by its name
    #[arg(long, value_name = "PART")]
    pub(crate) part: Option<String>,
    /// Leave out what is bellhand's default
    #[arg(long)]
    pub(crate) only_set: bool,
    /// How to report
    #[arg(long, value_enum, default_value_t)]
    pub(crate) format: Shape,
}

#[derive(Debug, Args)]
pub(crate) struct CompletionsArguments {
    /// The shell
    #[arg(value_enum)]
    pub(crate) shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub(crate) struct ManArguments {
    /// The folder for the pages of all commands
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
}

/// How it is said that no finding makes the exit code 1.
const NEVER: &str = "never";

/// What makes the exit code 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FailOn {
    /// A finding as grave as this, or graver.
    At(Severity),
    /// Nothing that is found.
    Never,
}

impl FailOn {
    /// Whether a finding of this severity makes the exit code 1.
    pub(crate) fn is_reached_by(self, severity: Severity) -> bool {
        matches!(self, Self::At(mildest) if severity >= mildest)
    }
}

/// The severities, and never.
fn fail_on() -> impl TypedValueParser<Value = FailOn> {
    let names = Severity::ALL.map(Severity::name).into_iter();
    PossibleValuesParser::new(names.chain([NEVER])).try_map(|words| {
        if words.eq_ignore_ascii_case(NEVER) {
            return Ok(FailOn::Never);
        }
        words.parse().map(FailOn::At)
    })
}

/// The levels of players.
fn level() -> impl TypedValueParser<Value = horn::Level> {
    PossibleValuesParser::new(horn::Level::ALL.map(horn::Level::name))
        .try_map(|words| words.parse::<horn::Level>())
}

/// The shape of a report of findings.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Report {
    /// For people
    #[default]
    Text,
    /// For programs
    Json,
    /// For reading, printing and showing in class: a page with a picture of each part (HTML)
    Html,
    /// For code hosts and editors that show many tools' findings (SARIF 2.1.0)
    Sarif,
    /// A line for each finding: path:line:column: severity rule: message
    Line,
    /// For CI services that show tests (JUnit XML): a suite for each file, a case for each finding
    Junit,
    /// GitHub's workflow commands, which annotate the lines of a change
    Github,
    /// GitLab's Code Quality report
    Gitlab,
}

/// A style for a house to start from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum HouseStyle {
    /// A concert band: many players of many levels, signatures wanted
    ConcertBand,
    /// A film desk: parts read at sight, once
    FilmDesk,
    /// An opera orchestra: Italian words, long evenings
    OperaOrchestra,
    /// A historical edition: what stands in the source stays
    HistoricalEdition,
    /// Beginners: short range, long rests
    Beginners,
}

/// The shape of a list.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Shape {
    /// For people
    #[default]
    Text,
    /// For programs
    Json,
}

fn crook(words: &str) -> Result<horn::Crook, String> {
    meant::written_for(words).map(horn::WrittenFor::crook)
}

fn target(words: &str) -> Result<(Report, PathBuf), String> {
    let (format, path) = words
        .split_once('=')
        .filter(|(_, path)| !path.is_empty())
        .ok_or_else(|| format!("`{words}` names no file; write it as in sarif=report.sarif"))?;
    Ok((meant::report(format)?, path.into()))
}
