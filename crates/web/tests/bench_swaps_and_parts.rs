//! At the bench: another piece instead of one that proved flawed, broken or missing; an order sent in parts; the drop
//! check on its sheet; how far a planning is.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use books::{FindId, OrderId};
use shop::{Flaw, OrderState, PieceRow, Shop};
use stocked::{ORDER, led, stocked, with};
use visitor::{Answer, Visitor};

const SMALL: [(&str, u32); 1] = [("8 x 8 x 8", 6)];
const ROOMY: [(&str, u32); 2] = [("10 x 10 x 10", 3), ("12 x 12 x 12", 3)];

/// A shop with an order of so many lots of two mugs, of six mugs in all.
async fn taken(cartons: &[(&str, u32)], lots: &str) -> Visitor {
    let visitor = stocked(cartons).await;
    let answer = visitor.post("/orders/new", &with(&ORDER, "lots-1", lots)).await;
    assert_eq!(answer.header("location"), "/orders/1", "{}", answer.text);
    visitor
}

async fn planned(visitor: &Visitor) -> Answer {
    let begun = visitor.post("/bench/1/plan", &[]).await;
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text);
    for _ in 0..1200 {
        if visitor.get("/bench/1/progress").await.text.contains("data-done") {
            return visitor.get("/bench/1").await;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("it is never done");
}

fn piece(shop: &Shop, number: u32) -> PieceRow {
    let pieces = shop.pieces(FindId(1)).expect("there");
    pieces.into_iter().find(|piece| piece.number == number).expect("it is one of six")
}

/// The number of the last event that a form carries.
fn seen(page: &Answer) -> String {
    let after = page.text.split("name=\"seen\" value=\"").nth(1).expect("it is carried");
    after.split('"').next().unwrap_or_default().to_owned()
}

const BROKEN: [(&str, &str); 5] =
    [("out", "1:1"), ("proved", "broken"), ("in", "next"), ("why", "<b>rim</b> gone"), ("once", "w1")];

#[tokio::test]
async fn a_broken_piece_gives_its_place_to_the_next_and_leaves_the_shelf_once() {
    let visitor = taken(&[], "1").await;
    let form = visitor.get("/bench/1/swap?out=1:2").await;
    assert!(form.text.contains("<option value=\"1:2\" selected>"), "{}", form.text);
    assert!(form.text.contains("<option value=\"1:3\">") && !form.text.contains("<mugs>"), "{}", form.text);
    let swapped = visitor.post("/bench/1/swap", &BROKEN).await;
    let page = led(&visitor, &swapped).await;
    assert!(page.text.contains("pieces 2, 3 of find 1"), "{}", page.text);
    assert_eq!(visitor.post("/bench/1/swap", &BROKEN).await.header("location"), "/bench/1", "stored once");
    let shop = visitor.shop();
    assert_eq!((piece(&shop, 1).fate.as_str(), piece(&shop, 1).promised_to), ("broken or lost", None));
    assert_eq!(piece(&shop, 3).promised_to, Some(OrderId(1)));
    assert!(shop.check().expect("read").is_sound());
    let order = visitor.get("/orders/1").await;
    assert!(order.text.contains("pieces 2, 3 of find 1") && !order.text.contains("<b>rim"), "{}", order.text);
}

#[tokio::test]
async fn a_flawed_piece_stays_with_its_flaw_and_is_not_taken_as_the_next_sound_one() {
    let visitor = taken(&[], "1").await;
    let flawed = [
        ("out", "1:2"),
        ("proved", "flawed"),
        ("kind", "<hairline>"),
        ("position", "inside the rim"),
        ("size", "1/2 in"),
        ("in", "1:5"),
    ];
    let page = led(&visitor, &visitor.post("/bench/1/swap", &flawed).await).await;
    assert!(page.text.contains("pieces 1, 5 of find 1"), "{}", page.text);
    let shop = visitor.shop();
    let flaws = shop.noted_of::<Flaw>(FindId(1)).expect("read");
    assert_eq!(flaws.len(), 1);
    assert_eq!((flaws[0].1.piece, flaws[0].1.kind.as_str()), (Some(2), "<hairline>"));
    assert_eq!((piece(&shop, 2).fate.as_str(), piece(&shop, 2).promised_to), ("on hand", None));
    let form = visitor.get("/bench/1/swap").await;
    assert!(form.text.contains("&lt;hairline&gt;, inside the rim") && !form.text.contains("<hairline>"));
    // The next sound one is not the flawed 2, although its number is lower.
    let again = [("out", "1:1"), ("proved", "sound"), ("in", "next")];
    visitor.post("/bench/1/swap", &again).await;
    assert_eq!(piece(&visitor.shop(), 3).promised_to, Some(OrderId(1)));
    // Whoever takes it all the same is told what is wrong with it.
    let taken = [("out", "1:3"), ("proved", "sound"), ("in", "1:2")];
    let page = led(&visitor, &visitor.post("/bench/1/swap", &taken).await).await;
    assert!(page.text.contains("(2 has a flaw: &lt;hairline&gt;, inside the rim)"), "{}", page.text);
    let bench = visitor.get("/bench").await;
    assert!(bench.text.contains("(2 has a flaw: &lt;hairline&gt;, inside the rim)"), "{}", bench.text);
}

#[tokio::test]
async fn a_wrong_swap_says_so_beside_its_field_and_stores_nothing() {
    let visitor = taken(&[], "1").await;
    for (field, value, at) in [
        ("out", "", "out"),
        ("out", "1:1,2", "out"),
        ("out", "<i>", "out"),
        ("out", "1:4", "in"),
        ("in", "1:2", "in"),
        ("in", "1:99", "in"),
        ("other", "7:2", "other"),
        ("other", "seven", "other"),
        ("proved", "melted", "proved"),
    ] {
        let answer = visitor.post("/bench/1/swap", &with(&BROKEN, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{at}-mistake\"")), "{field}={value}: {}", answer.text);
        assert!(answer.text.contains("&lt;b&gt;rim") && !answer.text.contains("<b>rim"), "kept, as text");
        assert!(!answer.text.contains("<i>"), "{field}={value}");
    }
    let long = "x".repeat(300);
    for (field, value) in [("why", long.as_str()), ("size", "large")] {
        let flawed = with(&with(&BROKEN, "proved", "flawed"), "kind", "chip");
        let answer = visitor.post("/bench/1/swap", &with(&flawed, field, value)).await;
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}: {}", answer.text);
    }
    let no_kind = visitor.post("/bench/1/swap", &with(&BROKEN, "proved", "flawed")).await;
    assert!(no_kind.text.contains("id=\"kind-mistake\""), "{}", no_kind.text);
    let shop = visitor.shop();
    assert!(shop.pieces(FindId(1)).expect("there").iter().all(|piece| piece.fate == "on hand"));
    assert_eq!(piece(&shop, 1).promised_to, Some(OrderId(1)));
    assert!(shop.noted_of::<Flaw>(FindId(1)).expect("read").is_empty());
    assert_eq!(visitor.get("/bench/9/swap").await.status, StatusCode::NOT_FOUND);
    assert_eq!(visitor.post("/bench/9/swap", &BROKEN).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_second_of_two_tabs_is_told_what_the_first_did() {
    let visitor = taken(&[], "1").await;
    let told = seen(&visitor.get("/bench/1/swap").await);
    visitor
        .post("/bench/1/swap", &[("out", "1:1"), ("proved", "sound"), ("in", "1:6"), ("seen", &told)])
        .await;
    let second =
        visitor.post("/bench/1/swap", &[("out", "1:2"), ("proved", "broken"), ("seen", &told)]).await;
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(second.text.contains("meanwhile") && second.text.contains("1:2,6"), "{}", second.text);
    assert_eq!(piece(&visitor.shop(), 2).fate, "on hand");
    // Looked at and sent again, it is stored.
    let anew = seen(&second);
    let again = visitor.post("/bench/1/swap", &[("out", "1:2"), ("proved", "broken"), ("seen", &anew)]).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER, "{}", again.text);
}

#[tokio::test]
async fn parcels_go_on_their_days_and_the_order_says_what_went_and_what_waits() {
    let visitor = taken(&SMALL, "2").await;
    let page = planned(&visitor).await;
    let count = visitor.shop().parcels(OrderId(1)).expect("read").len();
    assert!(count > 1, "{count} parcels: {}", page.text);
    let form = visitor.get("/bench/1/ship").await;
    for wanted in ["name=\"goes-1\"", "name=\"pieces-2\"", "value=\"1:1"] {
        assert!(form.text.contains(wanted), "{wanted} in {}", form.text);
    }
    let told = seen(&form);
    let later: Vec<(String, String)> =
        (2..=count).map(|k| (format!("goes-{k}"), String::from("later"))).collect();
    let count_text = count.to_string();
    let mut first = vec![
        ("parcels", count_text.as_str()),
        ("goes-1", "now"),
        ("weight-1", "3 lb"),
        ("size-1", "8.4 x 8.4 x 8.7"),
        ("minutes-1", "9"),
        ("postage-1", "7.10"),
        ("tracking-1", "<T1>"),
        ("seen", told.as_str()),
        ("once", "p1"),
    ];
    first.extend(later.iter().map(|(name, value)| (name.as_str(), value.as_str())));
    let page = led(&visitor, &visitor.post("/bench/1/ship", &first).await).await;
    assert!(page.text.contains("Sent in part, the rest to pack."), "{}", page.text);
    assert!(
        page.text.contains("Still waits:") && page.text.contains("Parcel 1, sent 2026-11-25"),
        "{}",
        page.text
    );
    assert!(page.text.contains("Parcel 2, waits") && page.text.contains("&lt;T1&gt;"), "{}", page.text);
    assert!(page.text.contains("some parcels handed over"), "{}", page.text);
    assert_eq!(visitor.post("/bench/1/ship", &first).await.header("location"), "/orders/1", "stored once");
    let shop = visitor.shop();
    assert_eq!(shop.order(OrderId(1)).expect("there").state, OrderState::Open);
    let gone = shop.parcels(OrderId(1)).expect("read").iter().filter(|one| one.actual.is_some()).count();
    assert_eq!(gone, 1);
    // A tab that was opened before is told, and stores nothing.
    let stale = visitor.post("/bench/1/ship", &[("parcels", &count_text), ("seen", &told)]).await;
    assert!(
        stale.status == StatusCode::UNPROCESSABLE_ENTITY && stale.text.contains("meanwhile"),
        "{}",
        stale.text
    );
    // What went before is no longer asked for; the sheet is of what waits.
    let rest = visitor.get("/bench/1/ship").await;
    assert!(
        rest.text.contains("Sent before") && !rest.text.contains(&format!("weight-{count}\"")),
        "{}",
        rest.text
    );
    assert!(!visitor.get("/bench/1/sheet").await.text.contains("/bench/1/1/front"));
    let last = visitor.post("/bench/1/ship", &[("minutes-1", "8"), ("once", "p2")]).await;
    let page = led(&visitor, &last).await;
    assert!(page.text.contains("Sent 2026-11-25.") && !page.text.contains("Still waits"), "{}", page.text);
    let shop = visitor.shop();
    assert_eq!(shop.order(OrderId(1)).expect("there").state, OrderState::Sent);
    assert!(shop.check().expect("read").is_sound());
}

#[tokio::test]
async fn wrong_parts_are_told_beside_their_field_and_store_nothing() {
    let visitor = taken(&SMALL, "2").await;
    planned(&visitor).await;
    let count = visitor.shop().parcels(OrderId(1)).expect("read").len();
    assert_eq!(count, 4, "a mug each");
    let parts = [
        ("goes-1", "now"),
        ("pieces-1", "1:1"),
        ("goes-2", "later"),
        ("goes-3", "later"),
        ("goes-4", "later"),
    ];
    for (field, value, at) in [
        ("pieces-1", "1", "pieces-1"),
        ("pieces-1", "<b>", "pieces-1"),
        ("pieces-1", "1:6", "pieces-1"),
        ("pieces-1", "2:1", "pieces-1"),
        ("pieces-1", "1:1,1", "pieces-1"),
        ("goes-1", "later", "goes-1"),
        ("goes-1", "soon", "goes-1"),
        ("weight-1", "heavy", "weight-1"),
    ] {
        let answer = visitor.post("/bench/1/ship", &with(&parts, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{at}-mistake\"")), "{field}={value}: {}", answer.text);
        assert!(!answer.text.contains("<b>"), "{field}={value}");
    }
    let twice = [("parcels", "2"), ("pieces-1", "1:1"), ("pieces-2", "1:1,2")];
    let answer = visitor.post("/bench/1/ship", &twice).await;
    assert!(
        answer.text.contains("id=\"pieces-2-mistake\"") && answer.text.contains("parcel 1 too"),
        "{}",
        answer.text
    );
    let parcels = visitor.shop().parcels(OrderId(1)).expect("read");
    assert!(parcels.iter().all(|parcel| parcel.actual.is_none()));
}

#[tokio::test]
async fn the_drop_check_stands_on_the_sheet_and_at_the_bench_from_the_file() {
    let visitor = taken(&ROOMY, "1").await;
    planned(&visitor).await;
    let anew = Visitor::over(visitor.folder).enter().await;
    let (sheet, bench) = (anew.get("/bench/1/sheet").await, anew.get("/bench/1").await);
    for page in [&sheet, &bench] {
        assert!(page.text.contains("least margin of any piece is"), "{}", page.text);
        assert!(
            page.text.contains("chance of a breakage on a trip") && page.text.contains("class=\"faces\"")
        );
        assert!(page.text.contains(" G, "), "face by face: {}", page.text);
    }
}

#[tokio::test]
async fn a_plan_that_is_worked_on_shows_itself_anew_without_scripts_and_can_be_stopped() {
    let visitor = taken(&ROOMY, "2").await;
    let begun = visitor.post("/bench/1/plan", &[]).await;
    assert_eq!(begun.status, StatusCode::SEE_OTHER);
    let page = visitor.get("/bench/1").await;
    // On a fast machine it may be done by now; then there is nothing to watch.
    if page.text.contains("Planning order 1") {
        assert!(page.text.contains("<noscript><meta http-equiv=\"refresh\" content=\"2\">"), "{}", page.text);
        assert!(page.text.contains("action=\"/bench/1/stop\""));
        let stopped = led(&visitor, &visitor.post("/bench/1/stop", &[]).await).await;
        assert!(!stopped.text.contains("http-equiv=\"refresh\""), "{}", stopped.text);
    }
    assert!(!visitor.get("/bench").await.text.contains("http-equiv=\"refresh\""));
}
