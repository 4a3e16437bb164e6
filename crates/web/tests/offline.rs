//! What a phone needs to check without a network, and what it sends home afterwards.

mod visitor;

use std::sync::{Arc, Mutex};

use axum::http::StatusCode;
use jiff::civil::date;
use shelfcheck::{Desk, Usual, Way, reply};
use shop::{Setting, Stamp, Venue};
use visitor::{Visitor, coded};
use web::{KeptChecks, Module};

/// A module of nothing: enough for whoever only serves it.
fn module() -> Module {
    Module::read(b"\0asm\x01\0\0\0".to_vec()).expect("the shortest module")
}

fn at() -> Stamp {
    Stamp::at("2026-11-25T09:00:00Z".parse().expect("a moment"))
}

const SENT: [(&str, &str); 6] = [
    ("key", "0b7c8f6e-0000-4000-8000-000000000001"),
    ("day", "2026-11-20"),
    ("said", "Leave it."),
    ("form", "diner mug"),
    ("count", "8"),
    ("comps", "4 for 260 + 20, 10d ago\r\n2 for 140 + 15"),
];

fn quoted<'a>(text: &'a str, begins: &str) -> Option<&'a str> {
    text.split('"').find(|part| part.starts_with(begins))
}

#[tokio::test]
async fn a_phone_is_given_the_very_bytes_that_the_module_is_built_to_give() {
    let visitor = Visitor::inside().await;
    let desk = Desk::published();
    let right =
        [("form", "skillet No. 8"), ("count", "1"), ("asking", "12"), ("comps", "auction 31, 7 bids + 14")];
    let wrong = [("form", "diner mugg"), ("count", "4"), ("comps", "2 for 30\nsome money")];
    for form in [right.as_slice(), &wrong] {
        let given = |way| reply(&desk, &Usual::default(), &coded(form), date(2026, 11, 25), way);
        assert_eq!(visitor.post("/shelf/answer", form).await.text, given(Way::Typing));
        let page = visitor.post("/shelf", form).await.text;
        let whole = given(Way::Checked);
        let (problems, asked) = whole.split_at(whole.find("<div class=\"beside\">").expect("the form"));
        assert!(page.contains(problems) && page.contains(asked), "{page}");
    }
}

#[tokio::test]
async fn home_and_phone_go_by_the_persons_settings_and_what_is_typed_goes_before_them() {
    let visitor = Visitor::begun().await;
    let asked =
        [("form", "diner mug"), ("count", "8"), ("asking", "6"), ("comps", "4 for 60 + 9\n2 for 34 + 8")];
    let before = visitor.post("/shelf/answer", &asked).await.text;
    for (name, value) in [("packing.wage", "31"), ("post.from", "\"981\""), ("market.venue", "\"barn\"")] {
        let setting = Setting { name: name.to_owned(), value: value.to_owned(), source: String::new() };
        visitor.shop().note(&at(), &setting).expect("stored");
    }
    let terms = serde_json::json!({
        "name": "Barn <market>", "fee_on_item_percent": 31.5, "fee_on_shipping_percent": 0,
        "fee_on_tax_percent": 0, "fixed_fee_per_order": 0.77, "title_limit": 60, "photo_limit": 5,
        "offers": true, "sales_tax_by": "seller", "source": "a slip of paper", "flag": "judgement",
    });
    let venue = Venue { name: String::from("barn"), terms };
    visitor.shop().note(&at(), &venue).expect("stored");
    let answer = visitor.post("/shelf/answer", &asked).await.text;
    for wanted in
        ["31.00 an hour", "sent from 981", "Barn &lt;market&gt;, which takes 31.5 %", "0.77 an order"]
    {
        assert!(answer.contains(wanted) && !before.contains(wanted), "{wanted} in {answer}");
    }
    let taken = visitor.get("/shelf/usual").await;
    assert_eq!((taken.status, taken.header("cache-control")), (StatusCode::OK, "no-store"));
    let usual = Usual::read(&taken.text).expect("as it was written");
    let desk = Desk::published();
    let on_phone =
        |form: &[(&str, &str)]| reply(&desk, &usual, &coded(form), date(2026, 11, 25), Way::Typing);
    assert_eq!(on_phone(&asked), answer);
    let typed: Vec<_> = asked.into_iter().chain([("wage", "9"), ("venue", "open_market")]).collect();
    let answer = visitor.post("/shelf/answer", &typed).await.text;
    assert!(answer.contains("9.00 an hour") && !answer.contains("31.5 %"), "{answer}");
    assert_eq!(on_phone(&typed), answer);
    let named: Vec<_> = asked.into_iter().chain([("venue", "Barn")]).collect();
    assert_eq!(on_phone(&named), visitor.post("/shelf/answer", &named).await.text);
    let outside = Visitor::outside().get("/shelf/usual").await;
    assert!(!outside.text.contains("packing") && outside.status != StatusCode::OK, "{}", outside.text);
}

#[tokio::test]
async fn without_a_module_nothing_speaks_of_it() {
    let visitor = Visitor::inside().await;
    let page = visitor.get("/shelf").await.text;
    assert!(!page.contains("data-offline") && !page.contains("manifest"));
    for path in ["/shelf-worker.js", "/shelf/app.webmanifest", "/shelf/shell", "/shelf/offline/x/reckon.js"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn the_worker_keeps_the_shelf_check_alone_and_all_it_keeps_is_there() {
    let visitor = Visitor::with_module(module()).await;
    let page = visitor.get("/shelf").await;
    assert!(page.header("content-security-policy").contains("script-src 'self' 'wasm-unsafe-eval';"));
    assert!(page.header("content-security-policy").contains("worker-src 'self'; manifest-src 'self';"));
    assert!(!visitor.get("/pack").await.header("content-security-policy").contains("wasm"));
    let worker = visitor.get(quoted(&page.text, "/shelf-worker").expect("the worker's path")).await;
    assert_eq!((worker.status, worker.header("service-worker-allowed")), (StatusCode::OK, "/shelf"));
    assert_eq!(worker.header("cache-control"), "no-store", "a browser must see the next edition");
    let paths = worker.text.split('"').filter(|part| part.starts_with('/') && !part.contains(' '));
    let kept: Vec<&str> = paths.filter(|path| *path != "/shelf").collect();
    for wanted in
        ["lotwright.css", "page.js", "offline.js", "reckon.js", "shelfcheck.wasm", "app.webmanifest"]
    {
        assert!(kept.iter().any(|path| path.ends_with(wanted)), "{wanted} in {kept:?}");
    }
    let mut bytes = 0;
    for path in kept {
        let answer = visitor.get(path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}");
        assert!(path.starts_with("/assets/") || path.starts_with("/shelf/"), "{path} is another page");
        bytes += answer.text.len();
    }
    // The whole first load but for the module, uncompressed.
    assert!(bytes + page.text.len() < 150_000, "{bytes} bytes");
}

#[tokio::test]
async fn the_shell_is_for_who_is_let_in_and_holds_nothing_of_theirs() {
    let visitor = Visitor::with_module(module()).await;
    visitor.post("/shelf/kept", &SENT).await;
    assert!(visitor.get("/shelf").await.text.contains("8 x diner mug"));
    let shell = visitor.get("/shelf/shell").await.text;
    assert!(shell.contains("data-offline") && !shell.contains("8 x diner mug"));
    let mut stranger = visitor;
    stranger.cookie.clear();
    assert_eq!(stranger.get("/shelf/shell").await.status, StatusCode::SEE_OTHER);
    // A browser asks for these without the cookie.
    assert_eq!(stranger.get("/shelf/app.webmanifest").await.status, StatusCode::OK);
    assert_eq!(stranger.get("/shelf-worker.js").await.status, StatusCode::OK);
}

#[tokio::test]
async fn the_manifest_names_what_is_there() {
    let visitor = Visitor::with_module(module()).await;
    let answer = visitor.get("/shelf/app.webmanifest").await;
    assert_eq!(answer.header("content-type"), "application/manifest+json");
    let manifest: serde_json::Value = serde_json::from_str(&answer.text).expect("JSON");
    assert_eq!(
        (manifest["start_url"].as_str(), manifest["display"].as_str()),
        (Some("/shelf"), Some("standalone"))
    );
    let icons = manifest["icons"].as_array().expect("icons");
    for icon in icons {
        let answer = visitor.get(icon["src"].as_str().expect("a path")).await;
        assert_eq!(answer.header("content-type"), icon["type"].as_str().expect("a kind"));
    }
    for wanted in [("192x192", "any"), ("512x512", "any"), ("512x512", "maskable"), ("any", "any")] {
        let there = icons.iter().any(|icon| {
            (icon["sizes"].as_str(), icon["purpose"].as_str()) == (Some(wanted.0), Some(wanted.1))
        });
        assert!(there, "{wanted:?}");
    }
}

#[tokio::test]
async fn a_check_sent_twice_is_kept_once_listed_and_worked_out_for_its_own_day() {
    let visitor = Visitor::inside().await;
    for _ in 0..2 {
        let list = visitor.post("/shelf/kept", &SENT).await;
        assert_eq!(list.status, StatusCode::OK, "{}", list.text);
        assert_eq!(list.text.matches("<li>").count(), 1, "{}", list.text);
    }
    let page = visitor.get("/shelf").await.text;
    let one = visitor.get(quoted(&page, "/shelf/kept/0b7c").expect("a link")).await;
    assert!(one.text.contains("Reckoned for <time datetime=\"2026-11-20\">"), "{}", one.text);
    assert!(one.text.contains("Pay at most") && one.text.contains("The phone said: Leave it."));
    visitor.post("/shelf/kept/remove", &[("key", SENT[0].1)]).await;
    assert!(!visitor.get("/shelf").await.text.contains("8 x diner mug"));
    assert_eq!(visitor.get("/shelf/kept/no-such-key").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_can_not_be_kept_says_so_and_what_is_sent_never_becomes_markup() {
    let visitor = Visitor::inside().await;
    let sly = "<script>alert(1)</script>";
    let mut sent = SENT;
    (sent[2].1, sent[3].1) = (sly, sly);
    let list = visitor.post("/shelf/kept", &sent).await;
    assert!(list.text.contains("&lt;script") && !list.text.contains(sly), "{}", list.text);
    sent[0].1 = "x";
    let refused = visitor.post("/shelf/kept", &sent).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("8 to 64"), "{}", refused.text);
    let full = KeptChecks::read("", Arc::new(|_| Err(String::from("the disk is full")))).expect("none yet");
    let full = Visitor::with_kept_checks(full).await.post("/shelf/kept", &SENT).await;
    assert_eq!(full.status, StatusCode::INSUFFICIENT_STORAGE);
    assert!(full.text.contains("the disk is full"));
    assert_eq!(Visitor::outside().post("/shelf/kept", &SENT).await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn what_was_kept_is_there_in_the_next_run() {
    let record = Arc::new(Mutex::new(String::new()));
    let keep = {
        let record = Arc::clone(&record);
        Arc::new(move |text: &str| {
            text.clone_into(&mut record.lock().expect("no test panics with it"));
            Ok(())
        })
    };
    let kept = KeptChecks::read("", keep.clone()).expect("none yet");
    Visitor::with_kept_checks(kept).await.post("/shelf/kept", &SENT).await;
    let text = record.lock().expect("not poisoned").clone();
    let kept = KeptChecks::read(&text, keep).expect("our own record");
    assert!(Visitor::with_kept_checks(kept).await.get("/shelf").await.text.contains("8 x diner mug"));
}
