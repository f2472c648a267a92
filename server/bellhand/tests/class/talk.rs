//! The language server at a desk: what it says, and what it cannot be made to.

use std::io::ErrorKind;
use std::net::TcpStream;

use serde_json::{Value, json};
use tungstenite::client::IntoClientRequest as _;
use tungstenite::protocol::frame::coding::CloseCode;
use tungstenite::{Message, WebSocket};

use crate::{Browser, Class};

const FIXED: &str = "evening-ferry-fixed.abc";

pub(crate) struct Talk {
    socket: WebSocket<TcpStream>,
    next_id: i64,
    pushed: Vec<Value>,
}

impl Talk {
    fn begin(browser: &Browser) -> Self {
        let url = format!("ws://{}/desk/talk", browser.host());
        let mut request = url.into_client_request().unwrap();
        let headers = request.headers_mut();
        headers.insert("Cookie", browser.cookie().parse().unwrap());
        headers.insert(
            "Origin",
            format!("http://{}", browser.host()).parse().unwrap(),
        );
        let (socket, _) = tungstenite::client(request, browser.connect()).unwrap();
        Self {
            socket,
            next_id: 1,
            pushed: Vec::new(),
        }
    }

    /// Shakes hands, with findings asked for and not pushed.
    pub(crate) fn ready(browser: &Browser) -> Self {
        let mut talk = Self::begin(browser);
        let capabilities = json!({ "textDocument": {
            "diagnostic": {}, "publishDiagnostics": { "relatedInformation": true },
            "codeAction": { "dataSupport": true, "resolveSupport": { "properties": ["edit"] },
                "codeActionLiteralSupport": { "codeActionKind": { "valueSet": [] } } },
        }});
        // A page does not know where the server's files lie; what it makes up is not believed.
        talk.ask(
            "initialize",
            json!({ "capabilities": capabilities, "processId": 1, "rootUri": "file:///etc" }),
        );
        talk.tell("initialized", json!({}));
        talk
    }

    fn say(&mut self, message: &Value) {
        self.socket
            .send(Message::text(message.to_string()))
            .unwrap();
    }

    pub(crate) fn tell(&mut self, method: &str, params: Value) {
        self.say(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    fn send(&mut self, method: &str, params: Value) -> i64 {
        let id = self.next_id;
        self.next_id += 1;
        self.say(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        id
    }

    pub(crate) fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.send(method, params);
        loop {
            let message = self.next();
            if message["id"] == id && message["method"].is_null() {
                assert!(message["error"].is_null(), "{message}");
                return message["result"].clone();
            }
            self.pushed.push(message);
        }
    }

    fn next(&mut self) -> Value {
        loop {
            match self.socket.read().unwrap() {
                Message::Text(text) => {
                    assert!(!text.contains("file://"), "{text}");
                    return serde_json::from_str(&text).unwrap();
                }
                Message::Ping(_) | Message::Pong(_) => {}
                other => panic!("{other:?}"),
            }
        }
    }

    pub(crate) fn open(&mut self, uri: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": "abc", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub(crate) fn findings(&mut self, uri: &str) -> Vec<Value> {
        let report = self.ask(
            "textDocument/diagnostic",
            json!({ "textDocument": { "uri": uri } }),
        );
        report["items"].as_array().unwrap().clone()
    }
}

#[test]
fn a_desk_has_findings_hovers_fixes_and_the_picture() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    std::fs::write(
        class.path("bellhand.toml"),
        "[rules]\n\"mute/already\" = \"error\"\n",
    )
    .unwrap();
    let mut cy = class.student("Cy");
    let id = cy.begin("Bell");
    let (text, _) = cy.piece(&id);
    let uri = format!("desk:/{id}/Bell.abc");
    let mut talk = Talk::ready(&cy);
    talk.open(&uri, &text);
    assert!(talk.findings(&uri).is_empty());
    let faulty = text.replace("!mf! z4 |", "!mf! \"^con sord.\" c4 | \"^con sord.\" d4 |");
    let change = json!({ "textDocument": { "uri": uri, "version": 2 }, "contentChanges": [{ "text": faulty }] });
    talk.tell("textDocument/didChange", change);
    let findings = talk.findings(&uri);
    let already = findings
        .iter()
        .find(|finding| finding["code"] == "mute/already");
    let already = already.unwrap_or_else(|| panic!("{findings:?}"));
    // The class's own settings hold at the desk.
    assert_eq!(already["severity"], 1);
    let actions = talk.ask(
        "textDocument/codeAction",
        json!({ "textDocument": { "uri": uri }, "range": already["range"], "context": { "diagnostics": [already] } }),
    );
    let actions = actions.as_array().unwrap();
    let fix = actions
        .iter()
        .find(|action| action["kind"] == "quickfix")
        .unwrap();
    let fix = if fix["edit"].is_null() {
        talk.ask("codeAction/resolve", fix.clone())
    } else {
        fix.clone()
    };
    assert!(fix["edit"].to_string().contains(&uri), "{fix}");
    let at = json!({ "textDocument": { "uri": uri }, "position": { "line": 7, "character": 20 } });
    let hover = talk.ask("textDocument/hover", at.clone());
    assert!(!hover.is_null());
    let mut asked = at;
    asked["pitch"] = "sounding".into();
    asked["width"] = 600.into();
    let picture = talk.ask("bellhand/picture", asked);
    assert!(picture["svg"].as_str().unwrap().starts_with("<svg"));
}

#[test]
fn a_desk_can_speak_of_nothing_but_its_own_pieces() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut cy = class.student("Cy");
    let id = cy.begin("Own");
    let mut ada = class.student("ada");
    ada.get("/desk/state");
    let own = format!("desk:/{id}/Own.abc");
    let mut talk = Talk::ready(&cy);
    talk.open(&own, "X:1\nK:none\nc4 |]\n");
    talk.findings(&own);
    let folder = class.folder.path().display();
    for uri in [
        format!("file://{folder}/ada/horn.abc"),
        format!("file://{folder}/bellhand.toml"),
        "file:///etc/passwd".to_owned(),
        "untitled:x.abc".to_owned(),
        "desk:/p99/horn.abc".to_owned(),
        "desk:/../ada/horn.abc".to_owned(),
        "desk:/".to_owned(),
    ] {
        talk.open(&uri, "[rules]\n");
        talk.send(
            "textDocument/diagnostic",
            json!({ "textDocument": { "uri": uri } }),
        );
    }
    for method in [
        "workspace/executeCommand",
        "workspace/didChangeConfiguration",
        "workspace/didChangeWatchedFiles",
        "textDocument/rename",
    ] {
        talk.send(method, json!({ "settings": { "bellhand": { "rules": { "all": "off" } } }, "textDocument": { "uri": own } }));
    }
    for odd in [
        "{}",
        "[]",
        "null",
        "[[[[",
        "\"x\"",
        r#"{"method":5}"#,
        r#"{"jsonrpc":"2.0","id":1,"method":"initialize"}"#,
    ] {
        talk.socket.send(Message::text(odd)).unwrap();
    }
    // None of it was answered, and the talk goes on: with all rules, since no page sets any.
    let sent = talk.next_id;
    for _ in 0..3 {
        assert!(!talk.findings(&own).is_empty());
    }
    let answered = talk.pushed.iter().filter(|message| {
        message["method"].is_null() && message["id"].as_i64().is_some_and(|id| id < sent)
    });
    assert_eq!(answered.count(), 0, "{:?}", talk.pushed);
}

#[test]
fn another_sites_page_has_no_talk() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let cy = class.student("Cy");
    for (origin, cookie) in [
        ("http://attacker.example", cy.cookie()),
        ("null", cy.cookie()),
        ("", String::new()),
    ] {
        let url = format!("ws://{}/desk/talk", cy.host());
        let mut request = url.into_client_request().unwrap();
        if !origin.is_empty() {
            request
                .headers_mut()
                .insert("Origin", origin.parse().unwrap());
        }
        request
            .headers_mut()
            .insert("Cookie", cookie.parse().unwrap());
        assert!(
            tungstenite::client(request, cy.connect()).is_err(),
            "{origin}"
        );
    }
}

#[test]
fn a_flood_ends_its_own_talk_and_no_other() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let (mut cy, mut di) = (class.student("Cy"), class.student("Di"));
    let (flooding, steady) = (cy.begin("Flood"), di.begin("Steady"));
    let mut other = Talk::ready(&di);
    let steady = format!("desk:/{steady}/Steady.abc");
    other.open(&steady, "X:1\nK:none\nc4 |]\n");
    let mut talk = Talk::ready(&cy);
    let uri = format!("desk:/{flooding}/Flood.abc");
    talk.open(&uri, &"c d e f | ".repeat(10_000));
    for number in 0..2000 {
        let change = json!({ "textDocument": { "uri": uri, "version": number + 2 },
            "contentChanges": [{ "text": "X:1\nK:none\n".to_owned() + &"c d e f | ".repeat(1000 + number) }] });
        let message =
            json!({ "jsonrpc": "2.0", "method": "textDocument/didChange", "params": change });
        // Once it is closed nothing more is taken.
        if talk
            .socket
            .send(Message::text(message.to_string()))
            .is_err()
        {
            break;
        }
    }
    // The word of it may be lost with what was not read any more; that it is closed is not.
    loop {
        match talk.socket.read() {
            Ok(Message::Close(frame)) => {
                assert_eq!(frame.map(|frame| frame.code), Some(CloseCode::Policy));
                break;
            }
            Ok(_) => {}
            Err(tungstenite::Error::Io(error)) => {
                assert!(
                    !matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut),
                    "{error}"
                );
                break;
            }
            Err(_) => break,
        }
    }
    assert!(!other.findings(&steady).is_empty());
    // The desk itself is there again.
    let mut again = Talk::ready(&cy);
    again.open(&uri, "X:1\nK:none\nc4 |]\n");
    assert!(!again.findings(&uri).is_empty());
}

#[test]
fn who_sits_at_a_desk_is_on_the_wall() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut events = class.teacher().events();
    events.next();
    let ada = class.student("Ada");
    let talk = Talk::ready(&ada);
    let other = Talk::ready(&ada);
    events.until(|row| row["name"] == "ada" && row["desk"] == true);
    drop(talk);
    drop(other);
    events.until(|row| row["name"] == "ada" && row["desk"] == false);
}

#[test]
fn one_student_takes_no_others_windows() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let (cy, di) = (class.student("Cy"), class.student("Di"));
    let mut open: Vec<Talk> = (0..8).map(|_| Talk::begin(&cy)).collect();
    let mut one_more = Talk::begin(&cy);
    let Ok(Message::Close(Some(frame))) = one_more.socket.read() else {
        panic!("it is not closed");
    };
    assert_eq!(frame.code, CloseCode::Again);
    let _ = Talk::ready(&di);
    // Once one is closed, there is room again.
    let mut events = class.teacher().events();
    events.next();
    open.clear();
    events.until(|row| row["name"] == "Cy" && row["desk"] == false);
    let _ = Talk::ready(&cy);
}

#[test]
fn a_text_grows_no_larger_than_a_piece() {
    let class = Class::of(&[("ada/horn.abc", FIXED)], &["--desks"]);
    let mut cy = class.student("Cy");
    let id = cy.begin("Large");
    let uri = format!("desk:/{id}/Large.abc");
    let closed = |mut talk: Talk| loop {
        match talk.socket.read() {
            Ok(Message::Close(Some(frame))) => break frame.code,
            Ok(_) => {}
            Err(error) => panic!("{error}"),
        }
    };
    let mut talk = Talk::ready(&cy);
    talk.open(&uri, &"c".repeat(200 << 10));
    assert_eq!(closed(talk), CloseCode::Policy);
    // By bits, and though each takes out what the last has put in.
    let mut talk = Talk::ready(&cy);
    talk.open(&uri, "X:1\nK:none\n");
    for number in 0..3 {
        let place = json!({ "line": 2, "character": 0 });
        let change =
            json!({ "range": { "start": place, "end": place }, "text": "c".repeat(50 << 10) });
        let document = json!({ "uri": uri, "version": number + 2 });
        talk.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": [change] }),
        );
    }
    assert_eq!(closed(talk), CloseCode::Policy);
    // The whole text anew counts as what it is.
    let mut talk = Talk::ready(&cy);
    talk.open(&uri, "X:1\nK:none\n");
    for number in 0..3 {
        let text = format!("X:1\nK:none\n{}", "c|".repeat((25 << 10) + number));
        let document = json!({ "uri": uri, "version": number + 2 });
        talk.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": [{ "text": text }] }),
        );
    }
    assert!(!talk.findings(&uri).is_empty());
}
