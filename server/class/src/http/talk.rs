//! The language server at a desk: its messages over a WebSocket, about the student's own pieces and nothing else.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use axum::extract::ws::{CloseFrame, Message, WebSocket, WebSocketUpgrade, close_code};
use axum::response::Response;
use lsp::Frame;
use tokio::io::{BufReader, DuplexStream, duplex};
use tokio::sync::mpsc;

use super::desks::Sitting;
use crate::desk::{Addresses, Bucket, Desk, Desks, Kept, LARGEST_PIECE};

/// The most windows of all desks together.
const MOST_WINDOWS: usize = 400;
/// What a window can say at once, and how many seconds bring one thing more: a fast typist with a cursor that asks for
/// pictures says less than ten a second.
const MESSAGES: (f64, f64) = (120.0, 0.025);
/// Room for what has not been taken yet, in bytes, each way.
const PIPE: usize = 64 << 10;
/// How long a window may take to take in one message, before it is given up.
const PATIENCE: Duration = Duration::from_secs(10);
/// The longest message: a piece with every letter escaped.
const LONGEST: usize = 2 * LARGEST_PIECE + (64 << 10);

/// How many windows are open.
static OPEN: AtomicUsize = AtomicUsize::new(0);

/// A window of a student's, counted as long as it is kept.
struct Window {
    desks: Arc<Desks>,
    desk: Arc<Desk>,
}

impl Window {
    /// Opens a window; `None` where the desk, or all together, have as many as they may.
    fn open(desks: Arc<Desks>, desk: Arc<Desk>) -> Option<Self> {
        let more = |open| (open < MOST_WINDOWS).then_some(open + 1);
        OPEN.fetch_update(Ordering::Relaxed, Ordering::Relaxed, more)
            .ok()?;
        if !desk.open_window() {
            OPEN.fetch_sub(1, Ordering::Relaxed);
            return None;
        }
        desks.sit(&desk, true);
        Some(Self { desks, desk })
    }
}

impl Drop for Window {
    fn drop(&mut self) {
        self.desks.sit(&self.desk, false);
        self.desk.close_window();
        OPEN.fetch_sub(1, Ordering::Relaxed);
    }
}

/// Opens the talk. A page of another site is refused before it comes here; a browser always says whose page asks.
pub(super) async fn talk(Sitting { desk, desks }: Sitting, upgrade: WebSocketUpgrade) -> Response {
    let window = Window::open(desks, desk);
    upgrade
        .max_message_size(LONGEST)
        .max_frame_size(LONGEST)
        .on_upgrade(move |socket| async move {
            match window {
                Some(window) => serve(socket, window).await,
                // A page is told why only over what it has asked for.
                None => close(socket, close_code::AGAIN, "Too many windows are open.").await,
            }
        })
}

/// Serves a window until it closes, says too much, or takes nothing in.
async fn serve(mut socket: WebSocket, window: Window) {
    let (mut to_server, from_client) = duplex(PIPE);
    let (to_client, from_server) = duplex(PIPE);
    // Both end when this window's ends of the pipes are let go.
    tokio::spawn(lsp::serve_over(from_client, to_client));
    let mut answers = answers_of(from_server);
    let messages = Bucket::new(MESSAGES);
    let mut addresses = Addresses::new(&window.desks, &window.desk);
    let why = loop {
        tokio::select! {
            body = answers.recv() => {
                let Some(body) = body else { break None };
                let Ok(body) = String::from_utf8(body) else { continue };
                let told = socket.send(Message::Text(addresses.outward(body).into()));
                if !matches!(tokio::time::timeout(PATIENCE, told).await, Ok(Ok(()))) {
                    break None;
                }
            }
            message = socket.recv() => {
                let text = match message {
                    Some(Ok(Message::Text(text))) => text,
                    Some(Ok(Message::Close(_)) | Err(_)) | None => break None,
                    Some(Ok(Message::Binary(_))) => break Some((close_code::UNSUPPORTED, "Messages are text.")),
                    Some(Ok(Message::Ping(_) | Message::Pong(_))) => continue,
                };
                if !messages.take() {
                    break Some((close_code::POLICY, "That was more than a desk can say at once."));
                }
                let body = match addresses.inward(text.as_str()) {
                    Ok(body) => body,
                    Err(Kept::Needless) => continue,
                    Err(Kept::TooLarge) => break Some((close_code::POLICY, "This is larger than a piece can be.")),
                };
                // The server takes it in at once, whatever it is working on.
                if lsp::write_frame(&mut to_server, body.as_bytes()).await.is_err() {
                    break None;
                }
            }
        }
    };
    if let Some((code, reason)) = why {
        close(socket, code, reason).await;
    }
}

/// Closes a window, and says why.
async fn close(mut socket: WebSocket, code: u16, reason: &'static str) {
    let close = CloseFrame {
        code,
        reason: reason.into(),
    };
    // A window that is already gone need not be told.
    let _ = tokio::time::timeout(PATIENCE, socket.send(Message::Close(Some(close)))).await;
}

/// The server's messages, each whole; a window that is slow to take them holds the server up and nobody else.
fn answers_of(from_server: DuplexStream) -> mpsc::Receiver<Vec<u8>> {
    let (whole, bodies) = mpsc::channel(1);
    tokio::spawn(async move {
        let mut from_server = BufReader::new(from_server);
        while let Frame::Body(body) = lsp::next_frame(&mut from_server).await {
            if whole.send(body).await.is_err() {
                break;
            }
        }
    });
    bodies
}
