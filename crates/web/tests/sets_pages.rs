//! Sets over several finds on their page: reckoned from the comps of the leading find, decided, listed.

mod stocked;
mod visitor;

use std::time::Duration;

use axum::http::StatusCode;
use books::{FindId, LotId};
use jiff::civil::date;
use measure::{Length, Mass, Money};
use shop::{Comp, FindText, HaulIn, Measured, Measurement, NewFind, Split};
use stocked::{at, haul, led};
use visitor::{Answer, Visitor};

/// Sets that are worth their parcels by far, whatever postage does.
const COMPS: [&str; 3] = ["2 for 133 + 15, 10d ago", "2 for 140 + 15, 20d ago", "70 + 12, 30d ago"];

/// Four sound cups and a flawed one (find 1) and three saucers (find 2), with these comps of the cups.
async fn cups_and_saucers(comps: &[&str]) -> Visitor {
    let visitor = Visitor::begun().await;
    let mut shop = visitor.shop();
    let find = |form: &str, description: &str, sound, flawed| NewFind {
        text: FindText {
            form: form.to_owned(),
            description: description.to_owned(),
            shelf: String::from("C1"),
        },
        sound,
        flawed,
        value: Money::from_cents(1000),
    };
    let cups = find("tea_cup", "<cups>", 4, 1);
    let bought = haul(date(2026, 11, 12), 1600, cups.clone());
    let finds = vec![cups, find("tea_saucer", "<saucers>", 3, 0)];
    shop.buy(&at(), &HaulIn { finds, ..bought }).expect("a haul");
    for (find, name, figure) in [
        (1, "diameter", Measured::Length(Length::from_inches(3.5))),
        (1, "height", Measured::Length(Length::from_inches(2.25))),
        (1, "weight", Measured::Mass(Mass::from_ounces(6.0))),
        (2, "diameter", Measured::Length(Length::from_inches(5.75))),
        (2, "weight", Measured::Mass(Mass::from_ounces(7.0))),
    ] {
        let one =
            Measurement { find: FindId(find), piece: None, name: name.into(), figure, estimated: false };
        shop.note(&at(), &one).expect("measured");
    }
    for typed in comps {
        let comp = Comp { find: FindId(1), typed: (*typed).to_owned(), date: date(2026, 11, 25) };
        shop.note(&at(), &comp).expect("a comp");
    }
    visitor
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

/// The value of a field of a form.
fn value<'a>(page: &'a str, id: &str) -> &'a str {
    let after = page.split(&format!("id=\"{id}\" name=\"{id}\" value=\"")).nth(1).expect(id);
    after.split('"').next().expect("an end")
}

/// The address of the first link with such words in it.
fn link(page: &str, words: &str) -> String {
    let before = page.split(words).next().expect(words);
    let address = before.rsplit("href=\"").next().and_then(|rest| rest.split('"').next()).expect("a link");
    address.replace("&amp;", "&")
}

#[tokio::test]
async fn the_best_number_of_sets_and_their_lots_are_worked_out_and_lead_to_listings_with_a_price() {
    let visitor = cups_and_saucers(&COMPS).await;
    let first = visitor.get("/finds/1/sets").await;
    let with_each = link(&first.text, "One each");
    assert_eq!(with_each, "/finds/1/sets?with=1%20of%202");
    assert!(!first.text.contains("id=\"lots\""), "there is nothing to decide before a set is told");
    let page = done(&visitor, "/finds/1/sets?each=1&with=1+of+2&alone=1:+30+%25").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for wanted in [
        "The sound pieces that are free make 3 sets.",
        "Best: 3 sets, ",
        "Here the 3 comps of find 1 count sets",
        "href=\"/finds/1/worth\"",
        "3 sets can be made up, and all of them are.",
        "Without sets, every piece by itself, it would leave ",
        "Ways to split 3 tea cups with tea saucers",
        "hatch-splits",
        "Pieces beside the sets",
        "flawed tea cup",
        "An order of one lot, of two, of more",
        "counts 30 % of a set",
        "counts 40 % of a set",
        "Worth delivered, by lot size",
        "Postage by order, lots of ",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    assert!(!page.text.contains("<cups>") && page.text.contains("&lt;cups&gt;"));
    // The form has the best lots; every way, and every size of the ladder, goes on with the same set.
    let lots = value(&page.text, "lots").to_owned();
    assert!(!lots.is_empty() && page.text.contains("name=\"with\" value=\"1 of 2\""), "{}", page.text);
    let said = "each=1&amp;with=1%20of%202&amp;alone=1%3A%2030%20%25";
    assert!(
        page.text.contains(&format!(
            "/finds/1/sets?lots={}&amp;{said}#decide",
            lots.replace(' ', "%20").replace('+', "%2B")
        )),
        "{}",
        page.text
    );
    assert!(page.text.contains(&format!("/finds/1/sets?size=1&amp;{said}#ladder")), "{}", page.text);
    let form =
        [("each", "1"), ("with", "1 of 2"), ("alone", "1: 30 %"), ("lots", lots.as_str()), ("once", "k")];
    let kept = visitor.post("/finds/1/sets", &form).await;
    assert_eq!(
        kept.header("location"),
        "/listings/new?split=1&with=2&alone=1%3A%2030%20%25",
        "{}",
        kept.text
    );
    let listing = led(&visitor, &kept).await;
    let price: f64 = value(&listing.text, "price").parse().expect("a price");
    assert!(price > 30.0, "a lot of sets is priced by the comps of sets: {price}");
}

#[tokio::test]
async fn pieces_beside_the_sets_lead_to_a_listing_of_their_own_find() {
    // So dear that a flawed cup is worth its parcel, too.
    let visitor = cups_and_saucers(&["2 for 500 + 15", "1 for 300 + 12"]).await;
    let page = done(&visitor, "/finds/1/sets?with=1+of+2").await;
    let address = link(&page.text, ", flawed tea cups</span>");
    assert!(address.starts_with("/listings/new?holds=1%20of%201&which=flawed&lots=1&price="), "{address}");
    let form = visitor.get(&address).await;
    assert!(form.text.contains("1 of 1</textarea>"), "{}", form.text);
    let price = value(&form.text, "price").to_owned();
    let listing =
        [("holds", "1 of 1"), ("which", "flawed"), ("lots", value(&form.text, "lots")), ("price", &price)];
    let listed = visitor.post("/listings/new", &listing).await;
    assert_eq!(listed.header("location"), "/listings/1", "{}", listed.text);
    assert_eq!(visitor.shop().listing(LotId(1)).expect("there").entered.price.write(), price);
}

#[tokio::test]
async fn without_comps_nothing_is_reckoned_and_sets_are_decided_as_typed() {
    let visitor = cups_and_saucers(&[]).await;
    let page = visitor.get("/finds/1/sets?with=1+of+2").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(
        page.text.contains("Find 1 has no comps") && page.text.contains("/finds/1/worth#add"),
        "{}",
        page.text
    );
    assert!(!page.text.contains("Best:") && value(&page.text, "lots").is_empty(), "{}", page.text);
    let kept = visitor.post("/finds/1/sets", &[("with", "1 of 2"), ("lots", "1 x 3")]).await;
    assert_eq!(kept.header("location"), "/listings/new?split=1&with=2", "{}", kept.text);
    assert!(value(&led(&visitor, &kept).await.text, "price").is_empty());
}

#[tokio::test]
async fn a_wrong_set_is_told_beside_its_field_with_what_was_typed_and_stores_nothing() {
    let visitor = cups_and_saucers(&COMPS).await;
    for (query, field, words) in [
        ("with=<b>", "with", "can&#39;t be read"),
        ("with=1+of+1", "with", "named twice"),
        ("with=1+of+9", "with", "no find 9"),
        ("with=4+of+2", "with", "from 1 to 3 of it in a set"),
        ("each=2&with=2+of+2", "with", "1 of find 1 and 1 of find 2"),
        ("each=0&with=1+of+2", "each", "not a whole number"),
        ("with=1+of+2&alone=<b>", "alone", "1: 55 %"),
        ("with=1+of+2&alone=3:+5+%25", "alone", "no piece of find 3 is in the set"),
        ("with=1+of+2&alone=1:+500+%25", "alone", "can&#39;t be read"),
        ("with=1+of+2&grade=<b>", "grade", "is no condition"),
    ] {
        let page =
            done(&visitor, &format!("/finds/1/sets?{}", query.replace('<', "%3C").replace('>', "%3E"))).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        let mistake = page.text.split(&format!("id=\"{field}-mistake\"")).nth(1);
        let mistake = mistake
            .unwrap_or_else(|| panic!("{query}: {}", page.text))
            .split("</p>")
            .next()
            .expect("its end");
        let plain = mistake.replace("&#39;", "'");
        assert!(plain.contains(&words.replace("&#39;", "'")), "{query}: {mistake}");
        assert!(!page.text.contains("<b>"), "{query}");
        let open = page
            .text
            .split("Another set, where")
            .next()
            .expect("a beginning")
            .ends_with("<details open><summary>");
        assert!(open || !page.text.contains("Another set, where"), "{query}: the field is in sight");
    }
    // A decision whose set became wrong meanwhile keeps what was typed.
    let wrong = [("with", "1 of 2"), ("alone", "<i>"), ("lots", "1 x 2"), ("note", "<em>pairs</em>")];
    let told = visitor.post("/finds/1/sets", &wrong).await;
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        told.text.contains("id=\"alone-mistake\"") && told.text.contains("&lt;em&gt;pairs"),
        "{}",
        told.text
    );
    assert!(!told.text.contains("<em>") && !told.text.contains("<i>"));
    assert!(visitor.shop().noted::<Split>().expect("read").is_empty());
    assert_eq!(visitor.get("/finds/9/sets?with=1+of+2").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_set_that_is_worth_keeping_back_is_filled_in_and_fits_what_is_there() {
    let visitor = cups_and_saucers(&COMPS).await;
    for (name, value) in [("market.spare", "1"), ("market.damage", "45 %"), ("packing.wage", "1.00")] {
        let kept = visitor.post("/settings", &[("name", name), ("value", value)]).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{name}: {}", kept.text);
    }
    let page = done(&visitor, "/finds/1/sets?with=1+of+2").await;
    assert!(page.text.contains("1 set kept back for one that breaks: costs "), "{}", page.text);
    assert_eq!(value(&page.text, "spare"), "1");
    let lots = value(&page.text, "lots");
    let form = [("with", "1 of 2"), ("lots", lots), ("spare", "1")];
    let kept = visitor.post("/finds/1/sets", &form).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let more = visitor.post("/finds/1/sets", &[("with", "1 of 2"), ("lots", lots), ("spare", "9")]).await;
    assert!(more.text.contains("id=\"lots-mistake\""), "{}", more.text);
}
