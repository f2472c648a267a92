//! A small editor: starts the server, speaks its protocol, remembers what it pushes.

use std::collections::HashMap;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use crate::protocol::Conversation;

/// How long anything may take before a test gives up; far above what it does take.
const PATIENCE: Duration = Duration::from_secs(60);

pub(crate) struct Client {
    child: Child,
    input: Option<ChildStdin>,
    messages: Receiver<Value>,
    /// Reads what the server sends until it ends.
    reader: Option<JoinHandle<()>>,
    /// All that was said, checked whether a test looks at it or not.
    conversation: Arc<Mutex<Conversation>>,
    /// Notifications that came while something else was waited for.
    pub(crate) pushed: Vec<Value>,
    /// What the server asked of its client.
    pub(crate) asked: Vec<Value>,
    /// What the client says to that, by method; nothing when a method is not named.
    pub(crate) says: HashMap<&'static str, Value>,
    next_id: i64,
}

impl Client {
    pub(crate) fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .arg("lsp")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .unwrap();
        let input = child.stdin.take();
        let output = child.stdout.take().unwrap();
        let (sender, messages) = channel();
        let conversation = Arc::new(Mutex::new(Conversation::default()));
        let heard = Arc::clone(&conversation);
        let reader = std::thread::spawn(move || {
            let mut output = BufReader::new(output);
            while let Some(body) = read_message(&mut output) {
                heard.lock().unwrap().received(&body);
                // A test may have all it waits for; the rest is checked all the same.
                let _ = serde_json::from_slice(&body).map(|message| sender.send(message));
            }
        });
        Self {
            child,
            input,
            messages,
            reader: Some(reader),
            conversation,
            pushed: Vec::new(),
            asked: Vec::new(),
            says: HashMap::new(),
            next_id: 1,
        }
    }

    /// Starts and shakes hands with the given capabilities and options.
    pub(crate) fn ready(capabilities: &Value, options: &Value) -> (Self, Value) {
        let mut client = Self::start();
        let answer = client.greet(capabilities, options);
        (client, answer)
    }

    /// Shakes hands; the server's answer.
    pub(crate) fn greet(&mut self, capabilities: &Value, options: &Value) -> Value {
        let answer = self.ask(
            "initialize",
            json!({"processId": null, "rootUri": null, "capabilities": capabilities, "initializationOptions": options}),
        );
        self.tell("initialized", json!({}));
        answer
    }

    /// Sends bytes as they are, whatever they mean.
    pub(crate) fn raw(&mut self, bytes: &[u8]) {
        let text = String::from_utf8_lossy(bytes);
        let body = text.split_once("\r\n\r\n").map(|(_, body)| body);
        if let Some(Ok(message)) = body.map(serde_json::from_str) {
            self.conversation().sent(&message);
        }
        self.write(bytes);
    }

    fn write(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().unwrap();
        input.write_all(bytes).unwrap();
        input.flush().unwrap();
    }

    pub(crate) fn send(&mut self, message: &Value) {
        let body = message.to_string();
        self.conversation().sent(message);
        self.write(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    /// What was said so far.
    pub(crate) fn conversation(&self) -> MutexGuard<'_, Conversation> {
        self.conversation.lock().unwrap()
    }

    pub(crate) fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Sends a request without waiting; its id.
    pub(crate) fn begin(&mut self, method: &str, params: Value) -> i64 {
        let id = self.next_id;
        self.next_id += 1;
        self.send(&json!({"jsonrpc": "2.0", "id": id, "method": method, "params": params}));
        id
    }

    /// The next message that is wanted; others are kept.
    pub(crate) fn wait(&mut self, mut wanted: impl FnMut(&Value) -> bool) -> Value {
        if let Some(index) = self.pushed.iter().position(&mut wanted) {
            return self.pushed.remove(index);
        }
        loop {
            let Some(message) = self.next() else { continue };
            if wanted(&message) {
                return message;
            }
            self.pushed.push(message);
        }
    }

    /// The next message, unless it is something the server asks, which is answered.
    fn next(&mut self) -> Option<Value> {
        let message = self.messages.recv_timeout(PATIENCE).unwrap();
        if message.get("method").is_none() || message.get("id").is_none() {
            return Some(message);
        }
        let method = message["method"].as_str().unwrap();
        let says = self.says.get(method).cloned().unwrap_or_default();
        self.send(&json!({"jsonrpc": "2.0", "id": message["id"], "result": says}));
        self.asked.push(message);
        None
    }

    /// Waits until the server asks something; its parameters.
    pub(crate) fn asked_for(&mut self, method: &str) -> Value {
        loop {
            if let Some(index) = self
                .asked
                .iter()
                .position(|asked| asked["method"] == method)
            {
                return self.asked.remove(index)["params"].clone();
            }
            let message = self.next();
            self.pushed.extend(message);
        }
    }

    pub(crate) fn answer(&mut self, id: i64) -> Value {
        self.wait(|message| message.get("method").is_none() && message["id"] == id)
    }

    pub(crate) fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.begin(method, params);
        let answer = self.answer(id);
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    pub(crate) fn open(&mut self, uri: &str, text: &str) {
        let item = json!({"uri": uri, "languageId": "abc", "version": 1, "text": text});
        self.tell("textDocument/didOpen", json!({"textDocument": item}));
    }

    pub(crate) fn change(&mut self, uri: &str, version: i64, changes: &Value) {
        self.tell(
            "textDocument/didChange",
            json!({"textDocument": {"uri": uri, "version": version}, "contentChanges": changes}),
        );
    }

    /// The findings pushed for a version of a document.
    pub(crate) fn diagnostics(&mut self, uri: &str, version: i64) -> Vec<Value> {
        let message = self.wait(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == uri
                && message["params"]["version"] == version
        });
        message["params"]["diagnostics"].as_array().unwrap().clone()
    }

    /// Whether the server still answers.
    pub(crate) fn lives(&mut self) -> bool {
        let hover = json!({"textDocument": {"uri": "file:///nowhere.abc"}, "position": {"line": 0, "character": 0}});
        self.ask("textDocument/hover", hover).is_null()
    }

    pub(crate) fn exit(&mut self) -> ExitStatus {
        let end = Instant::now() + PATIENCE;
        while Instant::now() < end {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        panic!("the server does not end");
    }

    pub(crate) fn hang_up(&mut self) {
        self.input = None;
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        // Already gone is as good as killed.
        let _ = self.child.kill();
        let _ = self.child.wait();
        let read = self.reader.take().map(JoinHandle::join);
        let conversation = self.conversation();
        conversation.tell();
        let faults = conversation.faults().join("\n");
        let kept = matches!(read, Some(Ok(()))) && faults.is_empty();
        let words = format!("the server does not keep to the protocol: {faults}");
        // A test that fails already cannot fail once more.
        if std::thread::panicking() {
            println!("{}", if kept { "" } else { &words });
        } else {
            assert!(kept, "{words}");
        }
    }
}

/// The next message's body; none where the server has ended, though it be in the midst of one.
fn read_message(output: &mut impl BufRead) -> Option<Vec<u8>> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).ok()? == 0 {
            return None;
        }
        let line = line.trim();
        if line.is_empty() {
            break;
        }
        if let Some(value) = line.strip_prefix("Content-Length: ") {
            length = value.parse().ok()?;
        }
    }
    let mut body = vec![0; length];
    output.read_exact(&mut body).ok()?;
    Some(body)
}

/// A client that takes pushed findings and counts in UTF-16.
pub(crate) fn plain() -> Value {
    json!({"textDocument": {"publishDiagnostics": {"relatedInformation": true}}})
}
