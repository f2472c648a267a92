//! `check --watch`: the report goes on with every score that changes, however an editor saves it.

use std::fs;
use std::io::{BufRead as _, BufReader, Read};
use std::process::{Child, ExitStatus};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

use super::*;

/// How long a line may take before the test gives it up for lost.
const LOST: Duration = Duration::from_secs(60);

/// A horn part with so many notes that are too low to be stopped.
fn low(notes: usize) -> String {
    let bars = "A,4 | z4 | ".repeat(notes);
    format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name=\"Horn in F\" transpose=-7\n\
         \"^stopped\" !mf! {bars}z4 | \"^open\" c4 |]\n"
    )
}

/// A folder of scores that is watched.
struct Watched {
    folder: tempfile::TempDir,
    child: Child,
    /// Lines, and whether each came on standard error.
    lines: Receiver<(bool, String)>,
}

/// Lines as they come.
fn lines(from: impl Read + Send + 'static, error: bool, to: Sender<(bool, String)>) {
    thread::spawn(move || {
        for line in BufReader::new(from).lines() {
            if to.send((error, line.unwrap())).is_err() {
                break;
            }
        }
    });
}

impl Watched {
    /// Watches a folder `scores` with a file `low.abc`, and more as `make` makes it.
    fn new(words: &[&str], make: impl FnOnce(&Path)) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("scores")).unwrap();
        fs::write(folder.path().join("scores/low.abc"), low(1)).unwrap();
        make(folder.path());
        let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .args(["check", "--watch"])
            .args(words)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (to, from) = channel();
        lines(child.stdout.take().unwrap(), false, to.clone());
        lines(child.stderr.take().unwrap(), true, to);
        Self {
            folder,
            child,
            lines: from,
        }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    /// Writes a file as careful editors do: another one first, which then takes its name.
    fn replace(&self, name: &str, text: &str) {
        let other = self.path(&format!("{name}~"));
        fs::write(&other, text).unwrap();
        fs::rename(other, self.path(name)).unwrap();
    }

    /// All that is said until a line holds these words.
    fn until(&self, words: &str) -> Vec<(bool, String)> {
        let mut all = Vec::new();
        loop {
            let line = self.lines.recv_timeout(LOST);
            assert!(line.is_ok(), "`{words}` never came: {all:#?}");
            all.push(line.unwrap());
            if all.last().unwrap().1.contains(words) {
                return all;
            }
        }
    }

    fn said_until(&self, words: &str) -> String {
        let all = self.until(words).into_iter();
        all.map(|(_, line)| line + "\n").collect()
    }

    fn ended(mut self) -> ExitStatus {
        self.child.wait().unwrap()
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn a_score_that_changes_is_reported_again_and_no_other() {
    let watched = Watched::new(&["scores"], |folder| {
        fs::write(folder.join("scores/other.abc"), low(2)).unwrap();
    });
    let first = watched.said_until("Watching");
    assert_eq!(first.matches("[stopped/too-low]").count(), 2, "{first}");
    assert!(
        first.contains("All 2 scores: 2 horn parts read: 3 warnings. Watching"),
        "{first}"
    );
    watched.write("scores/low.abc", &low(4));
    let said = watched.said_until("All 2 scores");
    assert!(said.contains("--> scores/low.abc:7:"), "{said}");
    assert!(!said.contains("--> scores/other.abc"), "{said}");
    assert!(
        said.contains(
            "scores/low.abc: 1 horn part read: 4 warnings. All 2 scores: 2 horn parts read: 6 warnings."
        ),
        "{said}"
    );
    // What is put right is said too.
    watched.replace("scores/low.abc", PART);
    watched.said_until("scores/low.abc: 1 horn part read: ");
}

#[test]
fn a_save_is_noticed_however_it_is_made_and_one_that_changes_nothing_is_not() {
    let watched = Watched::new(&["scores/low.abc", "scores/else.abc"], |folder| {
        fs::write(folder.join("scores/else.abc"), low(1)).unwrap();
    });
    watched.said_until("Watching");
    for (turn, notes) in (3..9).enumerate() {
        match turn % 3 {
            0 => watched.replace("scores/low.abc", &low(notes)),
            1 => watched.write("scores/low.abc", &low(notes)),
            _ => {
                // The old file is put aside, and the new one written in its place.
                let old = watched.path("scores/low.abc");
                fs::rename(&old, watched.path("scores/low.abc.bak")).unwrap();
                watched.write("scores/low.abc", &low(notes));
            }
        }
        watched.said_until(&format!("low.abc: 1 horn part read: {notes} warnings."));
        // The same bytes once more are no news, at the side of some.
        watched.replace("scores/low.abc", &low(notes));
        watched.replace("scores/else.abc", &low(notes));
        let said = watched.said_until("All 2 scores");
        assert!(!said.contains("low.abc: 1 horn part"), "{said}");
        assert!(said.contains("scores/else.abc: "), "{said}");
    }
    fs::remove_file(watched.path("scores/low.abc")).unwrap();
    watched.until("scores/low.abc cannot be read");
    watched.write("scores/low.abc", &low(5));
    watched.said_until("1 horn part read: 5 warnings.");
}

#[test]
fn scores_and_folders_come_and_go() {
    let watched = Watched::new(&["scores"], |folder| {
        fs::write(folder.join("scores/.gitignore"), "drafts\n").unwrap();
        fs::create_dir(folder.join("scores/drafts")).unwrap();
    });
    watched.said_until("All 1 score: 1 horn part read: 1 warning. Watching");
    // Out of sight, a whole folder is made ready and then moved in.
    fs::create_dir_all(watched.path("ready/second")).unwrap();
    watched.write("ready/second/horn.abc", &low(2));
    fs::rename(watched.path("ready"), watched.path("scores/ready")).unwrap();
    watched.said_until("scores/ready/second/horn.abc: 1 horn part read: 2 warnings.");
    watched.write("scores/drafts/draft.abc", &low(7));
    watched.write("scores/ready/second/horn.abc", &low(3));
    let said = watched.said_until("All 2 scores: 2 horn parts read: 4 warnings.");
    assert!(!said.contains("draft"), "{said}");
    fs::remove_dir_all(watched.path("scores/ready")).unwrap();
    watched.said_until("scores/ready/second/horn.abc is gone. All 1 score: ");
    // The same folder again is another one.
    fs::create_dir_all(watched.path("scores/ready/second")).unwrap();
    watched.write("scores/ready/second/horn.abc", &low(4));
    watched.said_until("horn.abc: 1 horn part read: 4 warnings.");
    watched.write("scores/ready/second/horn.abc", &low(5));
    watched.said_until("horn.abc: 1 horn part read: 5 warnings.");
    watched.write("scores/.gitignore", "");
    watched.said_until("scores/drafts/draft.abc: 1 horn part read: 7 warnings.");
}

#[test]
fn settings_count_wherever_they_lie() {
    let watched = Watched::new(&["scores"], |folder| {
        fs::create_dir(folder.join("house")).unwrap();
        fs::write(folder.join("house/base.toml"), "").unwrap();
    });
    watched.said_until("All 1 score: 1 horn part read: 1 warning. Watching");
    // Above the scores.
    watched.write(
        "bellhand.toml",
        "extend = \"house/base.toml\"\n[rules]\nstopped = \"error\"\n",
    );
    let said = watched.said_until("scores/low.abc: 1 horn part read: 1 error.");
    assert!(said.contains("error[stopped/too-low]"), "{said}");
    // In a file they extend.
    watched.replace("house/base.toml", "[rules]\nstopped = \"hint\"\n");
    watched.replace("bellhand.toml", "extend = \"house/base.toml\"\n");
    watched.said_until("scores/low.abc: 1 horn part read: 1 hint.");
    // What is not understood is told; the rest holds.
    watched.write(
        "house/base.toml",
        "[rules]\nstopped = \"off\"\nstoped = \"off\"\n",
    );
    let said = watched.until("nothing to say.");
    let told = |line: &(bool, String)| line.0 && line.1.contains("`stoped`");
    // The two pipes are not read in step.
    if !said.iter().any(told) {
        assert!(watched.until("`stoped`").iter().any(told));
    }
    fs::remove_file(watched.path("bellhand.toml")).unwrap();
    watched.said_until("scores/low.abc: 1 horn part read: 1 warning.");
}

#[test]
fn a_score_that_is_named_is_watched_whatever_it_is_called() {
    let watched = Watched::new(&["--as", "abc", "scores/horn.txt"], |folder| {
        fs::rename(
            folder.join("scores/low.abc"),
            folder.join("scores/horn.txt"),
        )
        .unwrap();
    });
    watched.said_until("All 1 score: 1 horn part read: 1 warning. Watching");
    watched.replace("scores/horn.txt", &low(2));
    watched.said_until("scores/horn.txt: 1 horn part read: 2 warnings.");
}

#[test]
fn settings_that_are_named_count_whatever_they_are_called() {
    let words = ["--settings", "scores/house/band.settings", "scores"];
    let watched = Watched::new(&words, |folder| {
        fs::create_dir(folder.join("scores/house")).unwrap();
        fs::write(folder.join("scores/house/band.settings"), "").unwrap();
    });
    watched.said_until("All 1 score: 1 horn part read: 1 warning. Watching");
    watched.replace(
        "scores/house/band.settings",
        "[rules]\nstopped = \"error\"\n",
    );
    watched.said_until("scores/low.abc: 1 horn part read: 1 error.");
    // That their folder was watched for them first keeps nothing from being seen in it.
    fs::create_dir_all(watched.path("ready")).unwrap();
    watched.write("ready/horn.abc", &low(2));
    fs::rename(watched.path("ready"), watched.path("scores/house/ready")).unwrap();
    watched.said_until("scores/house/ready/horn.abc: 1 horn part read: 2 errors.");
}

#[test]
fn a_line_each_is_for_programs_and_the_rest_for_people() {
    let words = ["--format", "line", "--known", "known.jsonl", "scores"];
    let watched = Watched::new(&words, |folder| {
        fs::write(folder.join("known.jsonl"), "{\"bellhand_known\":1}\n").unwrap();
    });
    let mut said = watched.until("Watching");
    watched.write("scores/low.abc", &low(2));
    said.extend(watched.until("read: 2 warnings."));
    // A finding's line may come behind the words about it, since they come by two pipes.
    while said.iter().filter(|(error, _)| !error).count() < 3 {
        said.push(watched.lines.recv_timeout(LOST).unwrap());
    }
    for (error, line) in &said {
        let is_finding =
            line.starts_with("scores/low.abc:7:") && line.contains(": warning stopped/");
        assert_ne!(*error, is_finding, "{line}");
    }
    // A record that is written anew holds from then on.
    let written = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(["check", "--write-known", "known.jsonl", "scores"])
        .current_dir(watched.folder.path())
        .output()
        .unwrap();
    assert_eq!(written.status.code(), Some(0));
    let said = watched.until("nothing to say. 2 findings are known and not reported.");
    assert_eq!(said.len(), 1, "{said:?}");
}

#[test]
fn what_cannot_go_on_is_refused() {
    for (words, why) in [
        (&["-", "--as", "abc"][..], "standard input ends"),
        (&["--format", "json", "."], "one document"),
        (&["--format", "sarif", "."], "one document"),
        (&["--staged", "."], "--staged"),
        (&["--write-known", "known.jsonl", "."], "--write-known"),
        (&["--output", "json=report.json", "."], "--output"),
        (&["--quiet", "."], "--quiet"),
        (&["--fail-on", "error", "."], "--fail-on"),
    ] {
        let output = run(&[&["check", "--watch"], words].concat(), b"");
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        assert_eq!(text(&output.stdout), "");
        let said = text(&output.stderr);
        assert!(said.contains(why) && said.contains("--watch"), "{said}");
    }
    assert!(!Path::new("report.json").exists());
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_as_it_ends_any_program() {
    use std::os::unix::process::ExitStatusExt as _;

    use rustix::process::{Pid, Signal, kill_process};

    let watched = Watched::new(&["scores"], |_| {});
    watched.said_until("Watching");
    let pid = Pid::from_child(&watched.child);
    kill_process(pid, Signal::INT).unwrap();
    assert_eq!(watched.ended().signal(), Some(Signal::INT.as_raw()));
}

#[test]
fn it_ends_when_nobody_reads_it() {
    let mut watched = Watched::new(&["scores"], |_| {});
    watched.said_until("Watching");
    // The test's own end of the pipe is held by the thread that reads; another run has none.
    let mut other = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(["check", "--watch", "scores"])
        .current_dir(watched.folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut out = BufReader::new(other.stdout.take().unwrap());
    let mut line = String::new();
    while !line.contains("Watching") {
        line.clear();
        assert_ne!(out.read_line(&mut line).unwrap(), 0);
    }
    drop(out);
    watched.write("scores/low.abc", &low(2));
    watched.said_until("read: 2 warnings.");
    assert_eq!(other.wait().unwrap().code(), Some(0));
    assert!(watched.child.try_wait().unwrap().is_none());
}
