//! Orders through the pages: taken, paid, priced anew, cancelled, come back, claimed; what is refused stores nothing.

mod stocked;
mod visitor;

use axum::http::StatusCode;
use books::{BuyerTax, LotId, OrderId};
use measure::Money;
use shop::{ClaimState, OrderState, ParcelActual, Record, Shipped};
use stocked::{ORDER, at, led, stocked, with};
use visitor::Visitor;

async fn taken() -> Visitor {
    let visitor = stocked(&[]).await;
    let answer = visitor.post("/orders/new", &ORDER).await;
    assert_eq!(answer.header("location"), "/orders/1", "{}", answer.text);
    visitor
}

async fn sent() -> Visitor {
    let visitor = taken().await;
    let parcel = ParcelActual {
        mass: None,
        size: None,
        minutes: Some(20),
        postage: Some(Money::from_cents(940)),
        tracking: String::new(),
        supplies: Vec::new(),
    };
    let shipped = Shipped {
        order: OrderId(1),
        date: "2026-11-24".parse().expect("a day"),
        postage_from: books::Purse::Platform,
        parcels: vec![parcel],
    };
    visitor.shop().ship_order(&at(), &shipped).expect("it goes out");
    visitor
}

#[tokio::test]
async fn an_empty_list_says_what_to_do_next_and_links_to_it() {
    let visitor = stocked(&[]).await;
    let page = visitor.get("/orders").await;
    assert!(
        page.text.contains("No orders yet") && page.text.contains("href=\"/orders/new\""),
        "{}",
        page.text
    );
}

#[tokio::test]
async fn an_order_is_taken_with_its_money_and_its_pieces_are_promised() {
    let visitor = taken().await;
    let page = visitor.get("/orders/1").await;
    for wanted in
        ["To pack.", "2026-11-28, 3 days", "B2", "pieces 1, 2 of find 1", "34.00", "9.50", "-5.65", "37.85"]
    {
        assert!(page.text.contains(wanted), "{wanted} in {}", page.text);
    }
    // What was typed elsewhere is text here.
    assert!(page.text.contains("Two &lt;white&gt; mugs") && !page.text.contains("<mugs>"), "{}", page.text);
    let mut shop = visitor.shop();
    let order = shop.order(OrderId(1)).expect("it is stored");
    assert_eq!(
        (order.state, order.shipping, order.tax),
        (OrderState::Open, Money::from_cents(950), BuyerTax::None)
    );
    assert_eq!(shop.order_earned(OrderId(1)).expect("booked").net(), Money::from_cents(3785));
    let list = visitor.get("/orders").await;
    assert!(list.text.contains("href=\"/orders/1\"") && list.text.contains("to pack"), "{}", list.text);
}

#[tokio::test]
async fn more_than_is_left_is_refused_beside_the_lots_and_nothing_is_stored() {
    let visitor = stocked(&[]).await;
    let answer = visitor.post("/orders/new", &with(&ORDER, "lots-1", "3")).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        answer.text.contains("id=\"lots-1-mistake\"") && answer.text.contains("right would be at most 2")
    );
    assert!(
        answer.text.contains("value=\"3\"") && answer.text.contains("value=\"9.50\""),
        "what was typed stays"
    );
    assert_eq!(visitor.shop().count_orders().expect("read"), (0, 0));
}

#[tokio::test]
async fn each_wrong_field_is_told_beside_itself_and_nothing_is_stored() {
    let visitor = stocked(&[]).await;
    let script = "<script>alert(1)</script>";
    for (field, value) in [
        ("listing-1", ""),
        ("listing-1", "mugs"),
        ("listing-1", "99"),
        ("lots-1", ""),
        ("lots-1", "0"),
        ("lots-1", script),
        ("price-1", "much"),
        ("to", ""),
        ("to", "60"),
        ("to", "606 01"),
        ("to", script),
        ("promise", "soon"),
        ("promise", "2026-11-01"),
        ("shipping", "-1"),
        ("fee", script),
        ("tax", "x"),
        ("into", "sock"),
        ("ordered", "2026-13-01"),
        ("ordered", "2020-01-01"),
    ] {
        let answer = visitor.post("/orders/new", &with(&ORDER, field, value)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}={value}: {}", answer.text);
        assert!(!answer.text.contains("<script>alert"), "{field}={value}");
        assert!(answer.text.contains("<title>Error: "), "{field}={value}");
    }
    let both = with(&with(&ORDER, "tax", "1.00"), "tax-held", "1.00");
    assert!(visitor.post("/orders/new", &both).await.text.contains("id=\"tax-held-mistake\""));
    assert_eq!(visitor.shop().count_orders().expect("read"), (0, 0));
}

#[tokio::test]
async fn a_fee_that_the_books_refuse_takes_no_order_either() {
    let visitor = stocked(&[]).await;
    let answer = visitor.post("/orders/new", &with(&ORDER, "fee", "90000000.00")).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
    assert_eq!(visitor.shop().count_orders().expect("read"), (0, 0));
    assert_eq!(visitor.shop().listing(LotId(1)).expect("there").available(), 2);
}

#[tokio::test]
async fn a_form_that_is_sent_twice_takes_one_order() {
    let visitor = stocked(&[]).await;
    let form = with(&ORDER, "once", "key1");
    let (first, second) =
        (visitor.post("/orders/new", &form).await, visitor.post("/orders/new", &form).await);
    assert_eq!((first.header("location"), second.header("location")), ("/orders/1", "/orders/1"));
    assert_eq!(visitor.shop().count_orders().expect("read"), (1, 1));
}

#[tokio::test]
async fn a_line_can_be_added_and_what_was_typed_stays() {
    let visitor = stocked(&[]).await;
    let page = visitor.post("/orders/new", &with(&ORDER, "add", "line")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("id=\"listing-2\"") && page.text.contains("value=\"606\""));
    assert_eq!(visitor.shop().count_orders().expect("read"), (0, 0));
}

#[tokio::test]
async fn what_is_not_there_is_404_and_says_so() {
    let visitor = stocked(&[]).await;
    for path in [
        "/orders/7",
        "/orders/7/price",
        "/orders/7/back",
        "/orders/7/claim",
        "/orders/7/claim/1",
        "/bench/7",
        "/bench/7/ship",
        "/bench/7/sheet",
        "/orders/18446744073709551615",
    ] {
        let page = visitor.get(path).await;
        assert_eq!(page.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn an_order_that_was_not_paid_is_paid_once() {
    let visitor = stocked(&[]).await;
    let form: Vec<(&str, &str)> =
        ORDER.iter().copied().filter(|(name, _)| !["paid", "fee"].contains(name)).collect();
    visitor.post("/orders/new", &form).await;
    assert!(visitor.get("/orders/1").await.text.contains("To be paid."));
    let wrong = visitor.post("/orders/1/pay", &[("into", "balance"), ("day", "x")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let paid = visitor.post("/orders/1/pay", &[("into", "balance")]).await;
    assert!(led(&visitor, &paid).await.text.contains("To pack."));
    let again = visitor.post("/orders/1/pay", &[("into", "balance")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", again.text);
}

#[tokio::test]
async fn a_cancelled_order_gives_its_lots_and_pieces_back() {
    let visitor = taken().await;
    assert_eq!(visitor.shop().listing(LotId(1)).expect("there").available(), 1);
    visitor.post("/orders/1/cancel", &[("from", "balance")]).await;
    let mut shop = visitor.shop();
    assert_eq!(shop.listing(LotId(1)).expect("there").available(), 2);
    assert_eq!(shop.order_earned(OrderId(1)).expect("booked").revenue(), Money::ZERO);
    assert!(visitor.get("/orders/1").await.text.contains("Cancelled."));
    let again = visitor.post("/orders/1/cancel", &[("from", "balance")]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
}

fn seen(text: &str) -> String {
    let (_, rest) = text.split_once("name=\"seen\" value=\"").expect("a form with what was seen");
    rest.split('"').next().unwrap_or_default().to_owned()
}

#[tokio::test]
async fn two_tabs_pricing_an_order_anew_never_overwrite_each_other_unseen() {
    let visitor = taken().await;
    let form = visitor.get("/orders/1/price").await;
    assert!(form.text.contains("value=\"34.00\"") && form.text.contains("value=\"9.50\""), "{}", form.text);
    let old = seen(&form.text);
    let price = |item: &'static str, seen: &str| {
        [("item-1", item), ("shipping", "8.00"), ("into", "balance")]
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .into_iter()
            .chain([("seen".to_owned(), seen.to_owned())])
            .collect::<Vec<_>>()
    };
    let send = async |form: Vec<(String, String)>| {
        let form: Vec<(&str, &str)> =
            form.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
        visitor.post("/orders/1/price", &form).await
    };
    assert_eq!(send(price("30", &old)).await.status, StatusCode::SEE_OTHER);
    let late = send(price("31", &old)).await;
    assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(late.text.contains("priced anew") && late.text.contains("value=\"31\""), "{}", late.text);
    assert_eq!(visitor.shop().order(OrderId(1)).expect("there").lines[0].item, Money::from_cents(3000));
    // A slip in another field doesn't count as having seen it.
    let slip = send(price("x", &old)).await;
    assert_eq!(seen(&slip.text), old);
    // Who was told may send it again.
    assert_eq!(send(price("31", &seen(&late.text))).await.status, StatusCode::SEE_OTHER);
    assert_eq!(visitor.shop().order(OrderId(1)).expect("there").lines[0].item, Money::from_cents(3100));
}

#[tokio::test]
async fn what_came_back_broke_and_was_refunded_is_stored_together_or_not_at_all() {
    let visitor = sent().await;
    let form = visitor.get("/orders/1/back").await;
    assert!(
        form.text.contains("id=\"piece-1-1\"") && form.text.contains("id=\"piece-1-2\""),
        "{}",
        form.text
    );
    let nothing = visitor.post("/orders/1/back", &[("piece-1-1", "kept")]).await;
    assert!(nothing.status == StatusCode::UNPROCESSABLE_ENTITY && nothing.text.contains("nothing is told"));
    // More than was paid is refused, and the piece is then not back either.
    let before = visitor.shop().history(Record::Order, 1).expect("read").len();
    let too_much = visitor
        .post("/orders/1/back", &[("piece-1-1", "returned"), ("piece-1-2", "broken"), ("refund", "900.00")])
        .await;
    assert_eq!(too_much.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", too_much.text);
    assert!(too_much.text.contains("id=\"refund-mistake\"") && too_much.text.contains("value=\"900.00\""));
    assert_eq!(visitor.shop().history(Record::Order, 1).expect("read").len(), before);
    assert_eq!(visitor.shop().sent_pieces(OrderId(1)).expect("read").len(), 2);
    let all = [("piece-1-1", "returned"), ("piece-1-2", "broken"), ("refund", "17.00"), ("once", "back1")];
    let (done, again) =
        (visitor.post("/orders/1/back", &all).await, visitor.post("/orders/1/back", &all).await);
    assert_eq!((done.status, again.status), (StatusCode::SEE_OTHER, StatusCode::SEE_OTHER));
    let mut shop = visitor.shop();
    assert!(shop.sent_pieces(OrderId(1)).expect("read").is_empty());
    let earned = shop.order_earned(OrderId(1)).expect("booked");
    assert_eq!((earned.refunds, earned.losses), (Money::from_cents(1700), Money::from_cents(100)));
    assert!(shop.check().expect("read").is_sound() && shop.rebuild_agrees().expect("read").is_empty());
}

#[tokio::test]
async fn a_claim_is_opened_and_paid_with_its_money() {
    let visitor = sent().await;
    for (field, value) in [("asked", ""), ("asked", "-5"), ("deadline", "later"), ("deadline", "2026-01-01")]
    {
        let form = with(&[("asked", "34.00"), ("reference", "C-7")], field, value);
        let answer = visitor.post("/orders/1/claim", &form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={value}");
        assert!(answer.text.contains(&format!("id=\"{field}-mistake\"")), "{field}={value}");
    }
    let opened = visitor
        .post(
            "/orders/1/claim",
            &[("asked", "34.00"), ("reference", "<b>C-7</b>"), ("deadline", "2026-12-24")],
        )
        .await;
    let page = led(&visitor, &opened).await;
    assert!(
        page.text.contains("34.00 asked")
            && page.text.contains("&lt;b&gt;C-7")
            && page.text.contains("2026-12-24")
    );
    assert_eq!(visitor.get("/orders/2/claim/1").await.status, StatusCode::NOT_FOUND);
    let wrong = visitor.post("/orders/1/claim/1", &[("amount", "")]).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let paid = visitor.post("/orders/1/claim/1", &[("amount", "30.00"), ("into", "cash")]).await;
    assert_eq!(paid.status, StatusCode::SEE_OTHER, "{}", paid.text);
    let mut shop = visitor.shop();
    assert_eq!(shop.claims_of(OrderId(1)).expect("read")[0].1.state, ClaimState::Paid);
    assert_eq!(shop.order_earned(OrderId(1)).expect("booked").other_income, Money::from_cents(3000));
    let refused = visitor.post("/orders/1/claim/1/refused", &[]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "it is decided");
}

#[tokio::test]
async fn a_long_list_is_paged_with_what_waits_in_front() {
    let visitor = stocked(&[]).await;
    let mut shop = visitor.shop();
    let listing = shop.listing(LotId(1)).expect("there").entered;
    shop.relist(&at(), LotId(1), &shop::ListingIn { lots: 3, ..listing }).expect("six pieces");
    // Every order of one lot is cancelled again but the first and the third.
    for k in 1..=60_u64 {
        let order = shop::OrderIn {
            venue: None,
            ordered_on: "2026-11-20".parse().expect("a day"),
            promise_by: Some(if k == 3 { "2026-11-26" } else { "2026-11-30" }.parse().expect("a day")),
            destination: "606".to_owned(),
            lines: vec![shop::OrderLine { listing: LotId(1), lots: 1, item: Money::from_cents(3400) }],
            shipping: Money::ZERO,
            tax: BuyerTax::None,
            paid: None,
            note: String::new(),
        };
        let id = shop.take_order(&at(), &order).expect("taken");
        if k != 1 && k != 3 {
            let date = "2026-11-20".parse().expect("a day");
            let from = books::Purse::Platform;
            shop.cancel_order(&at(), &shop::Cancelled { order: id, date, from }).expect("cancelled");
        }
    }
    let numbers: Vec<u64> = shop.orders_from(0, 50).expect("read").iter().map(|row| row.order.0).collect();
    assert_eq!((&numbers[..4], numbers.len()), (&[3, 1, 60, 59][..], 50));
    let rest = shop.orders_from(50, 50).expect("read");
    assert_eq!((rest.len(), rest.last().map(|row| row.order.0)), (10, Some(2)));
    let first = visitor.get("/orders").await;
    assert!(first.text.contains("Page 1 of 2") && first.text.contains("href=\"/orders?page=2\""));
    for odd in ["/orders?page=0", "/orders?page=4294967295", "/orders?page=x"] {
        assert_eq!(visitor.get(odd).await.status, StatusCode::OK, "{odd}");
    }
    assert!(visitor.get("/orders?page=2").await.text.contains("Orders, page 2"));
}
