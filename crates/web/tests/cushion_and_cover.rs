//! How much cushion a piece needs, what a drop does to a planned parcel, and whether cover is worth its premium.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use stocked::{ORDER, stocked};
use visitor::{Answer, Visitor};

fn refused(answer: &Answer, field: &str) {
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", answer.text);
    let at = format!("id=\"{field}-mistake\"");
    assert!(answer.text.contains(&at), "{at} in {}", answer.text);
}

#[tokio::test]
async fn a_piece_is_asked_about_by_its_form_and_every_figure_opens() {
    let visitor = Visitor::inside().await;
    let empty = visitor.get("/guard").await;
    assert!(empty.status == StatusCode::OK && empty.text.contains("Say what the piece is"));
    let page = visitor.get("/guard?form=diner+mug&weight=15+oz&gross=5+lb&measure=diameter+%3D+3.5+in").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for wanted in [
        "bears",
        "designed for",
        "EPS loose fill",
        "Needed under",
        "<svg",
        "The same as a table",
        "(taken)",
        "How this was reckoned",
        "ISTA",
        "allowed:",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let bare = visitor.get("/guard?weight=12+oz&area=10+in2&bears=60&material=eps_fill%0D%0Afoam_4&thickness=2+in,+3+in&wrap=bubble_small+x+2").await;
    assert!(bare.status == StatusCode::OK && bare.text.contains("behind 2 layers of"), "{}", bare.text);
}

#[tokio::test]
async fn each_wrong_figure_of_a_cushion_is_told_at_its_field_and_kept() {
    let visitor = Visitor::inside().await;
    for (query, field) in [
        ("form=mugg", "form"),
        ("form=mug&weight=-3+oz", "weight"),
        ("gross=3+lb", "weight"),
        ("weight=12+oz", "area"),
        ("weight=12+oz&area=10+in2", "fragility"),
        ("weight=12+oz&area=ten&bears=60", "area"),
        ("weight=12+oz&sides=1+x+2&bears=60", "sides"),
        ("weight=12+oz&area=1+in2&sides=1+x+1+in&bears=60", "sides"),
        ("form=mug&area=10+in2", "area"),
        ("form=mug&measure=girth%3D3+in", "measure"),
        ("form=mug&measure=three", "measure"),
        ("form=mug&gross=3+oz", "gross"),
        ("form=mug&gross=500+lb", "gross"),
        ("form=mug&fragility=glassy", "fragility"),
        ("form=mug&bears=NaN", "bears"),
        ("form=mug&fragility=compact&bears=60", "bears"),
        ("form=mug&safety=0.5", "safety"),
        ("form=mug&drop=carefull", "drop"),
        ("form=mug&schedule=ista_1b", "schedule"),
        ("form=mug&height=30", "height"),
        ("form=mug&height=30+in&gross=3+lb", "gross"),
        ("form=mug&material=feathers", "material"),
        ("form=mug&thickness=thick", "thickness"),
        ("form=mug&wrap=eps_fill+x+2", "wrap"),
        ("form=mug&wrap=bubble_small+x+0", "wrap"),
        ("form=mug&rule=thumb", "rule"),
    ] {
        let answer = visitor.get(&format!("/guard?{query}")).await;
        refused(&answer, field);
        assert!(!answer.text.contains("--"), "no option of a terminal is named: {query}");
    }
    let sly = visitor
        .get("/guard?form=%3Cscript%3Ealert%281%29%3C%2Fscript%3E&wrap=%3Cscript%3E&material=%3Cscript%3E")
        .await;
    assert!(!sly.text.contains("<script>") && sly.text.contains("&lt;script&gt;"), "{}", sly.text);
}

#[tokio::test]
async fn a_find_fills_in_its_measures() {
    let visitor = stocked(&[]).await;
    assert!(visitor.get("/finds/1").await.text.contains("/guard?find=1"));
    let page = visitor.get("/guard?find=1").await;
    for wanted in
        ["value=\"diner_mug\"", "diameter = 3 1/2 in", "value=\"15 oz\"", "designed for", "/finds/1"]
    {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    for path in ["/guard?find=9", "/insure?find=9", "/insure?order=9"] {
        assert_eq!(visitor.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn a_planned_parcel_says_what_a_drop_does_to_its_pieces() {
    let visitor = stocked(&[("12 x 12 x 8", 3)]).await;
    let taken = visitor.post("/orders/new", &ORDER).await;
    assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text);
    visitor.post("/bench/1/plan", &[]).await;
    let mut page = visitor.get("/bench/1").await;
    for _ in 0..600 {
        if !page.text.contains("data-watch") {
            break;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        page = visitor.get("/bench/1").await;
    }
    for wanted in ["Dropped on paper", "class=\"faces\"", "margin", "/guard?find=1&amp;gross="] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let link =
        page.text.split("href=\"/guard?find=1&amp;gross=").nth(1).and_then(|rest| rest.split('"').next());
    let asked = visitor.get(&format!("/guard?find=1&gross={}", link.expect("a link"))).await;
    assert!(asked.text.contains(" gross, ISTA") || asked.text.contains(" gross, "), "{}", asked.text);
    let order = visitor.get("/orders/1").await;
    assert!(
        order.text.contains("/bench/1#parcel-1") && order.text.contains("/insure?order=1"),
        "{}",
        order.text
    );
    let parcels = visitor.shop().parcels(books::OrderId(1)).expect("parcels");
    assert!(parcels.iter().all(|parcel| keeping::DropCheck::kept_with(&parcel.plan).is_some()));
}

#[tokio::test]
async fn cover_is_reckoned_for_an_order_and_by_itself() {
    let visitor = stocked(&[]).await;
    visitor.post("/orders/new", &ORDER).await;
    let page = visitor.get("/insure?order=1").await;
    for wanted in [
        "value=\"34.00\"",
        "value=\"9.50\"",
        "Destroyed, it costs you",
        "not advice on insurance",
        "/orders/1",
    ] {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    let lot = visitor.get("/insure?find=1").await;
    assert!(lot.text.contains("value=\"34.00\""), "{}", lot.text);
    let outside = Visitor::inside().await;
    assert!(outside.get("/insure").await.text.contains("Say what is lost"));
    let of = async |premium: &str| {
        outside.get(&format!("/insure?item=40&premium={premium}&cover=100&level=1.90,+2.5+%25")).await
    };
    assert!(of("0.10").await.text.contains("Insure it. Pack it the way of line 1."));
    assert!(of("5").await.text.contains("Don't insure it: the cover is worth at most"));
}

#[tokio::test]
async fn each_wrong_figure_of_cover_is_told_at_its_field_and_kept() {
    let visitor = Visitor::inside().await;
    for (query, field) in [
        ("item=", "item"),
        ("item=-1", "item"),
        ("item=40&shipping=much", "shipping"),
        ("item=40&fee-returned=-2", "fee-returned"),
        ("item=40&return-cost=x", "return-cost"),
        ("item=40&breakage=200+%25", "breakage"),
        ("item=40&sent=x", "sent"),
        ("item=40&sent=1&broken=2", "broken"),
        ("item=40&premium=x&cover=1", "premium"),
        ("item=40&premium=1", "cover"),
        ("item=40&premium=1&cover=100&deductible=x", "deductible"),
        ("item=40&premium=1&cover=100&payout=often", "payout"),
        ("item=40&premium=1&cover=100&claim-cost=x", "claim-cost"),
        ("item=40&level=1.90", "level"),
    ] {
        let answer = visitor.get(&format!("/insure?{query}")).await;
        refused(&answer, field);
        assert!(!answer.text.contains("--"), "no option of a terminal is named: {query}");
    }
    let sly = visitor.get("/insure?item=%3Cscript%3E&level=%3Cscript%3E&payout=%3Cscript%3E").await;
    assert!(!sly.text.contains("<script>"), "{}", sly.text);
}
