//! The language server over standard input and output.

mod diagnostics;
mod frames;
mod guard;
mod methods;
mod positions;
mod queries;
mod server;
mod settings;
mod shared;
mod store;
mod view;

use std::process::ExitCode;
use std::sync::Arc;

use tower_lsp::{LspService, Server as Transport};

use server::Server;
use store::Store;

/// Room for what the guard passes on before the server reads it, in bytes.
const PIPE: usize = 1 << 20;
/// How long answers may still be written after the client has left.
const GRACE: std::time::Duration = std::time::Duration::from_millis(500);
/// Requests worked on at one time.
const AT_ONCE: usize = 16;

/// Serves until the client says `exit` or closes the pipe.
///
/// The code is 0 after an orderly shutdown, 1 when the client left without one, 2 when serving could not begin.
#[must_use]
pub fn serve() -> ExitCode {
    let runtime = match tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
    {
        Ok(runtime) => runtime,
        Err(error) => {
            crate::cli::complain(&format!("the language server cannot start: {error}"));
            return ExitCode::from(2);
        }
    };
    let orderly = runtime.block_on(run());
    // The thread that reads standard input may still be waiting for bytes; it is not waited for.
    runtime.shutdown_background();
    if orderly {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Runs the server; whether the client shut it down before it left.
async fn run() -> bool {
    let store = Arc::new(Store::default());
    let (inside, outside) = tokio::io::duplex(PIPE);
    let (answers_in, answers_out) = tokio::io::duplex(PIPE);
    let (own, own_answers) = tokio::sync::mpsc::unbounded_channel();
    let (service, socket) = LspService::build(|client| Server::new(client, Arc::clone(&store)))
        .custom_method(methods::picture::METHOD, Server::picture)
        .custom_method(methods::status::METHOD, Server::status)
        .finish();
    let library = tokio::spawn(
        Transport::new(inside, answers_in, socket)
            .concurrency_level(AT_ONCE)
            .serve(service),
    );
    let writer = tokio::spawn(guard::answer(answers_out, own_answers, tokio::io::stdout()));
    let orderly = guard::pump(tokio::io::stdin(), outside, &store, &own).await;
    // What is being answered may finish; a client that has left waits for nothing long.
    drop(own);
    let rest = async {
        let _ = library.await;
        let _ = writer.await;
    };
    let _ = tokio::time::timeout(GRACE, rest).await;
    orderly
}
