//! Connections: how many there may be, and how long one may stand still.
//!
//! A client that opens many connections, or sends or reads a byte now and then, must not keep others out. Every
//! connection takes a place (of all, and of its client's network); one on which nothing moves for [`STILL_S`] is
//! closed, whether we wait for its bytes or it does not take ours.

use crate::client::Network;
use axum_server::accept::Accept;
use std::collections::HashMap;
use std::future::Future;
use std::io;
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::time::{Instant, Sleep};

/// Connections at once, over all clients.
pub const AT_ONCE: usize = 2048;
/// Connections at once from one network; this computer itself has only the limit over all.
pub const FROM_ONE: usize = 256;
/// A connection on which nothing moves for so long is closed, s. Longer than the longest work that an answer may
/// wait for.
const STILL_S: u64 = 240;

/// Counts connections.
#[derive(Clone, Debug, Default)]
pub struct Places {
    taken: Arc<Mutex<Taken>>,
}

#[derive(Debug, Default)]
struct Taken {
    all: usize,
    by_network: HashMap<Network, usize>,
}

/// A place that a connection holds; given back when dropped.
#[derive(Debug)]
pub struct Place {
    places: Places,
    network: Network,
}

impl Places {
    /// Takes a place; none when all are taken.
    #[must_use]
    pub fn take(&self, network: Network) -> Option<Place> {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let here = taken.by_network.get(&network).copied().unwrap_or(0);
        if taken.all >= AT_ONCE || (here >= FROM_ONE && !network.is_loopback()) {
            return None;
        }
        taken.all += 1;
        taken.by_network.insert(network, here + 1);
        Some(Place {
            places: self.clone(),
            network,
        })
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut taken = self
            .places
            .taken
            .lock()
            .unwrap_or_else(PoisonError::into_inner);
        taken.all = taken.all.saturating_sub(1);
        if let Some(here) = taken.by_network.get_mut(&self.network) {
            *here = here.saturating_sub(1);
            if *here == 0 {
                taken.by_network.remove(&self.network);
            }
        }
    }
}

/// Accepts connections that find a place.
#[derive(Clone, Debug, Default)]
pub struct Counted {
    places: Places,
}

impl<S: Send + 'static> Accept<TcpStream, S> for Counted {
    type Stream = Watched;
    type Service = S;
    type Future = std::future::Ready<io::Result<(Watched, S)>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let place = stream.peer_addr().and_then(|peer| {
            let none = || {
                io::Error::new(
                    io::ErrorKind::ConnectionRefused,
                    "every place for connections is taken",
                )
            };
            self.places.take(Network::of(peer.ip())).ok_or_else(none)
        });
        // Small answers must not wait for the client's acknowledgement of the ones before.
        let place = place.and_then(|place| stream.set_nodelay(true).map(|()| place));
        std::future::ready(place.map(|place| (Watched::new(stream, place), service)))
    }
}

/// A connection that is closed when it stands still.
#[derive(Debug)]
pub struct Watched {
    stream: TcpStream,
    alarm: Pin<Box<Sleep>>,
    _place: Place,
}

impl Watched {
    fn new(stream: TcpStream, place: Place) -> Watched {
        let alarm = Box::pin(tokio::time::sleep(Duration::from_secs(STILL_S)));
        Watched {
            stream,
            alarm,
            _place: place,
        }
    }

    /// Something moved: the alarm starts anew. Nothing moves: the alarm may ring.
    fn heed<T>(&mut self, cx: &mut Context<'_>, moved: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if moved.is_ready() {
            self.alarm
                .as_mut()
                .reset(Instant::now() + Duration::from_secs(STILL_S));
            return moved;
        }
        match self.alarm.as_mut().poll(cx) {
            Poll::Ready(()) => Poll::Ready(Err(io::ErrorKind::TimedOut.into())),
            Poll::Pending => Poll::Pending,
        }
    }
}

impl AsyncRead for Watched {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        to: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let moved = Pin::new(&mut self.stream).poll_read(cx, to);
        self.heed(cx, moved)
    }
}

impl AsyncWrite for Watched {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let moved = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.heed(cx, moved)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        slices: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let moved = Pin::new(&mut self.stream).poll_write_vectored(cx, slices);
        self.heed(cx, moved)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let moved = Pin::new(&mut self.stream).poll_flush(cx);
        self.heed(cx, moved)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_one_network_cannot_take_every_place() {
        let places = Places::default();
        let network = |text: &str| Network::of(text.parse().unwrap());
        let held: Vec<Place> = (0..AT_ONCE)
            .map_while(|_| places.take(network("203.0.113.9")))
            .collect();
        assert_eq!(held.len(), FROM_ONE);
        assert!(places.take(network("198.51.100.4")).is_some());
        drop(held);
        assert!(places.take(network("203.0.113.9")).is_some());
        assert!(
            places.taken.lock().unwrap().by_network.is_empty(),
            "counts of clients that left are kept"
        );
    }
}
