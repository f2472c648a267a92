//! A disk without room, in earnest: one of a few kilobytes, and one that refuses each step by which a file takes its place.

use std::collections::BTreeMap;
use std::fs;

use seccompiler::{
    BpfProgram, SeccompAction, SeccompCmpArgLen, SeccompCmpOp, SeccompCondition, SeccompFilter,
    SeccompRule, TargetArch,
};
use tempfile::TempDir;

use super::*;

/// Words of a command that writes, in the folder of [`house`].
type Words = &'static [&'static str];
/// What every command that writes is called with. What it writes lies there already, from a time before.
const COMMANDS: [Words; 10] = [
    &["fix", "part.abc"],
    &["fix", "--review", "part.abc"],
    &["rewrite", "--for", "D", "part.abc"],
    &["rewrite", "--cues", "two.abc"],
    &[
        "check",
        "--quiet",
        "--output",
        "json=report.json",
        "part.abc",
    ],
    &[
        "check",
        "--quiet",
        "--output",
        "html=report.html",
        "part.abc",
    ],
    &["check", "--format", "html", "--into", "pages", "part.abc"],
    &["draw", "--into", "pictures", "part.abc"],
    &["notes", "--midi", "part.mid", "part.abc"],
    &["man", "--into", "man"],
];
/// Keeps its verdict, and does not mind if it cannot.
const KEEPS: Words = &["check", "part.abc"];
/// A record of what is known; the one before must be one.
const KNOWS: Words = &["check", "--write-known", "known.jsonl", "part.abc"];

/// Far more bars than the bytes that [`NO_ROOM`] leaves can hold in any form.
const LONG: usize = 700;
/// Makes a disk take not a byte more, in the shell of [`on_a_full_disk`].
const FILLED: &str = "dd if=/dev/zero of=fill bs=4096 2>/dev/null";
/// Makes it take so many bytes more and break off.
const NO_ROOM: &str = "dd if=/dev/zero of=fill bs=4096 2>/dev/null; truncate -s -4096 fill";
/// Makes it take no further file.
const NO_FILES: &str = "many=0; while touch fill-$many 2>/dev/null; do many=$((many + 1)); done";

/// Every file below a folder, by its path from there.
type Files = BTreeMap<String, Vec<u8>>;

fn files(folder: &Path) -> Files {
    fn add(folder: &Path, root: &Path, all: &mut Files) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                add(&path, root, all);
            } else {
                let name = path.strip_prefix(root).unwrap().to_str().unwrap();
                all.insert(name.to_owned(), fs::read(&path).unwrap());
            }
        }
    }
    let mut all = Files::new();
    add(folder, folder, &mut all);
    all
}

fn lay(files: &Files, folder: &Path) {
    for (name, bytes) in files {
        let path = folder.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
}

/// A folder with scores of about so many bars, something to fix, something to cue, and an outcome of every command from before.
fn house(bars: usize) -> Files {
    let rests = "z4 | ".repeat(22);
    let after = "A B c d | c B A G | ".repeat(bars / 2);
    let two = format!(
        "X:1\nM:4/4\nL:1/4\nQ:1/4=60\nK:none\nV:1 name=\"Horn in F\" transpose=-7\nV:2 name=\"Oboe\"\n\
         [V:1] !mf!c4 | Z23 | !mf!e4 | Z{} |]\n[V:2] {rests}!mf!A B c d | c B A G | z4 | {after}|]\n",
        bars / 2 * 2
    );
    let part = PART.replace("B c d e |]", &format!("{}|]", "B c d e | ".repeat(bars)));
    let scores = [("part.abc", part), ("two.abc", two)];
    let given: Files = scores
        .map(|(name, text)| (name.to_owned(), text.into_bytes()))
        .into();
    let mut house = given.clone();
    for words in COMMANDS.iter().chain([&KNOWS]) {
        let folder = tempfile::tempdir().unwrap();
        lay(&given, folder.path());
        assert_ne!(command(words, folder.path()).status.code(), Some(2));
        for (name, bytes) in files(folder.path()) {
            // Not what would be written now, but for the record, which is read before.
            let before = if name == "known.jsonl" {
                bytes
                    .split_inclusive(|byte| *byte == b'\n')
                    .take(1)
                    .collect::<Vec<_>>()
                    .concat()
            } else {
                b"as before\n".repeat(8)
            };
            house.entry(name).or_insert(before);
        }
    }
    house
}

fn bellhand(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bellhand"));
    command.args(words);
    command
}

/// The command in a folder with room.
fn command(words: &[&str], folder: &Path) -> Output {
    let mut command = bellhand(words);
    command
        .current_dir(folder)
        .env("BELLHAND_CACHE_DIR", "cache");
    command.output().unwrap()
}

/// What a command leaves on a disk with room.
fn with_room(house: &Files, words: &[&str]) -> (Files, Output) {
    let folder = tempfile::tempdir().unwrap();
    lay(house, folder.path());
    let output = command(words, folder.path());
    assert_ne!(output.status.code(), Some(2), "{words:?}");
    (files(folder.path()), output)
}

/// The command in the folder on a disk of its own that `fill` has filled; and what is left there.
fn on_a_full_disk(house: &Files, words: &[&str], fill: &str) -> (Files, Output) {
    let [given, disk, after] = [(); 3].map(|()| tempfile::tempdir().unwrap());
    lay(house, given.path());
    let script = format!(
        "given=$1 disk=$2 after=$3; shift 3
        mount -t tmpfs -o size=2m,nr_inodes=400 full \"$disk\" && cp -a \"$given/.\" \"$disk\" && cd \"$disk\" || exit 99
        {fill}
        \"$@\"; code=$?
        rm fill*; cp -a . \"$after\" || exit 99
        exit $code"
    );
    let places = [&given, &disk, &after].map(TempDir::path);
    let output = Command::new("unshare")
        .args(["-rm", "sh", "-c", &script, "sh"])
        .args(places)
        .arg(env!("CARGO_BIN_EXE_bellhand"))
        .args(words)
        .env("BELLHAND_CACHE_DIR", "cache")
        .output()
        .unwrap();
    assert_ne!(output.status.code(), Some(99), "{}", text(&output.stderr));
    (files(after.path()), output)
}

/// The program that refuses system calls, each by its number and what is asked of its arguments, for want of room or as
/// what a disk cannot do.
fn refusing(calls: &[libc::c_long], rules: &[SeccompRule], errno: i32) -> BpfProgram {
    let arch = TargetArch::try_from(std::env::consts::ARCH).unwrap();
    let calls = calls.iter().map(|call| (*call, rules.to_vec())).collect();
    let errno = SeccompAction::Errno(u32::try_from(errno).unwrap());
    let filter = SeccompFilter::new(calls, SeccompAction::Allow, errno, arch);
    filter.unwrap().try_into().unwrap()
}

/// The command in the folder, where the disk refuses some calls; and what is left there.
fn where_refused(house: &Files, words: &[&str], filters: &[BpfProgram]) -> (Files, Output) {
    let folder = tempfile::tempdir().unwrap();
    lay(house, folder.path());
    // What a thread is refused its children are refused, and nobody else.
    let output = std::thread::scope(|scope| {
        let thread = scope.spawn(|| {
            for filter in filters {
                seccompiler::apply_filter(filter).unwrap();
            }
            command(words, folder.path())
        });
        thread.join().unwrap()
    });
    (files(folder.path()), output)
}

/// Every file is as it was before or all that it was to become, and the one that is not is told of.
fn assert_whole(words: &[&str], before: &Files, wanted: &Files, (after, output): &(Files, Output)) {
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{words:?}: {said}");
    assert_eq!(said.lines().count(), 1, "{words:?}: {said}");
    assert!(
        said.contains("No space left on device"),
        "{words:?}: {said}"
    );
    let mut told = 0;
    for (name, bytes) in after {
        let whole = [before.get(name), wanted.get(name)];
        assert!(
            whole.contains(&Some(bytes)),
            "{words:?}: {name}: {} bytes",
            bytes.len()
        );
        let is_left = wanted.get(name) != Some(bytes);
        told += usize::from(is_left && said.contains(name));
    }
    assert_eq!(told, 1, "{words:?}: {said}");
    for name in before.keys() {
        assert!(after.contains_key(name), "{words:?}: {name}");
    }
}

/// Whether there can be a disk of one's own here; else says why not.
#[expect(clippy::print_stdout, reason = "a test says what it did not try")]
fn disks_can_be_made() -> bool {
    let folder = tempfile::tempdir().unwrap();
    let mut probe = Command::new("unshare");
    probe
        .args(["-rm", "mount", "-t", "tmpfs", "full"])
        .arg(folder.path());
    let why = match probe.output() {
        Ok(output) if output.status.success() => return true,
        Ok(output) => text(&output.stderr),
        Err(error) => format!("unshare: {error}"),
    };
    println!("not tried: no disk can be made here: {why}");
    false
}

#[test]
fn a_full_disk_leaves_every_file_as_it_was() {
    if !disks_can_be_made() {
        return;
    }
    let house = house(LONG);
    let mut tried = 0;
    for words in COMMANDS.iter().chain([&KNOWS]) {
        let (wanted, _) = with_room(&house, words);
        assert_ne!(wanted, house, "{words:?}");
        for fill in [FILLED, NO_ROOM, NO_FILES] {
            if fill == NO_ROOM && words == &KNOWS {
                // What is known says everything once, and finds room.
                continue;
            }
            assert_whole(words, &house, &wanted, &on_a_full_disk(&house, words, fill));
            tried += 1;
        }
    }
    println!("{tried} times a disk was full");
}

#[test]
fn a_verdict_that_cannot_be_kept_is_said_all_the_same() {
    if !disks_can_be_made() {
        return;
    }
    let house = house(LONG);
    let (kept, wanted) = with_room(&house, KEEPS);
    assert_ne!(kept, house);
    for fill in [FILLED, NO_ROOM, NO_FILES] {
        let (after, output) = on_a_full_disk(&house, KEEPS, fill);
        assert_eq!(output, wanted, "{fill}");
        assert_eq!(after, house, "{fill}");
    }
}

/// The steps by which a file takes its place; the first where it has no name until it is whole, then where it has a
/// hidden one from the start.
#[test]
fn a_file_that_cannot_take_its_place_leaves_the_one_before() {
    let renames = [
        #[cfg(target_arch = "x86_64")]
        libc::SYS_rename,
        #[cfg(not(target_arch = "riscv64"))]
        libc::SYS_renameat,
        libc::SYS_renameat2,
    ];
    let steps: [(&str, &[libc::c_long]); 4] = [
        ("fsync", &[libc::SYS_fsync]),
        ("link", &[libc::SYS_linkat]),
        ("sync of what is linked", &[libc::SYS_fdatasync]),
        ("rename", &renames),
    ];
    let nameless = u64::try_from(libc::O_TMPFILE).unwrap();
    let asks_for_nameless = SeccompCondition::new(
        2,
        SeccompCmpArgLen::Dword,
        SeccompCmpOp::MaskedEq(nameless),
        nameless,
    );
    let asks_for_nameless = SeccompRule::new(vec![asks_for_nameless.unwrap()]).unwrap();
    let named = refusing(&[libc::SYS_openat], &[asks_for_nameless], libc::EOPNOTSUPP);
    let house = house(4);
    let (mut tried, mut written) = (0, 0);
    for words in COMMANDS.iter().chain([&KNOWS]) {
        let (wanted, _) = with_room(&house, words);
        for (step, calls) in &steps {
            let refused = refusing(calls, &[], libc::ENOSPC);
            let outcome = where_refused(&house, words, std::slice::from_ref(&refused));
            assert_whole(words, &house, &wanted, &outcome);
            // A file that has its name is not linked.
            let (after, output) = where_refused(&house, words, &[refused, named.clone()]);
            if matches!(*step, "fsync" | "rename") {
                assert_whole(words, &house, &wanted, &(after, output));
            } else {
                assert_eq!(after, wanted, "{words:?} without {step}");
                written += 1;
            }
            tried += 2;
        }
    }
    println!("{tried} times a step was refused, {written} times one that is not taken");
}
