//! Little that unpacks to much, and what has no end: every command says what is wrong, and takes no memory for it.

use super::*;

/// The most address space that a command may take, in KiB, well above what it takes for a score and well below what any
/// of these unpacks to. With few threads, since each takes address space that it does not use.
const MOST: u32 = 1 << 20;
/// What a bomb unpacks to.
const UNPACKED: usize = 2 << 30;

const CONTAINER: &str = "META-INF/container.xml";
const NAMES_SCORE: &[u8] =
    b"<container><rootfiles><rootfile full-path=\"score.xml\"/></rootfiles></container>";
const SCORE: &[u8] = b"<score-partwise><part-list><score-part id=\"P\"><part-name>Horn in F</part-name></score-part>\
    </part-list><part id=\"P\"><measure number=\"1\"><note><rest/><duration>1</duration></note></measure></part></score-partwise>";

/// Runs the command where memory is short.
fn run_short(arguments: &[&str], input: Stdio) -> Output {
    Command::new("sh")
        .args(["-c", &format!("ulimit -v {MOST} && exec \"$0\" \"$@\"")])
        .arg(env!("CARGO_BIN_EXE_bellhand"))
        .args(arguments)
        .env("RAYON_NUM_THREADS", "2")
        .stdin(input)
        .output()
        .unwrap()
}

/// A member of a zip, as its headers describe it and as it is.
struct Member {
    /// The names under which the directory has it; the first is its own.
    names: Vec<String>,
    method: u16,
    crc: u32,
    /// The size that is said.
    size: u32,
    packed: Vec<u8>,
}

impl Member {
    fn stored(name: &'static str, bytes: &[u8]) -> Self {
        Self {
            names: vec![name.to_owned()],
            method: 0,
            crc: crc(bytes),
            size: bytes.len() as u32,
            packed: bytes.to_vec(),
        }
    }

    /// Blanks by the gigabyte, and the size they are said to have.
    fn bomb(name: &'static str, size: u32) -> Self {
        Self {
            names: vec![name.to_owned()],
            method: 8,
            crc: 0,
            size,
            packed: blanks(UNPACKED),
        }
    }

    fn also(mut self, names: impl Iterator<Item = String>) -> Self {
        self.names.extend(names);
        self
    }

    /// What stands in both headers (APPNOTE.TXT 4.3.7 and 4.3.12): the version needed, and so on to the extra field's
    /// length.
    fn described(&self, name: &str) -> Vec<u8> {
        let mut bytes = Vec::new();
        for short in [20, 0, self.method, 0, 0x21] {
            bytes.extend(u16::to_le_bytes(short));
        }
        for long in [self.crc, self.packed.len() as u32, self.size] {
            bytes.extend(long.to_le_bytes());
        }
        for short in [name.len() as u16, 0] {
            bytes.extend(short.to_le_bytes());
        }
        bytes
    }

    fn local(&self) -> Vec<u8> {
        let name = &self.names[0];
        [
            b"PK\x03\x04",
            &*self.described(name),
            name.as_bytes(),
            &self.packed,
        ]
        .concat()
    }

    /// Its entries in the directory, when its local header stands at a byte.
    fn entries(&self, at: u32) -> Vec<u8> {
        let (version, rest, at) = ([20, 0], [0; 10], at.to_le_bytes());
        let entry = |name: &String| {
            let described = self.described(name);
            [
                b"PK\x01\x02",
                &version[..],
                &described,
                &rest,
                &at,
                name.as_bytes(),
            ]
            .concat()
        };
        self.names.iter().flat_map(entry).collect()
    }
}

fn zip(members: &[Member]) -> Vec<u8> {
    let (mut bytes, mut directory) = (Vec::new(), Vec::new());
    for member in members {
        directory.extend(member.entries(bytes.len() as u32));
        bytes.extend(member.local());
    }
    let count: usize = members.iter().map(|member| member.names.len()).sum();
    let at = bytes.len() as u32;
    bytes.extend(&directory);
    let count = u16::try_from(count).unwrap().to_le_bytes();
    let (length, at) = ((directory.len() as u32).to_le_bytes(), at.to_le_bytes());
    bytes.extend(
        [
            b"PK\x05\x06",
            &[0; 4][..],
            &count,
            &count,
            &length,
            &at,
            &[0; 2],
        ]
        .concat(),
    );
    bytes
}

/// A directory's end (APPNOTE.TXT 4.3.14 to 4.3.16) that speaks of more members than there are bytes.
fn boasting() -> Vec<u8> {
    let mut bytes = Member::stored("a", b"").local();
    let at = bytes.len() as u64;
    let many = (1_u64 << 60).to_le_bytes();
    bytes.extend(
        [
            b"PK\x06\x06",
            &44_u64.to_le_bytes()[..],
            &[45, 0, 45, 0],
            &[0; 8],
        ]
        .concat(),
    );
    bytes.extend([many, many, 0_u64.to_le_bytes(), at.to_le_bytes()].concat());
    bytes.extend(
        [
            b"PK\x06\x07",
            &[0; 4][..],
            &at.to_le_bytes(),
            &1_u32.to_le_bytes(),
        ]
        .concat(),
    );
    bytes.extend([b"PK\x05\x06", &[0; 4][..], &[0xff; 12], &[0; 2]].concat());
    bytes
}

/// Blanks, packed (RFC 1951): a block of fixed codes with one blank, and then that the 258 bytes to come are the one
/// before, over and over: 13 bits each.
fn blanks(length: usize) -> Vec<u8> {
    // Codes go in with their first bit first, numbers with their last. Not the last block, fixed codes: 0, 10; a blank is
    // 0x30 and 0x20, in eight bits; a length of 258 is 11000101, a distance of one 00000.
    let head = "010".chars().chain("01010000".chars());
    let match_258 = "1100010100000";
    let times = (length / 258).div_ceil(8) * 8;
    let bits: Vec<bool> = head
        .chain(match_258.repeat(16).chars())
        .map(|bit| bit == '1')
        .collect();
    let byte = |bits: &[bool]| {
        let set = bits.iter().enumerate().filter(|(_, bit)| **bit);
        set.map(|(place, _)| 1_u8 << place).sum()
    };
    let bytes: Vec<u8> = bits.chunks(8).map(byte).collect();
    // Behind the head every thirteen bytes are the same: eight matches.
    let (head, again) = (&bytes[..2], &bytes[2..15]);
    [head, &again.repeat(times / 8)].concat()
}

/// The checksum of a zip's members (APPNOTE.TXT 4.4.7).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            (crc >> 1) ^ (0xEDB8_8320 & (crc & 1).wrapping_neg())
        })
    })
}

/// What unpacks to too much, and what is said of it.
fn bombs() -> Vec<(&'static str, Vec<u8>, &'static str)> {
    let container = || Member::stored(CONTAINER, NAMES_SCORE);
    let score = |size| Member::bomb("score.xml", size);
    let same = std::iter::repeat_n("score.xml".to_owned(), 20_000);
    let others = (0..20_000).map(|number| number.to_string());
    let within = zip(&[container(), score(1 << 31)]);
    let too_much = "unpacks to more than a score can be";
    vec![
        ("the score", within.clone(), too_much),
        (
            "a score said to be small",
            zip(&[container(), score(100)]),
            "damaged",
        ),
        (
            "the container",
            zip(&[Member::bomb(CONTAINER, 1 << 31)]),
            too_much,
        ),
        (
            "one member many times",
            zip(&[container(), score(1 << 31).also(same)]),
            too_much,
        ),
        (
            "one member under many names",
            zip(&[container(), score(1 << 31).also(others)]),
            "too many members",
        ),
        ("more members than bytes", boasting(), "damaged"),
        (
            "a package in a package",
            zip(&[container(), Member::stored("score.xml", &within)]),
            "holds zero bytes",
        ),
    ]
}

#[test]
fn packages_that_unpack_to_too_much_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    // A package made as the bombs are made is one.
    let good = zip(&[
        Member::stored(CONTAINER, NAMES_SCORE),
        Member::stored("score.xml", SCORE),
    ]);
    let path = folder.path().join("good.mxl");
    std::fs::write(&path, good).unwrap();
    let output = run_short(&["notes", path.to_str().unwrap()], Stdio::null());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let mut tried = 0;
    for (what, bytes, said) in bombs() {
        let path = folder.path().join("bomb.mxl");
        std::fs::write(&path, &bytes).unwrap();
        for command in ["check", "fix", "notes"] {
            let output = run_short(&[command, path.to_str().unwrap()], Stdio::null());
            let told = [text(&output.stderr), text(&output.stdout)].concat();
            assert_eq!(output.status.code(), Some(2), "{command}: {what}: {told}");
            assert!(
                told.contains("bomb.mxl") && told.contains(said),
                "{command}: {what}: {told}"
            );
            tried += 1;
        }
        assert_eq!(std::fs::read(&path).unwrap(), bytes, "{what}");
    }
    println!(
        "{tried} commands given bombs, each within {} MiB",
        MOST >> 10
    );
}

#[test]
fn what_has_no_end_is_read_to_a_bound() {
    let folder = tempfile::tempdir().unwrap();
    let score = folder.path().join("part.abc");
    std::fs::write(&score, PART).unwrap();
    let pipe = folder.path().join("pipe.abc");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let endless = folder.path().join("endless.abc");
    std::os::unix::fs::symlink("/dev/zero", &endless).unwrap();
    let score = score.to_str().unwrap();
    let mut tried = 0;
    // By a name, for every command that reads a score.
    for command in [
        &["check"][..],
        &["fix"],
        &["rewrite", "--for", "D"],
        &["notes"],
        &["draw"],
    ] {
        for path in [&pipe, &endless] {
            let path = path.to_str().unwrap();
            let output = run_short(&[command, &[path]].concat(), Stdio::null());
            let said = text(&output.stderr);
            assert_eq!(output.status.code(), Some(2), "{command:?} {path}: {said}");
            assert!(
                said.contains(path) && said.contains("is no file"),
                "{command:?} {path}: {said}"
            );
            tried += 1;
        }
    }
    // In a folder they are no scores.
    let output = run_short(&["fix", folder.path().to_str().unwrap()], Stdio::null());
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    assert_eq!(text(&output.stdout).lines().count(), 1, "{output:?}");
    // On standard input, and as settings.
    let zero = || std::fs::File::open("/dev/zero").unwrap().into();
    for (arguments, said) in [
        (
            &["check", "--as", "abc", "-"][..],
            "standard input holds more than 128 MiB",
        ),
        (
            &["fix", "--as", "abc", "-"],
            "standard input holds more than 128 MiB",
        ),
        (
            &["check", "--settings", "/dev/zero", score],
            "/dev/zero: cannot be read: it is no file",
        ),
    ] {
        let output = run_short(arguments, zero());
        let told = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {told}");
        assert!(told.contains(said), "{arguments:?}: {told}");
        tried += 1;
    }
    println!("{tried} commands given what has no end");
}

#[test]
fn a_settings_file_beyond_all_measure_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let score = folder.path().join("part.abc");
    std::fs::write(&score, PART).unwrap();
    let settings = folder.path().join("bellhand.toml");
    let file = std::fs::File::create(&settings).unwrap();
    // A hole in the file, which takes no disk.
    file.set_len(UNPACKED as u64).unwrap();
    let output = run_short(&["check", score.to_str().unwrap()], Stdio::null());
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(
        said.contains("bellhand.toml: cannot be read: it is larger than 1 MiB"),
        "{said}"
    );
    for nested in [
        "[".repeat(500_000),
        format!("a = {}", "[".repeat(500_000)),
        "a.".repeat(300_000),
    ] {
        std::fs::write(&settings, nested).unwrap();
        let output = run_short(&["check", score.to_str().unwrap()], Stdio::null());
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains("bellhand.toml:1:"), "{said}");
        assert!(said.len() < 2_000, "{} bytes", said.len());
    }
}
