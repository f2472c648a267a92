//! A record of findings that are known and let be, so that only new ones count: by file, part, rule and the bar's own music.
//!
//! A line for each, sorted, no line numbers, so that it changes only where music does and can be merged as text.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::path::{Path, PathBuf};

use files::{Remark, Verdict, fingerprint, input, write};
use serde::{Deserialize, Serialize};

use crate::cli::choice::Choice;

/// The version of the record's shape, which stands in its first line.
const VERSION: u32 = 1;

/// The first line.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    bellhand_known: u32,
}

/// What is known of a file, any number of times.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
struct Line {
    file: String,
    #[serde(flatten)]
    what: What,
    count: usize,
}

/// A finding as it is known again.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
struct What {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    part: Option<String>,
    rule: String,
    fingerprint: String,
}

/// How often each is known.
type Counts = BTreeMap<What, usize>;

/// A record.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Known {
    path: PathBuf,
    /// The record's folder, from which the files are named.
    folder: PathBuf,
    files: BTreeMap<String, Counts>,
}

/// What a record says of one file's findings.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Recalled {
    /// Which of them are known.
    pub(crate) known: Vec<bool>,
    /// How many are known and no longer found.
    pub(crate) gone: usize,
}

/// A file's findings, to be known from now on.
#[derive(Debug)]
pub(crate) struct Found {
    file: String,
    counts: Counts,
}

impl Known {
    /// Reads a record. Fails with what to tell the user.
    pub(crate) fn read(path: &Path) -> Result<Self, String> {
        let text = String::from_utf8(input::bytes(path)?)
            .map_err(|_| format!("{} is no record of known findings", path.display()))?;
        let mut known = Self::new(path);
        for (number, line) in (1..).zip(text.lines()) {
            let at = |why: serde_json::Error| {
                format!(
                    "{}:{number}: this is no line of a record of known findings ({why}); `--write-known {0}` writes it anew",
                    path.display()
                )
            };
            if number == 1 {
                let head: Head = serde_json::from_str(line).map_err(at)?;
                if head.bellhand_known != VERSION {
                    return Err(format!(
                        "{} is of version {}, and this program reads version {VERSION}",
                        path.display(),
                        head.bellhand_known
                    ));
                }
                continue;
            }
            let line: Line = serde_json::from_str(line).map_err(at)?;
            *known
                .files
                .entry(line.file)
                .or_default()
                .entry(line.what)
                .or_default() += line.count;
        }
        Ok(known)
    }

    /// A record of nothing.
    pub(crate) fn new(path: &Path) -> Self {
        let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let folder = whole.parent().unwrap_or(&whole);
        Self {
            path: path.to_owned(),
            folder: folder.canonicalize().unwrap_or_else(|_| folder.to_owned()),
            files: BTreeMap::new(),
        }
    }

    /// What is known of a file's findings. Of rules that are not chosen nothing is looked for, and so nothing gone.
    ///
    /// Where a part that is known goes by that name no longer, it may have been given another: what is known of it is
    /// known of a part that has the same music.
    pub(crate) fn recall(&self, path: &Path, verdict: &Verdict, choice: &Choice) -> Recalled {
        let remarks = &verdict.remarks;
        let empty = Counts::new();
        let counts = self.name(path).and_then(|name| self.files.get(&name));
        let mut left = counts.unwrap_or(&empty).clone();
        let each = remarks.iter();
        let mut known: Vec<bool> = each.map(|remark| take(&mut left, &what(remark))).collect();
        let former = former_names(&left, verdict);
        let unknown = remarks.iter().zip(&mut known).filter(|(_, known)| !**known);
        for (remark, known) in unknown.filter(|(remark, _)| remark.part.is_some()) {
            *known = former.iter().any(|name| {
                let who = remark.as_part(name);
                let what = What {
                    rule: remark.rule.clone(),
                    fingerprint: fingerprint(remark, &who),
                    part: Some(who),
                };
                take(&mut left, &what)
            });
        }
        let gone = left.iter().filter(|(what, _)| choice.holds(&what.rule));
        Recalled {
            known,
            gone: gone.map(|(_, count)| count).sum(),
        }
    }

    /// What is to be known of a file from now on; nothing of what has no name.
    pub(crate) fn found(&self, path: &Path, remarks: &[Remark]) -> Option<Found> {
        let mut counts = Counts::new();
        for remark in remarks {
            *counts.entry(what(remark)).or_default() += 1;
        }
        let file = self.name(path)?;
        Some(Found { file, counts })
    }

    /// Knows what was found in a file, in place of what was known; what is known of rules that are not chosen stays.
    pub(crate) fn learn(&mut self, found: Found, choice: &Choice) {
        let known = self.files.entry(found.file).or_default();
        known.retain(|what, _| !choice.holds(&what.rule));
        known.extend(found.counts);
    }

    /// How many findings are known of files that are there no longer.
    pub(crate) fn lost(&self) -> usize {
        let lost = self.files.iter().filter(|(name, _)| !self.is_there(name));
        lost.flat_map(|(_, counts)| counts.values()).sum()
    }

    /// Writes the record, without the files that are there no longer. How many findings are known. Fails with what to
    /// tell the user.
    pub(crate) fn write(&self) -> Result<usize, String> {
        let mut many = 0;
        let head = Head {
            bellhand_known: VERSION,
        };
        let cannot = |why: &dyn std::fmt::Display| {
            format!("{} cannot be written: {why}", self.path.display())
        };
        let mut text = serde_json::to_string(&head).map_err(|why| cannot(&why))? + "\n";
        for (file, counts) in self.files.iter().filter(|(name, _)| self.is_there(name)) {
            for (what, count) in counts {
                many += count;
                let line = Line {
                    file: file.clone(),
                    what: what.clone(),
                    count: *count,
                };
                text += &serde_json::to_string(&line).map_err(|why| cannot(&why))?;
                text.push('\n');
            }
        }
        write::put(&self.path, text.as_bytes()).map_err(|why| cannot(&why))?;
        Ok(many)
    }

    fn is_there(&self, name: &str) -> bool {
        self.folder.join(name).exists()
    }

    /// A file as the record names it, from its own folder; none where it has no name.
    fn name(&self, path: &Path) -> Option<String> {
        if path == Path::new("-") {
            return None;
        }
        let whole = path
            .canonicalize()
            .or_else(|_| std::path::absolute(path))
            .ok()?;
        let name = pathdiff::diff_paths(whole, &self.folder)?;
        let names = name
            .components()
            .map(|one| one.as_os_str().to_string_lossy());
        Some(names.collect::<Vec<_>>().join("/"))
    }
}

/// Takes one of what is left to be known; whether there was one.
fn take(left: &mut Counts, what: &What) -> bool {
    match left.get_mut(what) {
        Some(count) if *count > 0 => {
            *count -= 1;
            true
        }
        _ => false,
    }
}

/// The names of parts that something is still known of, and that no part has any more.
fn former_names(left: &Counts, verdict: &Verdict) -> BTreeSet<String> {
    let now: HashSet<&str> = verdict.horns.iter().map(String::as_str).collect();
    let known = left.iter().filter(|(_, count)| **count > 0);
    let names = known.filter_map(|(what, _)| what.part.as_deref());
    let names = names.map(|who| match who.rsplit_once(", player ") {
        Some((part, player)) if player.parse::<u8>().is_ok() => part,
        _ => who,
    });
    let former = names.filter(|name| !now.contains(name));
    former.map(str::to_owned).collect()
}

fn what(remark: &Remark) -> What {
    let part = remark.who();
    What {
        rule: remark.rule.clone(),
        fingerprint: fingerprint(remark, part.as_deref().unwrap_or_default()),
        part,
    }
}
