//! Pages under the hands of somebody in a hurry: the Enter key, plurals, units, things typed twice or in the wrong field.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use books::{HaulId, OrderId};
use stocked::{ORDER, led, stocked, with};
use visitor::Visitor;

async fn taken(form: &[(&str, &str)]) -> Visitor {
    let visitor = stocked(&[("12 x 12 x 8", 4), ("14 x 14 x 14", 4)]).await;
    let answer = visitor.post("/orders/new", form).await;
    assert_eq!(answer.header("location"), "/orders/1", "{}", answer.text);
    visitor
}

#[tokio::test]
async fn the_button_that_the_enter_key_presses_does_what_the_form_is_for() {
    let visitor = taken(&ORDER).await;
    for (path, other) in
        [("/orders/new", "name=\"add\""), ("/bench/1/ship", "name=\"add\""), ("/pack", "name=\"add\"")]
    {
        let page = visitor.get(path).await.text;
        let form = page.split("<form").find(|form| form.contains(other)).expect("a form with two buttons");
        let first = form.split("<button").nth(1).and_then(|rest| rest.split('>').next()).expect("a button");
        assert!(!first.contains("name="), "{path}: {first}");
        assert!(
            first.contains("tabindex=\"-1\"") && first.contains("aria-hidden=\"true\""),
            "{path}: {first}"
        );
    }
}

#[tokio::test]
async fn a_parcel_that_was_added_and_left_empty_is_none() {
    let visitor = taken(&ORDER).await;
    let form =
        [("parcels", "2"), ("weight-1", "3 lb"), ("postage-1", "9.40"), ("goes-1", "now"), ("goes-2", "now")];
    let page = led(&visitor, &visitor.post("/bench/1/ship", &form).await).await;
    assert!(page.text.contains("Parcel 1, sent") && !page.text.contains("Parcel 2"), "{}", page.text);
    assert_eq!(visitor.shop().parcels(OrderId(1)).expect("read").len(), 1);
}

#[tokio::test]
async fn a_parcel_that_was_added_and_told_is_one_and_what_went_before_is_counted() {
    let visitor = taken(&ORDER).await;
    let first = [("weight-1", "2 lb"), ("pieces-1", "1:1"), ("goes-1", "now")];
    led(&visitor, &visitor.post("/bench/1/ship", &first).await).await;
    let page = visitor.get("/bench/1/ship").await.text;
    assert!(page.contains("Parcel 2 of 2") && !page.contains("<legend>Parcel 1"), "{page}");
    let page = led(&visitor, &visitor.post("/bench/1/ship", &[("weight-1", "2 lb")]).await).await;
    assert!(page.text.contains("Parcel 2, sent"), "{}", page.text);
    assert_eq!(visitor.shop().parcels(OrderId(1)).expect("read").len(), 2);
}

#[tokio::test]
async fn what_is_typed_for_money_and_not_taken_is_told() {
    let visitor = Visitor::begun().await;
    let trip = [("what", "trip"), ("miles", "12.5 miles"), ("amount", "5"), ("note", "post <office>")];
    for (field, form) in [
        ("amount", trip.to_vec()),
        ("miles", vec![("what", "office"), ("amount", "5"), ("miles", "3")]),
        ("miles", with(&with(&trip, "amount", ""), "miles", "20 km")),
    ] {
        let page = visitor.post("/books/moves", &form).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{form:?}");
        assert!(page.text.contains(&format!("id=\"{field}-mistake\"")), "{field}: {}", page.text);
        assert!(visitor.shop().books().expect("read").entries().is_empty(), "{form:?}");
    }
    let page = led(&visitor, &visitor.post("/books/moves", &with(&trip, "amount", "")).await).await;
    assert!(page.text.contains("12.50 miles: post &lt;office&gt;"), "{}", page.text);
}

#[tokio::test]
async fn a_supply_is_added_with_what_there_is_of_it_in_one() {
    let visitor = Visitor::begun().await;
    let bag = [
        ("name", "big bag"),
        ("kind", "fill"),
        ("material", "EPS loose fill"),
        ("holds", "3.5 cubic feet"),
        ("unit", "bag"),
        ("have", "2"),
        ("have-cost", "30"),
    ];
    for (field, form) in [
        ("have", with(&bag, "have", "two")),
        ("have", with(&bag, "have", "")),
        ("holds", with(&bag, "holds", "3.5 pounds")),
        ("material", with(&bag, "material", "")),
    ] {
        let page = visitor.post("/supplies/add", &form).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{form:?}");
        assert!(page.text.contains(&format!("id=\"{field}-mistake\"")), "{field}: {}", page.text);
        assert!(visitor.shop().noted::<shop::Supply>().expect("read").is_empty(), "{form:?}");
    }
    let page = led(&visitor, &visitor.post("/supplies/add", &bag).await).await.text;
    assert!(page.contains("2 bags") && page.contains("15.00"), "{page}");
    assert_eq!(visitor.shop().books().expect("read").entries().len(), 1);
    // Of another, none is there yet.
    let page =
        led(&visitor, &visitor.post("/supplies/add", &[("name", "9 x 9 x 9"), ("kind", "carton")]).await)
            .await;
    assert!(page.text.contains("None on hand of: 9 x 9 x 9."), "{}", page.text);
}

const HAUL: [(&str, &str); 5] = [
    ("place", "school fair"),
    ("date", "2026-11-20"),
    ("paid", "6.00"),
    ("form-1", "diner mugs"),
    ("count-1", "3"),
];

#[tokio::test]
async fn a_haul_that_may_be_the_same_entered_twice_is_pointed_out_and_not_refused() {
    let visitor = Visitor::begun().await;
    let page = led(&visitor, &visitor.post("/hauls/new", &HAUL).await).await.text;
    // The form goes by its plural too.
    assert!(page.contains("diner mugs") && !page.contains("same day"), "{page}");
    for other in [("date", "2026-11-19"), ("place", "barn sale"), ("paid", "6.01"), ("tax", "0.10")] {
        let page =
            led(&visitor, &visitor.post("/hauls/new", &with(&HAUL, other.0, other.1)).await).await.text;
        assert!(!page.contains("same day, place and money"), "{other:?}: {page}");
    }
    let page =
        led(&visitor, &visitor.post("/hauls/new", &with(&HAUL, "place", "School Fair")).await).await.text;
    assert!(page.contains("<a href=\"/hauls/1\">haul 1</a> has the same day, place and money"), "{page}");
    let first = visitor.get("/hauls/1").await.text;
    assert!(first.contains("<a href=\"/hauls/6\">haul 6</a> has the same"), "{first}");
    assert_eq!(visitor.shop().hauls_like(HaulId(2)).expect("read"), []);
}

#[tokio::test]
async fn a_pile_that_was_checked_and_bought_is_not_typed_again() {
    let visitor = Visitor::begun().await;
    let check = [("form", "goblet"), ("count", "6"), ("flawed", "1"), ("asking", "9")];
    let page = visitor.post("/shelf", &check).await.text;
    for wanted in ["action=\"/hauls/new\"", "name=\"form-1\" value=\"goblet\"", "name=\"paid\" value=\"9\""] {
        assert!(page.contains(wanted), "{wanted} in {page}");
    }
    let page = visitor.get("/hauls/new?form-1=goblet&count-1=6&flawed-1=1&paid=9&place=%3Cb%3E").await.text;
    for (id, value) in
        [("form-1", "goblet"), ("count-1", "6"), ("flawed-1", "1"), ("paid", "9"), ("place", "")]
    {
        assert!(page.contains(&format!("id=\"{id}\" name=\"{id}\" value=\"{value}\"")), "{id}: {page}");
    }
}

#[tokio::test]
async fn what_an_order_leaves_is_said_once_all_of_it_is_sent() {
    let visitor = taken(&ORDER).await;
    let page = visitor.get("/orders/1").await.text;
    assert!(
        page.contains("So far; its postage, packing and goods come off") && !page.contains(">Left<"),
        "{page}"
    );
    let page = led(&visitor, &visitor.post("/bench/1/ship", &[("postage-1", "9.40")]).await).await.text;
    assert!(page.contains(">Left<") && !page.contains("So far;"), "{page}");
}

#[tokio::test]
async fn a_plan_says_when_its_postage_is_more_than_the_buyer_pays() {
    for (price, loses) in [("1.00", true), ("90.00", false)] {
        let form = with(&with(&ORDER, "price-1", price), "shipping", "0");
        let visitor = taken(&with(&form, "fee", "")).await;
        assert_eq!(visitor.post("/bench/1/plan", &[]).await.status, StatusCode::SEE_OTHER);
        for _ in 0..1200 {
            if visitor.get("/bench/1/progress").await.text.contains("data-done") {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_millis(100)).await;
        }
        let page = visitor.get("/bench/1").await.text;
        let said = format!("the buyer pays {price}: ");
        assert_eq!(page.contains(&said), loses, "{price}: {page}");
        assert!(page.contains("Pack sheet to print"), "{page}");
    }
}
