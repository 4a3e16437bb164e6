//! Venues: what is shown, stored and refused, and that a listing, a find and the shelf go by their terms.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use serde_json::json;
use shop::{Record, Setting, Venue};
use stocked::{led, stocked, with};
use visitor::{Answer, Visitor};

/// Right terms of a venue.
const TERMS: [(&str, &str); 12] = [
    ("name", "Barn market"),
    ("fee-on-item", "7.5 %"),
    ("fee-on-shipping", "2"),
    ("fee-on-tax", "0"),
    ("fixed-fee", "0.25"),
    ("title-limit", "60"),
    ("description-limit", ""),
    ("photo-limit", "8"),
    ("offers", "no"),
    ("sales-tax-by", "seller"),
    ("source", "its fee page, read on 2026-11-20"),
    ("flag", "published"),
];

fn venues(visitor: &Visitor) -> Vec<(u64, Venue)> {
    visitor.shop().noted().expect("venues")
}

/// The value of a hidden field.
fn hidden<'a>(page: &'a Answer, name: &str) -> &'a str {
    let after = page.text.split(&format!("name=\"{name}\" value=\"")).nth(1).expect(name);
    after.split('"').next().expect("an end")
}

fn refused(answer: &Answer, field: &str) {
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", answer.text);
    let at = format!("id=\"{field}-mistake\"");
    assert!(answer.text.contains(&at), "{at} in {}", answer.text);
}

#[tokio::test]
async fn a_venue_is_added_once_and_its_page_says_its_terms() {
    let visitor = stocked(&[]).await;
    assert!(visitor.get("/venues").await.text.contains("None yet."));
    let like = visitor.get("/venues/new?like=open_market").await;
    assert!(
        like.text.contains("value=\"12.5\"") && like.text.contains("name=\"name\" value=\"\""),
        "{}",
        like.text
    );
    let form = with(&TERMS, "once", "key-1");
    let page = led(&visitor, &visitor.post("/venues/new", &form).await).await;
    for wanted in [
        "Venue: Barn market",
        "7.5 % of the price, 2 % of the shipping and 0.25 an order.",
        "Titles of up to 60 characters",
        "You send the sales tax",
        "its fee page, read on 2026-11-20 (published)",
        "[venues.barn_market]",
        // 7.5 % of 30.00, 2 % of 9.50, and 0.25.
        "2.69",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let again = visitor.post("/venues/new", &form).await;
    assert_eq!((again.status, again.header("location")), (StatusCode::SEE_OTHER, "/venues/1"));
    assert_eq!(venues(&visitor).len(), 1);
    let list = visitor.get("/venues").await;
    assert!(list.text.contains("href=\"/venues/1\"") && list.text.contains("made up"), "{}", list.text);
}

#[tokio::test]
async fn wrong_terms_are_told_beside_their_field_kept_and_not_stored() {
    let visitor = stocked(&[]).await;
    for (field, wrong) in [
        ("name", ""),
        ("name", "!!"),
        ("fee-on-item", "101"),
        ("fee-on-shipping", "some"),
        ("fee-on-tax", ""),
        ("fixed-fee", "-1"),
        ("title-limit", "5"),
        ("description-limit", "ten"),
        ("photo-limit", "201"),
        ("offers", "maybe"),
        ("sales-tax-by", "nobody"),
        ("source", ""),
        ("flag", "sure"),
    ] {
        let answer = visitor.post("/venues/new", &with(&TERMS, field, wrong)).await;
        refused(&answer, field);
        let kept = if field == "source" { "Barn market" } else { "its fee page, read on 2026-11-20" };
        assert!(answer.text.contains(kept), "{field}: {}", answer.text);
    }
    assert!(venues(&visitor).is_empty());
    assert_eq!(visitor.post("/venues/new", &TERMS).await.status, StatusCode::SEE_OTHER);
    refused(&visitor.post("/venues/new", &with(&TERMS, "name", "barn  MARKET")).await, "name");
    assert_eq!(venues(&visitor).len(), 1);
}

#[tokio::test]
async fn script_in_the_words_of_a_venue_is_only_words() {
    let visitor = stocked(&[]).await;
    let sly = "<script>alert(1)</script>";
    let form = with(&with(&TERMS, "name", sly), "source", sly);
    let page = led(&visitor, &visitor.post("/venues/new", &form).await).await;
    let list = visitor.get("/venues").await;
    let shelf = visitor.get("/shelf").await;
    let worth = visitor.get("/finds/1/split?venue=%3Cscript%3Ealert%281%29%3C%2Fscript%3E").await;
    let wrong = visitor.post("/venues/new", &with(&form, "photo-limit", sly)).await;
    let file = visitor.post("/venues/read", &[("file", sly)]).await;
    for page in [page, list, shelf, worth, wrong, file] {
        assert!(!page.text.contains("<script>alert"), "{}", page.text);
        assert!(page.text.contains("&lt;script&gt;"), "{}", page.text);
    }
}

#[tokio::test]
async fn a_file_of_venues_is_taken_in_whole_or_not_at_all() {
    let visitor = stocked(&[]).await;
    let template: Vec<&str> =
        listing::Venues::template().lines().filter_map(|line| line.strip_prefix("# ")).collect();
    let right: Vec<&str> =
        template.into_iter().filter(|line| line.starts_with('[') || line.contains(" = ")).collect();
    let (right, second) =
        (right.join("\n"), right.join("\n").replace("my_venue", "two").replace("my venue", "two"));
    let bad = second.replace("title_limit = 80", "title_limit = 8");
    for (text, told) in
        [(format!("{right}\n{bad}"), "title_limit"), (String::new(), "Paste"), (String::from("[a"), "line 1")]
    {
        let answer = visitor.post("/venues/read", &[("file", &text)]).await;
        refused(&answer, "file");
        assert!(answer.text.contains(told), "{told} in {}", answer.text);
    }
    assert!(venues(&visitor).is_empty());
    let both = format!("{right}\n{second}");
    for _ in 0..2 {
        let answer = visitor.post("/venues/read", &[("once", "k"), ("file", &both)]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    }
    assert_eq!(venues(&visitor).len(), 2);
}

#[tokio::test]
async fn a_venue_that_changed_in_another_window_is_not_overwritten() {
    let visitor = stocked(&[]).await;
    visitor.post("/venues/new", &TERMS).await;
    let opened = visitor.get("/venues/1").await;
    let seen = hidden(&opened, "seen").to_owned();
    let first = with(&with(&TERMS, "seen", &seen), "fee-on-item", "8");
    assert_eq!(visitor.post("/venues/1", &first).await.status, StatusCode::SEE_OTHER);
    let second = with(&with(&TERMS, "seen", &seen), "fee-on-item", "9");
    let told = visitor.post("/venues/1", &second).await;
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    for wanted in ["changed while you had it open", "percent of the price 8", "before 7.5", "value=\"9\""] {
        assert!(told.text.contains(wanted), "{wanted} in {}", told.text);
    }
    let fee =
        |visitor: &Visitor| keeping::venue_terms(&venues(visitor)[0].1).expect("terms").fee_on_item.percent();
    assert_eq!(fee(&visitor), 8.0);
    // An old page strikes nothing out either.
    let old = visitor.post("/venues/1/strike", &[("seen", &seen)]).await;
    assert_eq!(old.status, StatusCode::UNPROCESSABLE_ENTITY);
    let meant = with(&second, "seen", hidden(&told, "seen"));
    assert_eq!(visitor.post("/venues/1", &meant).await.status, StatusCode::SEE_OTHER);
    assert_eq!(fee(&visitor), 9.0);
    assert_eq!(visitor.shop().history(Record::Venue, 1).expect("history").len(), 3);
}

#[tokio::test]
async fn a_venue_is_struck_out_where_nothing_names_it_and_its_past_is_kept() {
    let visitor = stocked(&[]).await;
    visitor.post("/venues/new", &TERMS).await;
    let strike = async |visitor: &Visitor| {
        let seen = hidden(&visitor.get("/venues/1").await, "seen").to_owned();
        visitor.post("/venues/1/strike", &[("seen", &seen)]).await
    };
    // The usual one.
    assert_eq!(visitor.post("/venues/usual", &[("name", "Barn market")]).await.status, StatusCode::SEE_OTHER);
    assert!(visitor.get("/venues").await.text.contains("Reckoned with where no venue is named."));
    let answer = strike(&visitor).await;
    assert!(answer.status == StatusCode::UNPROCESSABLE_ENTITY && answer.text.contains("market.venue"));
    let renamed = with(&with(&TERMS, "name", "Hall"), "seen", hidden(&answer, "seen"));
    refused(&visitor.post("/venues/1", &renamed).await, "name");
    visitor.post("/venues/usual", &[("name", "open_market")]).await;
    // One with a listing.
    let form =
        [("title", "Two mugs"), ("lots", "2"), ("price", "34"), ("venue", "barn market"), ("state", "up")];
    let seen = hidden(&visitor.get("/listings/1").await, "seen").to_owned();
    let listed = visitor.post("/listings/1", &with(&form, "seen", &seen)).await;
    assert_eq!(listed.status, StatusCode::SEE_OTHER, "{}", listed.text);
    let answer = strike(&visitor).await;
    assert!(answer.text.contains("listed or sold there"), "{}", answer.text);
    let seen = hidden(&visitor.get("/listings/1").await, "seen").to_owned();
    visitor.post("/listings/1", &with(&with(&form, "seen", &seen), "venue", "")).await;
    assert_eq!(strike(&visitor).await.status, StatusCode::SEE_OTHER);
    assert!(venues(&visitor).is_empty());
    let gone = visitor.get("/venues/1").await;
    assert!(gone.status == StatusCode::OK && gone.text.contains("struck out"), "{}", gone.text);
    for path in ["/venues/2", "/venues/99999999999"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        assert_eq!(visitor.post(path, &TERMS).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let unknown = visitor.post("/venues/usual", &[("name", "nowhere")]).await;
    assert_eq!(unknown.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        visitor.shop().noted::<Setting>().expect("settings").iter().all(|(_, one)| one.value != "nowhere")
    );
}

/// The page once nothing on it is being worked out any more.
async fn done(visitor: &Visitor, path: &str) -> Answer {
    for _ in 0..600 {
        let page = visitor.get(path).await;
        if !page.text.contains("data-watch") {
            return page;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("{path} is never done");
}

const COMPS: &str = "2 for 133 + 15, 10d ago\n2 for 140 + 15, 20d ago\n70 + 12, 30d ago";

#[tokio::test]
async fn what_a_find_is_worth_and_its_card_go_by_the_venue_that_is_named() {
    let visitor = stocked(&[]).await;
    visitor.post("/finds/1/worth", &[("comps", COMPS)]).await;
    visitor.post("/venues/new", &TERMS).await;
    let usual = done(&visitor, "/finds/1/worth").await;
    assert!(usual.text.contains("Sold at open market"), "{}", usual.text);
    let own = done(&visitor, "/finds/1/worth?venue=Barn%20market").await;
    assert!(own.text.contains("Sold at Barn market: 7.5 % of the price"), "{}", own.text);
    // It goes along from page to page.
    assert!(own.text.contains("/finds/1/split?venue=Barn%20market"), "{}", own.text);
    let split = done(&visitor, "/finds/1/split?venue=Barn%20market").await;
    assert!(split.text.contains("name=\"venue\" value=\"Barn market\""), "{}", split.text);
    let kept =
        visitor.post("/finds/1/split", &[("lots", "2 x 2"), ("venue", "Barn market"), ("grade", "B")]).await;
    assert_eq!(kept.header("location"), "/listings/new?split=1&venue=Barn%20market&grade=B");
    let new = led(&visitor, &kept).await;
    assert!(
        new.text.contains("value=\"Barn market\"") && new.text.contains("value=\"B\" selected"),
        "{}",
        new.text
    );
    // The listing that the shop has goes by the usual terms until it names the venue.
    let card = done(&visitor, "/listings/1/card").await;
    assert!(card.text.contains("By the terms of open market"), "{}", card.text);
    let form = [
        ("title", "Two mugs"),
        ("lots", "2"),
        ("price", "34"),
        ("state", "up"),
        ("venue", "Barn market"),
        ("grade", "A"),
    ];
    let seen = hidden(&visitor.get("/listings/1").await, "seen").to_owned();
    visitor.post("/listings/1", &with(&form, "seen", &seen)).await;
    let card = done(&visitor, "/listings/1/card").await;
    assert!(
        card.text.contains("By the terms of Barn market") && card.text.contains("Condition: A."),
        "{}",
        card.text
    );
    assert!(card.text.contains("Offers are not taken at this venue."), "{}", card.text);
    let listing = visitor.get("/listings/1").await;
    assert!(listing.text.contains("condition A, before as usual"), "{}", listing.text);
}

#[tokio::test]
async fn a_venue_without_terms_is_said_and_the_usual_terms_stand() {
    let visitor = stocked(&[]).await;
    let at = stocked::at();
    visitor.shop().note(&at, &Venue { name: String::from("fair"), terms: json!({}) }).expect("noted");
    let form = [("title", "Two mugs"), ("lots", "2"), ("price", "34"), ("state", "up"), ("venue", "fair")];
    let seen = hidden(&visitor.get("/listings/1").await, "seen").to_owned();
    visitor.post("/listings/1", &with(&form, "seen", &seen)).await;
    let card = done(&visitor, "/listings/1/card").await;
    assert!(
        card.text.contains("The terms of fair aren&#39;t known")
            || card.text.contains("The terms of fair aren't known"),
        "{}",
        card.text
    );
    assert!(visitor.get("/venues").await.text.contains("its terms aren't known"));
    // One that is called like a published venue has that one's until it has its own.
    visitor.shop().note(&at, &Venue { name: String::from("open market"), terms: json!({}) }).expect("noted");
    assert!(visitor.get("/venues").await.text.contains("as it comes with the program"));
    let own = visitor.get("/venues/2").await;
    assert!(own.text.contains("made-up ones") && own.text.contains("value=\"12.5\""), "{}", own.text);
    // Said for it, they hold, and it keeps its number.
    assert_eq!(
        visitor.post("/venues/new", &with(&TERMS, "name", "fair")).await.header("location"),
        "/venues/1"
    );
    assert!(done(&visitor, "/listings/1/card").await.text.contains("By the terms of fair"));
}

#[tokio::test]
async fn the_condition_moves_the_price_and_a_wrong_one_is_a_mistake() {
    let visitor = stocked(&[]).await;
    visitor.post("/finds/1/worth", &[("comps", COMPS)]).await;
    let verdict = async |path: &str| {
        let page = done(&visitor, path).await;
        let after = page.text.split("<p class=\"verdict\">").nth(1).expect("a verdict").to_owned();
        after.split("</p>").next().expect("an end").to_owned()
    };
    let [usual, ordinary, best] =
        ["/finds/1/worth", "/finds/1/worth?grade=C", "/finds/1/worth?grade=A"].map(|path| path.to_owned());
    let (usual, ordinary, best) = (verdict(&usual).await, verdict(&ordinary).await, verdict(&best).await);
    assert_eq!(usual, ordinary);
    assert_ne!(usual, best);
    let wrong = done(&visitor, "/finds/1/worth?grade=Q").await;
    refused(&wrong, "grade");
    refused(&done(&visitor, "/finds/1/split?grade=Q").await, "grade");
    assert_eq!(visitor.get("/finds/9/worth?grade=A").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_shelf_check_goes_by_the_venue_that_is_named() {
    let visitor = stocked(&[]).await;
    let ask = [
        ("form", "diner mug"),
        ("count", "4"),
        ("comps", "40 + 9, 10d ago\n42 + 9, 20d ago\n38 + 8, 5d ago"),
    ];
    assert!(!visitor.get("/shelf").await.text.contains("name=\"venue\""), "no venue to choose from");
    let usual = visitor.post("/shelf/answer", &ask).await;
    visitor.post("/venues/new", &TERMS).await;
    assert!(visitor.get("/shelf").await.text.contains("name=\"venue\""));
    let whole = visitor.post("/shelf", &with(&ask, "venue", "Barn market")).await;
    assert!(
        whole.status == StatusCode::OK && whole.text.contains("sold at Barn market, which takes 7.5 %"),
        "{}",
        whole.text
    );
    let own = visitor.post("/shelf/answer", &with(&ask, "venue", "Barn market")).await;
    assert_ne!(usual.text, own.text);
    assert_eq!(
        visitor.post("/shelf/answer", &ask).await.text,
        usual.text,
        "where no venue is named nothing changed"
    );
    // The same question after the fee changed is not answered from before.
    let seen = hidden(&visitor.get("/venues/1").await, "seen").to_owned();
    let dearer = with(&with(&TERMS, "fee-on-item", "40"), "seen", &seen);
    let changed = visitor.post("/venues/1", &dearer).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER, "{}", changed.text);
    assert_ne!(visitor.post("/shelf/answer", &with(&ask, "venue", "Barn market")).await.text, own.text);
    refused(&visitor.post("/shelf", &with(&ask, "venue", "nowhere")).await, "venue");
}
