//! Hostile requests on a real socket: the shop stays as it is and the server stays up.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::time::Duration;

use shop::{Place, Shop, Stamp};
use web::{Access, App, Hosts, Moment, Outside, Reach, ShopFiles, router, serve};

/// Requests of the flood, over so many connections.
const FLOOD: usize = 10_000;
const CONNECTIONS: usize = 8;

struct Open {
    address: SocketAddr,
    cookie: String,
    files: ShopFiles,
    _folder: tempfile::TempDir,
}

fn now() -> jiff::Timestamp {
    "2026-11-25T09:00:00Z".parse().expect("a moment")
}

/// A server with a shop in which one place is noted, and a browser that has come in.
fn open() -> Open {
    let folder = tempfile::tempdir().expect("a folder");
    let files = ShopFiles { own: folder.path().join("own.shop"), demo: folder.path().join("demo.shop") };
    let mut shop = Shop::create(&files.own).expect("a new file");
    shop.note(&Stamp::at(now()), &Place { name: String::from("hall"), note: String::new() }).expect("noted");
    drop(shop);
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let address = listener.local_addr().expect("bound");
    let count = AtomicU8::new(1);
    let outside = Outside {
        now: Arc::new(|| Moment { at: now(), day: jiff::civil::date(2026, 11, 25) }),
        secret: Arc::new(move || Ok([count.fetch_add(1, Ordering::SeqCst).wrapping_mul(29); 32])),
        keep: Arc::new(|_| Ok(())),
    };
    let reach = Reach { hosts: Hosts::new(address.port(), &[]), secure: false, lan: None };
    let app = App::new(Access::default(), outside, reach, files.clone()).expect("nothing is missing");
    let key = app.access().first_key(app.outside()).expect("a secret");
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(serve(listener, None, router(app))).expect("it listens")
    });
    let body = format!("key={key}");
    let entered = said(
        address,
        &format!(
            "POST /enter HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        ),
    );
    let cookie = entered
        .lines()
        .find_map(|line| line.strip_prefix("set-cookie: ")?.split(';').next().map(ToOwned::to_owned))
        .unwrap_or_else(|| panic!("let in: {entered}"));
    Open { address, cookie, files, _folder: folder }
}

impl Open {
    fn events(&self) -> usize {
        let shop = Shop::open(&self.files.own, now()).expect("it opens");
        assert!(shop.check().expect("it can be read").is_sound());
        shop.noted::<Place>().expect("it can be read").len()
    }

    fn get(&self, path: &str) -> String {
        said(
            self.address,
            &format!(
                "GET {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nConnection: close\r\n\r\n",
                self.address, self.cookie
            ),
        )
    }

    /// It is up, and the shop is as it was.
    fn is_as_before(&self) {
        let page = self.get("/help");
        assert!(page.starts_with("HTTP/1.1 200"), "{page}");
        assert_eq!(self.events(), 1);
        assert!(!self.files.demo.exists());
    }
}

fn connected(address: SocketAddr) -> TcpStream {
    let stream = TcpStream::connect(address).expect("the door is open");
    stream.set_read_timeout(Some(Duration::from_secs(30))).expect("a time limit");
    stream.set_write_timeout(Some(Duration::from_secs(30))).expect("a time limit");
    stream
}

fn said(address: SocketAddr, request: &str) -> String {
    let mut stream = connected(address);
    stream.write_all(request.as_bytes()).expect("it is taken in");
    let mut bytes = Vec::new();
    let _ = stream.read_to_end(&mut bytes);
    String::from_utf8_lossy(&bytes).into_owned()
}

/// Sends a body for as long as it is taken; gives what was answered and how much was taken.
fn poured(open: &Open, head: &str, piece: &[u8], pieces: usize) -> (String, usize) {
    let mut stream = connected(open.address);
    stream.write_all(head.as_bytes()).expect("the head is taken in");
    let mut sent = 0;
    for _ in 0..pieces {
        if stream.write_all(piece).is_err() {
            break;
        }
        sent += piece.len();
    }
    let mut line = String::new();
    let _ = BufReader::new(&stream).read_line(&mut line);
    (line, sent)
}

#[test]
fn a_gigabyte_is_refused_before_it_is_read() {
    let open = open();
    let head = |length: &str| {
        format!(
            "POST /shelf HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\n{length}\r\n\r\n",
            open.address, open.cookie
        )
    };
    let piece = vec![b'x'; 1 << 20];
    let gigabyte = 1 << 30;
    let (answer, sent) = poured(&open, &head(&format!("Content-Length: {gigabyte}")), &piece, 1024);
    assert!(answer.starts_with("HTTP/1.1 413") || answer.is_empty(), "{answer}");
    assert!(sent < gigabyte / 16, "{sent} bytes were taken");
    // Without a length it is counted as it comes.
    let mut chunk = format!("{:x}\r\n", piece.len()).into_bytes();
    chunk.extend_from_slice(&piece);
    chunk.extend_from_slice(b"\r\n");
    let (answer, sent) = poured(&open, &head("Transfer-Encoding: chunked"), &chunk, 1024);
    assert!(answer.starts_with("HTTP/1.1 413") || answer.is_empty(), "{answer}");
    assert!(sent < gigabyte / 16, "{sent} bytes were taken");
    open.is_as_before();
}

#[test]
fn no_path_leads_to_a_file() {
    let open = open();
    let own = open.files.own.display().to_string();
    for path in [
        "/../own.shop",
        "/..%2fown.shop",
        "/assets/../own.shop",
        "/assets/%2e%2e/own.shop",
        "/assets/0/..%2f..%2f..%2fetc%2fpasswd",
        "/assets/0/%2e%2e%5c%2e%2e%5cetc%5cpasswd",
        "//etc/passwd",
        "/etc/passwd%00.svg",
        "/hauls/..%2f..%2fown.shop",
        "/hauls/-1",
        "/hauls/99999999999999999999999",
        "/hauls/1%00",
        "/finds/1'%20OR%201=1--",
        "/papers/..%2fown.shop",
        own.as_str(),
    ] {
        let answer = open.get(path);
        let status = answer.split(' ').nth(1).unwrap_or("");
        assert!(status.starts_with('4'), "{path}: {status}");
        for inside in ["root:", "SQLite format", "CREATE TABLE"] {
            assert!(!answer.contains(inside), "{path} shows {inside}");
        }
    }
    open.is_as_before();
}

#[test]
fn another_sites_form_begins_nothing() {
    let open = open();
    for path in ["/begin/demo", "/begin/own", "/hauls/new", "/orders/new", "/devices/pair"] {
        let answer = said(
            open.address,
            &format!(
                "POST {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nOrigin: http://elsewhere.example\r\n\
                 Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 7\r\n\
                 Connection: close\r\n\r\nplace=x",
                open.address, open.cookie
            ),
        );
        assert!(answer.starts_with("HTTP/1.1 403"), "{path}: {answer}");
    }
    open.is_as_before();
}

#[test]
fn a_flood_is_borne() {
    let open = open();
    std::thread::scope(|scope| {
        for _ in 0..CONNECTIONS {
            scope.spawn(|| {
                let mut stream = connected(open.address);
                let head = format!(
                    "GET /nowhere HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n\r\n",
                    open.address, open.cookie
                );
                let mut reader = BufReader::new(stream.try_clone().expect("a second handle"));
                for _ in 0..FLOOD / CONNECTIONS {
                    stream.write_all(head.as_bytes()).expect("taken in");
                    let mut length = 0;
                    let mut line = String::new();
                    reader.read_line(&mut line).expect("an answer");
                    assert!(line.starts_with("HTTP/1.1 404"), "{line}");
                    while line != "\r\n" {
                        line.clear();
                        reader.read_line(&mut line).expect("a head");
                        if let Some(told) = line.strip_prefix("content-length: ") {
                            length = told.trim().parse().expect("a length");
                        }
                    }
                    let mut body = vec![0; length];
                    reader.read_exact(&mut body).expect("a body");
                }
            });
        }
    });
    open.is_as_before();
}
