//! The class's folder watched: whatever is saved in it is on the wall a moment later.

use std::collections::HashSet;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, Weak};
use std::time::{Duration, Instant};

use files::complain;
use notify::event::{AccessKind, AccessMode};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};

use super::state::Class;

/// How long nothing must happen before the folder is looked at, since editors save in several steps.
const QUIET: Duration = Duration::from_millis(20);
/// How long what happens is waited for at most.
const LONGEST: Duration = Duration::from_millis(120);

/// The folder is watched as long as this is kept.
#[derive(Debug)]
pub(crate) struct Watch {
    _watcher: RecommendedWatcher,
}

/// Watches a class's folder. Fails with what to tell the teacher.
pub(crate) fn watch(class: &Arc<Class>) -> Result<Watch, String> {
    let cannot =
        |error: notify::Error| format!("{} cannot be watched: {error}", class.folder().display());
    let (happens, happened) = channel();
    let mut watcher = notify::recommended_watcher(happens).map_err(cannot)?;
    watcher
        .watch(class.folder(), RecursiveMode::Recursive)
        .map_err(cannot)?;
    let class = Arc::downgrade(class);
    std::thread::spawn(move || look_when_something_happens(&class, &happened));
    // Between the first look and the first event that can come, something may have been saved.
    Ok(Watch { _watcher: watcher })
}

/// Looks at the folder after each burst of events, until the watcher or the class is gone.
fn look_when_something_happens(class: &Weak<Class>, happened: &Receiver<notify::Result<Event>>) {
    let mut complained = String::new();
    let mut first = true;
    loop {
        let mut named = HashSet::new();
        if !std::mem::take(&mut first) {
            match happened.recv() {
                Ok(event) => note(event, &mut named),
                Err(_) => return,
            }
            if named.is_empty() {
                continue;
            }
            let until = Instant::now() + LONGEST;
            while Instant::now() < until {
                match happened.recv_timeout(QUIET) {
                    Ok(event) => note(event, &mut named),
                    Err(RecvTimeoutError::Timeout) => break,
                    Err(RecvTimeoutError::Disconnected) => return,
                }
            }
        }
        let Some(class) = class.upgrade() else { return };
        match class.look(&named) {
            Ok(()) => complained.clear(),
            Err(why) if why != complained => {
                complain(&why);
                complained = why;
            }
            Err(_) => {}
        }
    }
}

/// Notes which files an event is about; reading a file, which looking does itself, is none.
fn note(event: notify::Result<Event>, named: &mut HashSet<PathBuf>) {
    let Ok(event) = event else { return };
    let writes = match event.kind {
        EventKind::Access(kind) => kind == AccessKind::Close(AccessMode::Write),
        _ => true,
    };
    if writes {
        named.extend(event.paths);
    }
}
