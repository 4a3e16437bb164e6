//! What lets a phone check without a network: the module, the worker that keeps it, the page's shell, the manifest.
//!
//! The page shell needs a session like any page. The scripts, the module and the manifest hold nothing of the
//! person's, and browsers ask for the manifest without a cookie, so they are outside.

use std::sync::LazyLock;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{Path, State};
use axum::http::{HeaderName, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::get;
use maud::{Markup, html};

use crate::layout::Page;
use crate::{App, WebError, assets};

/// The manifest's path.
pub(crate) const MANIFEST: &str = "/shelf/app.webmanifest";
/// The colour of the mark, for the frame around the installed page.
pub(crate) const COLOUR: &str = "#1d3f5e";
/// The page's shell, without anything of the person's.
const SHELL: &str = "/shelf/shell";
/// The worker's path: a worker governs what begins with the path it lies at, and `/shelf` has no slash after it.
const WORKER: &str = "/shelf-worker.js";

/// The worker that keeps the page for when there is no network.
const KEEPS: &str = include_str!("assets/worker.js");
/// The worker that runs the module beside the page.
const RECKONS: &str = include_str!("assets/reckon.js");
/// Scripts that run beside the page.
pub(crate) const SCRIPTS: [(&str, &str); 2] = [("worker.js", KEEPS), ("reckon.js", RECKONS)];

/// The first bytes of a WebAssembly module of version 1 (published: WebAssembly core specification, 5.5.16).
const MAGIC: &[u8] = b"\0asm\x01\0\0\0";

/// The module that answers on a phone, with the name of its edition.
#[derive(Debug, Clone)]
pub struct Module {
    bytes: Bytes,
    edition: String,
}

impl Module {
    /// From the bytes that `./offline` built.
    ///
    /// # Errors
    /// When they are no module.
    pub fn read(bytes: Vec<u8>) -> Result<Self, WebError> {
        if !bytes.starts_with(MAGIC) {
            return Err(WebError::NoModule);
        }
        let others = SCRIPTS.iter().flat_map(|(_, text)| text.bytes());
        let edition = assets::hashed(bytes.iter().copied().chain(others));
        Ok(Self { bytes: Bytes::from(bytes), edition })
    }

    fn path(&self, name: &str) -> String {
        format!("/shelf/offline/{}/{name}", self.edition)
    }
}

/// Routes for who is let in.
pub(crate) fn inside() -> Router<App> {
    Router::new().route(SHELL, get(shell))
}

/// Routes that need no session.
pub(crate) fn outside() -> Router<App> {
    Router::new()
        .route(WORKER, get(worker))
        .route(MANIFEST, get(manifest))
        .route("/shelf/offline/{edition}/{name}", get(part))
}

/// Where checks wait on the phone, and where its scripts find what they need; scripts show it.
pub(crate) fn section(module: &Module) -> Markup {
    html! {
        section #on-phone hidden aria-labelledby="on-phone-title" data-offline data-edition=(module.edition)
            data-worker=(WORKER) data-usual=(crate::shelf::USUAL) data-reckon=(module.path("reckon.js")) data-module=(module.path("shelfcheck.wasm")) {
            h2 #on-phone-title { "On this phone" }
            p #on-phone-state role="status" {}
            ul #on-phone-kept {}
        }
    }
}

fn drawn_shell(app: &App) -> String {
    let page = crate::shelf::empty(app);
    Page { installs: true, ..Page::new(crate::shelf::TITLE, "/shelf", page) }.draw().into_string()
}

async fn shell(State(app): State<App>) -> Response {
    match app.module() {
        Some(_) => ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], drawn_shell(&app)).into_response(),
        None => crate::refusal::nowhere().await,
    }
}

/// The worker: its text changes with everything it keeps, so that a browser takes the new one.
async fn worker(State(app): State<App>) -> Response {
    let Some(module) = app.module() else { return StatusCode::NOT_FOUND.into_response() };
    let mut files = assets::paths();
    files.extend([String::from(MANIFEST), module.path("reckon.js"), module.path("shelfcheck.wasm")]);
    let shell = drawn_shell(&app);
    let edition = assets::hashed(shell.bytes().chain(files.iter().flat_map(|path| path.bytes())));
    let files = serde_json::to_string(&files).unwrap_or_else(|_| String::from("[]"));
    let text = KEEPS.replace("EDITION", &edition).replace("SHELL", SHELL).replace("[\"FILES\"]", &files);
    let headers = [
        (header::CONTENT_TYPE, assets::SCRIPT),
        (HeaderName::from_static("service-worker-allowed"), "/shelf"),
    ];
    (headers, text).into_response()
}

async fn part(State(app): State<App>, Path((edition, name)): Path<(String, String)>) -> Response {
    let module = app.module().filter(|module| module.edition == edition);
    let (kind, bytes) = match (module, name.as_str()) {
        (Some(_), "reckon.js") => (assets::SCRIPT, Bytes::from_static(RECKONS.as_bytes())),
        (Some(module), "shelfcheck.wasm") => ("application/wasm", module.bytes.clone()),
        (Some(_) | None, _) => return StatusCode::NOT_FOUND.into_response(),
    };
    let headers =
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")];
    (headers, bytes).into_response()
}

async fn manifest(State(app): State<App>) -> Response {
    static TEXT: LazyLock<String> = LazyLock::new(|| {
        let icon = |name: &str, side: u32, purpose: &str| serde_json::json!({ "src": assets::path(name), "type": "image/png", "sizes": format!("{side}x{side}"), "purpose": purpose });
        serde_json::json!({
            "id": "/shelf",
            "name": "Lotwright: shelf check",
            "short_name": "Shelf check",
            "lang": "en",
            "start_url": "/shelf",
            "scope": "/",
            "description": "What to pay for a pile, with and without a network",
            "display": "standalone",
            "background_color": COLOUR,
            "theme_color": COLOUR,
            "icons": [
                { "src": assets::path("mark.svg"), "type": "image/svg+xml", "sizes": "any", "purpose": "any" },
                icon("mark-192.png", 192, "any"),
                icon("mark-512.png", 512, "any"),
                icon("masked-512.png", 512, "maskable"),
            ],
        })
        .to_string()
    });
    match app.module() {
        Some(_) => ([(header::CONTENT_TYPE, "application/manifest+json")], TEXT.as_str()).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

#[cfg(test)]
mod tests {
    use super::Module;
    use crate::WebError;

    #[test]
    fn what_is_no_module_is_refused_and_another_module_is_another_edition() {
        assert_eq!(Module::read(b"<html>".to_vec()).err(), Some(WebError::NoModule));
        assert_eq!(Module::read(Vec::new()).err(), Some(WebError::NoModule));
        let of =
            |last: u8| Module::read([b"\0asm\x01\0\0\0".as_slice(), &[last]].concat()).expect("a module");
        assert_ne!(of(1).path("reckon.js"), of(2).path("reckon.js"));
    }
}
