//! A class at its desks, all typing: how long a keystroke takes to its findings, and what the class costs.

use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use serde_json::json;

use crate::talk::Talk;
use crate::{Browser, Class};

/// How many students type.
const DESKS: usize = 40;
/// How long each waits between two keys: three a second.
const BETWEEN: Duration = Duration::from_millis(333);
/// After how many keys the page asks for the picture, and after how many the text is kept.
const PICTURE: usize = 3;
const KEPT: usize = 10;
/// What they write on.
const PIECE: &str = include_str!("../../../../tests/demo/evening-ferry.abc");

/// One student's desk for so many keys; how long each took to its findings.
fn type_keys(mut browser: Browser, desk: usize, keys: usize) -> Vec<Duration> {
    let id = browser.begin("Ferry");
    let (_, mut tag) = browser.piece(&id);
    let uri = format!("desk:/{id}/Ferry.abc");
    let mut talk = Talk::ready(&browser);
    talk.open(&uri, PIECE);
    talk.findings(&uri);
    // They do not all begin at once.
    thread::sleep(BETWEEN * u32::try_from(desk).unwrap() / u32::try_from(DESKS).unwrap());
    let line = PIECE
        .lines()
        .position(|line| line.contains("!mf! f2"))
        .unwrap();
    let place = json!({ "line": line, "character": 5 });
    let after = json!({ "line": line, "character": 6 });
    let mut took = Vec::with_capacity(keys);
    for key in 0..keys {
        let began = Instant::now();
        // A note is typed, and taken back.
        let (end, text) = if key % 2 == 0 {
            (&place, "c")
        } else {
            (&after, "")
        };
        let change = json!({ "range": { "start": place, "end": end }, "text": text });
        let document = json!({ "uri": uri, "version": key + 2 });
        talk.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": [change] }),
        );
        assert!(!talk.findings(&uri).is_empty());
        took.push(began.elapsed());
        if key % PICTURE == 0 {
            let asked = json!({ "textDocument": { "uri": uri }, "position": place, "width": 600 });
            assert!(!talk.ask("bellhand/picture", asked).is_null());
        }
        if key % KEPT == KEPT - 1 {
            let saved = browser.save(&id, &tag, &format!("{PIECE}% {key}\n"));
            assert_eq!(saved.status, 204, "{}", saved.text());
            saved.header("etag").unwrap().clone_into(&mut tag);
        }
        thread::sleep(BETWEEN.saturating_sub(began.elapsed()));
    }
    took
}

/// The most memory a process has had, in kB, where the system tells.
fn memory(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.trim().trim_end_matches(" kB").parse().ok()
}

/// Types for as many seconds as BELLHAND_SECONDS says, three where it says nothing; figures are those of a release build.
#[test]
fn a_class_types() {
    let seconds = std::env::var("BELLHAND_SECONDS").ok();
    let seconds: usize = seconds.map_or(3, |seconds| seconds.parse().unwrap());
    let class = Arc::new(Class::of(&[], &["--desks"]));
    let events = class.teacher().events();
    let students = (0..DESKS).map(|desk| {
        let browser = class.student(&format!("Student {desk}"));
        thread::spawn(move || type_keys(browser, desk, 3 * seconds))
    });
    let students: Vec<_> = students.collect();
    let each = students.into_iter().map(thread::JoinHandle::join);
    // A desk that was lost is one whose thread has failed.
    let mut took: Vec<Duration> = each.flat_map(Result::unwrap).collect();
    drop(events);
    took.sort_unstable();
    assert_eq!(took.len(), DESKS * 3 * seconds);
    let at = |share: usize| took[(took.len() - 1) * share / 100].as_secs_f64() * 1000.0;
    println!(
        "{DESKS} desks, {} keystrokes in {seconds} s: median {:.1} ms, 95 % {:.1} ms, most {:.1} ms; most memory {} MB; no desk lost",
        took.len(),
        at(50),
        at(95),
        at(100),
        memory(class.child.id()).map_or(0, |kilobytes| kilobytes / 1000)
    );
}
