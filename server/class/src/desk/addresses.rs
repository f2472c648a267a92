//! What a desk calls its pieces, and where they lie: a browser is told no path, and can name none.

use serde_json::Value;
use tower_lsp::lsp_types::Url;

use super::pieces::largest;
use super::{Desk, Desks};

/// What the addresses of a desk's pieces begin with: `desk:/p1/horn.abc`.
const SCHEME: &str = "desk:/";

/// The most pieces that one talk is about; a desk has fewer.
const MOST_KNOWN: usize = 64;

/// What a desk may ask of the language server, or tell it.
const MAY: [&str; 23] = [
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
    "bellhand/sound",
    "bellhand/status",
];

/// The addresses that have been used in one talk.
#[derive(Debug)]
pub(crate) struct Addresses<'a> {
    desks: &'a Desks,
    desk: &'a Desk,
    /// Those whose places begin alike, the longer first.
    known: Vec<Known>,
}

/// A piece that the talk is about.
#[derive(Debug)]
struct Known {
    /// What the desk calls it.
    said: String,
    /// What the server is told for that.
    placed: String,
    /// The most bytes its text may have.
    most: usize,
    /// How many bytes it can have by now.
    size: usize,
}

/// Why a message is not passed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kept {
    /// A desk has no need to send it, or it names anything but the student's own pieces.
    Needless,
    /// A text grows larger than a piece can be.
    TooLarge,
}

impl<'a> Addresses<'a> {
    pub(crate) fn new(desks: &'a Desks, desk: &'a Desk) -> Self {
        Self {
            desks,
            desk,
            known: Vec::new(),
        }
    }

    /// A message from the desk as the server is told it.
    pub(crate) fn inward(&mut self, message: &str) -> Result<String, Kept> {
        let mut message: Value = serde_json::from_str(message).map_err(|_| Kept::Needless)?;
        self.is_needed(&mut message).ok_or(Kept::Needless)?;
        if !self.has_room(&message).ok_or(Kept::Needless)? {
            return Err(Kept::TooLarge);
        }
        self.place(&mut message).ok_or(Kept::Needless)?;
        serde_json::to_string(&message).map_err(|_| Kept::Needless)
    }

    /// Whether a desk has need to send a message; what it says of its own machine is taken out.
    fn is_needed(&self, message: &mut Value) -> Option<()> {
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
        Some(())
    }

    /// Whether the text that a message opens or changes stays as small as a piece, however much of it is taken out
    /// again; who writes that much opens it anew.
    fn has_room(&mut self, message: &Value) -> Option<bool> {
        let opens = match message["method"].as_str() {
            Some("textDocument/didOpen") => true,
            Some("textDocument/didChange") => false,
            _ => return Some(true),
        };
        let document = message.pointer("/params/textDocument")?;
        let piece = self.piece(document["uri"].as_str()?)?;
        if opens {
            piece.size = document["text"].as_str()?.len();
        } else {
            for change in message.pointer("/params/contentChanges")?.as_array()? {
                let length = change["text"].as_str()?.len();
                let kept = if change["range"].is_null() {
                    0
                } else {
                    piece.size
                };
                piece.size = kept.saturating_add(length);
            }
        }
        Some(piece.size <= piece.most)
    }

    /// The piece that a desk calls so; `None` where it has none of that name.
    fn piece(&mut self, said: &str) -> Option<&mut Known> {
        if let Some(at) = self.known.iter().position(|known| known.said == said) {
            return self.known.get_mut(at);
        }
        let (id, _) = said.strip_prefix(SCHEME)?.split_once('/')?;
        let (path, format) = self.desks.place(self.desk, id).ok()?;
        let placed = Url::from_file_path(path).ok()?.to_string();
        if self.known.len() >= MOST_KNOWN {
            return None;
        }
        let longer = |known: &Known| known.placed.len() > placed.len();
        let at = self.known.partition_point(longer);
        let known = Known {
            said: said.to_owned(),
            placed,
            most: largest(format),
            size: 0,
        };
        self.known.insert(at, known);
        self.known.get_mut(at)
    }

    /// Puts where a piece lies in the place of what the desk calls it; `None` at an address of anything else.
    fn place(&mut self, value: &mut Value) -> Option<()> {
        match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    match value {
                        // Whatever a text begins with, it is no address.
                        Value::String(_) if name == "text" => {}
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
        let (plain, mark) = said.split_at(said.find('#').unwrap_or(said.len()));
        Some(format!("{}{mark}", self.piece(plain)?.placed))
    }

    /// A message from the server as the desk is told it.
    pub(crate) fn outward(&self, mut message: String) -> String {
        for Known { said, placed, .. } in &self.known {
            if message.contains(placed.as_str()) {
                message = message.replace(placed.as_str(), said);
            }
        }
        message
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use engine::Severity;
    use serde_json::json;

    use super::super::super::lessons::Lessons;
    use super::super::super::names::Names;
    use super::super::super::state::Class;
    use super::super::Wish;
    use super::*;

    #[test]
    fn a_desk_names_its_own_pieces_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let class = Class::begin(
            folder.path(),
            Names::default(),
            Lessons::default(),
            Severity::Warning,
        );
        let desks = Desks::new(Arc::new(class.unwrap()), String::new()).unwrap();
        let (desk, _) = desks
            .enter([127, 0, 0, 1].into(), desks.code(), "Cy", "")
            .unwrap();
        let wish = json!({ "notation": "abc", "title": "Own" });
        let wish: Wish = serde_json::from_value(wish).unwrap();
        desks.begin(&desk, &wish).unwrap();
        let mut addresses = Addresses::new(&desks, &desk);
        let message = |method: &str, uri: &str| {
            let document = json!({ "uri": uri });
            json!({ "jsonrpc": "2.0", "id": 1, "method": method, "params": { "textDocument": document } }).to_string()
        };
        let placed = addresses.inward(&message("textDocument/hover", "desk:/p1/Own.abc#m7"));
        let placed = placed.unwrap();
        let lies = Url::from_file_path(folder.path().canonicalize().unwrap().join("Cy/Own.abc"));
        assert!(
            placed.contains(&format!("\"{}#m7\"", lies.unwrap())),
            "{placed}"
        );
        assert_eq!(
            addresses
                .outward(placed.clone())
                .replace("desk:/p1/Own.abc", ""),
            message("textDocument/hover", "#m7")
        );
        for (method, uri) in [
            ("textDocument/hover", "file:///etc/passwd"),
            ("textDocument/hover", "desk:/p2/Own.abc"),
            ("textDocument/hover", "desk:/../Own.abc"),
            ("textDocument/hover", "desk:/p1"),
            ("textDocument/hover", "untitled:Own.abc"),
            ("textDocument/rename", "desk:/p1/Own.abc"),
            ("workspace/didChangeConfiguration", "desk:/p1/Own.abc"),
        ] {
            assert_eq!(
                addresses.inward(&message(method, uri)),
                Err(Kept::Needless),
                "{method} {uri}"
            );
        }
        let data = json!({ "jsonrpc": "2.0", "id": 1, "method": "codeAction/resolve", "params": { "data": { "uri": "file:///etc/passwd" } } });
        assert_eq!(addresses.inward(&data.to_string()), Err(Kept::Needless));
        let text = "desk:/p9/ no address";
        let change = json!({ "jsonrpc": "2.0", "method": "textDocument/didChange", "params": {
            "textDocument": { "uri": "desk:/p1/Own.abc" }, "contentChanges": [{ "text": text }] } });
        assert!(
            addresses
                .inward(&change.to_string())
                .unwrap()
                .contains(text)
        );
        let hello = json!({ "jsonrpc": "2.0", "id": 1, "method": "initialize",
            "params": { "processId": 1, "rootUri": "file:///", "initializationOptions": { "x": 1 }, "capabilities": {} } });
        let told: Value =
            serde_json::from_str(&addresses.inward(&hello.to_string()).unwrap()).unwrap();
        assert_eq!(
            told["params"],
            json!({ "processId": null, "capabilities": {} })
        );
    }
}
