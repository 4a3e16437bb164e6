//! Stock, worth, split, listings and their card, without a browser: what is shown, what is stored, what is refused.

mod stocked;
mod visitor;

use std::time::Duration;

use axum::http::StatusCode;
use books::{FindId, LotId};
use jiff::Timestamp;
use jiff::civil::{Date, date};
use measure::{Length, Mass, Money};
use shop::{
    Comp, FindText, Flaw, ListingIn, ListingPart, Measured, Measurement, NewFind, Record, Split, Stamp, Which,
};
use stocked::haul;
use visitor::{Answer, Visitor};

/// Mugs that are worth their parcels by far, whatever postage does.
const COMPS: [&str; 3] = ["2 for 133 + 15, 10d ago", "2 for 140 + 15, 20d ago", "70 + 12, 30d ago"];

fn now() -> Timestamp {
    "2026-11-20T09:00:00Z".parse().expect("a moment")
}

fn day() -> Date {
    date(2026, 11, 20)
}

/// A visitor with a shop of their own: six sound mugs and a flawed one, find 1, bought in November.
async fn with_mugs() -> Visitor {
    let visitor = Visitor::begun().await;
    let mut shop = visitor.shop();
    let text = FindText {
        form: String::from("diner_mug"),
        description: String::from("diner mugs, <heavy>"),
        shelf: String::from("B2"),
    };
    let find = NewFind { text, sound: 6, flawed: 1, value: Money::from_cents(9000) };
    shop.buy(&Stamp::at(now()), &haul(day(), 1400, find)).expect("a haul");
    visitor
}

/// The same with comps and measures.
async fn with_comps() -> Visitor {
    let visitor = with_mugs().await;
    let mut shop = visitor.shop();
    let stamp = Stamp::at(now());
    for typed in COMPS {
        let comp = Comp { find: FindId(1), typed: typed.to_owned(), date: date(2026, 11, 25) };
        shop.note(&stamp, &comp).expect("a comp");
    }
    for (name, figure) in [
        ("diameter", Measured::Length(Length::from_inches(3.25))),
        ("height", Measured::Length(Length::from_inches(3.5))),
        ("weight", Measured::Mass(Mass::from_ounces(15.0))),
    ] {
        let (find, name) = (FindId(1), name.to_owned());
        shop.note(&stamp, &Measurement { find, piece: None, name, figure, estimated: false })
            .expect("a measure");
    }
    visitor
}

fn listing(lots: u32, pieces: u32) -> ListingIn {
    ListingIn {
        venue: None,
        title: String::from("Mugs <of mine>"),
        lots,
        price: Money::from_cents(4000),
        floor: None,
        listed_on: day(),
        ended: false,
        card: serde_json::json!({}),
        parts: vec![ListingPart { find: FindId(1), pieces, which: Which::Sound }],
    }
}

/// The page once nothing on it is being worked out any more.
async fn done(visitor: &Visitor, path: &str) -> Answer {
    for _ in 0..600 {
        let page = visitor.get(path).await;
        if !page.text.contains("data-watch") {
            return page;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    panic!("{path} is never done");
}

/// The value of a hidden field.
fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let after = page.split(&format!("name=\"{name}\" value=\"")).nth(1).expect(name);
    after.split('"').next().expect("an end")
}

#[tokio::test]
async fn stock_says_what_is_there_and_what_no_listing_offers() {
    let visitor = with_mugs().await;
    let page = visitor.get("/stock").await;
    assert_eq!(page.status, StatusCode::OK);
    for wanted in [
        "7 pieces on the shelf, 14.00 at cost.",
        "7 pieces of them in no listing.",
        "up to 90 days",
        "&lt;heavy&gt;",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    visitor.shop().list(&Stamp::at(now()), &listing(2, 2)).expect("four of six");
    let page = visitor.get("/stock?show=free").await;
    assert!(page.text.contains("3 pieces of them in no listing."), "{}", page.text);
    assert!(page.text.contains("Left beside listings") && page.text.contains("4 listed"), "{}", page.text);
    let none = visitor.get("/stock?show=old").await;
    assert!(none.text.contains("Nothing of this kind."));
}

#[tokio::test]
async fn an_empty_shop_says_what_to_do_next_and_no_shop_leads_to_the_beginning() {
    let visitor = Visitor::inside().await;
    for path in
        ["/stock", "/listings", "/finds/1/worth", "/finds/1/split", "/listings/new", "/listings/1/card"]
    {
        let page = visitor.get(path).await;
        assert_eq!((page.status, page.header("location")), (StatusCode::SEE_OTHER, "/begin"), "{path}");
    }
    visitor.post("/begin/own", &[]).await;
    assert!(visitor.get("/stock").await.text.contains("Nothing is on the shelf."));
    assert!(visitor.get("/listings").await.text.contains("Nothing is listed now."));
    for path in
        ["/finds/1/worth", "/finds/1/split", "/listings/1", "/listings/1/card", "/listings/new?split=9"]
    {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    assert_eq!(visitor.post("/finds/1/worth", &[("comps", "2 for 30")]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn pasted_comps_are_stored_one_a_line_and_once() {
    let visitor = with_mugs().await;
    let form = [("once", "k1"), ("comps", "# seen today\n2 for 140 + 15, 20d ago\n\n 4 for 260 + 20 ")];
    for _ in 0..2 {
        let answer = visitor.post("/finds/1/worth", &form).await;
        assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/finds/1/worth"));
    }
    let typed: Vec<String> =
        visitor.shop().noted::<Comp>().expect("comps").into_iter().map(|(_, one)| one.typed).collect();
    assert_eq!(typed, ["2 for 140 + 15, 20d ago", "4 for 260 + 20"]);
    let page = done(&visitor, "/finds/1/worth").await;
    for wanted in ["One brings about", "<svg", "What one lot brings", "counted as worth", "Take off"] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
}

#[tokio::test]
async fn a_wrong_line_is_told_with_its_number_and_nothing_is_stored() {
    let visitor = with_mugs().await;
    let page = visitor.post("/finds/1/worth", &[("comps", "2 for 30\n\n<b>some money")]).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    for wanted in ["Line 3: ", r##"href="#comps""##, "2 for 30\n\n&lt;b&gt;some money", "<title>Error: "] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    assert!(!page.text.contains("<b>some"));
    for empty in ["", " \n", "# only a remark"] {
        let page = visitor.post("/finds/1/worth", &[("comps", empty)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{empty:?}");
    }
    assert!(visitor.shop().noted::<Comp>().expect("none").is_empty());
}

#[tokio::test]
async fn a_comp_is_taken_off_its_own_find_alone() {
    let visitor = with_comps().await;
    let (number, _) = visitor.shop().noted::<Comp>().expect("comps").swap_remove(0);
    let wrong = visitor.post("/finds/2/worth/strike", &[("comp", &number.to_string())]).await;
    assert_ne!(wrong.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.shop().noted::<Comp>().expect("comps").len(), 3);
    let right = visitor.post("/finds/1/worth/strike", &[("comp", &number.to_string())]).await;
    assert_eq!(right.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.shop().noted::<Comp>().expect("comps").len(), 2);
}

#[tokio::test]
async fn a_comp_grows_older_than_it_was_when_it_was_typed() {
    let visitor = with_mugs().await;
    let comp =
        Comp { find: FindId(1), typed: String::from("2 for 140 + 15, 20d ago"), date: date(2026, 11, 15) };
    visitor.shop().note(&Stamp::at(now()), &comp).expect("a comp");
    let page = done(&visitor, "/finds/1/worth").await;
    assert!(page.text.contains("30 days ago"), "twenty and the ten since: {}", page.text);
}

#[tokio::test]
async fn without_comps_the_least_that_pays_is_told_and_lots_can_still_be_decided() {
    let visitor = with_mugs().await;
    let page = done(&visitor, "/finds/1/worth").await;
    assert!(page.text.contains("Not enough is known") && page.text.contains("Break-even"), "{}", page.text);
    let split = done(&visitor, "/finds/1/split").await;
    assert!(split.text.contains("Without comps no split can be chosen."), "{}", split.text);
    let kept = visitor.post("/finds/1/split", &[("lots", "2 x 3")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_split_leads_from_the_best_plan_to_a_listing_with_its_price() {
    let visitor = with_comps().await;
    let page = done(&visitor, "/finds/1/split").await;
    for wanted in
        ["Best: ", "It leaves ", "Ways to split 6 diner mugs", "Postage by order", "Lots of 2", "#decide"]
    {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let form = [("once", "k1"), ("lots", "1 x 3 + 1 x 2"), ("note", "two sizes")];
    let kept = visitor.post("/finds/1/split", &form).await;
    let next = kept.header("location").to_owned();
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let (number, split) = visitor.shop().noted::<Split>().expect("splits").swap_remove(0);
    assert_eq!(
        (split.lots, split.spare, split.find, split.note.as_str()),
        (vec![3, 2], 0, FindId(1), "two sizes")
    );
    assert_eq!(next, format!("/listings/new?split={number}"));
    let again = visitor.post("/finds/1/split", &form).await;
    assert_eq!(again.header("location"), next);
    assert_eq!(visitor.shop().noted::<Split>().expect("splits").len(), 1);

    let new = visitor.get(&next).await;
    assert!(
        new.text.contains("1 lot of 3") && new.text.contains("1 lot of 2") && new.text.contains("3 of 1"),
        "{}",
        new.text
    );
    let price =
        new.text.split("id=\"price\" name=\"price\" value=\"").nth(1).and_then(|rest| rest.split('"').next());
    let price = price.expect("a field").to_owned();
    assert!(Money::read(&price).is_ok_and(|price| price > Money::from_cents(10_000)), "{price}");
    let number = number.to_string();
    let form = [
        ("once", "k2"),
        ("split", number.as_str()),
        ("holds", "3 of 1"),
        ("which", "sound"),
        ("lots", "1"),
        ("price", &price),
        ("venue", "corner market"),
    ];
    let listed = visitor.post("/listings/new", &form).await;
    assert_eq!(listed.header("location"), "/listings/1", "{}", listed.text);
    let state = visitor.shop().listing(LotId(1)).expect("a listing");
    assert_eq!(state.entered.title, "3 diner mugs, <heavy>");
    assert!(state.entered.venue.is_some());
    let rest = visitor.get(&next).await;
    assert!(rest.text.contains("2 of 1") && !rest.text.contains("1 lot of 3"), "{}", rest.text);
}

#[tokio::test]
async fn lots_that_cant_be_are_told_and_nothing_is_decided() {
    let visitor = with_mugs().await;
    for (lots, spare, field) in [
        ("", "", "lots"),
        ("nothing <b>", "", "lots"),
        ("3 x 3", "", "lots"),
        ("2 x 3", "1", "lots"),
        ("2 x 4", "some", "spare"),
    ] {
        let page = visitor.post("/finds/1/split", &[("lots", lots), ("spare", spare)]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{lots} {spare}");
        assert!(page.text.contains(&format!("href=\"#{field}\"")) && !page.text.contains("<b>"), "{lots}");
    }
    assert!(visitor.shop().noted::<Split>().expect("none").is_empty());
}

#[tokio::test]
async fn a_listing_by_hand_is_stored_once_and_wrong_ones_not_at_all() {
    let visitor = with_mugs().await;
    let right = [
        ("once", "k1"),
        ("holds", "2 of 1"),
        ("which", "sound"),
        ("title", "Two <mugs>"),
        ("lots", "3"),
        ("price", "24"),
        ("floor", "20"),
    ];
    let changed = |name: &'static str, value: &'static str| {
        let mut form = right.to_vec();
        form.retain(|(known, _)| *known != name && *known != "once");
        form.push((name, value));
        form
    };
    for (name, value) in [
        ("holds", ""),
        ("holds", "some of 1"),
        ("holds", "2 of 77"),
        ("lots", "0"),
        ("lots", "5"),
        ("lots", "-1"),
        ("price", ""),
        ("price", "dear"),
        ("floor", "24.01"),
    ] {
        let page = visitor.post("/listings/new", &changed(name, value)).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{name} {value}: {}", page.text);
        assert!(
            page.text.contains("value=\"Two &lt;mugs&gt;\"") && !page.text.contains("<mugs>"),
            "{name} {value}"
        );
    }
    assert!(visitor.shop().listings().expect("none").is_empty());
    for _ in 0..2 {
        assert_eq!(visitor.post("/listings/new", &right).await.header("location"), "/listings/1");
    }
    assert_eq!(visitor.shop().listings().expect("one").len(), 1);
    let list = visitor.get("/listings").await;
    assert!(list.text.contains("Two &lt;mugs&gt;") && list.text.contains("1 listing"), "{}", list.text);
    assert!(visitor.get("/listings?show=over").await.text.contains("No listing is over yet."));
    assert!(visitor.get("/listings?find=1").await.text.contains("Two &lt;mugs&gt;"));
}

#[tokio::test]
async fn a_listing_that_changed_meanwhile_keeps_what_was_typed_and_stores_nothing() {
    let visitor = with_mugs().await;
    visitor.shop().list(&Stamp::at(now()), &listing(2, 3)).expect("all six");
    let page = visitor.get("/listings/1").await;
    assert!(page.text.contains("2 left, 0 promised, 0 sold."), "{}", page.text);
    let seen = hidden(&page.text, "seen").to_owned();
    let form = |price: &'static str, seen: &str, state: &'static str| {
        vec![
            (String::from("seen"), seen.to_owned()),
            (String::from("title"), String::from("Mugs")),
            (String::from("lots"), String::from("2")),
            (String::from("price"), price.to_owned()),
            (String::from("state"), state.to_owned()),
        ]
    };
    let send = async |form: Vec<(String, String)>| {
        let pairs: Vec<(&str, &str)> =
            form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        visitor.post("/listings/1", &pairs).await
    };
    let first = send(form("35", &seen, "up")).await;
    assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
    let second = send(form("31", &seen, "up")).await;
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY);
    for wanted in ["changed while you had it open", "price 35.00, before 40.00", "value=\"31\""] {
        assert!(second.text.contains(wanted), "{wanted} in {}", second.text);
    }
    let price = |visitor: &Visitor| visitor.shop().listing(LotId(1)).expect("it").entered.price;
    assert_eq!(price(&visitor), Money::from_cents(3500));
    let third = send(form("31", hidden(&second.text, "seen"), "over")).await;
    assert_eq!(third.status, StatusCode::SEE_OTHER, "{}", third.text);
    assert_eq!(price(&visitor), Money::from_cents(3100));
    let over = visitor.get("/listings/1").await;
    assert!(
        over.text.contains("It is over.") && over.text.contains("state over, before up"),
        "{}",
        over.text
    );
    assert_eq!(visitor.shop().history(Record::Listing, 1).expect("history").len(), 3);
}

#[tokio::test]
async fn the_card_has_one_count_everywhere_and_says_what_to_answer_to_an_offer() {
    let visitor = with_comps().await;
    let mut shop = visitor.shop();
    let (kind, position) = (String::from("hairline"), String::from("inside the rim"));
    shop.note(&Stamp::at(now()), &Flaw { find: FindId(1), piece: Some(7), kind, position, size: None })
        .expect("a flaw");
    shop.list(&Stamp::at(now()), &ListingIn { price: Money::from_cents(15_000), ..listing(2, 3) })
        .expect("all six");
    drop(shop);
    let page = done(&visitor, "/listings/1/card").await;
    for wanted in [
        "2 x lot of 3 at 150.00.",
        "You receive 3 diner mugs",
        "value=\"2\"",
        "value=\"150.00\"",
        "readonly",
        "data-copy=\"card-title\"",
        "Weight to state",
        "For you alone",
        "exactly 3",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    assert!(!page.text.to_lowercase().contains("hairline"), "the flawed mug is in no lot of sound ones");
    for (offer, wanted) in [("150", "Accept it."), ("1", "Counter with")] {
        let page = done(&visitor, &format!("/listings/1/card?offer={offer}")).await;
        assert!(page.text.contains(wanted), "{offer}: {}", page.text);
    }
    let wrong = done(&visitor, "/listings/1/card?offer=dear&for=3").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains(r##"href="#offer""##) && wrong.text.contains(r##"href="#for""##));
}

#[tokio::test]
async fn what_takes_long_can_be_stopped_and_asked_again() {
    let visitor = with_comps().await;
    let _ = done(&visitor, "/finds/1/worth").await;
    // The first question has number 1; a stop after its end changes nothing.
    let stopped = visitor.post("/works/1/stop", &[]).await;
    assert_eq!((stopped.status, stopped.header("location")), (StatusCode::SEE_OTHER, "/finds/1/worth"));
    assert!(visitor.get("/finds/1/worth").await.text.contains("One brings about"));
    assert!(visitor.get("/works/1/progress").await.text.contains("data-done"));
    assert_eq!(visitor.post("/works/1/again", &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.get("/works/1/progress").await.status, StatusCode::NOT_FOUND);
    assert_eq!(visitor.post("/works/99/stop", &[]).await.status, StatusCode::NOT_FOUND);
}
