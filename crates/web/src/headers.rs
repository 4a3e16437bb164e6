//! Headers on every answer: nothing from elsewhere runs here, and nothing here is kept or framed elsewhere.

use axum::extract::Request;
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// What a page may load, run and send to: itself alone, and nothing written into the page.
pub(crate) const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
     img-src 'self' data:; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

const ALWAYS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
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
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}
