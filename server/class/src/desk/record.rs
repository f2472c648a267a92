//! Which pieces were begun at desks and when, so that a day's can be deleted: a line for each in a hidden file of the
//! class's folder, and nothing else.

use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read as _, Write as _};
use std::path::{Component, Path, PathBuf};
use std::str::FromStr;

use chrono::{Local, NaiveDate};
use files::write::put;

/// The record's name in the class's folder.
const NAME: &str = ".bellhand-desks";
/// No record is larger, in bytes.
const LARGEST: u64 = 16 << 20;

/// A day, as it is here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day(NaiveDate);

impl Day {
    /// Today.
    fn today() -> Self {
        Self(Local::now().date_naive())
    }
}

impl FromStr for Day {
    type Err = String;

    /// Reads `today`, or a date as in 2026-11-27.
    fn from_str(words: &str) -> Result<Self, String> {
        if words.eq_ignore_ascii_case("today") {
            return Ok(Self::today());
        }
        words
            .parse()
            .map(Self)
            .map_err(|_| format!("`{words}` is no day; write today, or a date as in 2026-11-27"))
    }
}

/// Notes that a piece was begun today, by its path from the class's folder.
pub(super) fn note(folder: &Path, piece: &Path) -> std::io::Result<()> {
    let path = folder.join(NAME);
    let mut record = OpenOptions::new().append(true).create(true).open(path)?;
    let Day(today) = Day::today();
    // A line at a time, so that two that are noted at once do not mix.
    record.write_all(format!("{today} {}\n", piece.display()).as_bytes())
}

/// Deletes the pieces that were begun at desks on a day, and folders that are empty then. Gives their paths.
///
/// Fails with what to tell the teacher where something could not be deleted; the rest is.
pub(crate) fn forget(folder: &Path, Day(day): Day) -> Result<Vec<PathBuf>, String> {
    let path = folder.join(NAME);
    let cannot = |error: std::io::Error| format!("{}: {error}", path.display());
    let mut record = String::new();
    match File::open(&path) {
        Ok(file) => {
            let read = file.take(LARGEST).read_to_string(&mut record);
            read.map_err(cannot)?;
        }
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(cannot(error)),
    }
    let (mut deleted, mut left, mut failures) = (Vec::new(), String::new(), Vec::new());
    for line in record.lines() {
        let begun = line
            .split_once(' ')
            .filter(|(begun, _)| begun.parse::<NaiveDate>().is_ok_and(|begun| begun == day));
        let Some(piece) = begun.and_then(|(_, piece)| piece_in(folder, piece)) else {
            left += line;
            left.push('\n');
            continue;
        };
        match std::fs::remove_file(&piece) {
            Ok(()) => {
                if let Some(own) = piece.parent() {
                    // A folder that still holds something stays.
                    let _ = std::fs::remove_dir(own);
                }
                deleted.push(piece);
            }
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            Err(error) => {
                failures.push(format!("{} cannot be deleted: {error}", piece.display()));
                left += line;
                left.push('\n');
            }
        }
    }
    let kept = if left.is_empty() {
        std::fs::remove_file(&path)
    } else {
        put(&path, left.as_bytes())
    };
    failures.extend(kept.err().map(cannot));
    if failures.is_empty() {
        Ok(deleted)
    } else {
        Err(failures.join("\n"))
    }
}

/// Where a piece of the record lies: in a folder of the class's folder, which is no link, and nowhere else.
fn piece_in(folder: &Path, piece: &str) -> Option<PathBuf> {
    let within = Path::new(piece);
    let steps: Vec<Component<'_>> = within.components().collect();
    let [Component::Normal(own), Component::Normal(_)] = steps.as_slice() else {
        return None;
    };
    let own = std::fs::symlink_metadata(folder.join(own)).ok()?;
    own.is_dir().then(|| folder.join(within))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(words: &str) -> Day {
        words.parse().unwrap()
    }

    #[test]
    fn a_day_is_deleted_and_nothing_else() {
        let class = tempfile::tempdir().unwrap();
        let folder = class.path();
        for piece in [
            "ada/old.abc",
            "ada/new.abc",
            "ben/new.abc",
            "ben/own.abc",
            "keep.abc",
        ] {
            std::fs::create_dir_all(folder.join(piece).parent().unwrap()).unwrap();
            std::fs::write(folder.join(piece), "").unwrap();
        }
        let record = folder.join(NAME);
        std::fs::write(
            &record,
            "2026-11-26 ada/old.abc\n2026-11-27 ada/new.abc\n2026-11-27 ben/new.abc\n2026-11-27 ben/gone.abc\n\
             2026-11-27 ../keep.abc\n2026-11-27 keep.abc\n2026-11-27 ada/../keep.abc\n2026-11-27 /etc/hostname\nodd\n",
        )
        .unwrap();
        let deleted = forget(folder, day("2026-11-27")).unwrap();
        assert_eq!(
            deleted,
            [folder.join("ada/new.abc"), folder.join("ben/new.abc")]
        );
        for piece in ["ada/old.abc", "ben/own.abc", "keep.abc"] {
            assert!(folder.join(piece).exists(), "{piece}");
        }
        // A second time there is nothing to do, and the other day is still known.
        assert_eq!(
            forget(folder, day("2026-11-27")).unwrap(),
            [] as [PathBuf; 0]
        );
        assert_eq!(
            forget(folder, day("2026-11-26")).unwrap(),
            [folder.join("ada/old.abc")]
        );
        assert!(!folder.join("ada").exists());
    }

    #[test]
    fn what_is_begun_is_begun_today() {
        let class = tempfile::tempdir().unwrap();
        std::fs::create_dir(class.path().join("ada")).unwrap();
        std::fs::write(class.path().join("ada/a b.abc"), "").unwrap();
        note(class.path(), Path::new("ada/a b.abc")).unwrap();
        let deleted = forget(class.path(), day("today")).unwrap();
        assert_eq!(deleted, [class.path().join("ada/a b.abc")]);
        assert_eq!(std::fs::read_dir(class.path()).unwrap().count(), 0);
        assert!("yesterday".parse::<Day>().is_err());
    }
}
