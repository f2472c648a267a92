//! What a desk calls its pieces, and where they lie: a browser is told no path, and can name none.

use serde_json::Value;
use tower_lsp::lsp_types::Url;

use super::{Desk, Desks};

/// What the addresses of a desk's pieces begin with: `desk:/p1/horn.abc`.
const SCHEME: &str = "desk:/";

/// The most addresses that are kept for one talk; a desk has one for each piece.
const MOST_KNOWN: usize = 64;

/// What a desk may ask of the language server, or tell it.
const MAY: [&str; 22] = [
    "initialize",
    "initialized",
    "shutdown",
    "exit",
    "$/cancelRequest",
    "$/setTrace",
    "textDocument/didOpen",
    "textDocument/didChange",
    "textDocument/didClose",
    "textDocument/didSave",
    "textDocument/hover",
    "textDocument/completion",
    "completionItem/resolve",
    "textDocument/codeAction",
    "codeAction/resolve",
    "textDocument/diagnostic",
    "textDocument/documentHighlight",
    "textDocument/documentSymbol",
    "textDocument/foldingRange",
    "textDocument/semanticTokens/full",
    "bellhand/picture",
    "bellhand/status",
];

/// The addresses that have been used in one talk.
#[derive(Debug)]
pub(crate) struct Addresses<'a> {
    desks: &'a Desks,
    desk: &'a Desk,
    /// What the desk says, and what the server is told for it; of two that begin alike, the longer first.
    known: Vec<(String, String)>,
}

impl<'a> Addresses<'a> {
    pub(crate) fn new(desks: &'a Desks, desk: &'a Desk) -> Self {
        Self {
            desks,
            desk,
            known: Vec::new(),
        }
    }

    /// A message from the desk as the server is told it; `None` for one that a desk has no need to send, or that names
    /// anything but the student's own pieces.
    pub(crate) fn inward(&mut self, message: &str) -> Option<String> {
        let mut message: Value = serde_json::from_str(message).ok()?;
        let envelope = message.as_object_mut()?;
        if let Some(method) = envelope.get("method") {
            let method = method.as_str()?;
            if !MAY.contains(&method) {
                return None;
            }
            if method == "initialize" {
                // The machine's own folders and processes are none of a browser's business.
                let params = envelope.get_mut("params")?.as_object_mut()?;
                params.retain(|name, _| name == "capabilities");
                params.insert("processId".to_owned(), Value::Null);
            }
        }
        self.place(&mut message)?;
        serde_json::to_string(&message).ok()
    }

    /// Puts where a piece lies in the place of what the desk calls it; `None` at an address of anything else.
    fn place(&mut self, value: &mut Value) -> Option<()> {
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    match value {
                        Value::String(said) if name == "uri" || said.starts_with(SCHEME) => {
                            *said = self.placed(said)?;
                        }
                        value => self.place(value)?,
                    }
                }
            }
            Value::Array(values) => {
                for value in values {
                    self.place(value)?;
                }
            }
            _ => {}
        }
        Some(())
    }

    /// Where a piece lies that a desk names; what follows a `#`, by which the server marks a text, stays.
    fn placed(&mut self, said: &str) -> Option<String> {
        let (plain, mark) = match said.split_once('#') {
            Some((plain, mark)) => (plain, format!("#{mark}")),
            None => (said, String::new()),
        };
        if let Some((_, placed)) = self.known.iter().find(|(known, _)| known == plain) {
            return Some(placed.clone() + &mark);
        }
        let (id, _) = plain.strip_prefix(SCHEME)?.split_once('/')?;
        let (path, _) = self.desks.place(self.desk, id).ok()?;
        let placed = Url::from_file_path(path).ok()?.to_string();
        if self.known.len() >= MOST_KNOWN {
            return None;
        }
        self.known.push((plain.to_owned(), placed.clone()));
        self.known
            .sort_by_key(|(_, placed)| std::cmp::Reverse(placed.len()));
        Some(placed + &mark)
    }

    /// A message from the server as the desk is told it.
    pub(crate) fn outward(&self, mut message: String) -> String {
        for (said, placed) in &self.known {
            if message.contains(placed.as_str()) {
                message = message.replace(placed.as_str(), said);
            }
        }
        message
    }
}
