//! What the pages answer, without a browser: right questions, wrong ones, and the same words as the terminal.

mod visitor;

use std::time::Duration;

use axum::http::StatusCode;
use visitor::{Answer, Visitor};

/// A pile that is worth its parcels by far, whatever postage does.
const DEAR: [(&str, &str); 4] = [
    ("form", "diner mug"),
    ("count", "8"),
    ("asking", "6"),
    ("comps", "4 for 260 + 20, 10d ago\n2 for 140 + 15, 20d ago\n4 for 250 + 20, 30d ago"),
];

#[tokio::test]
async fn the_shelf_check_answers_in_words_first() {
    let visitor = Visitor::inside().await;
    let page = visitor.post("/shelf", &DEAR).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("data-said=\"Buy it for 6.00.\""), "{}", page.text);
    let (verdict, figures) = (page.text.find("Buy it for"), page.text.find("<table"));
    assert!(verdict.expect("a verdict") < figures.expect("figures"));
    assert!(page.text.contains("Chance of a loss") && page.text.contains("Not told, taken as usual"));
    // What was typed is still there.
    assert!(page.text.contains("value=\"diner mug\"") && page.text.contains("2 for 140 + 15, 20d ago"));
}

#[tokio::test]
async fn the_answer_while_typing_is_the_answer_of_the_page() {
    let visitor = Visitor::inside().await;
    let (page, live) = (visitor.post("/shelf", &DEAR).await, visitor.post("/shelf/answer", &DEAR).await);
    assert_eq!(live.status, StatusCode::OK);
    assert!(!live.text.contains("<html") && page.text.contains(&live.text));
}

#[tokio::test]
async fn a_wrong_question_is_told_at_its_fields_with_what_was_typed_kept() {
    let visitor = Visitor::inside().await;
    let wrong = [("form", "diner mugg"), ("count", "4"), ("asking", "6"), ("comps", "2 for 30\nsome money")];
    let page = visitor.post("/shelf", &wrong).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    for wanted in [
        "<title>Error: Shelf check",
        "There is a problem",
        r##"href="#form""##,
        r##"href="#comps""##,
        "Line 2: ",
        "value=\"diner mugg\"",
        "some money",
        "aria-invalid",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let live = visitor.post("/shelf/answer", &wrong).await;
    assert_eq!(live.status, StatusCode::OK, "nobody has finished typing");
    assert!(!live.text.contains("There is a problem"));
}

#[tokio::test]
async fn what_is_typed_never_becomes_markup() {
    let visitor = Visitor::inside().await;
    let sly = "<script>alert(1)</script>\"'";
    for (path, fields) in [
        ("/shelf", vec![("form", sly), ("count", sly), ("comps", sly), ("asking", sly), ("grade", sly)]),
        ("/shelf/answer", vec![("form", sly), ("count", "3"), ("comps", sly)]),
        ("/measure", vec![("form", "diner mug"), ("diameter", sly)]),
        ("/measure/drawing", vec![("form", "diner mug"), ("diameter", sly)]),
        ("/pack", vec![("form-1", sly), ("count-1", sly), ("measures-1", sly), ("sheet", "")]),
        ("/pack", vec![("sheet", sly)]),
        ("/enter", vec![("key", sly), ("name", sly)]),
    ] {
        let page = visitor.post(path, &fields).await;
        assert!(!page.text.contains("<script>alert"), "{path}");
        assert!(
            page.status.is_success() || page.status == StatusCode::UNPROCESSABLE_ENTITY,
            "{path}: {}",
            page.status
        );
    }
}

#[tokio::test]
async fn a_piece_is_drawn_with_its_measures_and_its_mistakes_are_told() {
    let visitor = Visitor::inside().await;
    let asked = visitor.get("/measure?form=diner%20mug").await;
    assert_eq!(asked.status, StatusCode::OK);
    assert!(asked.text.contains("Reach of a handle") && asked.text.contains("<svg"));
    let right =
        [("form", "diner mug"), ("diameter", "3 1/2"), ("handle_reach", "1 1/8 in"), ("weight", "15 oz")];
    let drawn = visitor.post("/measure", &right).await;
    assert_eq!(drawn.status, StatusCode::OK, "{}", drawn.text);
    assert!(drawn.text.contains("A 3 1/2 in") && drawn.text.contains("1 1/8 in"));
    assert!(drawn.text.contains("measures-1=diameter%3D3%201%2F2%20in"));
    let wrong = visitor.post("/measure", &[("form", "diner mug"), ("diameter", "-2"), ("height", "3")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains(r##"href="#diameter""##));
    assert_eq!(visitor.get("/measure?form=no%20such").await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

const MUGS: [(&str, &str); 4] =
    [("form-1", "diner mug"), ("count-1", "2"), ("measures-1", "diameter=3 1/2 in"), ("once", "k1")];

/// Follows a plan until it is there.
async fn followed(visitor: &Visitor, begun: &Answer) -> Answer {
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text);
    let address = begun.header("location").to_owned();
    for _ in 0..2000 {
        let page = visitor.get(&address).await;
        if !page.text.contains("data-watch") {
            return page;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("no plan at {address}")
}

#[tokio::test(flavor = "multi_thread")]
async fn pieces_are_packed_drawn_and_printed_and_a_form_sent_twice_is_packed_once() {
    let visitor = Visitor::inside().await;
    let begun = visitor.post("/pack", &MUGS).await;
    let plan = followed(&visitor, &begun).await;
    assert!(plan.text.contains("<h1>Packed in "), "{}", plan.text);
    assert!(plan.text.contains("2 diner mugs") && plan.text.contains("Shake test"));
    assert_eq!(visitor.post("/pack", &MUGS).await.header("location"), begun.header("location"));
    let address = begun.header("location");
    for path in ["1/layer/1", "1/front"] {
        let drawing = visitor.get(&format!("{address}/{path}")).await;
        assert_eq!(
            (drawing.status, drawing.header("content-type")),
            (StatusCode::OK, "image/svg+xml"),
            "{path}"
        );
        assert!(roxmltree::Document::parse(&drawing.text).is_ok());
    }
    let scene = visitor.get(&format!("{address}/1/scene")).await;
    assert!(scene.text.starts_with("{\"bodies\":[{"));
    for path in ["0/front", "3/front", "1/layer/99", "1/layer/0", "9999999999/scene", "x/front"] {
        let status = visitor.get(&format!("{address}/{path}")).await.status;
        assert!(status == StatusCode::NOT_FOUND || status == StatusCode::BAD_REQUEST, "{path}: {status}");
    }
    let sheet = visitor.get(&format!("{address}/sheet?paper=a4")).await;
    for wanted in ["Cut and count first", "Expected weight", "The scale says", "paper a4", "Shaken"] {
        assert!(sheet.text.contains(wanted), "{wanted}");
    }
    let again = visitor.get(&format!("/pack?again={}", address.trim_start_matches("/pack/"))).await;
    assert!(again.text.contains("value=\"diameter=3 1/2 in\""));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_cannot_be_packed_says_why_and_leads_back() {
    let visitor = Visitor::inside().await;
    let heavy = [("form-1", "skillet No. 8"), ("count-1", "900"), ("measures-1", "weight=100 lb")];
    let begun = visitor.post("/pack", &heavy).await;
    let page = followed(&visitor, &begun).await;
    assert!(page.text.contains("There is no plan.") && page.text.contains("/pack?again="), "{}", page.text);
}

#[tokio::test]
async fn a_wrong_packing_question_is_told_in_its_row() {
    let visitor = Visitor::inside().await;
    let page = visitor.post("/pack", &[("form-1", "diner mug"), ("count-1", "many")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains(r##"href="#count-1""##) && page.text.contains("value=\"many\""));
    let added = visitor.post("/pack", &[("form-1", "diner mug"), ("add", "row")]).await;
    assert_eq!(added.status, StatusCode::OK);
    assert!(added.text.contains("form-3"));
    assert_eq!(visitor.get("/pack/77").await.status, StatusCode::NOT_FOUND);
    assert_eq!(visitor.post("/pack/77/stop", &[]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn every_page_is_whole_and_named_and_its_links_lead_somewhere() {
    let visitor = Visitor::inside().await;
    let mut titles = std::collections::BTreeSet::new();
    for path in ["/shelf", "/measure", "/pack", "/help", "/devices"] {
        let page = visitor.get(path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        let title = page.text.split("<title>").nth(1).and_then(|rest| rest.split('<').next()).unwrap_or("");
        assert!(titles.insert(title.to_owned()), "{path}: {title}");
        assert_eq!(page.text.matches("<h1>").count(), 1, "{path}");
        let ids: Vec<&str> =
            page.text.split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        let distinct: std::collections::BTreeSet<&&str> = ids.iter().collect();
        assert_eq!(ids.len(), distinct.len(), "{path}: an id stands twice");
        for link in page.text.split("href=\"/").skip(1).filter_map(|rest| rest.split('"').next()) {
            let (address, id) = link.split_once('#').unwrap_or((link, ""));
            let led = visitor.get(&format!("/{address}")).await;
            assert!(led.status == StatusCode::OK || led.status == StatusCode::SEE_OTHER, "{path} to /{link}");
            assert!(id.is_empty() || led.text.contains(&format!("id=\"{id}\"")), "{path} to /{link}");
        }
    }
}
