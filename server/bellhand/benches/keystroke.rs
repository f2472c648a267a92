//! From a keystroke to its findings, through a real pipe to the real server.
#![expect(clippy::unwrap_used, reason = "a benchmark fails loudly")]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use divan::Bencher;
use serde_json::{Value, json};

const URI: &str = "file:///pier/long.abc";

fn main() {
    divan::main();
}

/// A score of about so many bytes: one tune, or many of about three thousand bytes.
fn score(bytes: usize, one_tune: bool) -> String {
    let head = |number: usize| {
        format!(
            "X:{number}\nT:Tide table {number}\nM:4/4\nL:1/8\nK:Bb\nV:1 name=\"Horn in F\" transpose=-7\n"
        )
    };
    let line = "\"^stopped\" c2 d2 e>f g2 | (3abc d2 !+!e2 z2 | \"^open\" [ce]2 G2 A2 B2- | B2 z2 {f}g2 a2 |\n";
    let mut text = head(1);
    let (mut tunes, mut since) = (1, 0);
    while text.len() < bytes {
        text.push_str(line);
        since += line.len();
        if !one_tune && since > 3000 {
            tunes += 1;
            since = 0;
            text.push('\n');
            text.push_str(&head(tunes));
        }
    }
    text
}

struct Session {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    version: i64,
    line: usize,
}

impl Session {
    fn open(text: &str) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("lsp")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let input = child.stdin.take().unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        let line = text.matches('\n').count() / 2;
        let line = text
            .lines()
            .skip(line)
            .position(|l| l.starts_with('"'))
            .unwrap()
            + line;
        let mut session = Self {
            child,
            input,
            output,
            version: 1,
            line,
        };
        let capabilities = json!({"textDocument": {"diagnostic": {}}});
        session.send(&json!({"jsonrpc": "2.0", "id": 0, "method": "initialize", "params": {"capabilities": capabilities}}));
        session.answer(0);
        session.send(&json!({"jsonrpc": "2.0", "method": "initialized", "params": {}}));
        let item = json!({"uri": URI, "languageId": "abc", "version": 1, "text": text});
        session.send(&json!({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"textDocument": item}}));
        session.keystroke();
        session
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.input, "Content-Length: {}\r\n\r\n{body}", body.len()).unwrap();
        self.input.flush().unwrap();
    }

    fn answer(&mut self, id: i64) -> Value {
        loop {
            let mut length = 0;
            loop {
                let mut line = String::new();
                self.output.read_line(&mut line).unwrap();
                match line.trim().strip_prefix("Content-Length: ") {
                    Some(value) => length = value.parse().unwrap(),
                    None if line.trim().is_empty() => break,
                    None => {}
                }
            }
            let mut body = vec![0; length];
            self.output.read_exact(&mut body).unwrap();
            let message: Value = serde_json::from_slice(&body).unwrap();
            if message["id"] == id && message.get("method").is_none() {
                return message;
            }
        }
    }

    /// Types a note into the middle of the text, or takes it out again, and asks for the findings.
    fn keystroke(&mut self) -> usize {
        self.version += 1;
        let at = json!({"line": self.line, "character": 13});
        let end = json!({"line": self.line, "character": 13 + self.version % 2});
        let text = if self.version % 2 == 0 { "d" } else { "" };
        let change = json!({"range": {"start": at, "end": end}, "text": text});
        let document = json!({"uri": URI, "version": self.version});
        let params = json!({"textDocument": document, "contentChanges": [change]});
        self.send(&json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": params}));
        let id = self.version;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": "textDocument/diagnostic", "params": {"textDocument": {"uri": URI}}}));
        self.answer(id)["result"]["items"]
            .as_array()
            .map_or(0, Vec::len)
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        // Gone already is as good.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[divan::bench(args = [10_000, 100_000, 1_000_000], sample_count = 30)]
fn in_one_of_many_tunes(bencher: Bencher<'_, '_>, bytes: usize) {
    let mut session = Session::open(&score(bytes, false));
    bencher.bench_local(|| session.keystroke());
}

#[divan::bench(args = [10_000, 100_000], sample_count = 30)]
fn in_one_long_tune(bencher: Bencher<'_, '_>, bytes: usize) {
    let mut session = Session::open(&score(bytes, true));
    bencher.bench_local(|| session.keystroke());
}
