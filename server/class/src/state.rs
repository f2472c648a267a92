//! The class as it is now: every student's scores, judged, and what has become of them since the lesson began.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError, RwLock, RwLockReadGuard};
use std::time::SystemTime;

use engine::{FILE_NAME, Severity};
use files::complain;
use rayon::prelude::*;
use tokio::sync::broadcast;

use super::desk::Desks;
use super::lessons::Lessons;
use super::names::Names;
use super::roll;
use super::score::{Read, Score, Stamp};
use super::since::Fault;
use super::wall::{self, Change, Wall};

/// How many changes wait for a page that is slow to take them; one that falls behind further is shown the whole again.
const WAITING: usize = 64;

/// A class.
#[derive(Debug)]
pub(crate) struct Class {
    /// Its folder, without links and detours.
    folder: PathBuf,
    names: Names,
    pub(crate) lessons: Lessons,
    /// What is said of each lesson itself, which is nobody's new finding.
    given: Vec<Arc<[Fault]>>,
    /// The mildest severity that keeps a student from being done.
    pub(crate) bar: Severity,
    /// When the lesson began.
    pub(crate) began: SystemTime,
    state: RwLock<State>,
    /// What has been complained about of settings; held while the folder is looked at, so that one look ends before the
    /// next begins.
    complained: Mutex<BTreeSet<String>>,
    /// What has changed, as the pages are told.
    changes: broadcast::Sender<Arc<str>>,
}

/// The students.
#[derive(Debug, Default)]
pub(crate) struct State {
    /// Counts the looks that have changed anything; the first does, and what it finds was there when the lesson began.
    pub(crate) revision: u64,
    /// By what each is known by.
    pub(crate) members: BTreeMap<String, Member>,
    /// How many have been numbered.
    numbered: usize,
}

/// A student of the class.
#[derive(Debug, Clone)]
pub(crate) struct Member {
    /// What pages call the student by; it says nothing of a path or a name.
    pub(crate) id: String,
    pub(crate) name: String,
    /// The scores, by path.
    pub(crate) scores: BTreeMap<PathBuf, Arc<Score>>,
    /// What was said of each when the lesson began.
    begun: HashMap<PathBuf, Arc<[Fault]>>,
    /// How many windows the student has open at a desk.
    pub(crate) windows: usize,
}

impl Member {
    /// What was said of a score when the lesson began; of one that is new, what is said of the lesson it answers.
    pub(crate) fn begun(&self, path: &Path) -> &[Fault] {
        self.begun.get(path).map_or(&[], AsRef::as_ref)
    }
}

impl State {
    /// The student of a key, numbered when new.
    fn member(&mut self, key: &str, name: impl FnOnce() -> String) -> &mut Member {
        let numbered = &mut self.numbered;
        self.members.entry(key.to_owned()).or_insert_with(|| {
            *numbered += 1;
            Member {
                id: format!("s{numbered}"),
                name: name(),
                scores: BTreeMap::new(),
                begun: HashMap::new(),
                windows: 0,
            }
        })
    }
}

impl Class {
    /// The class in a folder, as it is when the lesson begins.
    ///
    /// Fails with what to tell the teacher when the folder is no class's.
    pub(crate) fn begin(
        folder: &Path,
        names: Names,
        lessons: Lessons,
        bar: Severity,
    ) -> Result<Self, String> {
        let given = lessons.all().iter();
        let given = given.map(|lesson| Read::of(lesson.lesson.judged().clone()).faults.into());
        let class = Self {
            folder: std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned()),
            names,
            given: given.collect(),
            lessons,
            bar,
            began: SystemTime::now(),
            state: RwLock::default(),
            complained: Mutex::default(),
            changes: broadcast::channel(WAITING).0,
        };
        class.look(&HashSet::new())?;
        Ok(class)
    }

    /// Its folder, without links and detours.
    pub(crate) fn folder(&self) -> &Path {
        &self.folder
    }

    /// What it is called: as its folder is.
    pub(crate) fn name(&self) -> String {
        let name = self.folder.file_name().unwrap_or(self.folder.as_os_str());
        name.to_string_lossy().into_owned()
    }

    /// The students as they are now.
    pub(crate) fn state(&self) -> RwLockReadGuard<'_, State> {
        self.state.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// All changes from now on, each as pages are told of it.
    pub(crate) fn changes(&self) -> broadcast::Receiver<Arc<str>> {
        self.changes.subscribe()
    }

    /// The whole class, as pages are told of it.
    pub(crate) fn wall(&self, desks: Option<&Desks>) -> Wall {
        wall::whole(self, desks)
    }

    /// Looks at the folder again, and tells the pages what has changed. Scores that are named are read again even where
    /// their stamps say that nothing has happened.
    ///
    /// Fails with what to tell the teacher when the folder is no class's any more.
    pub(crate) fn look(&self, named: &HashSet<PathBuf>) -> Result<(), String> {
        let complained = self.complained.lock();
        let mut complained = complained.unwrap_or_else(PoisonError::into_inner);
        let roll = roll::call(&self.folder, &self.names)?;
        let settings = named.iter().any(|path| path.ends_with(FILE_NAME));
        let known: HashMap<PathBuf, Arc<Score>> = {
            let state = self.state();
            let scores = state.members.values().flat_map(|member| &member.scores);
            scores
                .map(|(path, score)| (path.clone(), Arc::clone(score)))
                .collect()
        };
        let is_known = |path: &PathBuf, stamp| {
            let same =
                |score: &&Arc<Score>| score.stamp == stamp && !settings && !named.contains(path);
            known.get(path).filter(same).cloned()
        };
        let read = |path: &PathBuf| {
            let stamp = Stamp::of(path)?;
            let within = path.strip_prefix(&self.folder).unwrap_or(path);
            let (score, errors) = match is_known(path, stamp) {
                Some(score) => (score, Vec::new()),
                None => {
                    let (score, errors) = Score::read(path, within, stamp, &self.lessons);
                    (Arc::new(score), errors)
                }
            };
            Some((path.clone(), score, errors))
        };
        let paths: Vec<&PathBuf> = roll.iter().flat_map(|student| &student.scores).collect();
        let all: Vec<_> = paths.into_par_iter().filter_map(read).collect();
        let mut scores = HashMap::new();
        for (path, score, errors) in all {
            for error in errors {
                let words = error.to_string();
                if complained.insert(words.clone()) {
                    complain(&words);
                }
            }
            scores.insert(path, score);
        }
        self.take_in(&roll, &mut scores);
        Ok(())
    }

    /// Takes in what a look has found.
    fn take_in(&self, roll: &[roll::Student], scores: &mut HashMap<PathBuf, Arc<Score>>) {
        let mut state = self.state.write().unwrap_or_else(PoisonError::into_inner);
        let mut changed = Vec::new();
        for student in roll {
            let found = student.scores.iter();
            let found: BTreeMap<PathBuf, Arc<Score>> = found
                .filter_map(|path| Some((path.clone(), scores.remove(path)?)))
                .collect();
            let is_new = !state.members.contains_key(&student.key);
            let begins = state.revision == 0;
            let member = state.member(&student.key, || student.name.clone());
            for (path, score) in &found {
                let given = || match score.answer() {
                    _ if begins => score.faults().into(),
                    Some(answer) => self.given.get(answer.lesson).cloned().unwrap_or_default(),
                    None => Arc::default(),
                };
                let begun = member.begun.entry(path.clone());
                begun.or_insert_with(given);
            }
            if is_new || !same(&member.scores, &found) {
                member.scores = found;
                changed.push(student.key.clone());
            }
        }
        let present: HashSet<&str> = roll.iter().map(|student| student.key.as_str()).collect();
        let mut gone = Vec::new();
        state.members.retain(|key, member| {
            let stays = present.contains(key.as_str()) || member.windows > 0;
            if !stays {
                gone.push(member.id.clone());
            }
            stays
        });
        for (key, member) in &mut state.members {
            if !present.contains(key.as_str()) && !member.scores.is_empty() {
                member.scores.clear();
                changed.push(key.clone());
            }
        }
        self.tell(state, &changed, gone);
    }

    /// Tells the pages what has changed.
    fn tell(
        &self,
        mut state: std::sync::RwLockWriteGuard<'_, State>,
        changed: &[String],
        gone: Vec<String>,
    ) {
        let begins = state.revision == 0;
        if changed.is_empty() && gone.is_empty() && !begins {
            return;
        }
        state.revision += 1;
        let change = Change::of(self, &state, changed, gone);
        if let Ok(words) = serde_json::to_string(&change) {
            // Told while the state is held, so that changes come in order; with no page open nobody listens.
            let _ = self.changes.send(words.into());
        }
    }

    /// A student of a key opens a window at a desk, or (`false`) closes one; `name` is what a new student is called.
    pub(crate) fn sit(&self, key: &str, name: &str, comes: bool) {
        let mut state = self.state.write().unwrap_or_else(PoisonError::into_inner);
        let member = state.member(key, || name.to_owned());
        let before = member.windows;
        member.windows = if comes {
            before + 1
        } else {
            before.saturating_sub(1)
        };
        if (before == 0) != (member.windows == 0) {
            self.tell(state, &[key.to_owned()], Vec::new());
        }
    }

    /// The key of the student who is known by a name or key, in any case.
    pub(crate) fn key_of(&self, name: &str) -> Option<String> {
        let name = name.to_lowercase();
        let state = self.state();
        let mut members = state.members.iter();
        let known = members
            .find(|(key, member)| key.to_lowercase() == name || member.name.to_lowercase() == name);
        known.map(|(key, _)| key.clone())
    }

    /// What a student is called: as the class knows, else as the student says.
    pub(crate) fn name_of(&self, key: &str, said: &str) -> String {
        let known = self
            .state()
            .members
            .get(key)
            .map(|member| member.name.clone());
        known.unwrap_or_else(|| said.to_owned())
    }
}

/// Whether two sets of scores are the same, read at the same moments.
fn same(one: &BTreeMap<PathBuf, Arc<Score>>, other: &BTreeMap<PathBuf, Arc<Score>>) -> bool {
    one.len() == other.len()
        && one
            .iter()
            .zip(other)
            .all(|((path, score), (other_path, other))| {
                path == other_path && Arc::ptr_eq(score, other)
            })
}
