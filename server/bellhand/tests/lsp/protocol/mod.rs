//! Whether all that the server sends is what the protocol says: each message of a conversation, by the meta model that the
//! protocol's authors publish.

mod everything;
mod model;
mod tests;

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::{LazyLock, Mutex};

use serde_json::{Map, Value, json};

use model::{Fault, Model, Type};

static MODEL: LazyLock<Model> =
    LazyLock::new(|| Model::read(&[include_str!("metaModel.json"), include_str!("own.json")]));

/// How often each kind of message was checked, in all conversations of this process.
static COUNTED: Mutex<BTreeMap<String, usize>> = Mutex::new(BTreeMap::new());

/// Codes that JSON-RPC keeps for itself and for protocols upon it.
const RESERVED: std::ops::RangeInclusive<i64> = -32_768..=-32_000;

/// One client's conversation with its server, as far as the server's side of it is checked.
#[derive(Debug, Default)]
pub(crate) struct Conversation {
    /// What the client has sent under an id that is not answered yet: the method, if it had one.
    open: HashMap<String, Option<String>>,
    /// Ids under which the server has asked something.
    asked: HashSet<String>,
    /// How often each kind of message was checked.
    counted: BTreeMap<String, usize>,
    /// What was wrong.
    faults: Vec<String>,
}

impl Conversation {
    /// Takes note of what the client sends, before it does.
    pub(crate) fn sent(&mut self, message: &Value) {
        if let Some(batch) = message.as_array() {
            batch.iter().for_each(|message| self.sent(message));
            return;
        }
        let answers = message.get("result").is_some() || message.get("error").is_some();
        if let Some(id) = message.get("id").filter(|id| !id.is_null() && !answers) {
            let method = message["method"].as_str().map(str::to_owned);
            self.open.insert(id.to_string(), method);
        }
    }

    /// Checks what the server has sent.
    pub(crate) fn received(&mut self, body: &[u8]) {
        let outcome = match serde_json::from_slice(body) {
            Ok(message) => self.check(&message),
            Err(error) => Err(format!("no JSON: {error}")),
        };
        match outcome {
            Ok(kind) => *self.counted.entry(kind).or_default() += 1,
            Err(why) => {
                let shown: String = String::from_utf8_lossy(body).chars().take(2_000).collect();
                self.faults.push(format!("{why}\n  in {shown}"));
            }
        }
    }

    /// Everything that was wrong.
    pub(crate) fn faults(&self) -> &[String] {
        &self.faults
    }

    /// What was checked, and how often.
    pub(crate) fn counted(&self) -> &BTreeMap<String, usize> {
        &self.counted
    }

    /// Says how much was checked until now, in this and all other conversations.
    pub(crate) fn tell(&self) {
        let mut all = COUNTED.lock().unwrap();
        for (kind, times) in &self.counted {
            *all.entry(kind.clone()).or_default() += times;
        }
        let messages: usize = all.values().sum();
        let kinds = all.len();
        println!("{messages} messages of {kinds} kinds checked against the meta model");
    }

    /// Checks a message; what kind it is.
    fn check(&mut self, message: &Value) -> Result<String, String> {
        let fields = message.as_object().ok_or("no object")?;
        if fields.get("jsonrpc") != Some(&json!("2.0")) {
            return Err("`jsonrpc` is not \"2.0\"".to_owned());
        }
        match (fields.get("method"), fields.get("id")) {
            (Some(method), None) => Self::notification(method, fields),
            (Some(method), Some(id)) => self.request(method, id, fields),
            (None, Some(id)) => self.response(id, fields),
            (None, None) => Err("neither a method nor an id".to_owned()),
        }
    }

    fn notification(method: &Value, fields: &Map<String, Value>) -> Result<String, String> {
        let method = method.as_str().ok_or("the method is no string")?;
        let known = MODEL
            .notification(method)
            .ok_or(format!("there is no notification {method}"))?;
        if !known.is_servers() {
            return Err(format!("{method} is not a server's to send"));
        }
        only(fields, &["jsonrpc", "method", "params"])?;
        params(method, known.params.as_ref(), fields)?;
        Ok(method.to_owned())
    }

    fn request(
        &mut self,
        method: &Value,
        id: &Value,
        fields: &Map<String, Value>,
    ) -> Result<String, String> {
        let method = method.as_str().ok_or("the method is no string")?;
        let known = MODEL
            .request(method)
            .ok_or(format!("there is no request {method}"))?;
        if !known.is_servers() {
            return Err(format!("{method} is not a server's to ask"));
        }
        only(fields, &["jsonrpc", "id", "method", "params"])?;
        if !id.is_string() && !is_integer(id) {
            return Err(format!("{id} is no id"));
        }
        if !self.asked.insert(id.to_string()) {
            return Err(format!("{id} was asked under before"));
        }
        params(method, known.params.as_ref(), fields)?;
        let registrations = fields.get("params").map(|params| &params["registrations"]);
        for registration in registrations
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
        {
            registered(registration)?;
        }
        Ok(method.to_owned())
    }

    fn response(&mut self, id: &Value, fields: &Map<String, Value>) -> Result<String, String> {
        let method = if id.is_null() {
            None
        } else {
            let open = self.open.remove(&id.to_string());
            open.ok_or(format!("nothing is open under {id}"))?
        };
        let known = method.as_deref().and_then(|name| MODEL.request(name));
        match (fields.get("result"), fields.get("error")) {
            (Some(result), None) => {
                only(fields, &["jsonrpc", "id", "result"])?;
                let method = method.unwrap_or_default();
                let known = known.ok_or(format!("a result for `{method}`, which is no request"))?;
                let kind = known.result.as_ref();
                let kind = kind.ok_or(format!("{method} has no result"))?;
                held(kind, result, &method)?;
                Ok(format!("{method}, answer"))
            }
            (None, Some(error)) => {
                only(fields, &["jsonrpc", "id", "error"])?;
                failed(error, known.and_then(|known| known.error_data.as_ref()))?;
                Ok(format!("error {}", error["code"]))
            }
            _ => Err("not one of `result` and `error`".to_owned()),
        }
    }
}

/// Checks what a request is refused with.
fn failed(error: &Value, data: Option<&Type>) -> Result<(), String> {
    let fields = error.as_object().ok_or("the error is no object")?;
    only(fields, &["code", "message", "data"])?;
    let code = fields.get("code").unwrap_or(&Value::Null);
    if !is_integer(code) {
        return Err(format!("{code} is no error's code"));
    }
    if !error["message"].is_string() {
        return Err("an error without a message".to_owned());
    }
    let known = ["ErrorCodes", "LSPErrorCodes"];
    let reserved = code.as_i64().is_some_and(|code| RESERVED.contains(&code));
    if reserved && !known.iter().any(|codes| MODEL.lists(codes, code)) {
        return Err(format!(
            "{code} is kept for codes of the protocol, and is none"
        ));
    }
    // Any request may be refused for reasons that its own data do not speak of.
    match (data, fields.get("data")) {
        (Some(kind), Some(data)) => held(kind, data, "error.data"),
        _ => Ok(()),
    }
}

/// Checks the options of a registration by what is registered.
fn registered(registration: &Value) -> Result<(), String> {
    let method = registration["method"].as_str().unwrap_or_default();
    let known = MODEL
        .registered(method)
        .ok_or(format!("{method} cannot be registered"))?;
    match (
        &known.registration_options,
        registration.get("registerOptions"),
    ) {
        (Some(kind), Some(options)) => held(kind, options, method),
        (None, Some(_)) => Err(format!("{method} is registered without options")),
        (_, None) => Ok(()),
    }
}

fn params(method: &str, kind: Option<&Type>, fields: &Map<String, Value>) -> Result<(), String> {
    match (kind, fields.get("params")) {
        (Some(kind), Some(params)) => held(kind, params, method),
        (Some(_), None) => Err(format!("{method} has no parameters")),
        (None, Some(_)) => Err(format!("{method} takes no parameters")),
        (None, None) => Ok(()),
    }
}

fn held(kind: &Type, value: &Value, step: &str) -> Result<(), String> {
    let outcome = MODEL.check(kind, value);
    outcome.map_err(|fault: Fault| fault.within(step).to_string())
}

fn only(fields: &Map<String, Value>, known: &[&str]) -> Result<(), String> {
    match fields.keys().find(|name| !known.contains(&name.as_str())) {
        Some(name) => Err(format!("`{name}` is no member of this message")),
        None => Ok(()),
    }
}

/// Whether a value is an integer of the protocol, which has 32 bits.
fn is_integer(value: &Value) -> bool {
    value
        .as_i64()
        .is_some_and(|number| i32::try_from(number).is_ok())
}
