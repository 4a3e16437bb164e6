//! The bench through the pages: what waits, a plan with what is on hand, its drawings from the file, the sheet, and
//! what the scale said.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use books::OrderId;
use shop::OrderState;
use stocked::{ORDER, led, stocked, with};
use visitor::{Answer, Visitor};

const CARTONS: [(&str, u32); 3] = [("8 x 8 x 8", 3), ("10 x 10 x 10", 3), ("12 x 12 x 12", 3)];

async fn taken(cartons: &[(&str, u32)]) -> Visitor {
    let visitor = stocked(cartons).await;
    let answer = visitor.post("/orders/new", &ORDER).await;
    assert_eq!(answer.header("location"), "/orders/1", "{}", answer.text);
    visitor
}

/// Plans and waits until the planning is over.
async fn planned(visitor: &Visitor, form: &[(&str, &str)]) -> Answer {
    let begun = visitor.post("/bench/1/plan", form).await;
    assert_eq!(begun.status, StatusCode::SEE_OTHER, "{}", begun.text);
    for _ in 0..600 {
        if visitor.get("/bench/1/progress").await.text.contains("data-done") {
            return visitor.get("/bench/1").await;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("it is never done");
}

#[tokio::test]
async fn the_bench_shows_what_waits_and_one_walk_along_the_shelf() {
    let visitor = stocked(&CARTONS).await;
    assert!(visitor.get("/bench").await.text.contains("Nothing waits"));
    visitor.post("/orders/new", &ORDER).await;
    let page = visitor.get("/bench").await;
    for wanted in
        ["2026-11-28, 3 days", "plan its parcels", "<strong>B2</strong>", "type=\"checkbox\"", "for order 1"]
    {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    assert!(!page.text.contains("<mugs>"), "what was typed is text");
}

#[tokio::test]
async fn a_plan_is_drawn_from_the_file_also_by_a_program_that_was_started_anew() {
    let visitor = taken(&CARTONS).await;
    let page = planned(&visitor, &[]).await;
    assert!(page.text.contains("Set aside for it:") && page.text.contains("Steps"), "{}", page.text);
    let mut shop = visitor.shop();
    assert_eq!(shop.parcels(OrderId(1)).expect("read").len(), 1);
    let anew = Visitor::over(visitor.folder).enter().await;
    let again = anew.get("/bench/1").await;
    assert!(
        again.text.contains("/bench/1/1/layer/1") && again.text.contains("Set aside for it:"),
        "{}",
        again.text
    );
    for (path, kind) in
        [("layer/1", "image/svg+xml"), ("front", "image/svg+xml"), ("scene", "application/json")]
    {
        let view = anew.get(&format!("/bench/1/1/{path}")).await;
        assert_eq!((view.status, view.header("content-type")), (StatusCode::OK, kind), "{path}");
    }
    for path in ["/bench/1/1/layer/99", "/bench/1/0/front", "/bench/1/2/front", "/bench/9/1/scene"] {
        assert_eq!(anew.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    // The supplies of the plan are set aside until it is released.
    let aside = |shop: &mut shop::Shop| {
        let day = "2026-11-25".parse().expect("a day");
        shop.supplies(day, 90).expect("read").iter().map(|one| one.reserved.micros()).sum::<u64>()
    };
    assert!(aside(&mut shop) > 0);
    let released = led(&anew, &anew.post("/bench/1/release", &[("once", "r1")]).await).await;
    assert!(
        released.text.contains("Plan its parcels") && !released.text.contains("/layer/"),
        "{}",
        released.text
    );
    assert_eq!(aside(&mut shop), 0);
}

#[tokio::test]
async fn a_stand_in_is_said_with_what_it_costs_and_stays_said_in_the_file() {
    let visitor = taken(&[("12 x 12 x 12", 0), ("16 x 16 x 16", 2)]).await;
    let page = planned(&visitor, &[]).await;
    let (mind, drawing) = (page.text.find("Too few of carton"), page.text.find("/layer/1"));
    assert!(mind.expect("it is said") < drawing.expect("and drawn"), "{}", page.text);
    assert!(
        page.text.contains("Too few of carton 12 x 12 x 12 on hand: carton 16 x 16 x 16"),
        "{}",
        page.text
    );
    assert!(page.text.contains("more in postage and materials"), "{}", page.text);
    let anew = Visitor::over(visitor.folder).enter().await;
    let again = anew.get("/bench/1").await;
    assert!(again.text.contains("Carton 16 x 16 x 16 stands in for"), "{}", again.text);
}

#[tokio::test]
async fn without_cartons_it_says_what_to_do_and_any_carton_may_be_planned_with() {
    let visitor = taken(&[]).await;
    let page = planned(&visitor, &[]).await;
    assert!(
        page.text.contains("could not be planned") && page.text.contains("there are no cartons"),
        "{}",
        page.text
    );
    assert!(visitor.shop().parcels(OrderId(1)).expect("read").is_empty());
    let any = planned(&visitor, &[("any-carton", "yes")]).await;
    assert!(
        any.text.contains("/bench/1/1/layer/1") && any.text.contains("Not among your supplies"),
        "{}",
        any.text
    );
    let unknown = visitor.post("/bench/1/plan", &[("without", "<i>string</i>")]).await;
    assert_eq!(unknown.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        unknown.text.contains("no supply is called") && !unknown.text.contains("<i>string"),
        "{}",
        unknown.text
    );
}

#[tokio::test]
async fn the_sheet_has_boxes_a_line_to_write_on_and_a_code_for_the_phone() {
    let visitor = taken(&CARTONS).await;
    assert_eq!(visitor.get("/bench/1/sheet").await.header("location"), "/bench/1", "nothing is planned yet");
    planned(&visitor, &[]).await;
    let sheet = visitor.get("/bench/1/sheet").await;
    for wanted in [
        "A code that opens order 1: http://127.0.0.1:8765/orders/1",
        "<svg",
        "The scale says",
        "Fetch from the shelf",
        "class=\"boxes\"",
        "Planned",
    ] {
        assert!(sheet.text.contains(wanted), "{wanted} in {}", sheet.text);
    }
    assert!(!sheet.text.contains("style="), "the pages allow no inline style");
    assert!(visitor.get("/bench/1/sheet?paper=a4").await.text.contains("class=\"paper a4\""));
    let lan = Visitor::on_the_lan_over(visitor.folder).enter().await;
    let sheet = lan.get("/bench/1/sheet").await;
    assert!(sheet.text.contains("http://192.0.2.7:8765/orders/1"), "the phone's address");
}

#[tokio::test]
async fn what_the_scale_said_is_compared_stored_once_and_wrong_figures_store_nothing() {
    let visitor = taken(&CARTONS).await;
    planned(&visitor, &[]).await;
    let right = [
        ("weight-1", "20 lb"),
        ("size-1", "13 x 13 x 13"),
        ("minutes-1", "20"),
        ("postage-1", "9.40"),
        ("tracking-1", "<T1>"),
        ("once", "s1"),
    ];
    for (field, value) in [
        ("weight-1", "heavy"),
        ("weight-1", "-3 oz"),
        ("size-1", "12 x 12"),
        ("minutes-1", "20000"),
        ("postage-1", "-1"),
        ("used-1", "string"),
        ("used-1", "12 x 12 x 12=none"),
        ("used-1", "12 x 12 x 12=1\n12 x 12 x 12=1"),
        ("used-1", "<b>=1"),
        ("from", "sock"),
        ("day", "today"),
    ] {
        let answer = visitor.post("/bench/1/ship", &with(&right, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}={value}: {}", answer.text);
        assert!(
            !answer.text.contains("<b>") && answer.text.contains("value=\"&lt;T1&gt;\""),
            "{field}={value}"
        );
    }
    assert_eq!(visitor.shop().order(OrderId(1)).expect("there").state, OrderState::Open);
    let compared = visitor.post("/bench/1/ship", &with(&right, "compare", "yes")).await;
    assert_eq!(compared.status, StatusCode::OK);
    assert!(
        compared.text.contains("more than planned. It costs ") && compared.text.contains("more to post"),
        "{}",
        compared.text
    );
    assert_eq!(visitor.shop().order(OrderId(1)).expect("there").state, OrderState::Open);
    let sent = visitor.post("/bench/1/ship", &right).await;
    let page = led(&visitor, &sent).await;
    assert!(
        page.text.contains("Sent 2026-11-25.")
            && page.text.contains("20 lb")
            && page.text.contains("&lt;T1&gt;"),
        "{}",
        page.text
    );
    assert_eq!(visitor.post("/bench/1/ship", &right).await.header("location"), "/orders/1", "stored once");
    let mut shop = visitor.shop();
    assert_eq!(shop.order(OrderId(1)).expect("there").state, OrderState::Sent);
    let used = shop.supplies("2026-11-25".parse().expect("a day"), 90).expect("read");
    assert!(
        used.iter().all(|one| one.reserved.micros() == 0)
            && used.iter().any(|one| one.on_hand.in_units() == 2.0)
    );
    assert!(shop.check().expect("read").is_sound());
    // It is drawn still, and is no longer planned or shipped.
    let bench = visitor.get("/bench/1").await;
    assert!(bench.text.contains("/bench/1/1/layer/1") && !bench.text.contains("action=\"/bench/1/plan\""));
    assert!(visitor.get("/bench/1/ship").await.text.contains("nothing to write down"));
}

#[tokio::test]
async fn another_parcel_and_other_supplies_can_be_written_down() {
    let visitor = taken(&CARTONS).await;
    planned(&visitor, &[]).await;
    let form = [("parcels", "1"), ("used-1", "12 x 12 x 12 = 1"), ("weight-1", "40")];
    let more = visitor.post("/bench/1/ship", &with(&form, "add", "parcel")).await;
    assert!(more.text.contains("id=\"weight-2\"") && more.text.contains("12 x 12 x 12 = 1"), "{}", more.text);
    let both = with(&with(&form, "parcels", "2"), "weight-2", "30");
    assert_eq!(visitor.post("/bench/1/ship", &both).await.status, StatusCode::SEE_OTHER);
    let parcels = visitor.shop().parcels(OrderId(1)).expect("read");
    let used: Vec<usize> =
        parcels.iter().filter_map(|one| Some(one.actual.as_ref()?.1.supplies.len())).collect();
    assert_eq!(used, [1, 0]);
}
