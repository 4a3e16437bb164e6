//! The door on a real socket: it answers, and it turns away certificates that are none.

mod visitor;

use std::io::{Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::time::Duration;

use web::{Access, App, Hosts, Moment, Outside, Reach, Tls, WebError, router, serve};

fn listening() -> SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let address = listener.local_addr().expect("bound");
    let outside = Outside {
        now: Arc::new(|| Moment { at: jiff::Timestamp::UNIX_EPOCH, day: jiff::civil::date(2026, 3, 2) }),
        secret: Arc::new(|| Ok([9; 32])),
        keep: Arc::new(|_| Ok(())),
    };
    let reach = Reach { hosts: Hosts::new(address.port(), &[]), secure: false, lan: None };
    let files = web::ShopFiles { own: "nowhere/own".into(), demo: "nowhere/demo".into() };
    let app = App::new(Access::default(), outside, reach, files).expect("nothing is missing");
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        runtime.block_on(serve(listener, None, router(app))).expect("it listens")
    });
    address
}

fn answer(address: SocketAddr, request: &str) -> String {
    let mut stream = TcpStream::connect(address).expect("the door is open");
    stream.set_read_timeout(Some(Duration::from_secs(20))).expect("a time limit");
    stream.write_all(request.as_bytes()).expect("it is taken in");
    let mut text = String::new();
    let _ = stream.read_to_string(&mut text);
    text
}

#[test]
fn the_door_answers_and_keeps_answering_after_nonsense() {
    let address = listening();
    for _ in 0..3 {
        assert!(answer(address, "no http at all\r\n\r\n").starts_with("HTTP/1.1 400"));
        let page = format!("GET /enter HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
        let page = answer(address, &page);
        assert!(page.starts_with("HTTP/1.1 200") && page.contains("Come in"), "{page}");
        let elsewhere = "GET /enter HTTP/1.1\r\nHost: elsewhere\r\nConnection: close\r\n\r\n";
        assert!(answer(address, elsewhere).starts_with("HTTP/1.1 421"));
    }
}

#[test]
fn silent_connections_leave_room_for_others() {
    let address = listening();
    let _silent: Vec<TcpStream> = (0..40).map(|_| TcpStream::connect(address).expect("taken in")).collect();
    let page = format!("GET /enter HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n");
    assert!(answer(address, &page).starts_with("HTTP/1.1 200"));
}

#[test]
fn what_is_no_certificate_is_refused_with_the_part_that_is_wrong() {
    let part = |certificate: &[u8], key: &[u8]| match Tls::read(certificate, key) {
        Err(WebError::Tls { part, .. }) => part,
        other => panic!("{other:?}"),
    };
    assert_eq!(part(b"", b""), "the certificate");
    let certificate = b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n";
    assert_eq!(part(certificate, b"no key"), "the key");
}
