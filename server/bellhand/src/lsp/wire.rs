//! Message bodies put on a stream: to the protocol library, and from it to the client.

use tokio::io::{AsyncRead, AsyncWrite, AsyncWriteExt as _, BufReader};
use tokio::sync::mpsc;

use super::frames::{self, Frame};
use super::store::Store;

/// Carries the guard's messages to the library until either ends.
pub(super) async fn feed(
    mut bodies: mpsc::UnboundedReceiver<Vec<u8>>,
    mut library: impl AsyncWrite + Unpin,
) {
    while let Some(body) = bodies.recv().await {
        if write(&mut library, &body).await.is_err() {
            break;
        }
    }
}

/// Carries the library's answers to the client, with the guard's own between them, never within one; until the client
/// takes no more or there are none left.
pub(super) async fn answer(
    library: impl AsyncRead + Unpin + Send + 'static,
    mut own: mpsc::UnboundedReceiver<Vec<u8>>,
    mut client: impl AsyncWrite + Unpin,
    store: &Store,
) {
    let (whole, mut bodies) = mpsc::unbounded_channel();
    let reader = tokio::spawn(async move {
        // Whole messages, so that nothing is written into the middle of one.
        let mut library = BufReader::new(library);
        while let Frame::Body(body) = frames::next(&mut library).await {
            if whole.send(body).is_err() {
                break;
            }
        }
    });
    loop {
        let body = tokio::select! {
            body = bodies.recv() => body,
            Some(body) = own.recv() => Some(body),
        };
        let Some(body) = body else { break };
        let body = store.spell_as_client(body);
        if write(&mut client, &body).await.is_err() {
            break;
        }
    }
    reader.abort();
}

async fn write(to: &mut (impl AsyncWrite + Unpin), body: &[u8]) -> std::io::Result<()> {
    let header = format!("Content-Length: {}\r\n\r\n", body.len());
    to.write_all(header.as_bytes()).await?;
    to.write_all(body).await?;
    to.flush().await
}
