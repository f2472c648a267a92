//! The language server, over standard input and output or any two streams.

mod departure;
mod diagnostics;
mod envelope;
mod frames;
mod guard;
mod methods;
mod pages;
mod positions;
mod queries;
mod report;
mod server;
mod settings;
mod settings_problems;
mod settings_texts;
mod shared;
mod store;
mod surrogates;
mod unopened;
mod view;
mod wire;

use std::process::ExitCode;
use std::sync::Arc;

use tokio::io::{AsyncRead, AsyncWrite};
use tokio::sync::{mpsc, oneshot};
use tower_lsp::{LspService, Server as Transport};

pub use frames::{Frame, next as next_frame};
pub use wire::write as write_frame;

use guard::Guard;
use pages::Pages;
use server::Server;
use store::Store;

/// Room for what the guard passes on before the server reads it, in bytes.
const PIPE: usize = 1 << 20;
/// How long answers may still be written after the client has left.
const GRACE: std::time::Duration = std::time::Duration::from_millis(500);
/// Requests worked on at one time.
const AT_ONCE: usize = 16;

/// Serves until the client says `exit`, closes a pipe, or its process ends.
///
/// The code is 0 after an orderly shutdown, 1 when the client left without one. Fails when serving cannot begin.
pub fn serve() -> std::io::Result<ExitCode> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?;
    let orderly = runtime.block_on(run(
        tokio::io::stdin(),
        tokio::io::stdout(),
        Some(Pages::default()),
    ));
    // The thread that reads standard input may still be waiting for bytes; it is not waited for.
    runtime.shutdown_background();
    Ok(if orderly {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

/// Serves one client over any two streams; whether it shut the server down before it left. Nothing is written to disk for
/// it: what a finding is about is said without links to pages.
pub async fn serve_over(
    input: impl AsyncRead + Unpin + Send + 'static,
    output: impl AsyncWrite + Unpin + Send + 'static,
) -> bool {
    run(input, output, None).await
}

/// Runs the server; whether the client shut it down before it left.
async fn run(
    input: impl AsyncRead + Unpin,
    output: impl AsyncWrite + Unpin + Send + 'static,
    pages: Option<Pages>,
) -> bool {
    let store = Arc::new(Store::default());
    let (inside, outside) = tokio::io::duplex(PIPE);
    let (answers_in, answers_out) = tokio::io::duplex(PIPE);
    let (to_library, for_library) = mpsc::unbounded_channel();
    let (to_client, for_client) = mpsc::unbounded_channel();
    let (process, named) = oneshot::channel();
    let (wire, mut shared) = (to_client.clone(), None);
    let make = |client| {
        let server = Server::new(client, Arc::clone(&store), wire, pages);
        shared = Some(server.shared());
        server
    };
    let (service, socket) = LspService::build(make)
        .custom_method(methods::picture::METHOD, Server::picture)
        .custom_method(methods::sound::METHOD, Server::sound)
        .custom_method(methods::lines::METHOD, Server::lines)
        .custom_method(methods::status::METHOD, Server::status)
        .finish();
    let library = tokio::spawn(
        Transport::new(inside, answers_in, socket)
            .concurrency_level(AT_ONCE)
            .serve(service),
    );
    let feeder = tokio::spawn(wire::feed(for_library, outside));
    let Some(shared) = shared else {
        return false;
    };
    let spelling = Arc::clone(&store);
    let mut writer = tokio::spawn(async move {
        wire::answer(answers_out, for_client, output, &spelling).await;
    });
    let guard = Guard::new(shared, to_library, to_client, process);
    // The guard never waits for the library, so that `exit` is seen whatever is being worked on.
    let orderly = tokio::select! {
        orderly = guard.pump(input) => orderly,
        () = departure::departed(named) => return false,
        _ = &mut writer => return false,
    };
    // What is being answered may finish; a client that has left waits for nothing long.
    let rest = async {
        let _ = feeder.await;
        let _ = library.await;
        let _ = writer.await;
    };
    let _ = tokio::time::timeout(GRACE, rest).await;
    orderly
}
