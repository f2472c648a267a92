//! `workspace/executeCommand`: what plain clients can have done by the server itself.

mod go_to;
mod picture;
mod rule;
mod write_for;

use serde::de::DeserializeOwned;
use serde_json::Value;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::lsp_types::{ExecuteCommandParams, ShowDocumentParams, Url};

use crate::shared::{Shared, request_failed};

/// Opens the picture of the part at a place: an address and a position.
pub(crate) const PICTURE: &str = "bellhand.openPicture";
/// Asks for which horn the part at a place is to be written, and writes it: an address and a position.
pub(crate) const WRITE_FOR: &str = "bellhand.writeFor";
/// Opens a rule's page: the rule's name.
pub(crate) const RULE: &str = "bellhand.openRule";
/// Goes to a place: an address and a range.
pub(crate) const GO_TO: &str = "bellhand.goTo";

/// All commands.
pub(crate) const ALL: [&str; 4] = [PICTURE, WRITE_FOR, RULE, GO_TO];

/// Does what is asked. Fails, saying why, where it cannot be done.
pub(crate) async fn execute(
    params: ExecuteCommandParams,
    shared: &std::sync::Arc<Shared>,
) -> Result<Option<Value>> {
    let arguments = params.arguments;
    match params.command.as_str() {
        PICTURE => {
            let (uri, position) = two(&arguments)?;
            picture::open(uri, position, shared).await
        }
        WRITE_FOR => {
            let (uri, position) = two(&arguments)?;
            write_for::write(uri, position, shared).await
        }
        RULE => rule::open(&one::<String>(&arguments, 0)?, shared).await,
        GO_TO => {
            let (uri, range) = two(&arguments)?;
            go_to::go(uri, range, shared).await
        }
        other => Err(request_failed(format!("there is no command `{other}`"))),
    }
}

fn two<A: DeserializeOwned, B: DeserializeOwned>(arguments: &[Value]) -> Result<(A, B)> {
    Ok((one(arguments, 0)?, one(arguments, 1)?))
}

fn one<A: DeserializeOwned>(arguments: &[Value], at: usize) -> Result<A> {
    let argument = arguments.get(at).cloned().unwrap_or_default();
    let bad = |error: serde_json::Error| {
        Error::invalid_params(format!("argument {} of this command: {error}", at + 1))
    };
    serde_json::from_value(argument).map_err(bad)
}

/// Shows a document. Fails where the client cannot, naming where it is.
async fn show(params: ShowDocumentParams, shared: &Shared) -> Result<Option<Value>> {
    let uri = params.uri.clone();
    if !shared.traits().shows_documents {
        return Err(request_failed(format!(
            "this editor cannot be asked to open {uri}"
        )));
    }
    let shown = shared.client.show_document(params).await?;
    if shown {
        Ok(Some(Value::from(uri.as_str())))
    } else {
        Err(request_failed(format!("the editor did not open {uri}")))
    }
}

/// What is said of a text that is not open.
fn not_open(uri: &Url) -> Error {
    request_failed(format!("{uri} is not open"))
}
