//! A page that answers a form has an address of its own: going back to it, or loading it anew, sends nothing again.

mod stocked;
mod visitor;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use stocked::{ORDER, stocked, with};
use visitor::{Answer, Visitor, coded};

/// A form as the page of a browser sends it.
fn of_a_page(visitor: &Visitor, path: &str, form: &[(&str, &str)]) -> Request<Body> {
    visitor
        .posting(path)
        .header(header::ACCEPT, "text/html,application/xhtml+xml,*/*;q=0.8")
        .header("sec-fetch-mode", "navigate")
        .body(Body::from(coded(form)))
        .expect("a request")
}

async fn sent(visitor: &Visitor, path: &str, form: &[(&str, &str)]) -> Answer {
    visitor.send(of_a_page(visitor, path, form)).await
}

/// Keys differ from page to page; all else is the same.
fn without_keys(page: &str) -> String {
    let parts = page.split("name=\"once\" value=\"").enumerate();
    parts
        .map(|(k, part)| if k == 0 { part } else { part.split_once('"').map_or("", |(_, rest)| rest) })
        .collect()
}

#[tokio::test]
async fn a_wrong_form_leads_to_its_page_with_what_was_typed_as_often_as_it_is_got() {
    let visitor = stocked(&[]).await;
    let wrong = with(&ORDER, "lots-1", "ninety <b>");
    let led = sent(&visitor, "/orders/new", &wrong).await;
    assert_eq!(led.status, StatusCode::SEE_OTHER, "{}", led.text);
    let address = led.header("location").to_owned();
    assert!(address.starts_with("/orders/new?answer="), "{address}");
    let page = visitor.get(&address).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(page.header("content-type"), "text/html; charset=utf-8");
    assert_eq!(page.header("cache-control"), "no-store");
    assert!(page.text.contains("ninety &lt;b&gt;") && page.text.contains("<title>Error: "));
    assert_eq!(visitor.get(&address).await.text, page.text);
    // The same that a script, or a browser that tells nothing, is answered at once.
    let plain = visitor.post("/orders/new", &wrong).await;
    assert_eq!(plain.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(without_keys(&plain.text), without_keys(&page.text));
    assert_eq!(visitor.shop().count_orders().expect("read"), (0, 0));
    // What is right leads on as it always did.
    assert_eq!(sent(&visitor, "/orders/new", &ORDER).await.header("location"), "/orders/1");
}

#[tokio::test]
async fn every_form_with_a_mistake_is_led_to_its_answer() {
    let visitor = stocked(&[]).await;
    for path in [
        "/hauls/new",
        "/hauls/1/anew",
        "/finds/1/about",
        "/finds/1/flaw",
        "/finds/1/off-shelf",
        "/finds/1/worth",
        "/finds/1/split",
        "/supplies/add",
        "/supplies/moved",
        "/books/moves",
        "/settings",
        "/listings/new",
        "/orders/new",
        "/file/backups/none/restore",
        "/file/backups/none/remove",
        "/pack",
    ] {
        let plain = visitor.post(path, &[("paid", "x"), ("count-1", "y")]).await;
        assert!(plain.status.is_client_error(), "{path}: {}", plain.status);
        let led = sent(&visitor, path, &[("paid", "x"), ("count-1", "y")]).await;
        assert_eq!(led.status, StatusCode::SEE_OTHER, "{path}");
        let page = visitor.get(led.header("location")).await;
        assert_eq!(page.status, plain.status, "{path}");
        assert_eq!(told(&page.text), told(&plain.text), "{path}");
    }
}

/// The title and what is said to be wrong; below, a page may be further with what it works out.
fn told(page: &str) -> (&str, &str) {
    let between = |from: &str, to: &str| page.split_once(from).and_then(|(_, rest)| rest.split_once(to));
    let part = |from, to| between(from, to).map_or("", |(part, _)| part);
    (part("<title>", "</title>"), part("<main", "<h1"))
}

#[tokio::test]
async fn nobody_else_is_shown_an_answer_and_one_that_is_gone_is_the_empty_form_again() {
    let visitor = stocked(&[]).await;
    let led = sent(&visitor, "/hauls/new", &[("place", "a secret barn"), ("paid", "x")]).await;
    let address = led.header("location").to_owned();
    assert!(visitor.get(&address).await.text.contains("a secret barn"));
    let mut stranger = visitor.request("GET", &address).body(Body::empty()).expect("a request");
    stranger.headers_mut().remove(header::COOKIE);
    assert_eq!(visitor.send(stranger).await.header("location"), "/enter");
    let fresh = visitor.get("/hauls/new?answer=gone").await;
    assert_eq!(fresh.status, StatusCode::OK);
    assert!(fresh.text.contains("Bring in a haul") && !fresh.text.contains("a secret barn"));
    // Where the form's address is for sending alone there is no form to show.
    let gone = visitor.get("/finds/1/flaw?answer=gone").await;
    assert_eq!(gone.status, StatusCode::GONE);
    assert!(gone.text.contains("no longer kept"));
    // A restart forgets them all.
    let Visitor { folder, .. } = visitor;
    let again = Visitor::over(folder).enter().await;
    assert!(!again.get(&address).await.text.contains("a secret barn"));
}

#[tokio::test]
async fn what_a_script_asks_and_what_is_no_page_is_answered_at_once() {
    let visitor = stocked(&[]).await;
    let wrong: [(&str, &str); 1] = [("paid", "x")];
    for (accept, mode) in
        [(Some("*/*"), Some("cors")), (Some("text/html"), Some("same-origin")), (None, None)]
    {
        let mut request = of_a_page(&visitor, "/hauls/new", &wrong);
        request.headers_mut().remove(header::ACCEPT);
        request.headers_mut().remove("sec-fetch-mode");
        if let Some(accept) = accept {
            request.headers_mut().insert(header::ACCEPT, accept.parse().expect("a header"));
        }
        if let Some(mode) = mode {
            request.headers_mut().insert("sec-fetch-mode", mode.parse().expect("a header"));
        }
        assert_eq!(
            visitor.send(request).await.status,
            StatusCode::UNPROCESSABLE_ENTITY,
            "{accept:?} {mode:?}"
        );
    }
    // On plain HTTP to another device browsers tell no mode; the kind of answer they take says enough.
    let mut request = of_a_page(&visitor, "/hauls/new", &wrong);
    request.headers_mut().remove("sec-fetch-mode");
    assert_eq!(visitor.send(request).await.status, StatusCode::SEE_OTHER);
    // Who isn't let in has no place to keep an answer in.
    let outside = Visitor::outside();
    assert_eq!(sent(&outside, "/enter", &[("key", "wrong")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}
