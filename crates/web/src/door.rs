//! The door: connections taken in, a bounded number at once, none of which may dawdle.

use std::io;
use std::net::SocketAddr;
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
        let (router, acceptor) = (router.clone(), acceptor.clone());
        tokio::spawn(async move {
            let _place = place;
            let ended = match acceptor {
                None => talk(stream, address, router).await,
                Some(acceptor) => match shaken(acceptor, stream).await {
                    Ok(stream) => talk(stream, address, router).await,
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
    router: Router,
) -> Result<(), String> {
    let router = router.layer(axum::middleware::map_request(move |mut request: Request| async move {
        request.extensions_mut().insert(Peer(address));
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
