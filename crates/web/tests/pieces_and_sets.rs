//! The pieces of a find one by one with their flaws and photos; sets with pieces of other finds; comps and venues in
//! one write; the cost of goods as a form.

mod stocked;
mod visitor;

use axum::body::Body;
use axum::http::{StatusCode, header};
use books::{FindId, FlawedCarry, LotId, Purse, SplitRule};
use jiff::civil::date;
use measure::Money;
use shop::{Comp, FindText, Flaw, HaulIn, Leaving, NewFind, Record, Shop, Split, Venue};
use stocked::{ORDER, at, led, stocked, with};
use visitor::{Answer, Visitor};

/// Six mugs (find 1, four of them listed), and a haul of so many cups (2) and saucers (3).
async fn cups_and_saucers(cups: u32, saucers: u32) -> Visitor {
    let visitor = stocked(&[]).await;
    let find = |form: &str, description: &str, sound| NewFind {
        text: FindText {
            form: form.to_owned(),
            description: description.to_owned(),
            shelf: String::from("C1"),
        },
        sound,
        flawed: 0,
        value: Money::from_cents(1000),
    };
    let haul = HaulIn {
        place: None,
        date: date(2026, 11, 12),
        paid: Money::from_cents(2000),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![find("tea_cup", "<cups>", cups), find("tea_saucer", "saucers", saucers)],
    };
    visitor.shop().buy(&at(), &haul).expect("a haul");
    visitor
}

fn events(shop: &Shop, record: Record, number: u64) -> usize {
    shop.history(record, number).expect("read").len()
}

/// A small PNG of one red pixel, made by hand.
const PIXEL: &[u8] = &[
    0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, 0, 0, 0, 13, b'I', b'H', b'D', b'R', 0, 0, 0, 1, 0, 0, 0,
    1, 8, 2, 0, 0, 0, 0x90, 0x77, 0x53, 0xDE, 0, 0, 0, 12, b'I', b'D', b'A', b'T', 0x08, 0xD7, 0x63, 0xF8,
    0xCF, 0xC0, 0, 0, 0x03, 0x01, 0x01, 0, 0x18, 0xDD, 0x8D, 0xB0, 0, 0, 0, 0, b'I', b'E', b'N', b'D', 0xAE,
    0x42, 0x60, 0x82,
];

async fn send_photo(visitor: &Visitor, path: &str) -> Answer {
    let mut body = b"--cut\r\nContent-Disposition: form-data; name=\"role\"\r\n\r\nphoto\r\n--cut\r\nContent-Disposition: \
        form-data; name=\"file\"; filename=\"p.png\"\r\nContent-Type: image/png\r\n\r\n"
        .to_vec();
    body.extend_from_slice(PIXEL);
    body.extend_from_slice(b"\r\n--cut--\r\n");
    let request = visitor
        .request("POST", path)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=cut")
        .body(Body::from(body))
        .expect("a request");
    visitor.send(request).await
}

#[tokio::test]
async fn the_page_of_a_find_says_where_each_piece_is_with_its_flaws_and_photos() {
    let visitor = stocked(&[]).await;
    visitor.post("/orders/new", &ORDER).await;
    let mut shop = visitor.shop();
    let left = shop::FromShelf {
        find: FindId(1),
        pieces: vec![6],
        date: date(2026, 11, 21),
        how: Leaving::Broken,
        note: String::new(),
    };
    shop.leave_shelf(&at(), &left).expect("it is free");
    let flaw = [("kind", "<chip>"), ("position", "rim"), ("size", "1/4 in"), ("once", "f1")];
    let page = led(&visitor, &visitor.post("/finds/1/pieces/4/flaw", &flaw).await).await;
    assert!(page.text.contains("&lt;chip&gt;, rim, ") && !page.text.contains("<chip>"), "{}", page.text);
    assert_eq!(visitor.post("/finds/1/pieces/4/flaw", &flaw).await.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.shop().noted_of::<Flaw>(FindId(1)).expect("read").len(), 1, "stored once");
    let sent = send_photo(&visitor, "/papers/to/piece/1/4").await;
    assert_eq!(sent.header("location"), "/finds/1/pieces/4#papers", "{}", sent.text);
    assert!(visitor.get("/finds/1/pieces/4").await.text.contains("/papers/1/preview"));
    let find = visitor.get("/finds/1").await;
    for wanted in [
        "href=\"/finds/1/pieces/1\"",
        "on the shelf, promised with <a href=\"/orders/1\">",
        "data-head=\"Where it is\">broken or lost</td>",
        "&lt;chip&gt;, rim, ",
        "/papers/1/preview",
    ] {
        assert!(find.text.contains(wanted), "{wanted} in {}", find.text);
    }
    let promised = visitor.get("/finds/1/pieces/1").await;
    assert!(promised.text.contains("href=\"/bench/1/swap?out=1:1\""), "{}", promised.text);
    let struck = visitor.post("/finds/1/pieces/4/flaw/1/strike", &[("once", "s1")]).await;
    assert!(led(&visitor, &struck).await.text.contains("None noted."));
}

#[tokio::test]
async fn wrong_flaws_and_pieces_that_are_not_there_store_nothing() {
    let visitor = stocked(&[]).await;
    for (form, at) in [
        (vec![("kind", ""), ("position", "<i>rim</i>")], "kind"),
        (vec![("kind", "chip"), ("size", "large"), ("position", "<i>rim</i>")], "size"),
    ] {
        let answer = visitor.post("/finds/1/pieces/4/flaw", &form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains(&format!("id=\"{at}-mistake\"")), "{}", answer.text);
        assert!(answer.text.contains("&lt;i&gt;rim") && !answer.text.contains("<i>rim"), "kept, as text");
    }
    for path in ["/finds/1/pieces/7", "/finds/1/pieces/0", "/finds/9/pieces/1"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        let answer = visitor.post(&format!("{path}/flaw"), &[("kind", "chip")]).await;
        assert_ne!(answer.status, StatusCode::SEE_OTHER, "{path}");
    }
    assert!(visitor.shop().noted_of::<Flaw>(FindId(1)).expect("read").is_empty());
    // A flaw of another piece isn't struck from this one's page.
    visitor.post("/finds/1/pieces/2/flaw", &[("kind", "chip")]).await;
    let wrong = visitor.post("/finds/1/pieces/3/flaw/1/strike", &[]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
    assert_eq!(visitor.shop().noted_of::<Flaw>(FindId(1)).expect("read").len(), 1);
}

#[tokio::test]
async fn many_pieces_stand_on_several_pages() {
    let visitor = cups_and_saucers(120, 1).await;
    let first = visitor.get("/finds/2").await;
    assert!(first.text.contains("/finds/2/pieces/50\"") && !first.text.contains("/finds/2/pieces/51\""));
    let last = visitor.get("/finds/2?pieces=3").await;
    assert!(last.text.contains("/finds/2/pieces/120\"") && last.text.contains("Page 3 of 3"));
    assert!(visitor.get("/finds/2?pieces=99999").await.text.contains("Page 3 of 3"));
}

const SETS: [(&str, &str); 5] = [
    ("with", "1 of 3"),
    ("lots", "1 x 4 + 1 x 2"),
    ("spare", "1"),
    ("note", "<em>pairs</em>"),
    ("once", "d1"),
];

#[tokio::test]
async fn sets_of_two_finds_are_decided_together_and_listed_with_both() {
    let visitor = cups_and_saucers(8, 7).await;
    let page = visitor.get("/finds/2/sets").await;
    assert!(page.text.contains("3: saucers") && page.text.contains("8 sound pieces"), "{}", page.text);
    let kept = visitor.post("/finds/2/sets", &SETS).await;
    assert_eq!(kept.header("location"), "/listings/new?split=1&with=2", "{}", kept.text);
    let shop = visitor.shop();
    let lots = |find| shop.noted_of::<Split>(FindId(find)).expect("read").pop().expect("one").1;
    assert_eq!((lots(2).lots, lots(2).spare), (vec![4, 2], 1));
    assert_eq!((lots(3).lots, lots(3).spare), (vec![4, 2], 1));
    assert!(lots(3).note.contains("1 of find 2 and 1 of find 3"));
    assert_eq!(visitor.post("/finds/2/sets", &SETS).await.status, StatusCode::SEE_OTHER);
    assert_eq!(shop.noted::<Split>().expect("read").len(), 2, "stored once");
    let form = led(&visitor, &kept).await;
    assert!(
        form.text.contains("4 of 2\n4 of 3") && form.text.contains("name=\"with\" value=\"2\""),
        "{}",
        form.text
    );
    assert!(form.text.contains("split=1&amp;with=2&amp;size=2"), "{}", form.text);
    let listing = [
        ("split", "1"),
        ("with", "2"),
        ("holds", "4 of 2\n4 of 3"),
        ("which", "sound"),
        ("lots", "1"),
        ("price", "40"),
    ];
    let listed = visitor.post("/listings/new", &listing).await;
    assert_eq!(listed.header("location"), "/listings/2", "{}", listed.text);
    let parts = visitor.shop().listing(LotId(2)).expect("there").entered.parts;
    assert_eq!(parts.iter().map(|part| (part.find.0, part.pieces)).collect::<Vec<_>>(), [(2, 4), (3, 4)]);
    // What is listed is no longer offered; the other size still is.
    let next = visitor.get("/listings/new?split=1&with=2").await;
    assert!(next.text.contains("2 of 2\n2 of 3"), "{}", next.text);
}

#[tokio::test]
async fn wrong_sets_say_so_beside_their_field_and_none_of_their_finds_is_decided_on() {
    let visitor = cups_and_saucers(8, 3).await;
    let right = with(&SETS, "lots", "1 x 2");
    for (field, value, at) in [
        ("with", "", "with"),
        ("with", "1 of 2", "with"),
        ("with", "saucers", "with"),
        ("with", "1 of 3\n1 of 3", "with"),
        ("with", "1 of 99", "lots"),
        ("with", "2 of 3", "lots"),
        ("lots", "", "lots"),
        ("lots", "<b>", "lots"),
        ("lots", "1 x 3", "lots"),
        ("each", "0", "each"),
        ("each", "4", "lots"),
        ("spare", "-1", "spare"),
    ] {
        let answer = visitor.post("/finds/2/sets", &with(&right, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{at}-mistake\"")), "{field}={value}: {}", answer.text);
        assert!(answer.text.contains("&lt;em&gt;") && !answer.text.contains("<em>"), "kept, as text");
    }
    assert!(visitor.shop().noted::<Split>().expect("read").is_empty());
    assert_eq!(visitor.get("/finds/99/sets").await.status, StatusCode::NOT_FOUND);
    let kept = visitor.post("/finds/2/sets", &right).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "three saucers are enough for two sets and a spare");
}

#[tokio::test]
async fn pasted_comps_are_one_write_and_a_new_venue_comes_with_its_listing_or_not_at_all() {
    let visitor = stocked(&[]).await;
    let pasted = [("comps", "2 for 17.50 + 8.25\n4 for 30\n1 for 9"), ("once", "c1")];
    assert_eq!(visitor.post("/finds/1/worth", &pasted).await.status, StatusCode::SEE_OTHER);
    let comps = visitor.shop().noted_of::<Comp>(FindId(1)).expect("read");
    assert_eq!(comps.len(), 3);
    let listing =
        [("holds", "1 of 1"), ("which", "sound"), ("lots", "1"), ("price", "20"), ("venue", "Kitchen fair")];
    let refused = visitor.post("/listings/new", &with(&listing, "holds", "1 of 99")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(visitor.shop().noted::<Venue>().expect("read").is_empty(), "no venue without its listing");
    assert_eq!(visitor.post("/listings/new", &listing).await.header("location"), "/listings/2");
    let shop = visitor.shop();
    let venues = shop.noted::<Venue>().expect("read");
    assert_eq!((venues.len(), venues[0].1.name.as_str()), (1, "Kitchen fair"));
    assert_eq!(shop.listing(LotId(2)).expect("there").entered.venue, Some(venues[0].0));
    assert_eq!(events(&shop, Record::Listing, 2), 1, "it isn't entered twice");
}

#[tokio::test]
async fn the_cost_of_goods_is_chosen_from_a_day_on_and_what_went_keeps_its_cost() {
    let visitor = stocked(&[]).await;
    let page = visitor.get("/settings/cost-flow").await;
    assert!(page.text.contains("Today: each piece its own cost."), "{}", page.text);
    assert!(visitor.get("/settings").await.text.contains("href=\"/settings/cost-flow\""));
    for (flow, from, at) in [
        ("lifo", "", "flow"),
        ("<b>", "", "flow"),
        ("", "", "flow"),
        ("fifo", "soon", "from"),
        ("fifo", "2026-02-30", "from"),
    ] {
        let answer = visitor.post("/settings/cost-flow", &[("flow", flow), ("from", from)]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{flow} {from}");
        assert!(answer.text.contains(&format!("id=\"{at}-mistake\"")), "{flow} {from}: {}", answer.text);
        assert!(!answer.text.contains("<b>"));
    }
    assert_eq!(visitor.shop().cost_flow().expect("read").to_string(), "specific");
    let form = [("flow", "fifo"), ("from", "2027-01-01"), ("seen", "specific"), ("once", "k1")];
    let kept = led(&visitor, &visitor.post("/settings/cost-flow", &form).await).await;
    assert!(kept.text.contains("2027-01-01") && kept.text.contains("oldest cost first"), "{}", kept.text);
    assert_eq!(visitor.shop().cost_flow().expect("read").to_string(), "fifo from 2027-01-01");
    // A second tab that still shows what was before is told.
    let other = [("flow", "average"), ("from", "2027-01-01"), ("seen", "specific")];
    let told = visitor.post("/settings/cost-flow", &other).await;
    assert!(
        told.status == StatusCode::UNPROCESSABLE_ENTITY && told.text.contains("meanwhile"),
        "{}",
        told.text
    );
    assert_eq!(visitor.shop().cost_flow().expect("read").to_string(), "fifo from 2027-01-01");
    // Goods that moved keep their cost: no other flow begins on or before that day.
    visitor.post("/finds/1/off-shelf", &[("pieces", "6"), ("how", "broken")]).await;
    let early = visitor.post("/settings/cost-flow", &[("flow", "average"), ("from", "2026-11-25")]).await;
    assert!(early.text.contains("id=\"from-mistake\""), "{}", early.text);
    // As a setting among others it isn't taken.
    let setting = visitor.post("/settings", &[("name", "books.cost_flow"), ("value", "average")]).await;
    assert!(setting.text.contains("a page of its own"), "{}", setting.text);
}

#[tokio::test]
async fn a_supply_is_read_alike_by_the_page_and_each_wrong_part_is_told_at_its_field() {
    let visitor = stocked(&[]).await;
    let carton = [("name", "12 x 12 x 8"), ("kind", "carton"), ("cut-to", "6, 4")];
    for (field, value) in
        [("name", "box"), ("inside", "12 x 12"), ("cut-to", "0"), ("kind", "sack"), ("lead", "900")]
    {
        let answer = visitor.post("/supplies/add", &with(&carton, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}={value}: {}", answer.text);
    }
    let fill =
        [("name", "bag"), ("kind", "fill"), ("material", "eps_fill"), ("holds", "3.5"), ("unit", "bag")];
    for (field, value) in
        [("material", "moonlight"), ("holds", "-1"), ("inside", "4 x 4 x 4"), ("cut-to", "4")]
    {
        let answer = visitor.post("/supplies/add", &with(&fill, field, value)).await;
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}={value}: {}", answer.text);
    }
    for form in [&carton[..], &fill[..], &[("name", "string"), ("kind", "other")][..]] {
        assert_eq!(visitor.post("/supplies/add", form).await.status, StatusCode::SEE_OTHER);
    }
    let kept = visitor.shop().noted::<shop::Supply>().expect("read");
    assert_eq!(kept.len(), 3);
    assert_eq!(kept[0].1.detail, serde_json::json!({ "size": "12 x 12 x 8", "cut_to": ["6", "4"] }));
    assert_eq!(kept[1].1.detail, serde_json::json!({ "material": "eps_fill", "holds": 3.5 }));
}
