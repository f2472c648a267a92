//! From a keystroke to its findings, through a real pipe to the real server.
#![expect(clippy::unwrap_used, reason = "a benchmark fails loudly")]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use divan::Bencher;
use serde_json::{Value, json};

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

/// A place in a text that is typed at: one reading of it and another.
struct Toggle {
    line: usize,
    character: usize,
    now: &'static str,
    then: &'static str,
}

impl Toggle {
    /// The first place after the middle of a text where `now` stands between `before` and `after`.
    fn find(
        text: &str,
        (before, now, after): (&str, &'static str, &str),
        then: &'static str,
    ) -> Self {
        let middle = text.len() / 2;
        let middle = (middle..).find(|at| text.is_char_boundary(*at)).unwrap();
        let found = text[middle..].find(&format!("{before}{now}{after}"));
        let at = middle + found.unwrap() + before.len();
        let line = text[..at].matches('\n').count();
        let start = text[..at].rfind('\n').map_or(0, |end| end + 1);
        Self {
            line,
            character: text[start..at].encode_utf16().count(),
            now,
            then,
        }
    }
}

struct Session {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    uri: String,
    version: i64,
    toggle: Toggle,
}

impl Session {
    fn open(language: &str, text: &str, toggle: Toggle) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("lsp")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let input = child.stdin.take().unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        let mut session = Self {
            child,
            input,
            output,
            uri: format!("file:///pier/long.{language}"),
            version: 1,
            toggle,
        };
        let capabilities = json!({"textDocument": {"diagnostic": {}}});
        session.send(&json!({"jsonrpc": "2.0", "id": 0, "method": "initialize", "params": {"capabilities": capabilities}}));
        session.answer(0);
        session.send(&json!({"jsonrpc": "2.0", "method": "initialized", "params": {}}));
        let item = json!({"uri": session.uri, "languageId": language, "version": 1, "text": text});
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

    /// Types in the middle of the text, or takes it back again.
    fn type_there(&mut self) {
        self.version += 1;
        let Toggle {
            line,
            character,
            now,
            then,
        } = self.toggle;
        (self.toggle.now, self.toggle.then) = (then, now);
        let range = json!({
            "start": {"line": line, "character": character},
            "end": {"line": line, "character": character + now.len()},
        });
        let document = json!({"uri": self.uri, "version": self.version});
        let params =
            json!({"textDocument": document, "contentChanges": [{"range": range, "text": then}]});
        self.send(&json!({"jsonrpc": "2.0", "method": "textDocument/didChange", "params": params}));
    }

    /// Types, and asks for the findings.
    fn keystroke(&mut self) -> usize {
        self.type_there();
        let params = json!({"textDocument": {"uri": self.uri}});
        let answer = self.ask("textDocument/diagnostic", &params);
        answer["result"]["items"].as_array().map_or(0, Vec::len)
    }

    /// Types, and asks for the picture of the part there.
    fn picture(&mut self) -> usize {
        self.type_there();
        let Toggle {
            line, character, ..
        } = self.toggle;
        let position = json!({"line": line, "character": character});
        let params = json!({"textDocument": {"uri": self.uri}, "position": position});
        let answer = self.ask("bellhand/picture", &params);
        answer["result"]["svg"].as_str().unwrap().len()
    }

    fn ask(&mut self, method: &str, params: &Value) -> Value {
        let id = self.version;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}));
        self.answer(id)
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        // Gone already is as good.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An ABC score of about so many bytes, typed at in its middle.
fn abc(bytes: usize, one_tune: bool) -> Session {
    let text = score(bytes, one_tune);
    let toggle = Toggle::find(&text, ("\"^stopped\" c2 ", "", "d2"), "d");
    Session::open("abc", &text, toggle)
}

/// Real horn parts of about half a megabyte.
fn real(language: &str) -> Session {
    let scores = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/scores");
    let read = |path: &str| std::fs::read_to_string(scores.join(path)).unwrap();
    if language == "musicxml" {
        let text = read("musicxml/Brahms_Op.98_4.horns.musicxml");
        let toggle = Toggle::find(&text, ("<step>", "G", "</step>"), "A");
        Session::open(language, &text, toggle)
    } else {
        let text =
            read("kern/pl-wumfc-n26881-003_paderewski-ignacy-jan-manru-zweite-akt-i-scene-nr-.krn");
        let toggle = Toggle::find(&text, ("\t4", "b", "\\"), "a");
        Session::open(language, &text, toggle)
    }
}

#[divan::bench(args = [10_000, 100_000, 1_000_000], sample_count = 30)]
fn in_one_of_many_tunes(bencher: Bencher<'_, '_>, bytes: usize) {
    let mut session = abc(bytes, false);
    bencher.bench_local(|| session.keystroke());
}

#[divan::bench(args = [10_000, 100_000], sample_count = 30)]
fn in_one_long_tune(bencher: Bencher<'_, '_>, bytes: usize) {
    let mut session = abc(bytes, true);
    bencher.bench_local(|| session.keystroke());
}

#[divan::bench(args = ["kern", "musicxml"], sample_count = 30)]
fn in_a_real_score(bencher: Bencher<'_, '_>, language: &str) {
    let mut session = real(language);
    bencher.bench_local(|| session.keystroke());
}

#[divan::bench(args = [10_000, 100_000], sample_count = 30)]
fn to_the_picture(bencher: Bencher<'_, '_>, bytes: usize) {
    let mut session = abc(bytes, true);
    bencher.bench_local(|| session.picture());
}
