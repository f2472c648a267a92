//! A class as its teacher, its students and those who mean it harm meet it, over real sockets.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_pass_by_value,
    reason = "whoever comes to a class in a test fails loudly, and takes json! as it is written"
)]

mod browser;
mod desks;
mod gate;
mod lessons;
mod load;
mod talk;
mod wall;

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use browser::Browser;

/// How long anything may take before a test gives up; far above what it does take.
const PATIENCE: std::time::Duration = std::time::Duration::from_secs(60);

/// A class that is served until it is let go.
struct Class {
    child: Child,
    port: u16,
    /// The teacher's key.
    key: String,
    /// The code of the day; empty where there are no desks.
    code: String,
    folder: tempfile::TempDir,
}

impl Class {
    /// A class of some scores of the demo, each at a path from its folder.
    fn of(scores: &[(&str, &str)], options: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for (path, demo) in scores {
            put(&folder.path().join(path), demo);
        }
        let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("class")
            .arg(folder.path())
            .args(["--port", "0"])
            .args(options)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let (mut port, mut key, mut code) = (0, String::new(), String::new());
        for line in lines {
            let line = line.unwrap();
            if let Some((_, rest)) = line.split_once("http://127.0.0.1:")
                && let Some((number, said)) = rest.split_once("/open?key=")
            {
                port = number.parse().unwrap();
                key = said.to_owned();
            }
            if let Some((_, said)) = line.split_once("code of the day: ") {
                code = said.to_owned();
            }
            if line.starts_with("Ctrl+C") {
                break;
            }
        }
        Self {
            child,
            port,
            key,
            code,
            folder,
        }
    }

    fn path(&self, within: &str) -> PathBuf {
        self.folder.path().join(within)
    }

    /// A browser that has been nowhere yet.
    fn browser(&self) -> Browser {
        Browser::new(self.port)
    }

    /// The teacher's browser.
    fn teacher(&self) -> Browser {
        let mut browser = self.browser();
        let answer = browser.get(&format!("/open?key={}", self.key));
        assert_eq!(answer.status, 303);
        browser
    }

    /// A student's browser, at a desk.
    fn student(&self, name: &str) -> Browser {
        let mut browser = self.browser();
        let answer = browser.enter(&self.code, name, "");
        assert_eq!(answer.status, 200, "{}", answer.text());
        browser
    }
}

impl Drop for Class {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Puts a score of the demo at a path.
fn put(path: &Path, demo: &str) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/demo")
        .join(demo);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::copy(demo, path).unwrap();
}
