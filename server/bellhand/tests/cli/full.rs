//! Disks that are full, files that may not grow, and outputs that take no more: nothing is lost, and what was not done is
//! said.

use std::os::unix::process::ExitStatusExt as _;

use super::*;

/// The signal that ends a process whose file grows beyond its limit, on every Unix that Rust knows.
const SIGXFSZ: i32 = 25;
/// In blocks of 512 or 1024 bytes, as the shell counts: far more than [`PART`] takes, and far less than [`long`].
const MOST: u32 = 8;

/// A part of 60 kB with something to fix in its key.
fn long() -> String {
    PART.replace("B c d e |]", &format!("{}|]", "B c d e | ".repeat(6_000)))
}

/// Runs the command in a shell that has said something about limits before.
fn run_after(said: &str, arguments: &[&str]) -> Output {
    Command::new("sh")
        .args(["-c", &format!("{said} && exec \"$0\" \"$@\"")])
        .arg(env!("CARGO_BIN_EXE_bellhand"))
        .args(arguments)
        .output()
        .unwrap()
}

/// Runs it where a write that goes too far fails, as on a full disk.
fn run_full(arguments: &[&str]) -> Output {
    run_after(
        &format!("trap '' XFSZ && ulimit -c 0 && ulimit -f {MOST}"),
        arguments,
    )
}

fn held(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_file_that_cannot_be_written_whole_stays_whole() {
    let long = long();
    let mut tried = 0;
    for command in [
        &["fix"][..],
        &["fix", "--review"],
        &["rewrite", "--for", "D"],
    ] {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in ["a-short.abc", "c-short.abc"] {
            std::fs::write(at(name), PART).unwrap();
        }
        std::fs::write(at("b-long.abc"), &long).unwrap();
        let output = run_full(&[command, &[folder.path().to_str().unwrap()]].concat());
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{command:?}: {said}");
        assert_eq!(said.lines().count(), 1, "{command:?}: {said}");
        assert!(
            said.contains("b-long.abc")
                && said.contains("cannot be written, and is left as it is: File too large"),
            "{command:?}: {said}"
        );
        assert_eq!(std::fs::read_to_string(at("b-long.abc")).unwrap(), long);
        assert!(!text(&output.stdout).contains("b-long.abc"), "{command:?}");
        // One that cannot be written stops no other, and leaves nothing behind.
        for name in ["a-short.abc", "c-short.abc"] {
            assert_ne!(
                std::fs::read_to_string(at(name)).unwrap(),
                PART,
                "{command:?}: {name}"
            );
            assert!(text(&output.stdout).contains(name), "{command:?}: {name}");
        }
        assert_eq!(
            held(folder.path()),
            ["a-short.abc", "b-long.abc", "c-short.abc"]
        );
        tried += 1;
    }
    println!("{tried} commands on a full disk");
}

#[test]
fn a_picture_that_cannot_be_written_whole_leaves_the_one_before() {
    let folder = tempfile::tempdir().unwrap();
    let score = folder.path().join("part.abc");
    std::fs::write(
        &score,
        PART.replace("B c d e |]", "B c d e | ".repeat(200).as_str()),
    )
    .unwrap();
    let (score, into) = (score.to_str().unwrap(), folder.path().join("pictures"));
    let draw = ["draw", "--into", into.to_str().unwrap(), score];
    std::fs::create_dir(&into).unwrap();
    let output = run_full(&draw);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(
        said.contains(".svg cannot be written: File too large"),
        "{said}"
    );
    assert_eq!(held(&into), [""; 0]);
    assert_eq!(run(&draw, b"").status.code(), Some(0));
    let picture = into.join("part-horn-in-f.svg");
    let before = std::fs::read(&picture).unwrap();
    assert!(before.len() > 4 * 1024 * MOST as usize, "{}", before.len());
    assert_eq!(run_full(&draw).status.code(), Some(2));
    assert_eq!(std::fs::read(&picture).unwrap(), before);
    assert_eq!(held(&into), ["part-horn-in-f.svg"]);
}

#[test]
fn a_fix_that_is_killed_in_the_midst_leaves_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("part.abc");
    std::fs::write(&path, long()).unwrap();
    let fix = ["fix", path.to_str().unwrap()];
    let output = run_after(&format!("ulimit -c 0 && ulimit -f {MOST}"), &fix);
    assert_eq!(output.status.signal(), Some(SIGXFSZ), "{output:?}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), long());
    // What was begun is in nobody's way.
    let output = run(&fix, b"");
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert!(std::fs::read_to_string(&path).unwrap().contains("K:none"));
}

/// A device that takes nothing, as a disk that is full.
#[cfg(target_os = "linux")]
fn full() -> Stdio {
    let device = std::fs::OpenOptions::new().write(true).open("/dev/full");
    device.unwrap().into()
}

/// A pipe whose reader has left.
fn broken() -> Stdio {
    let mut reader = Command::new("true").stdin(Stdio::piped()).spawn().unwrap();
    let pipe = reader.stdin.take().unwrap();
    reader.wait().unwrap();
    pipe.into()
}

fn run_into(output: Stdio, arguments: &[&str]) -> Output {
    let child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(arguments)
        .stdin(std::fs::File::open(demo("evening-ferry.abc")).unwrap())
        .stdout(output)
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.wait_with_output().unwrap()
}

/// Every command that says something, on the demo or on standard input, which is the demo.
fn all_commands(score: &str) -> Vec<Vec<&str>> {
    vec![
        vec!["check", score],
        vec!["check", "--format", "json", score],
        vec!["check", "--format", "html", score],
        vec!["check", "--format", "sarif", score],
        vec!["check", "--as", "abc", "-"],
        vec!["fix", "--diff", score],
        vec!["fix", "--as", "abc", "-"],
        vec!["rewrite", "--diff", "--for", "D", score],
        vec!["rewrite", "--for", "D", "--as", "abc", "-"],
        vec!["notes", score],
        vec!["draw", "--part", "Horn 1", score],
        vec!["fingering", "C5"],
        vec!["rip", "C4", "C5"],
        vec!["explain"],
        vec!["explain", "--book"],
        vec!["explain", "range/too-high"],
        vec!["completions", "bash"],
        vec!["man"],
        vec!["--help"],
        vec!["fix", "--help"],
        vec!["--version"],
    ]
}

#[cfg(target_os = "linux")]
#[test]
fn an_output_that_takes_nothing_is_told_once() {
    let score = demo("evening-ferry.abc");
    let commands = all_commands(score.to_str().unwrap());
    for arguments in &commands {
        let output = run_into(full(), arguments);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {said}");
        let last = said.lines().last().unwrap_or_default();
        assert!(
            last.contains("cannot write the report: No space left on device"),
            "{arguments:?}: {said}"
        );
        assert_eq!(
            said.matches("No space left").count(),
            1,
            "{arguments:?}: {said}"
        );
    }
    println!("{} commands into a full device", commands.len());
}

#[test]
fn a_reader_that_leaves_is_no_fault() {
    let score = demo("evening-ferry.abc");
    let commands = all_commands(score.to_str().unwrap());
    for arguments in &commands {
        let output = run_into(broken(), arguments);
        let said = text(&output.stderr);
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{arguments:?}: {said}"
        );
        assert!(!said.contains("pipe"), "{arguments:?}: {said}");
    }
    println!("{} commands into a broken pipe", commands.len());
}

/// Each file is fixed, though what is told of the first can no longer be told.
#[test]
fn files_are_written_though_nobody_listens() {
    let mut outputs = vec![(broken(), Some(0), "")];
    if cfg!(target_os = "linux") {
        outputs.push((full(), Some(2), "cannot write the report"));
    }
    for (output, code, words) in outputs {
        let folder = tempfile::tempdir().unwrap();
        for name in ["a.abc", "b.abc", "c.abc"] {
            std::fs::write(folder.path().join(name), PART).unwrap();
        }
        let output = run_into(output, &["fix", folder.path().to_str().unwrap()]);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), code, "{said}");
        assert!(said.contains(words), "{said}");
        for name in held(folder.path()) {
            let after = std::fs::read_to_string(folder.path().join(&name)).unwrap();
            assert!(after.contains("K:none"), "{name}");
        }
    }
}

#[test]
fn two_at_once_over_a_folder_leave_every_file_whole() {
    let names: Vec<String> = (0..12)
        .map(|number| format!("part-{number:02}.abc"))
        .collect();
    let part = PART.replace("B c d e |]", &"B c d e | ".repeat(200));
    let (mut fixed, mut left) = (0, 0);
    for _ in 0..3 {
        let folder = tempfile::tempdir().unwrap();
        for name in &names {
            std::fs::write(folder.path().join(name), &part).unwrap();
        }
        let twice: Vec<_> = (0..2)
            .map(|_| {
                let path = folder.path().to_owned();
                std::thread::spawn(move || run(&["fix", path.to_str().unwrap()], b""))
            })
            .collect();
        let outputs: Vec<Output> = twice.into_iter().map(|one| one.join().unwrap()).collect();
        for output in &outputs {
            let said = text(&output.stderr);
            let refused = said.matches("was changed by someone else").count();
            assert_eq!(said.lines().count(), refused, "{said}");
            let code = if refused > 0 { 2 } else { 0 };
            assert_eq!(output.status.code(), Some(code), "{said}");
            left += refused;
        }
        for name in &names {
            let told =
                |output: &&Output| text(&output.stdout).contains(&format!("{name}: Horn in F"));
            let by = outputs.iter().filter(told).count();
            assert_eq!(by, 1, "{name}: {outputs:?}");
            let after = std::fs::read_to_string(folder.path().join(name)).unwrap();
            assert_eq!(after.matches("_B c d _e").count(), 200, "{name}");
            fixed += by;
        }
        assert_eq!(held(folder.path()), names);
    }
    println!("{fixed} files fixed once each by two at once; {left} times one came too late");
}
