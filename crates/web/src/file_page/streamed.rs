//! A body that is written while it is sent, so that it never lies in memory as a whole.

use std::io::{self, Write};
use std::pin::Pin;
use std::task::{Context, Poll};

use axum::body::{Body, Bytes};
use hyper::body::Frame;
use keeping::Stop;
use tokio::sync::mpsc::{Receiver, Sender, channel};

/// Bytes that are sent in one go.
const PIECE: usize = 64 << 10;
/// Pieces that wait for a slow browser.
const WAITING: usize = 4;

struct Pieces(Receiver<io::Result<Bytes>>);

impl hyper::body::Body for Pieces {
    type Data = Bytes;
    type Error = io::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, io::Error>>> {
        self.get_mut().0.poll_recv(context).map(|piece| piece.map(|bytes| bytes.map(Frame::data)))
    }
}

struct Sending {
    to: Sender<io::Result<Bytes>>,
    piece: Vec<u8>,
}

impl Write for Sending {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.piece.extend_from_slice(bytes);
        if self.piece.len() >= PIECE {
            self.flush()?;
        }
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        let piece = std::mem::take(&mut self.piece);
        if piece.is_empty() {
            return Ok(());
        }
        // The browser went away: nobody needs the rest.
        self.to.blocking_send(Ok(Bytes::from(piece))).map_err(|_| io::ErrorKind::BrokenPipe.into())
    }
}

/// The body that `work` writes, on a thread of its own. A failure breaks the body off, so that nobody takes the half
/// for the whole.
pub(super) fn streamed(work: impl FnOnce(&mut dyn Write) -> Result<(), Stop> + Send + 'static) -> Body {
    let (to, from) = channel(WAITING);
    tokio::task::spawn_blocking(move || {
        let mut sending = Sending { to: to.clone(), piece: Vec::new() };
        let done = work(&mut sending).and_then(|()| sending.flush().map_err(Stop::outside));
        if let Err(why) = done {
            tracing::warn!(%why, "a file was not sent to its end");
            let _ = to.blocking_send(Err(io::Error::other(why.to_string())));
        }
    });
    Body::new(Pieces(from))
}
