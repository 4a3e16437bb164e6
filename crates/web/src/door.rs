//! The door: connections taken in, a bounded number at once, none of which may dawdle.

use std::io;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::Request;
use hyper::body::Incoming;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Semaphore;
use tokio_rustls::TlsAcceptor;

use crate::tls::Tls;

/// Connections at once (judgement: a person, a phone, a tablet, with a browser's six each and room to spare).
const AT_ONCE: usize = 64;
/// Longest time for the head of a request, and for the handshake of TLS (judgement).
const PATIENCE: Duration = Duration::from_secs(15);
/// Pause after a connection couldn't be taken in (too many files open, say).
const PAUSE: Duration = Duration::from_millis(100);

/// The address a request came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Peer(pub SocketAddr);

/// The address of this machine that a request came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Reached(pub SocketAddr);

/// Whether an address is on this machine's own network. One of IPv6 that is known everywhere is so only where its
/// network part (published: RFC 4291, section 2.5.1) is that of the address it reached: no router stands before such
/// an address as one does before those of IPv4.
fn is_near(peer: IpAddr, reached: IpAddr) -> bool {
    let network = |address: std::net::Ipv6Addr| address.to_bits() >> 64;
    match (peer, reached) {
        (IpAddr::V4(_), _) => true,
        (IpAddr::V6(peer), _)
            if peer.is_loopback() || peer.is_unicast_link_local() || peer.is_unique_local() =>
        {
            true
        }
        (IpAddr::V6(peer), IpAddr::V6(reached)) => network(peer) == network(reached),
        (IpAddr::V6(_), IpAddr::V4(_)) => false,
    }
}

/// An address of IPv4 as such, also where a socket for both kinds wrote it as one of IPv6.
fn plain(address: SocketAddr) -> SocketAddr {
    SocketAddr::new(address.ip().to_canonical(), address.port())
}

/// Takes in connections for as long as it is let.
///
/// # Errors
/// When the listener can't be used.
pub async fn serve(listener: std::net::TcpListener, tls: Option<Tls>, router: Router) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let listener = TcpListener::from_std(listener)?;
    let acceptor = tls.map(|tls| TlsAcceptor::from(tls.config));
    let room = Arc::new(Semaphore::new(AT_ONCE));
    loop {
        let Ok(place) = Arc::clone(&room).acquire_owned().await else { return Ok(()) };
        let (stream, address) = match listener.accept().await {
            Ok(taken) => taken,
            Err(why) => {
                tracing::warn!(%why, "a connection was not taken in");
                tokio::time::sleep(PAUSE).await;
                continue;
            }
        };
        let address = plain(address);
        let Ok(reached) = stream.local_addr().map(plain) else { continue };
        if !is_near(address.ip(), reached.ip()) {
            tracing::warn!(%address, "a connection from another network was not taken in");
            continue;
        }
        // An answer goes out at once, not when the one before was acknowledged.
        let _ = stream.set_nodelay(true);
        let (router, acceptor) = (router.clone(), acceptor.clone());
        tokio::spawn(async move {
            let _place = place;
            let ended = match acceptor {
                None => talk(stream, address, reached, router).await,
                Some(acceptor) => match shaken(acceptor, stream).await {
                    Ok(stream) => talk(stream, address, reached, router).await,
                    Err(why) => Err(why),
                },
            };
            if let Err(why) = ended {
                tracing::debug!(%address, %why, "a connection ended");
            }
        });
    }
}

async fn shaken(
    acceptor: TlsAcceptor,
    stream: TcpStream,
) -> Result<impl AsyncRead + AsyncWrite + Unpin, String> {
    match tokio::time::timeout(PATIENCE, acceptor.accept(stream)).await {
        Ok(shaken) => shaken.map_err(|e| e.to_string()),
        Err(_) => Err(String::from("the handshake took too long")),
    }
}

async fn talk(
    stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
    address: SocketAddr,
    reached: SocketAddr,
    router: Router,
) -> Result<(), String> {
    let router = router.layer(axum::middleware::map_request(move |mut request: Request| async move {
        request.extensions_mut().insert(Peer(address));
        request.extensions_mut().insert(Reached(reached));
        request
    }));
    // The router takes any body; hyper hands in its own.
    let service = tower_service_of(router);
    hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(PATIENCE)
        .serve_connection(TokioIo::new(stream), service)
        .await
        .map_err(|e| e.to_string())
}

fn tower_service_of(router: Router) -> TowerToHyperService<Router> {
    fn takes_incoming<S: hyper::service::Service<hyper::Request<Incoming>>>(service: S) -> S {
        service
    }
    takes_incoming(TowerToHyperService::new(router))
}

#[cfg(test)]
mod tests {
    use super::{is_near, plain};

    #[test]
    fn a_connection_is_near_from_this_network_and_far_from_any_other() {
        let near = |peer: &str, reached: &str| {
            is_near(peer.parse().expect("an address"), reached.parse().expect("an address"))
        };
        for (peer, reached) in [
            ("192.0.2.9", "192.0.2.7"),
            ("::1", "::1"),
            ("fe80::5", "fe80::1"),
            ("fd00::5", "fd00:0:0:9::1"),
            ("2001:db8:0:7::5", "2001:db8:0:7:aaaa::1"),
        ] {
            assert!(near(peer, reached), "{peer} to {reached}");
        }
        for (peer, reached) in
            [("2001:db8:0:8::5", "2001:db8:0:7::1"), ("2001:db8::5", "192.0.2.7"), ("2001:db8::5", "fd00::1")]
        {
            assert!(!near(peer, reached), "{peer} to {reached}");
        }
    }

    #[test]
    fn an_address_of_ipv4_is_one_whichever_socket_took_it_in() {
        let mapped = "[::ffff:192.0.2.9]:8765".parse().expect("an address");
        assert_eq!(plain(mapped).to_string(), "192.0.2.9:8765");
    }
}
