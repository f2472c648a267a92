//! Broken messages, early exits, and panics nowhere: the server outlives its client's mistakes.

use serde_json::json;

use crate::client::{Client, plain};

#[test]
fn broken_messages_cost_only_themselves() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let broken: [&[u8]; 5] = [
        b"Content-Length: 5\r\n\r\n{oops",
        b"Content-Length: 4\r\n\r\n\xff\xfe\xfd\xfc",
        b"Content-Type: text\r\n\r\n",
        b"Content-Length: many\r\n\r\n",
        b"no header at all\r\n\r\n",
    ];
    for bytes in broken {
        client.raw(bytes);
        // The answer to what is no message and the next answer may come in either order.
        assert!(client.lives(), "after {:?}", String::from_utf8_lossy(bytes));
        let told = client.wait(|message| message["error"]["code"] == -32700);
        assert!(told["id"].is_null(), "{told}");
    }
    // Blank lines between messages are nothing at all.
    client.raw(b"\r\n\r\n");
    assert!(client.lives());
    assert!(
        client
            .pushed
            .iter()
            .all(|message| message["error"].is_null())
    );
}

#[test]
fn headers_may_be_written_in_any_case() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let body = json!({"jsonrpc": "2.0", "id": 700, "method": "shutdown"}).to_string();
    client.raw(
        format!(
            "content-type: x\r\ncontent-length: {}\r\n\r\n{body}",
            body.len()
        )
        .as_bytes(),
    );
    let answer = client.answer(700);
    assert!(answer.get("error").is_none(), "{answer}");
}

#[test]
fn a_wrong_length_is_got_over() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    for length in ["3", "90", "-4", "0"] {
        client.raw(format!("Content-Length: {length}\r\n\r\n{{\"method\":1}}").as_bytes());
        // The message behind it may be lost with it; the one behind that is not.
        client.tell("$/lost", json!({"filling": "x".repeat(100)}));
        assert!(client.lives(), "after a length of {length}");
    }
}

#[test]
fn a_message_too_long_is_passed_over() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let length = (64 << 20) + 1;
    client.raw(format!("Content-Length: {length}\r\n\r\n").as_bytes());
    let block = vec![b' '; 1 << 20];
    for _ in 0..64 {
        client.raw(&block);
    }
    client.raw(b" ");
    assert!(client.lives());
    client.wait(|message| message["error"]["code"] == -32600);
}

#[test]
fn wrong_methods_and_parameters_are_answered() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    let id = client.begin("horn/noSuchMethod", json!({}));
    assert_eq!(client.answer(id)["error"]["code"], -32601);
    let id = client.begin("textDocument/hover", json!({"position": "here"}));
    assert_eq!(client.answer(id)["error"]["code"], -32602);
    client.tell("$/unknown", json!({}));
    client.tell("textDocument/didChange", json!({"nothing": true}));
    client.tell("textDocument/didOpen", json!(7));
    client.change("file:///never-opened.abc", 3, &json!([{"text": "x"}]));
    assert!(client.lives());
}

#[test]
fn a_length_nobody_sends_does_not_eat_memory() {
    let (mut client, _) = Client::ready(&plain(), &json!({}));
    client.raw(b"Content-Length: 99999999999999\r\n\r\n");
    client.hang_up();
    assert_eq!(client.exit().code(), Some(1));
}
