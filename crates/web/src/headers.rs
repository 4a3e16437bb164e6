//! Headers on every answer: nothing from elsewhere runs here, and nothing here is kept or framed elsewhere.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// What a page may load, run and send to: itself alone, and nothing written into the page.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
     img-src 'self' data:; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

/// The same for the shelf check: it also has a worker for when there is no network and a manifest to be installed
/// by, both of ours, and its worker compiles the module. Compiling a module is less than `eval`: no text becomes
/// script by it (published: CSP level 3, `'wasm-unsafe-eval'`), and no other page has it.
const SHELF_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self' 'wasm-unsafe-eval'; \
     img-src 'self' data:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; \
     frame-ancestors 'none'; base-uri 'none'";

const ALWAYS: [(HeaderName, &str); 5] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // Not `no-referrer`: with that a browser sends `Origin: null` with our own forms.
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (
        HeaderName::from_static("permissions-policy"),
        "accelerometer=(), autoplay=(), camera=(), display-capture=(), encrypted-media=(), fullscreen=(), \
         geolocation=(), gyroscope=(), magnetometer=(), microphone=(), midi=(), payment=(), \
         publickey-credentials-get=(), screen-wake-lock=(), usb=(), xr-spatial-tracking=()",
    ),
];

/// Adds them; what is no asset is never stored.
pub(crate) async fn add(request: Request, next: Next) -> Response {
    let shelf = request.uri().path().starts_with("/shelf");
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let policy = if shelf { SHELF_POLICY } else { CONTENT_SECURITY_POLICY };
    headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}
