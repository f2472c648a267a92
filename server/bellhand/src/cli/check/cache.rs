//! What was said of scores before, kept in the user's cache folder, so that an unchanged score is not read and judged again.
//!
//! A verdict is found by a digest of all that it rests on: the score's bytes, its notation and settings, what is wanted
//! of it, and the very program. Another of these is another verdict, so nothing is ever out of date.

use std::fs::{File, Metadata};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, SystemTime};

use etcetera::BaseStrategy as _;
use files::digest::hex;
use files::input::{self, Held};
use files::{Verdict, Wanted};
use sha2::{Digest as _, Sha256};

/// The variable of the environment that names another folder; where it is empty, nothing is kept.
const VARIABLE: &str = "BELLHAND_CACHE_DIR";

/// How much is kept, in bytes. Bellhand's own choice.
const MOST: u64 = 256 << 20;

/// How long a verdict may be used before that is noted. Bellhand's own choice.
const NOTED: Duration = Duration::from_secs(24 * 60 * 60);

/// A cache.
#[derive(Debug)]
pub(crate) struct Cache {
    folder: PathBuf,
    /// What tells this program from another version or build.
    program: String,
    written: AtomicBool,
}

/// What a verdict is found by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Key(String);

impl Cache {
    /// The user's cache; none where there is no place for one.
    pub(crate) fn of_user() -> Option<Self> {
        let folder = match std::env::var_os(VARIABLE) {
            Some(name) if name.is_empty() => return None,
            Some(name) => PathBuf::from(name),
            None => etcetera::choose_base_strategy()
                .ok()?
                .cache_dir()
                .join(env!("CARGO_PKG_NAME")),
        };
        Some(Self::new(folder, program()?))
    }

    const fn new(folder: PathBuf, program: String) -> Self {
        Self {
            folder,
            program,
            written: AtomicBool::new(false),
        }
    }

    /// What a verdict on a source is found by.
    pub(crate) fn key(&self, held: &Held, wanted: Wanted) -> Key {
        let mut digest = Sha256::new();
        digest.update(format!("{}\0{wanted:?}\0", self.program));
        held.digest(&mut digest);
        Key(hex(&digest.finalize()))
    }

    /// What was said before; nothing where it is damaged.
    pub(crate) fn get(&self, key: &Key) -> Option<Verdict> {
        let path = self.path(key);
        let bytes = input::bytes(&path).ok()?;
        let end = bytes.iter().position(|byte| *byte == b'\n')?;
        let (sum, verdict) = bytes.split_at(end);
        let verdict = verdict.get(1..)?;
        if sum != hex(&Sha256::digest(verdict)).as_bytes() {
            return None;
        }
        let verdict = serde_json::from_slice(verdict).ok()?;
        note_use(&path);
        Some(verdict)
    }

    /// Keeps what is said. Where that fails, it is made again another time.
    pub(crate) fn put(&self, key: &Key, verdict: &Verdict) {
        self.written.store(true, Ordering::Relaxed);
        let _ = self.try_put(key, verdict);
    }

    fn try_put(&self, key: &Key, verdict: &Verdict) -> std::io::Result<()> {
        let path = self.path(key);
        let folder = path.parent().unwrap_or(&self.folder);
        std::fs::create_dir_all(folder)?;
        let verdict = serde_json::to_vec(verdict)?;
        // Whoever looks finds all of it or nothing; what a crash leaves half written has another sum.
        let mut file = tempfile::NamedTempFile::new_in(folder)?;
        writeln!(file, "{}", hex(&Sha256::digest(&verdict)))?;
        file.write_all(&verdict)?;
        file.persist(path)?;
        Ok(())
    }

    /// Drops what was not used for longest, where there is too much.
    pub(crate) fn tidy(&self) {
        if self.written.load(Ordering::Relaxed) {
            self.hold_to(MOST);
        }
    }

    fn hold_to(&self, most: u64) {
        let mut all: Vec<(SystemTime, u64, PathBuf)> = Vec::new();
        for folder in entries(&self.verdicts()) {
            let files = entries(&folder.0).into_iter();
            all.extend(
                files.filter_map(|(path, data)| Some((data.modified().ok()?, data.len(), path))),
            );
        }
        let mut held: u64 = all.iter().map(|(_, length, _)| length).sum();
        if held <= most {
            return;
        }
        all.sort();
        // Some room is made at once, so that not every run has to.
        for (_, length, path) in all {
            if held <= most / 4 * 3 {
                break;
            }
            // Another run may have dropped it.
            let _ = std::fs::remove_file(path);
            held -= length;
        }
    }

    fn verdicts(&self) -> PathBuf {
        self.folder.join("verdicts")
    }

    fn path(&self, key: &Key) -> PathBuf {
        let (folder, name) = key.0.split_at(2);
        self.verdicts().join(folder).join(name)
    }
}

/// The version of the program, and which build it is.
fn program() -> Option<String> {
    let program = std::env::current_exe().ok()?;
    let data = std::fs::metadata(program).ok()?;
    let version = env!("CARGO_PKG_VERSION");
    Some(format!(
        "{version} {} {:?}",
        data.len(),
        data.modified().ok()?
    ))
}

/// What is in a folder.
fn entries(folder: &Path) -> Vec<(PathBuf, Metadata)> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let entries = entries.filter_map(Result::ok);
    entries
        .filter_map(|entry| Some((entry.path(), entry.metadata().ok()?)))
        .collect()
}

/// Notes that a verdict is in use, now and then.
fn note_use(path: &Path) {
    let used = std::fs::metadata(path).and_then(|data| data.modified());
    let now = SystemTime::now();
    let is_noted = used.is_ok_and(|used| now.duration_since(used).is_ok_and(|ago| ago < NOTED));
    if !is_noted && let Ok(file) = File::options().append(true).open(path) {
        // It is only dropped sooner where that fails.
        let _ = file.set_modified(now);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn verdict(horns: usize) -> Verdict {
        Verdict {
            format: "abc".to_owned(),
            music: true,
            horns: vec!["Horn in F".to_owned(); horns],
            met: Vec::new(),
            remarks: Vec::new(),
        }
    }

    fn key(number: usize) -> Key {
        Key(hex(&Sha256::digest(number.to_string())))
    }

    #[test]
    fn what_is_kept_comes_back_whole_or_not_at_all() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::new(folder.path().to_owned(), "1".to_owned());
        assert_eq!(cache.get(&key(1)), None);
        cache.put(&key(1), &verdict(1));
        assert_eq!(cache.get(&key(1)), Some(verdict(1)));
        assert_eq!(cache.get(&key(2)), None);
        let path = cache.path(&key(1));
        let whole = std::fs::read(&path).unwrap();
        let mut damages = 0;
        for at in 0..whole.len() {
            for damaged in [whole[..at].to_vec(), {
                let mut other = whole.clone();
                other[at] ^= 1;
                other
            }] {
                std::fs::write(&path, damaged).unwrap();
                assert_eq!(cache.get(&key(1)), None, "{at}");
                damages += 1;
            }
        }
        println!("{damages} damages, none taken for a verdict");
        cache.put(&key(1), &verdict(2));
        assert_eq!(cache.get(&key(1)), Some(verdict(2)));
    }

    #[test]
    fn it_is_held_to_its_bound_and_the_oldest_goes_first() {
        let folder = tempfile::tempdir().unwrap();
        let cache = Cache::new(folder.path().to_owned(), "1".to_owned());
        let now = SystemTime::now();
        for number in 0..100 {
            cache.put(&key(number), &verdict(number));
            let ago = 2 * NOTED - Duration::from_secs(number as u64);
            let file = File::options()
                .append(true)
                .open(cache.path(&key(number)))
                .unwrap();
            file.set_modified(now - ago).unwrap();
        }
        // The oldest is used again.
        assert_eq!(cache.get(&key(0)), Some(verdict(0)));
        let each = std::fs::metadata(cache.path(&key(99))).unwrap().len();
        cache.hold_to(each * 200);
        assert!((0..100).all(|number| cache.path(&key(number)).exists()));
        cache.hold_to(each * 40);
        let left: Vec<usize> = (0..100)
            .filter(|number| cache.get(&key(*number)).is_some())
            .collect();
        println!("{} of 100 left", left.len());
        assert!((25..=40).contains(&left.len()), "{left:?}");
        assert_eq!(left[0], 0);
        assert!(left[1] >= 60, "{left:?}");
    }

    #[test]
    fn two_at_once_do_not_disturb_each_other() {
        let folder = tempfile::tempdir().unwrap();
        let caches: Vec<Cache> = (0..4)
            .map(|_| Cache::new(folder.path().to_owned(), "1".to_owned()))
            .collect();
        std::thread::scope(|scope| {
            for cache in &caches {
                scope.spawn(|| {
                    for turn in 0..200 {
                        let number = turn % 10;
                        cache.put(&key(number), &verdict(number));
                        let got = cache.get(&key(number));
                        assert!(got.is_none_or(|got| got == verdict(number)));
                        if turn % 50 == 0 {
                            cache.hold_to(200);
                        }
                    }
                });
            }
        });
    }

    #[test]
    fn all_that_a_verdict_rests_on_is_in_its_key() {
        let folder = tempfile::tempdir().unwrap();
        let cache = |program: &str| Cache::new(folder.path().to_owned(), program.to_owned());
        let held = |text: &str, settings: &str, notation| {
            let score = folder.path().join("part.abc");
            std::fs::write(&score, text).unwrap();
            std::fs::write(folder.path().join("bellhand.toml"), settings).unwrap();
            let sources = files::Sources {
                paths: Vec::new(),
                notation,
                settings: None,
                stdin_name: None,
            };
            Held::of(&score, &sources).unwrap().0
        };
        let plain = Wanted::default();
        let edits = Wanted {
            edits: true,
            ..plain
        };
        let of = |program: &str, text: &str, settings: &str, notation, wanted| {
            cache(program).key(&held(text, settings, notation), wanted)
        };
        let kern = Some(notation::Format::Kern);
        let keys = [
            of("1", "X:1", "", None, plain),
            of("2", "X:1", "", None, plain),
            of("1", "X:2", "", None, plain),
            of("1", "X:1", "level = \"student\"", None, plain),
            of("1", "X:1", "assumed-tempo = 96", None, plain),
            of("1", "X:1", "assumed-tempo = 97", None, plain),
            of("1", "X:1", "", kern, plain),
            of("1", "X:1", "", None, edits),
        ];
        for (at, key) in keys.iter().enumerate() {
            assert!(!keys[..at].contains(key), "{at}");
        }
        assert_eq!(of("1", "X:1", "", None, plain), keys[0]);
    }
}
