//! The cookie that a device is known by.

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Redirect, Response};

use crate::App;
use crate::access::Device;

/// Its name; over TLS with the prefix that ties it to this host (published: RFC 6265bis, section 4.1.3).
fn name(secure: bool) -> &'static str {
    if secure { "__Host-lotwright" } else { "lotwright" }
}

/// How long a browser keeps it, s: as long as the session holds.
const KEPT_S: u32 = 30 * 24 * 3600;

/// The header that sets it.
pub(crate) fn cookie(session: &str, secure: bool) -> String {
    let name = name(secure);
    let over_tls = if secure { "; Secure" } else { "" };
    format!("{name}={session}; HttpOnly; SameSite=Strict; Path=/; Max-Age={KEPT_S}{over_tls}")
}

/// The session that a request shows.
fn shown(headers: &HeaderMap, secure: bool) -> Option<&str> {
    let wanted = name(secure);
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|cookies| cookies.to_str().ok())
        .flat_map(|cookies| cookies.split(';'))
        .filter_map(|cookie| cookie.trim().split_once('='))
        .find_map(|(name, value)| (name == wanted).then_some(value))
}

/// The device that sends a request, when it is let in.
pub(crate) fn device(app: &App, headers: &HeaderMap) -> Option<Device> {
    app.access().device(shown(headers, app.reach().secure)?, app.now().at)
}

/// Turns away who is not let in: pages to where one comes in, everything else with 401.
pub(crate) async fn needed(State(app): State<App>, mut request: Request, next: Next) -> Response {
    match device(&app, request.headers()) {
        Some(device) => {
            request.extensions_mut().insert(device);
            next.run(request).await
        }
        None if request.method() == Method::GET && asks_for_page(request.headers()) => {
            Redirect::to("/enter").into_response()
        }
        None => (StatusCode::UNAUTHORIZED, "This browser is not let in.\n").into_response(),
    }
}

fn asks_for_page(headers: &HeaderMap) -> bool {
    let fetched =
        headers.get("sec-fetch-dest").is_some_and(|dest| dest != HeaderValue::from_static("document"));
    !fetched
}
