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
///
/// What is there of the guard's own goes first: progress ends before the answer whose progress it was.
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
            biased;
            Some(body) = own.recv() => Some(body),
            body = bodies.recv() => body.map(without_null_params),
        };
        let Some(body) = body else { break };
        let body = store.spell_as_client(body);
        if write(&mut client, &body).await.is_err() {
            break;
        }
    }
    reader.abort();
}

/// Writes a message's body with the header that says how long it is.
pub async fn write(to: &mut (impl AsyncWrite + Unpin), body: &[u8]) -> std::io::Result<()> {
    let header = format!("Content-Length: {}\r\n\r\n", body.len());
    to.write_all(header.as_bytes()).await?;
    to.write_all(body).await?;
    to.flush().await
}

/// A message of the library's with its parameters left out where it has none. It writes them as null, which JSON-RPC does
/// not allow: they are an object or an array.
fn without_null_params(mut body: Vec<u8>) -> Vec<u8> {
    const BEFORE: &[u8] = br#"{"jsonrpc":"2.0","method":""#;
    const NONE: &[u8] = br#","params":null"#;
    let method = body.strip_prefix(BEFORE);
    let end = method.and_then(|method| method.iter().position(|byte| *byte == b'"'));
    if let Some(at) = end.map(|end| BEFORE.len() + end + 1)
        && body.get(at..).is_some_and(|rest| rest.starts_with(NONE))
    {
        body.drain(at..at + NONE.len());
    }
    body
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn what_is_said_before_an_answer_comes_before_it() {
        const MESSAGES: usize = 20;
        let mut answers = Vec::new();
        let (say, own) = mpsc::unbounded_channel();
        for _ in 0..MESSAGES {
            write(&mut answers, b"answer").await.unwrap();
            say.send(b"said".to_vec()).unwrap();
        }
        drop(say);
        // So narrow that at each message the other side has its turn, and both lie ready.
        let (client, far) = tokio::io::duplex(8);
        let written = tokio::spawn(async move {
            answer(
                std::io::Cursor::new(answers),
                own,
                client,
                &Store::default(),
            )
            .await;
        });
        let mut far = BufReader::new(far);
        let mut bodies = Vec::new();
        while let Frame::Body(body) = frames::next(&mut far).await {
            bodies.push(body);
        }
        written.await.unwrap();
        let (said, answered) = bodies.split_at(MESSAGES);
        assert!(said.iter().all(|body| body == b"said"));
        assert_eq!(answered, vec![b"answer".to_vec(); MESSAGES]);
    }

    #[test]
    fn no_parameters_are_left_out() {
        for (from_library, to_client) in [
            (
                r#"{"jsonrpc":"2.0","method":"workspace/a","params":null,"id":1}"#,
                r#"{"jsonrpc":"2.0","method":"workspace/a","id":1}"#,
            ),
            (
                r#"{"jsonrpc":"2.0","method":"b","params":null}"#,
                r#"{"jsonrpc":"2.0","method":"b"}"#,
            ),
        ] {
            let body = without_null_params(from_library.into());
            assert_eq!(body, to_client.as_bytes());
        }
        for other in [
            r#"{"jsonrpc":"2.0","method":"c","params":[{"method":"d","params":null}]}"#,
            r#"{"jsonrpc":"2.0","result":{"method":"e","params":null},"id":1}"#,
            r#"{"jsonrpc":"2.0","method":"unfinished"#,
            "",
        ] {
            assert_eq!(without_null_params(other.into()), other.as_bytes());
        }
    }
}
