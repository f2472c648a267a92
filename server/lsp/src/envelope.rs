//! What a JSON-RPC message is, told before the protocol library sees it: what is none would end it.

use serde_json::Value;

/// What a message is to the protocol.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Envelope {
    /// A request, which is answered under its id.
    Request,
    /// A notification, which is not answered.
    Notification,
    /// The client's answer to a request of the server.
    Response,
    /// No message of the protocol: the id to answer under (null where there is none that can be used), and why.
    Invalid(Value, &'static str),
    /// An answer that cannot be one, which nobody waits for.
    Stray(&'static str),
}

/// Tells what a JSON value is, after the JSON-RPC 2.0 specification and what LSP narrows of it.
pub(super) fn classify(message: &Value) -> Envelope {
    let Some(fields) = message.as_object() else {
        return Envelope::Invalid(Value::Null, "a message must be a JSON object");
    };
    let id = fields.get("id");
    let usable = id.filter(|id| is_id(id)).cloned();
    let invalid = |why| Envelope::Invalid(usable.clone().unwrap_or_default(), why);
    let is_answer = fields.contains_key("result") || fields.contains_key("error");
    if !fields.contains_key("method") && is_answer {
        let known = usable.is_some() && is_version_2(message);
        return if known && answers_once(message) {
            Envelope::Response
        } else {
            Envelope::Stray("an answer that answers nothing was skipped")
        };
    }
    if !is_version_2(message) {
        return invalid("\"jsonrpc\" must be \"2.0\"");
    }
    if id.is_some_and(|id| !is_id(id)) {
        return invalid("\"id\" must be a string or a whole number");
    }
    if !fields.get("method").is_some_and(Value::is_string) {
        return invalid("\"method\" must be a string");
    }
    let structured = |params: &Value| params.is_object() || params.is_array() || params.is_null();
    if !fields.get("params").is_none_or(structured) {
        return invalid("\"params\" must be an object or an array");
    }
    if id.is_some() {
        Envelope::Request
    } else {
        Envelope::Notification
    }
}

fn is_version_2(message: &Value) -> bool {
    message
        .get("jsonrpc")
        .is_some_and(|version| version == "2.0")
}

/// Whether an id is one that LSP allows: a string or a whole number.
fn is_id(id: &Value) -> bool {
    id.is_string() || id.is_i64()
}

/// Whether an answer holds a result or a well-formed error, and not both.
fn answers_once(message: &Value) -> bool {
    match (message.get("result"), message.get("error")) {
        (Some(_), None) => true,
        (None, Some(error)) => {
            let code = error.get("code").is_some_and(Value::is_i64);
            code && error.get("message").is_some_and(Value::is_string)
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn messages_of_the_protocol() {
        for (message, is) in [
            (
                json!({"jsonrpc": "2.0", "id": 1, "method": "x"}),
                Envelope::Request,
            ),
            (
                json!({"jsonrpc": "2.0", "id": "a", "method": "x", "params": null}),
                Envelope::Request,
            ),
            (
                json!({"jsonrpc": "2.0", "method": "x", "params": [1]}),
                Envelope::Notification,
            ),
            (
                json!({"jsonrpc": "2.0", "id": 1, "result": null}),
                Envelope::Response,
            ),
            (
                json!({"jsonrpc": "2.0", "id": 1, "error": {"code": -1, "message": ""}}),
                Envelope::Response,
            ),
        ] {
            assert_eq!(classify(&message), is, "{message}");
        }
    }

    #[test]
    fn what_is_no_message_is_answered_under_its_id_where_it_has_one() {
        for (message, id) in [
            (json!({}), json!(null)),
            (json!(7), json!(null)),
            (json!([]), json!(null)),
            (json!({"jsonrpc": "1.0", "id": 4, "method": "x"}), json!(4)),
            (json!({"id": "a", "method": "x"}), json!("a")),
            (
                json!({"jsonrpc": "2.0", "id": 1.5, "method": "x"}),
                json!(null),
            ),
            (
                json!({"jsonrpc": "2.0", "id": null, "method": "x"}),
                json!(null),
            ),
            (
                json!({"jsonrpc": "2.0", "id": {}, "method": "x"}),
                json!(null),
            ),
            (
                json!({"jsonrpc": "2.0", "id": u64::MAX, "method": "x"}),
                json!(null),
            ),
            (json!({"jsonrpc": "2.0", "id": 2, "method": 5}), json!(2)),
            (json!({"jsonrpc": "2.0", "id": 2}), json!(2)),
            (
                json!({"jsonrpc": "2.0", "id": 2, "method": "x", "params": "y"}),
                json!(2),
            ),
            (
                json!({"jsonrpc": "2.0", "method": "x", "params": 3}),
                json!(null),
            ),
        ] {
            let Envelope::Invalid(answered, _) = classify(&message) else {
                panic!("{message} was taken for a message");
            };
            assert_eq!(answered, id, "{message}");
        }
    }

    #[test]
    fn answers_to_nothing_are_not_answered_themselves() {
        for message in [
            json!({"jsonrpc": "2.0", "id": null, "result": 1}),
            json!({"jsonrpc": "2.0", "id": 1, "result": 1, "error": {"code": 1, "message": ""}}),
            json!({"jsonrpc": "2.0", "id": 1, "error": {"code": "one"}}),
            json!({"jsonrpc": "2.0", "id": 1, "error": 5}),
            json!({"id": 1, "result": 1}),
        ] {
            assert!(
                matches!(classify(&message), Envelope::Stray(_)),
                "{message}"
            );
        }
    }
}
