//! Connections as they come: so many from one machine and no more, and none that waits to send small things together.

use std::collections::HashMap;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum::extract::connect_info::Connected;
use axum::serve::{IncomingStream, Listener};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};

/// The most connections from one machine: a class behind one door, with a few for each window.
const MOST_OF_ONE: usize = 400;
/// The most of all, below what systems usually let a process have.
const MOST: usize = 900;
/// How long nothing is taken in after the system has refused something.
const PAUSE: Duration = Duration::from_millis(100);

/// Takes connections in.
#[derive(Debug)]
pub(crate) struct Door {
    listener: TcpListener,
    open: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

/// A connection, counted as long as it is kept.
#[derive(Debug)]
pub(crate) struct Connection {
    stream: TcpStream,
    from: IpAddr,
    open: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

/// Whom a request comes from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Peer(pub(crate) IpAddr);

impl Door {
    pub(crate) fn new(listener: TcpListener) -> Self {
        Self {
            listener,
            open: Arc::default(),
        }
    }

    /// Counts a connection; nothing where there are too many.
    fn count(&self, stream: TcpStream, from: IpAddr) -> Option<Connection> {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        if open.values().sum::<usize>() >= MOST {
            return None;
        }
        let of_one = open.entry(from).or_default();
        if *of_one >= MOST_OF_ONE {
            return None;
        }
        *of_one += 1;
        Some(Connection {
            stream,
            from,
            open: Arc::clone(&self.open),
        })
    }
}

impl Drop for Connection {
    fn drop(&mut self) {
        let mut open = self.open.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(of_one) = open.get_mut(&self.from) {
            *of_one -= 1;
            if *of_one == 0 {
                open.remove(&self.from);
            }
        }
    }
}

impl Listener for Door {
    type Io = Connection;
    type Addr = SocketAddr;

    async fn accept(&mut self) -> (Connection, SocketAddr) {
        loop {
            match self.listener.accept().await {
                Ok((stream, from)) => {
                    // A keystroke's answer is small, and somebody waits for it.
                    let _ = stream.set_nodelay(true);
                    if let Some(connection) = self.count(stream, from.ip().to_canonical()) {
                        return (connection, from);
                    }
                }
                Err(_) => tokio::time::sleep(PAUSE).await,
            }
        }
    }

    fn local_addr(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }
}

impl Connected<IncomingStream<'_, Door>> for Peer {
    fn connect_info(stream: IncomingStream<'_, Door>) -> Self {
        Self(stream.remote_addr().ip().to_canonical())
    }
}

impl AsyncRead for Connection {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(context, buffer)
    }
}

impl AsyncWrite for Connection {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        slices: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.stream).poll_write_vectored(context, slices)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }
}
