//! What every answer carries, under which names there is one, and whose forms are taken.

mod visitor;

use axum::body::Body;
use axum::http::{StatusCode, header};
use visitor::{HOST, Visitor, coded};

#[tokio::test]
async fn every_answer_forbids_what_comes_from_elsewhere_and_no_page_is_stored() {
    let visitor = Visitor::inside().await;
    let foreign = visitor
        .posting("/shelf")
        .header(header::ORIGIN, "http://elsewhere.example")
        .body(Body::from("form=mug"))
        .expect("a request");
    let misnamed =
        axum::http::Request::builder().uri("/shelf").header(header::HOST, "elsewhere.example:8765");
    let answers = [
        visitor.get("/shelf").await,
        visitor.get("/help").await,
        visitor.get("/nowhere").await,
        visitor.post("/shelf", &[]).await,
        visitor.send(foreign).await,
        visitor.send(misnamed.body(Body::empty()).expect("a request")).await,
        Visitor::outside().get("/pack").await,
    ];
    for answer in answers {
        // The shelf check may compile our own module and have workers and a manifest of ours; no other page may.
        let shelf = answer.header("content-security-policy").replace(" 'wasm-unsafe-eval'", "");
        assert_eq!(
            shelf.replace(" worker-src 'self'; manifest-src 'self';", ""),
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; \
             form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
        );
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        assert_eq!(answer.header("referrer-policy"), "same-origin");
        assert_eq!(answer.header("cross-origin-opener-policy"), "same-origin");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
        assert!(answer.header("permissions-policy").contains("camera=()"));
        assert_eq!(answer.header("cache-control"), "no-store", "{}", answer.status);
    }
}

#[tokio::test]
async fn only_our_own_names_are_answered() {
    let visitor = Visitor::inside().await;
    for (host, status) in [
        (HOST, StatusCode::OK),
        ("localhost:8765", StatusCode::OK),
        ("192.0.2.7:8765", StatusCode::OK),
        ("127.0.0.1:9999", StatusCode::MISDIRECTED_REQUEST),
        ("127.0.0.1", StatusCode::MISDIRECTED_REQUEST),
        ("shop.example:8765", StatusCode::MISDIRECTED_REQUEST),
        ("127.0.0.1.shop.example:8765", StatusCode::MISDIRECTED_REQUEST),
    ] {
        let request = axum::http::Request::builder()
            .uri("/help")
            .header(header::HOST, host)
            .header(header::COOKIE, &visitor.cookie)
            .body(Body::empty());
        assert_eq!(visitor.send(request.expect("a request")).await.status, status, "{host}");
    }
    let absolute = visitor.request("GET", "http://shop.example/help").body(Body::empty()).expect("a request");
    assert_eq!(visitor.send(absolute).await.status, StatusCode::MISDIRECTED_REQUEST);
    let nameless = axum::http::Request::builder().uri("/help").body(Body::empty()).expect("a request");
    assert_eq!(visitor.send(nameless).await.status, StatusCode::MISDIRECTED_REQUEST);
}

#[tokio::test]
async fn a_form_from_elsewhere_is_refused_and_our_own_is_taken() {
    let visitor = Visitor::inside().await;
    let own = format!("http://{HOST}");
    for (name, value, refused) in [
        ("origin", own.as_str(), false),
        ("sec-fetch-site", "same-origin", false),
        ("accept", "*/*", false),
        ("origin", "http://elsewhere.example", true),
        ("origin", "null", true),
        ("sec-fetch-site", "cross-site", true),
        ("sec-fetch-site", "same-site", true),
    ] {
        let form = coded(&[("form", "diner mug")]);
        let request =
            visitor.posting("/shelf").header(name, value).body(Body::from(form)).expect("a request");
        let status = visitor.send(request).await.status;
        let wanted = if refused { StatusCode::FORBIDDEN } else { StatusCode::UNPROCESSABLE_ENTITY };
        assert_eq!(status, wanted, "{name}: {value}");
    }
}

#[tokio::test]
async fn too_large_a_form_is_refused_in_words() {
    let visitor = Visitor::inside().await;
    let body = format!("comps={}", "x".repeat(1 << 20));
    let request = visitor.posting("/shelf").body(Body::from(body)).expect("a request");
    assert_eq!(visitor.send(request).await.status, StatusCode::PAYLOAD_TOO_LARGE);
    let declared = visitor.posting("/shelf").header(header::CONTENT_LENGTH, 1 << 30).body(Body::from("a=b"));
    assert_eq!(visitor.send(declared.expect("a request")).await.status, StatusCode::PAYLOAD_TOO_LARGE);
}

#[tokio::test]
async fn looking_changes_nothing_and_what_acts_can_only_be_posted() {
    let visitor = Visitor::inside().await;
    for path in ["/devices/pair", "/devices/remove", "/pack/1/stop", "/shelf/answer", "/measure/drawing"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::METHOD_NOT_ALLOWED, "{path}");
    }
}

#[tokio::test]
async fn assets_are_there_for_good_and_reached_by_every_page() {
    let visitor = Visitor::inside().await;
    let page = visitor.get("/help").await.text;
    let paths: Vec<&str> = page.split('"').filter(|part| part.starts_with("/assets/")).collect();
    assert_eq!(paths.len(), 4, "style sheet, mark, touch icon and script");
    let stranger = Visitor::outside();
    for path in paths {
        let asset = stranger.get(path).await;
        assert_eq!(asset.status, StatusCode::OK, "{path}");
        assert!(asset.header("cache-control").contains("immutable"));
    }
    assert_eq!(stranger.get("/assets/0000000000000000/lotwright.css").await.status, StatusCode::NOT_FOUND);
}
