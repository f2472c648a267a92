//! The desks: who sits at which, and what is kept for each.

mod addresses;
mod beginnings;
mod bucket;
mod file_name;
mod not_done;
mod pieces;
mod record;

use std::collections::{HashMap, VecDeque};
use std::net::IpAddr;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

pub(crate) use addresses::{Addresses, Kept};
pub(crate) use bucket::Bucket;
pub(crate) use not_done::{NotDone, NotSaved};
pub(crate) use pieces::{LARGEST_PIECE, Wish};
pub use record::Day;
pub(crate) use record::forget;

use super::roll::MOST_STUDENTS;
use super::secret::{self, Secret};
use super::state::Class;
use bucket::Buckets;

/// How long the code of the day is: 30 bits, at the rates below a thousand years to try them all.
const CODE: usize = 6;
/// How long a desk's own word is.
const WORD: usize = 4;
/// How often one address can be wrong about a code or word at once, and how many seconds bring one more try.
const TRIES: (f64, f64) = (10.0, 6.0);
/// The same for all addresses together.
const ALL_TRIES: (f64, f64) = (200.0, 0.5);
/// What one desk can ask for at once, and how many seconds bring one thing more.
const REQUESTS: (f64, f64) = (60.0, 0.1);
/// How many desks are given to one address at once, a class behind one door, and how many seconds bring one more.
const NEW_DESKS: (f64, f64) = (60.0, 10.0);
/// The most browsers that are at one desk; who comes with one more is forgotten in the one that came first.
const MOST_BROWSERS: usize = 8;
/// The most windows that one desk has open.
const MOST_WINDOWS: usize = 8;

/// All desks of a class.
#[derive(Debug)]
pub(crate) struct Desks {
    class: Arc<Class>,
    address: String,
    code: String,
    tries: Buckets<IpAddr>,
    all_tries: Bucket,
    new_desks: Buckets<IpAddr>,
    taken: Mutex<Taken>,
}

#[derive(Debug, Default)]
struct Taken {
    /// Desks by the key of their student.
    desks: HashMap<String, Arc<Desk>>,
    /// Who holds which key.
    browsers: HashMap<Secret, Arc<Desk>>,
}

/// A student's desk.
#[derive(Debug)]
pub(crate) struct Desk {
    /// What the student is known by in the class: the name of the folder.
    pub(crate) key: String,
    /// What the student is called.
    pub(crate) name: String,
    /// What the student comes back with from another browser.
    pub(crate) word: String,
    requests: Bucket,
    windows: AtomicUsize,
    /// The keys of its browsers, the first that came first.
    keys: Mutex<VecDeque<Secret>>,
    /// The ids of pieces, by file name; held while one is written.
    pieces: Mutex<pieces::Numbered>,
}

impl Desk {
    /// Whether the desk may ask for one thing more now.
    pub(crate) fn may_ask(&self) -> bool {
        self.requests.take()
    }

    /// Opens a window, if the desk may have one more.
    pub(crate) fn open_window(&self) -> bool {
        let more = |open| (open < MOST_WINDOWS).then_some(open + 1);
        let opened = self
            .windows
            .fetch_update(Ordering::Relaxed, Ordering::Relaxed, more);
        opened.is_ok()
    }

    /// Closes a window.
    pub(crate) fn close_window(&self) {
        self.windows.fetch_sub(1, Ordering::Relaxed);
    }

    /// Takes in a browser's key; gives that of one that is forgotten for it.
    fn take_key(&self, key: Secret) -> Option<Secret> {
        let mut keys = self.keys.lock().unwrap_or_else(PoisonError::into_inner);
        keys.push_back(key);
        if keys.len() > MOST_BROWSERS {
            keys.pop_front()
        } else {
            None
        }
    }
}

impl Desks {
    /// The desks of a class, which are found at an address. Fails where the system has no randomness to give.
    pub(crate) fn new(class: Arc<Class>, address: String) -> std::io::Result<Self> {
        Ok(Self {
            class,
            address,
            code: secret::code(CODE)?,
            tries: Buckets::new(TRIES),
            all_tries: Bucket::new(ALL_TRIES),
            new_desks: Buckets::new(NEW_DESKS),
            taken: Mutex::default(),
        })
    }

    /// Where they are found.
    pub(crate) fn address(&self) -> &str {
        &self.address
    }

    /// The code of the day.
    pub(crate) fn code(&self) -> &str {
        &self.code
    }

    /// Lets a student in: at a new desk, or back at the student's own with its word. Gives the browser's key.
    pub(crate) fn enter(
        &self,
        from: IpAddr,
        code: &str,
        name: &str,
        word: &str,
    ) -> Result<(Arc<Desk>, Secret), NotDone> {
        if !self.tries.has(&from) || !self.all_tries.has() {
            return Err(NotDone::TooOften);
        }
        let wrong = |why| {
            self.tries.take(from);
            self.all_tries.take();
            Err(why)
        };
        if !secret::same(&self.code, &secret::as_meant(code)) {
            return wrong(NotDone::WrongCode);
        }
        let name: String = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let key = self.key_of(&name).ok_or(NotDone::NoName)?;
        let mut taken = self.taken();
        let desk = match taken.desks.get(&key) {
            Some(desk) if secret::same(&desk.word, &secret::as_meant(word)) => Arc::clone(desk),
            Some(desk) => return wrong(NotDone::WrongWord(desk.name.clone())),
            None if taken.desks.len() >= MOST_STUDENTS => {
                return Err(NotDone::TooMany("The class has no desk left."));
            }
            None if !self.new_desks.take(from) => return Err(NotDone::TooOften),
            None => {
                let desk = Arc::new(Desk {
                    name: self.class.name_of(&key, &name),
                    key: key.clone(),
                    word: secret::code(WORD)?,
                    requests: Bucket::new(REQUESTS),
                    windows: AtomicUsize::new(0),
                    keys: Mutex::default(),
                    pieces: Mutex::default(),
                });
                taken.desks.insert(key, Arc::clone(&desk));
                desk
            }
        };
        let secret = Secret::new()?;
        if let Some(forgotten) = desk.take_key(secret.clone()) {
            taken.browsers.remove(&forgotten);
        }
        taken.browsers.insert(secret.clone(), Arc::clone(&desk));
        Ok((desk, secret))
    }

    /// Who sits where a browser's key says.
    pub(crate) fn sitting(&self, key: &str) -> Option<Arc<Desk>> {
        let taken = self.taken();
        taken.browsers.get(&Secret::of(key)).cloned()
    }

    /// Forgets a browser.
    pub(crate) fn leave(&self, key: &str) {
        self.taken().browsers.remove(&Secret::of(key));
    }

    /// A student opens a window at the desk, or (`false`) closes one.
    pub(crate) fn sit(&self, desk: &Desk, comes: bool) {
        self.class.sit(&desk.key, &desk.name, comes);
    }

    /// What a student of a name is known by: as the class knows the student, else a folder's name made of it.
    fn key_of(&self, name: &str) -> Option<String> {
        let made = file_name::reduced(name)?;
        let known = self.class.key_of(name).or_else(|| self.class.key_of(&made));
        let taken = self.taken();
        let mut taken = taken.desks.keys();
        let same = |key: &&String| key.to_lowercase() == made.to_lowercase();
        Some(known.or_else(|| taken.find(same).cloned()).unwrap_or(made))
    }

    fn taken(&self) -> MutexGuard<'_, Taken> {
        self.taken.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
