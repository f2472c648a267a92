//! The command line as its users and their programs meet it.
#![expect(clippy::unwrap_used, reason = "a user in a test fails loudly")]

#[cfg(target_os = "linux")]
mod bombs;
mod cache;
mod change;
mod check;
mod ci;
#[cfg(unix)]
mod full;
#[cfg(target_os = "linux")]
mod full_disk;
mod install;
mod known;
mod look_up;
mod marks;
mod settings;
mod show;
mod slips;
mod watch;

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/demo")
        .join(name)
}

fn run(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut pipe = child.stdin.take().unwrap();
    // A command that does not read its input may be gone already.
    let _ = pipe.write_all(input);
    drop(pipe);
    child.wait_with_output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap()
}

const PART: &str = "X:1\nM:4/4\nL:1/4\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\nB c d e |]\n";
