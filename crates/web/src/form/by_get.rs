//! A page that answers a form is got by an address of its own.
//!
//! A browser that goes back to, or reloads, a page which answered a POST asks whether to send the form again. So
//! what a form is answered with, where it isn't led on, is kept for a while under a number, and the browser is sent
//! to get it: the same page, with the same status. This is the one place for all forms.

use std::collections::VecDeque;
use std::sync::{Mutex, PoisonError};

use axum::body::{Body, Bytes, HttpBody as _};
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, Uri, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Redirect, Response};

use crate::App;
use crate::access::Device;
use crate::refusal::refusal;

/// The name of the number in an address.
const NAME: &str = "answer";
/// Largest page that is kept, bytes; a larger one answers at once (judgement: a form with a pasted table in it).
const LARGEST: u64 = 2 << 20;
/// Bytes that are kept altogether; the oldest pages go first (judgement).
const ROOM: usize = 16 << 20;

/// Pages that answered a form.
#[derive(Debug, Default)]
pub(crate) struct Answered(Mutex<VecDeque<Kept>>);

#[derive(Debug)]
struct Kept {
    key: String,
    /// The device that sent the form; nobody else is shown its answer.
    device: String,
    status: StatusCode,
    page: Bytes,
}

impl Answered {
    fn keep(&self, kept: Kept) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.push_back(kept);
        while all.iter().map(|one| one.page.len()).sum::<usize>() > ROOM {
            all.pop_front();
        }
    }

    fn find(&self, key: &str, device: &str) -> Option<Response> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let kept = all.iter().find(|one| one.key == key && one.device == device)?;
        let html = HeaderValue::from_static("text/html; charset=utf-8");
        Some((kept.status, [(header::CONTENT_TYPE, html)], kept.page.clone()).into_response())
    }
}

/// Answers the form of a page by leading to its answer. What a script sends is answered at once, and so is what is
/// no page, leads on by itself, or is no fault of the form.
pub(crate) async fn lead(State(app): State<App>, request: Request, next: Next) -> Response {
    let Some(device) = request.extensions().get::<Device>().map(|device| device.hash.clone()) else {
        return next.run(request).await;
    };
    if request.method() == Method::GET
        && let Some(key) = number(request.uri())
    {
        if let Some(page) = app.form_answers().find(key, &device) {
            return page;
        }
        // The form's own page, empty again, where it has one.
        let fresh = next.run(request).await;
        return if fresh.status() == StatusCode::METHOD_NOT_ALLOWED { gone() } else { fresh };
    }
    if request.method() != Method::POST || !is_of_a_page(request.headers()) {
        return next.run(request).await;
    }
    let from = request.uri().clone();
    let answer = next.run(request).await;
    if !can_be_kept(&answer) {
        return answer;
    }
    let Ok(key) = app.form_key() else { return answer };
    let (parts, body) = answer.into_parts();
    // Its size is known and small, so nothing is cut off.
    let Ok(page) = axum::body::to_bytes(body, usize::MAX).await else {
        return refusal(
            StatusCode::INTERNAL_SERVER_ERROR,
            "This page broke",
            "The answer to the form could not be drawn. Look at the record before you send it again.",
        );
    };
    let to = led_to(&from, &key);
    app.form_answers().keep(Kept { key, device, status: parts.status, page });
    Redirect::to(&to).into_response()
}

fn gone() -> Response {
    refusal(
        StatusCode::GONE,
        "This answer is no longer kept",
        "It told what was wrong with a form; nothing was stored then. Go back to the form and send it again.",
    )
}

/// Whether a browser sent the form to show what comes back; a script asks for no page.
fn is_of_a_page(headers: &HeaderMap) -> bool {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    text(header::ACCEPT).is_some_and(|kinds| kinds.contains("text/html"))
        && text(header::HeaderName::from_static("sec-fetch-mode")).is_none_or(|mode| mode == "navigate")
}

/// Whether an answer is a page that may be got once more: drawn whole, and not the server's own failure.
fn can_be_kept(answer: &Response<Body>) -> bool {
    let status = answer.status();
    let is_page = answer
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|kind| kind.to_str().ok())
        .is_some_and(|kind| kind.starts_with("text/html"));
    is_page
        && (status == StatusCode::OK || status.is_client_error())
        && !answer.headers().contains_key(header::SET_COOKIE)
        && answer.body().size_hint().exact().is_some_and(|bytes| bytes <= LARGEST)
}

/// The number in an address.
fn number(uri: &Uri) -> Option<&str> {
    uri.query()?.split('&').find_map(|pair| pair.strip_prefix(NAME)?.strip_prefix('='))
}

/// The address of an answer: that of the form, with the number in it.
fn led_to(from: &Uri, key: &str) -> String {
    let of_ours = |pair: &&str| !pair.strip_prefix(NAME).is_some_and(|rest| rest.starts_with('='));
    let others = from.query().unwrap_or("").split('&').filter(|pair| !pair.is_empty()).filter(of_ours);
    let query: String = others.map(|pair| format!("{pair}&")).collect();
    format!("{}?{query}{NAME}={key}", from.path())
}

#[cfg(test)]
mod tests {
    use super::{Answered, Kept, ROOM, led_to, number};
    use axum::body::Bytes;
    use axum::http::{StatusCode, Uri};

    #[test]
    fn an_address_keeps_what_it_asked_for_and_has_one_number() {
        let uri = |text: &str| text.parse::<Uri>().expect("an address");
        assert_eq!(led_to(&uri("/hauls/new"), "k1"), "/hauls/new?answer=k1");
        assert_eq!(
            led_to(&uri("/a%20b?size=4&answer=k0&lots=2%2B1"), "k1"),
            "/a%20b?size=4&lots=2%2B1&answer=k1"
        );
        assert_eq!(number(&uri("/a?size=4&answer=k1")), Some("k1"));
        assert_eq!(number(&uri("/a?answers=k1&x=answer")), None);
    }

    #[test]
    fn the_oldest_answers_make_room() {
        let answered = Answered::default();
        let page = Bytes::from(vec![b'x'; ROOM / 4]);
        for k in 0..6 {
            let (key, device) = (k.to_string(), String::from("d"));
            answered.keep(Kept { key, device, status: StatusCode::OK, page: page.clone() });
        }
        let kept: Vec<bool> = (0..6).map(|k| answered.find(&k.to_string(), "d").is_some()).collect();
        assert_eq!(kept, [false, false, true, true, true, true]);
        assert!(answered.find("5", "another").is_none());
    }
}
