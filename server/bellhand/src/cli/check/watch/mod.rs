//! `bellhand check --watch`: goes on after the report, and reports a score again when it or its settings change.
//!
//! What the system says has happened only tells where to look; whether a score is reported again is decided by a digest
//! of all that its findings rest on, so that a save that changes nothing says nothing.

mod folders;
mod look;

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::io::Write as _;
use std::path::{Path, PathBuf};

use files::input::{self, is_stdin};
use files::{Outcome, Search, complain};

use super::formats::Shape;
use super::tally::Tally;
use super::{Plan, bar, cache, number, record, shapes};
use crate::cli::arguments::{CheckArguments, Report};
use folders::{Changed, Folders};
use look::{Last, Look, look};

/// Scores that are watched.
struct Watch<'a> {
    plan: Plan<'a>,
    folders: Folders,
    scores: BTreeMap<PathBuf, Last>,
    /// What has been complained about of the search.
    told: BTreeSet<String>,
    /// How often the record of known findings has changed.
    records: usize,
}

/// Why watching ends.
enum Ended {
    /// The system cannot tell what changes.
    Unwatched(notify::Error),
    /// What is said cannot be written.
    Unwritten(std::io::Error),
}

impl From<notify::Error> for Ended {
    fn from(error: notify::Error) -> Self {
        Self::Unwatched(error)
    }
}

impl From<std::io::Error> for Ended {
    fn from(error: std::io::Error) -> Self {
        Self::Unwritten(error)
    }
}

/// What a round of looking came to.
#[derive(Debug, Default)]
struct Round {
    reported: Vec<PathBuf>,
    gone: Vec<PathBuf>,
    tally: Tally,
    /// Settings files that were read.
    settings: BTreeSet<PathBuf>,
}

/// Watches until the process is ended, or until nobody reads what it says.
pub(super) fn run(arguments: &CheckArguments) -> std::io::Result<Outcome> {
    if let Some(why) = refusal(arguments) {
        complain(why);
        return Ok(Outcome::Failed);
    }
    let shapes = shapes(arguments);
    match begun(arguments, &shapes) {
        Ok(mut watch) => match watch.run() {
            Ended::Unwatched(error) => complain(&unwatched(&error)),
            Ended::Unwritten(error) => return Err(error),
        },
        Err(why) => complain(&why),
    }
    Ok(Outcome::Failed)
}

/// Why what is asked for cannot be watched.
fn refusal(arguments: &CheckArguments) -> Option<&'static str> {
    if arguments.sources.paths.iter().any(|path| is_stdin(path)) {
        return Some(
            "standard input ends, and cannot be watched; name files or folders with --watch",
        );
    }
    (!matches!(arguments.format, Report::Text | Report::Line)).then_some(
        "a report that is one document cannot go on; --watch goes with --format text or line",
    )
}

/// Makes ready. Fails with what to tell the user.
fn begun<'a>(
    arguments: &'a CheckArguments,
    shapes: &'a [Box<dyn Shape>],
) -> Result<Watch<'a>, String> {
    let mut folders = Folders::new().map_err(|error| unwatched(&error))?;
    for file in [&arguments.sources.settings, &arguments.known]
        .into_iter()
        .flatten()
    {
        folders.heed(file);
    }
    Ok(Watch {
        plan: Plan {
            arguments,
            shapes,
            known: record(arguments)?,
            cache: cache(arguments, shapes),
        },
        folders,
        scores: BTreeMap::new(),
        told: BTreeSet::new(),
        records: 0,
    })
}

fn unwatched(error: &notify::Error) -> String {
    format!("this system cannot tell when files change: {error}")
}

impl Watch<'_> {
    /// Goes on for as long as it can.
    fn run(&mut self) -> Ended {
        let mut changed = Changed::everything();
        let mut first = true;
        loop {
            let again = self.round(&changed, first);
            changed = match again {
                // What changed in a folder before it was watched was seen by nobody.
                Ok(true) => Changed::everything(),
                Ok(false) => match self.folders.wait() {
                    Ok(changed) => changed,
                    Err(error) => return error.into(),
                },
                Err(ended) => return ended,
            };
            first = false;
        }
    }

    /// Looks at what may have changed, and reports what has; whether more must be looked at now.
    fn round(&mut self, changed: &Changed, first: bool) -> Result<bool, Ended> {
        if changed.everything {
            self.read_record();
        }
        let files = self.search()?;
        let mut round = self.begin(&files);
        let meant = |path: &&PathBuf| {
            let named = path
                .file_name()
                .is_some_and(|name| changed.names.contains(name));
            changed.everything || named || !self.scores.contains_key(*path)
        };
        let files: Vec<PathBuf> = files.iter().filter(meant).cloned().collect();
        self.look_at(&files, &mut round)?;
        if let Some(cache) = &self.plan.cache {
            cache.tidy();
        }
        let mut again = false;
        for file in &round.settings {
            again |= self.folders.heed(file);
        }
        if first || !round.reported.is_empty() || !round.gone.is_empty() {
            self.sum_up(&round, first)?;
        }
        Ok(again)
    }

    /// Begins a round by letting go the scores that are there no longer.
    fn begin(&mut self, files: &[PathBuf]) -> Round {
        let there: HashSet<&PathBuf> = files.iter().collect();
        let mut round = Round::default();
        self.scores.retain(|path, _| {
            let is_there = there.contains(path);
            if !is_there {
                round.gone.push(path.clone());
            }
            is_there
        });
        round
    }

    /// The scores as they are now, all folders watched that they were looked for in.
    fn search(&mut self) -> notify::Result<Vec<PathBuf>> {
        let arguments = self.plan.arguments;
        loop {
            let search = Search::of(&arguments.sources, &arguments.narrowed);
            let mut any = false;
            for folder in &search.folders {
                any |= self.folders.search(folder)?;
            }
            for folder in &search.folders {
                any |= self.folders.look_above(folder);
            }
            // Those that are named may have any name.
            for path in &arguments.sources.paths {
                any |= self.folders.heed(path);
            }
            // What came into a folder before it was watched was seen by nobody.
            if any {
                continue;
            }
            let complaints: BTreeSet<String> = search.complaints.into_iter().collect();
            complaints
                .difference(&self.told)
                .for_each(|why| complain(why));
            self.told = complaints;
            return Ok(search.files);
        }
    }

    /// Reads the record of known findings again.
    fn read_record(&mut self) {
        match record(self.plan.arguments) {
            Ok(known) if known != self.plan.known => {
                self.plan.known = known;
                self.records += 1;
            }
            Ok(_) => {}
            // What was known goes on being known.
            Err(why) => complain(&why),
        }
    }

    /// Reads some scores again, and reports those of which something else may be said now.
    fn look_at(&mut self, files: &[PathBuf], round: &mut Round) -> std::io::Result<()> {
        let (plan, records) = (&self.plan, self.records);
        let last: HashMap<&Path, &Last> = files
            .iter()
            .filter_map(|path| Some((path.as_path(), self.scores.get(path)?)))
            .collect();
        let mut out = anstream::stdout();
        let mut now = Vec::new();
        input::each(
            files,
            &bar(plan.arguments, files.len()),
            |number, path| Ok(look(number, path, last.get(path).copied(), plan, records)),
            |(path, look, settings)| {
                round.settings.extend(settings);
                let last = match look {
                    Look::Same => return Ok(()),
                    Look::Reported(digest, reported) => {
                        for chunk in &reported.chunks {
                            out.write_all(chunk)?;
                        }
                        round.tally.add(&reported.tally);
                        round.reported.push(path.clone());
                        Last::Reported {
                            digest,
                            tally: reported.tally,
                            known: reported.known,
                        }
                    }
                    Look::Unread(why) => {
                        complain(&why);
                        Last::Unread(why)
                    }
                };
                now.push((path, last));
                Ok(())
            },
        )?;
        out.flush()?;
        self.scores.extend(now);
        Ok(())
    }

    /// Says in a line what changed and what all scores come to.
    fn sum_up(&self, round: &Round, first: bool) -> std::io::Result<()> {
        let (mut sum, mut known) = (Tally::default(), 0);
        for score in self.scores.values() {
            if let Last::Reported {
                tally, known: of, ..
            } = score
            {
                sum.add(tally);
                known += of;
            }
        }
        let mut said = Vec::new();
        if !first {
            said.extend(
                those(&round.reported).map(|who| format!("{who}: {}", round.tally.summary())),
            );
            said.extend(those(&round.gone).map(|who| match round.gone.len() {
                1 => format!("{who} is gone."),
                _ => format!("{who} are gone."),
            }));
        }
        if first || sum.scores != round.reported.len() {
            said.push(format!("All {}: {}", scores(sum.scores), sum.summary()));
        }
        if known > 0 {
            said.push(format!(
                "{} known and not reported.",
                number(known, "is", "are")
            ));
        }
        if first {
            said.push("Watching for changes; Ctrl-C ends.".to_owned());
        }
        let mut words = said.join(" ");
        words.push('\n');
        if self.plan.arguments.statistics {
            words += &sum.statistics();
        }
        if self.plan.arguments.format == Report::Text {
            let mut out = anstream::stdout();
            // The next report stands apart from this one.
            writeln!(out, "{words}")?;
            out.flush()
        } else {
            anstream::stderr().write_all(words.as_bytes())
        }
    }
}

/// Some scores by the name of the one, or their number.
fn those(paths: &[PathBuf]) -> Option<String> {
    match paths {
        [] => None,
        [one] => Some(one.display().to_string()),
        several => Some(scores(several.len())),
    }
}

fn scores(many: usize) -> String {
    match many {
        1 => "1 score".to_owned(),
        many => format!("{many} scores"),
    }
}
