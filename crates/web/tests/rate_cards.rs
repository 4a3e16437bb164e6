//! Rate cards: read in whole or not at all, asked a price, used from a day on, struck out.

mod stocked;
mod visitor;

use axum::body::Body;
use axum::http::{StatusCode, header};
use shop::{RateCardText, Record, Setting};
use stocked::{led, stocked};
use visitor::{Answer, Visitor};

const EDGE: &str = "a-line-between";
const RULES: &str = include_str!("../../lotwright/tests/records/invented_carrier.toml");
const PRICES: &str = include_str!("../../lotwright/tests/records/invented_carrier.csv");
const RETAIL: &str = "ground_advantage_retail";

/// What a browser sends of the form: fields, and files with their fields.
async fn send(visitor: &Visitor, path: &str, fields: &[(&str, &str)], files: &[(&str, &[u8])]) -> Answer {
    let mut body = Vec::new();
    for (name, value) in fields {
        body.extend(
            format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n").bytes(),
        );
    }
    for (name, bytes) in files {
        body.extend(
            format!("--{EDGE}\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"x\"\r\n\r\n")
                .bytes(),
        );
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(format!("--{EDGE}--\r\n").bytes());
    let request = visitor
        .request("POST", path)
        .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={EDGE}"))
        .body(Body::from(body))
        .expect("a request");
    visitor.send(request).await
}

fn cards(visitor: &Visitor) -> Vec<(u64, RateCardText)> {
    visitor.shop().noted().expect("cards")
}

fn hidden<'a>(page: &'a Answer, name: &str) -> &'a str {
    let after = page.text.split(&format!("name=\"{name}\" value=\"")).nth(1).expect(name);
    after.split('"').next().expect("an end")
}

fn refused(answer: &Answer, field: &str, told: &str) {
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", answer.text);
    let after = answer.text.split(&format!("id=\"{field}-mistake\"")).nth(1).expect(field);
    let mistake = after.split("</p>").next().expect("an end");
    assert!(mistake.contains(told), "{told} in {mistake}");
}

/// The invented card, taken in as number 1.
async fn with_card() -> Visitor {
    let visitor = stocked(&[]).await;
    let answer = send(&visitor, "/rate-cards/new", &[("rules", RULES), ("prices", PRICES)], &[]).await;
    assert_eq!(
        (answer.status, answer.header("location")),
        (StatusCode::SEE_OTHER, "/rate-cards/own/1"),
        "{}",
        answer.text
    );
    visitor
}

#[tokio::test]
async fn a_card_is_read_in_once_pasted_or_as_files_and_shown_with_its_source() {
    let visitor = stocked(&[]).await;
    let list = visitor.get("/rate-cards").await;
    for wanted in
        ["Parcels go by ground advantage commercial now.", "None yet.", RETAIL, "Notice 123", "2027-01-17"]
    {
        assert!(list.text.contains(wanted), "{wanted} in {}", list.text);
    }
    for _ in 0..2 {
        let fields = [("once", "k"), ("rules", ""), ("prices", PRICES), ("name", "house card")];
        let sent = send(&visitor, "/rate-cards/new", &fields, &[("rules-file", RULES.as_bytes())]).await;
        assert_eq!(sent.header("location"), "/rate-cards/own/1", "{}", sent.text);
    }
    assert_eq!(cards(&visitor).len(), 1);
    let page = visitor.get("/rate-cards/own/1").await;
    for wanted in [
        "Rate card: house card",
        "Invented Freight, daily.",
        "made up for tests",
        "from 2026-01-01 on",
        "1 to 8",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
}

#[tokio::test]
async fn a_wrong_card_is_told_with_its_line_and_field_and_nothing_is_stored() {
    let visitor = stocked(&[]).await;
    let line = 1 + RULES.lines().position(|line| line.starts_with("weight_lb")).expect("there");
    let rules = |from: &str, to: &str| RULES.replace(from, to);
    let prices = |from: &str, to: &str| PRICES.replace(from, to);
    for (rules, prices, field, told) in [
        (
            rules("weight_lb = 150", "weight_lb = -1"),
            PRICES.to_owned(),
            "rules",
            format!("line {line} of the rules"),
        ),
        (rules("[sides]", "[sides"), PRICES.to_owned(), "rules", String::from("line ")),
        (RULES.to_owned(), prices("3,lb,10.82", "3,lb,dear"), "prices", String::from("row 4, column")),
        (RULES.to_owned(), prices("3,lb,10.82", "2,lb,10.82"), "prices", String::from("row 4")),
        (String::new(), PRICES.to_owned(), "rules", String::from("missing")),
        (RULES.to_owned(), String::new(), "prices", String::from("missing")),
    ] {
        let answer = send(&visitor, "/rate-cards/new", &[("rules", &rules), ("prices", &prices)], &[]).await;
        refused(&answer, field, &told);
        assert!(answer.text.contains("Invented Freight") || rules.is_empty(), "what was pasted is kept");
    }
    let fields = [("rules", RULES), ("prices", PRICES), ("additions", "zone,add\n1,2\n")];
    refused(&send(&visitor, "/rate-cards/new", &fields, &[]).await, "additions", "row 1, column 1");
    let files: [(&str, &[u8]); 1] = [("rules-file", &[0xff, 0xfe])];
    refused(&send(&visitor, "/rate-cards/new", &[("prices", PRICES)], &files).await, "rules", "UTF-8");
    let both = send(&visitor, "/rate-cards/new", &fields[..2], &[("rules-file", RULES.as_bytes())]).await;
    refused(&both, "rules", "one of them");
    for (name, told) in [(RETAIL, "comes with the program"), (&"x".repeat(101), "too many")] {
        let fields = [("rules", RULES), ("prices", PRICES), ("name", name)];
        refused(&send(&visitor, "/rate-cards/new", &fields, &[]).await, "name", told);
    }
    assert!(cards(&visitor).is_empty());
}

#[tokio::test]
async fn script_in_a_card_is_only_words() {
    let visitor = stocked(&[]).await;
    let sly = "<script>alert(1)</script>";
    let rules = RULES.replace("Invented Freight", sly).replace("made up for tests", sly);
    let fields = [("rules", rules.as_str()), ("prices", PRICES), ("name", sly)];
    let page = led(&visitor, &send(&visitor, "/rate-cards/new", &fields, &[]).await).await;
    let pages = [
        page,
        visitor.get("/rate-cards").await,
        visitor.get("/rate-cards/own/1/anew").await,
        visitor.get("/rate-cards/own/1?weight=%3Cscript%3Ealert%281%29&size=x&zone=y").await,
        send(&visitor, "/rate-cards/new", &[("rules", sly), ("prices", sly), ("additions", sly)], &[]).await,
    ];
    for page in pages {
        assert!(
            !page.text.contains("<script>alert") && page.text.contains("&lt;script&gt;"),
            "{}",
            page.text
        );
    }
}

#[tokio::test]
async fn a_card_is_asked_a_price_and_shows_its_arithmetic() {
    let visitor = with_card().await;
    let page = visitor.get("/rate-cards/own/1?weight=2+lb+8+oz&size=6+x+6+x+6+in&zone=5").await;
    for wanted in ["13.30, billed as 3 lb.", "row 3 lb", "total 13.30"] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let heavy = visitor.get("/rate-cards/own/1?weight=200+lb&size=10+x+8+x+6+in&zone=5").await;
    assert!(heavy.text.contains("It has no price for this: the parcel weighs 200 lb"), "{}", heavy.text);
    for (query, field) in [
        ("weight=&size=10+x+8+x+6+in&zone=5", "weight"),
        ("weight=much&size=10+x+8+x+6+in&zone=5", "weight"),
        ("weight=2+lb&size=10+x+8&zone=5", "size"),
        ("weight=2+lb&size=10+x+8+x+6+in&zone=10", "zone"),
        ("weight=2+lb&size=10+x+8+x+6+in", "zone"),
        ("weight=2+lb&size=10+x+8+x+6+in&zone=5&day=soon", "day"),
    ] {
        refused(&visitor.get(&format!("/rate-cards/own/1?{query}")).await, field, "");
    }
    let published =
        visitor.get(&format!("/rate-cards/published/{RETAIL}?weight=8+oz&size=6+x+6+x+6+in&zone=1")).await;
    assert!(
        published.text.contains("billed as 8 oz") && published.text.contains("Notice 123"),
        "{}",
        published.text
    );
    for path in ["/rate-cards/own/2", "/rate-cards/published/nothing", "/rate-cards/own/2/anew"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    assert_eq!(
        send(&visitor, "/rate-cards/own/2/anew", &[("rules", RULES)], &[]).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn a_card_is_used_from_a_day_on_and_not_struck_out_while_it_is() {
    let visitor = with_card().await;
    let use_from = async |card: &str, from: &str| {
        visitor.post("/rate-cards/use", &[("card", card), ("from", from)]).await
    };
    let setting = |visitor: &Visitor| {
        let all = visitor.shop().noted::<Setting>().expect("settings");
        all.into_iter().find(|(_, one)| one.name == "post.card").map(|(_, one)| one.value)
    };
    // Today is 2026-11-25.
    assert_eq!(use_from("invented_daily", "2026-12-24").await.status, StatusCode::SEE_OTHER);
    let list = visitor.get("/rate-cards").await;
    assert!(list.text.contains("Parcels go by ground advantage commercial now."), "{}", list.text);
    assert!(list.text.contains("From 2026-12-24 on: invented_daily"), "{}", list.text);
    assert_eq!(setting(&visitor), None);
    let seen = hidden(&visitor.get("/rate-cards/own/1").await, "seen").to_owned();
    let struck = visitor.post("/rate-cards/own/1/strike", &[("seen", &seen)]).await;
    assert!(struck.text.contains("is to be used from 2026-12-24"), "{}", struck.text);
    refused(&use_from("invented_daily", "2025-12-31").await, "from", "right would be");
    refused(&use_from(RETAIL, "2027-02-01").await, "from", "holds until 2027-01-17");
    refused(&use_from(RETAIL, "tomorrow").await, "from", "is not a day");
    assert_eq!(use_from("nothing", "").await.status, StatusCode::NOT_FOUND);
    assert_eq!(
        visitor.post("/rate-cards/unuse", &[("from", "2026-12-24")]).await.status,
        StatusCode::SEE_OTHER
    );
    let again = visitor.post("/rate-cards/unuse", &[("from", "2026-12-24")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(use_from("invented_daily", "").await.status, StatusCode::SEE_OTHER);
    assert!(visitor.get("/rate-cards").await.text.contains("Parcels go by invented_daily now."));
    let struck = visitor.post("/rate-cards/own/1/strike", &[("seen", &seen)]).await;
    assert!(struck.text.contains("post.card names it"), "{}", struck.text);
    use_from(RETAIL, "").await;
    assert_eq!(
        visitor.post("/rate-cards/own/1/strike", &[("seen", &seen)]).await.status,
        StatusCode::SEE_OTHER
    );
    assert!(cards(&visitor).is_empty());
    let gone = visitor.get("/rate-cards/own/1").await;
    assert!(
        gone.text.contains("It was struck out") && gone.text.contains("What happened to it"),
        "{}",
        gone.text
    );
}

#[tokio::test]
async fn the_pages_of_lots_go_by_the_card_that_is_used() {
    let visitor = with_card().await;
    let comps = "2 for 133 + 15, 10d ago\n2 for 140 + 15, 20d ago\n70 + 12, 30d ago";
    visitor.post("/finds/1/worth", &[("comps", comps)]).await;
    let done = async |path: &str| {
        for _ in 0..600 {
            let page = visitor.get(path).await;
            if !page.text.contains("data-watch") {
                return page.text;
            }
            tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        }
        panic!("never done");
    };
    // The table alone: forms have keys of their own each time.
    let brings = |page: &str| {
        let rest = page.split("What one lot of each size brings").nth(1)?;
        rest.split("</table>").next().map(str::to_owned)
    };
    let before = brings(&done("/finds/1/worth").await).expect("a table");
    assert_eq!(brings(&done("/finds/1/worth").await).as_ref(), Some(&before), "the same question");
    visitor.post("/rate-cards/use", &[("card", "invented_daily"), ("from", "2026-11-24")]).await;
    let after = done("/finds/1/worth").await;
    assert_ne!(brings(&after).expect("a table"), before, "another card, another postage");
    // Taken in anew with dearer prices, the same question has another answer.
    let seen = hidden(&visitor.get("/rate-cards/own/1/anew").await, "seen").to_owned();
    let dearer = PRICES.replace(",1", ",2");
    let anew = [("seen", seen.as_str()), ("rules", RULES), ("prices", &dearer)];
    assert_eq!(send(&visitor, "/rate-cards/own/1/anew", &anew, &[]).await.status, StatusCode::SEE_OTHER);
    assert_ne!(brings(&done("/finds/1/worth").await), brings(&after));
}

#[tokio::test]
async fn a_card_that_was_taken_in_anew_in_another_window_is_not_overwritten() {
    let visitor = with_card().await;
    let opened = visitor.get("/rate-cards/own/1/anew").await;
    let seen = hidden(&opened, "seen").to_owned();
    assert!(opened.text.contains("Invented Freight"));
    let path = "/rate-cards/own/1/anew";
    let changed = RULES.replace("made up for tests", "made up anew");
    let first = [("seen", seen.as_str()), ("rules", &changed), ("prices", PRICES)];
    assert_eq!(send(&visitor, path, &first, &[]).await.header("location"), "/rate-cards/own/1");
    let other = RULES.replace("made up for tests", "made up by another");
    let second = send(&visitor, path, &[("seen", &seen), ("rules", &other), ("prices", PRICES)], &[]).await;
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(second.text.contains("while you had it open") && second.text.contains("made up by another"));
    assert!(visitor.get("/rate-cards/own/1").await.text.contains("made up anew"));
    let struck = visitor.post("/rate-cards/own/1/strike", &[("seen", &seen)]).await;
    assert!(struck.status == StatusCode::UNPROCESSABLE_ENTITY && cards(&visitor).len() == 1);
    let meant = hidden(&second, "seen").to_owned();
    let third = send(&visitor, path, &[("seen", &meant), ("rules", &other), ("prices", PRICES)], &[]).await;
    assert_eq!(third.status, StatusCode::SEE_OTHER, "{}", third.text);
    assert_eq!(visitor.shop().history(Record::RateCard, 1).expect("history").len(), 3);
}
