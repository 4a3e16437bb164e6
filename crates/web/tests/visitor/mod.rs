//! A browser without a network: sends requests straight to the router.

#![allow(dead_code)] // Every test file uses a part of it.

use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Request, StatusCode, header};
use http_body_util::BodyExt as _;
use jiff::Timestamp;
use jiff::civil::date;
use tower::ServiceExt as _;
use web::{Access, App, Hosts, Moment, Outside, Reach, ShopFiles, router};

/// The name under which the visitor asks.
pub const HOST: &str = "127.0.0.1:8765";
/// A passphrase that is long enough.
pub const PASSPHRASE: &str = "four plain words here";

/// An answer.
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
    /// The same as it came, for what is no text.
    pub bytes: Vec<u8>,
}

impl Answer {
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("")
    }
}

pub struct Visitor {
    router: Router,
    /// Every key that was handed out, the first one first.
    pub key: String,
    pub cookie: String,
    /// Where its shop files lie, until it is dropped.
    pub folder: tempfile::TempDir,
}

fn outside() -> Outside {
    let count = AtomicU8::new(1);
    Outside {
        now: Arc::new(|| Moment {
            at: "2026-11-25T09:00:00Z".parse::<Timestamp>().expect("a moment"),
            day: date(2026, 11, 25),
        }),
        secret: Arc::new(move || Ok([count.fetch_add(1, Ordering::SeqCst).wrapping_mul(29); 32])),
        keep: Arc::new(|_| Ok(())),
    }
}

impl Visitor {
    /// One who has not come in, on this machine alone.
    pub fn outside() -> Self {
        Self::of(None, false)
    }

    /// One who has not come in, where other devices may.
    pub fn on_the_lan() -> Self {
        Self::of(Some(String::from("http://192.0.2.7:8765")), false)
    }

    /// One who has not come in, over TLS.
    pub fn over_tls() -> Self {
        Self::of(None, true)
    }

    /// One who has come in where the module for phones was built.
    pub async fn with_module(module: web::Module) -> Self {
        Self::made(None, false, new_folder(), |app| app.with_module(module)).enter().await
    }

    /// One who has come in where checks are kept by this.
    pub async fn with_kept_checks(kept: web::KeptChecks) -> Self {
        Self::made(None, false, new_folder(), |app| app.with_kept_checks(kept)).enter().await
    }

    /// One who has not come in, to a program that was started anew over the files of another.
    pub fn over(folder: tempfile::TempDir) -> Self {
        Self::made(None, false, folder, |app| app)
    }

    /// The same where other devices may come in.
    pub fn on_the_lan_over(folder: tempfile::TempDir) -> Self {
        Self::made(Some(String::from("http://192.0.2.7:8765")), false, folder, |app| app)
    }

    fn of(lan: Option<String>, secure: bool) -> Self {
        Self::made(lan, secure, new_folder(), |app| app)
    }

    fn made(
        lan: Option<String>,
        secure: bool,
        folder: tempfile::TempDir,
        more: impl FnOnce(App) -> App,
    ) -> Self {
        let (access, outside) = (Access::default(), outside());
        access.set_passphrase(PASSPHRASE, &outside).expect("long enough");
        let files = ShopFiles { own: folder.path().join("own.shop"), demo: folder.path().join("demo.shop") };
        let hosts = Hosts::new(8765, &[String::from("192.0.2.7")]);
        let app =
            App::new(access, outside, Reach { hosts, secure, lan }, files).expect("a passphrase is set");
        let app = more(app);
        let key = app.access().first_key(app.outside()).expect("a secret");
        Self { router: router(app), key, cookie: String::new(), folder }
    }

    /// One who has come in.
    pub async fn inside() -> Self {
        Self::outside().enter().await
    }

    /// One who has come in and begun a shop of their own.
    pub async fn begun() -> Self {
        let visitor = Self::inside().await;
        assert_eq!(visitor.post("/begin/own", &[]).await.status, StatusCode::SEE_OTHER);
        visitor
    }

    /// Their own shop file, once it is begun.
    pub fn shop(&self) -> shop::Shop {
        let now = "2026-11-25T09:00:00Z".parse().expect("a moment");
        shop::Shop::open(self.folder.path().join("own.shop"), now).expect("it was begun")
    }

    pub async fn enter(mut self) -> Self {
        let entered = self.post("/enter", &[("key", &self.key.clone())]).await;
        assert_eq!(entered.status, StatusCode::SEE_OTHER, "{}", entered.text);
        let cookie = entered.header("set-cookie").split(';').next().unwrap_or("").to_owned();
        self.cookie = cookie;
        self
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.send(self.request("GET", path).body(Body::empty()).expect("a request")).await
    }

    pub async fn post(&self, path: &str, form: &[(&str, &str)]) -> Answer {
        self.send(self.posting(path).body(Body::from(coded(form))).expect("a request")).await
    }

    pub fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
        let request = Request::builder().method(method).uri(path).header(header::HOST, HOST);
        if self.cookie.is_empty() { request } else { request.header(header::COOKIE, &self.cookie) }
    }

    pub fn posting(&self, path: &str) -> axum::http::request::Builder {
        self.request("POST", path).header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
    }

    pub async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.expect("the router never fails");
        let (parts, body) = response.into_parts();
        let bytes = body.collect().await.expect("a whole body").to_bytes();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        Answer { status: parts.status, headers: parts.headers, text, bytes: bytes.to_vec() }
    }
}

/// A form as a browser codes it.
pub fn coded(form: &[(&str, &str)]) -> String {
    let one = |text: &str| {
        let bytes = text.bytes().map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => char::from(byte).to_string(),
            b' ' => String::from("+"),
            other => format!("%{other:02X}"),
        });
        bytes.collect::<String>()
    };
    form.iter().map(|(name, value)| format!("{}={}", one(name), one(value))).collect::<Vec<_>>().join("&")
}

fn new_folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}
