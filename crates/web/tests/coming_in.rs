//! Who is let in, by what, and who is turned away.

mod visitor;

use axum::http::StatusCode;
use visitor::{PASSPHRASE, Visitor};
use web::{Access, App, Hosts, Reach, WebError};

#[tokio::test]
async fn who_is_not_let_in_sees_no_page() {
    let stranger = Visitor::outside();
    for path in ["/", "/shelf", "/measure", "/pack", "/pack/1", "/help", "/devices", "/nowhere"] {
        let answer = stranger.get(path).await;
        assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/enter"), "{path}");
    }
    assert_eq!(stranger.post("/shelf", &[("form", "mug")]).await.status, StatusCode::UNAUTHORIZED);
    assert_eq!(stranger.get("/enter").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_made_up_cookie_opens_nothing() {
    let mut stranger = Visitor::outside();
    for cookie in ["lotwright=", "lotwright=guess", "lotwright=\"; x", "other=1; lotwright=zz"] {
        stranger.cookie = cookie.to_owned();
        assert_eq!(stranger.get("/shelf").await.status, StatusCode::SEE_OTHER, "{cookie}");
    }
}

#[tokio::test]
async fn looking_at_the_link_uses_nothing_up_and_following_it_does() {
    let visitor = Visitor::outside();
    let link = format!("/enter/{}", visitor.key);
    for _ in 0..3 {
        let page = visitor.get(&link).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.header("set-cookie").is_empty());
    }
    let key = visitor.key.clone();
    let entered = visitor.post("/enter", &[("key", &key)]).await;
    assert_eq!(entered.status, StatusCode::SEE_OTHER);
    let cookie = entered.header("set-cookie");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(part), "{part} in {cookie}");
    }
    assert!(!cookie.contains("Secure"));
    assert_eq!(visitor.post("/enter", &[("key", &key)]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn over_tls_the_cookie_never_leaves_it() {
    let visitor = Visitor::over_tls();
    let cookie = visitor.post("/enter", &[("key", &visitor.key)]).await;
    assert!(cookie.header("set-cookie").starts_with("__Host-lotwright="));
    assert!(cookie.header("set-cookie").contains("; Secure"));
}

#[tokio::test]
async fn the_passphrase_opens_where_other_devices_may_come_in_and_is_not_asked_for_elsewhere() {
    let lan = Visitor::on_the_lan();
    assert!(lan.get("/enter").await.text.contains("passphrase"));
    assert_eq!(lan.post("/enter", &[("passphrase", PASSPHRASE)]).await.status, StatusCode::SEE_OTHER);
    let wrong = lan.post("/enter", &[("passphrase", "four other words here")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains("<title>Error: ") && !wrong.text.contains("four other words"));
    assert!(!Visitor::outside().get("/enter").await.text.contains(r#"name="passphrase""#));
}

#[tokio::test]
async fn wrong_keys_are_borne_five_times() {
    let visitor = Visitor::on_the_lan();
    for _ in 0..5 {
        let wrong = visitor.post("/enter", &[("key", "nope")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let refused = visitor.post("/enter", &[("key", &visitor.key)]).await;
    assert_eq!(refused.status, StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(refused.header("retry-after"), "300");
}

#[tokio::test]
async fn a_pairing_code_lets_another_device_in_once_and_it_can_be_signed_out() {
    let owner = Visitor::on_the_lan().enter().await;
    let page = owner.post("/devices/pair", &[]).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("<svg") && !page.text.contains("<?xml"));
    let code = page.text.split("pairing-code\"><code>").nth(1).and_then(|rest| rest.split('<').next());
    let code = code.expect("the code in words");
    assert_eq!(code.len(), 11);
    let paired = owner.post("/enter", &[("key", code), ("name", "phone")]).await;
    assert_eq!(paired.status, StatusCode::SEE_OTHER);
    assert_eq!(owner.post("/enter", &[("key", code)]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let devices = owner.get("/devices").await.text;
    assert!(devices.contains("phone"));
    // The phone is listed first; its hash is in its form.
    let hash = devices.split("name=\"device\" value=\"").nth(1).and_then(|rest| rest.split('"').next());
    owner.post("/devices/remove", &[("device", hash.expect("a hash"))]).await;
    assert!(!owner.get("/devices").await.text.contains("phone"));
    assert_eq!(owner.get("/devices").await.status, StatusCode::OK, "the owner is still in");
}

#[tokio::test]
async fn no_code_is_made_where_no_other_device_can_come_in() {
    let visitor = Visitor::inside().await;
    assert_eq!(visitor.post("/devices/pair", &[]).await.status, StatusCode::CONFLICT);
    assert!(!visitor.get("/devices").await.text.contains("/devices/pair"));
}

#[test]
fn other_devices_are_not_let_in_without_a_passphrase() {
    let outside = web::Outside {
        now: std::sync::Arc::new(|| web::Moment {
            at: jiff::Timestamp::UNIX_EPOCH,
            day: jiff::civil::date(2026, 3, 2),
        }),
        secret: std::sync::Arc::new(|| Ok([1; 32])),
        keep: std::sync::Arc::new(|_| Ok(())),
    };
    let lan = Some(String::from("http://192.0.2.7:1"));
    let reach = Reach { hosts: Hosts::new(1, &[]), secure: false, lan };
    let files = web::ShopFiles { own: "nowhere/own".into(), demo: "nowhere/demo".into() };
    let refused = App::new(Access::default(), outside, reach, files).err();
    assert_eq!(refused, Some(WebError::NoPassphrase));
}
