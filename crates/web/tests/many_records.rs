//! Lists of more records than a page holds: each record is on one page, and every page leads to the next. And pages
//! that are asked at the same time.

mod stocked;
mod visitor;

use std::collections::BTreeSet;

use axum::http::StatusCode;
use books::{BuyerTax, FlawedCarry, LotId, Purse, SplitRule};
use jiff::civil::date;
use measure::Money;
use serde_json::json;
use shop::{FindText, HaulIn, ListingIn, ListingPart, NewFind, OrderIn, OrderLine, Payment, Which};
use stocked::at;
use visitor::Visitor;

const MANY: u64 = 230;

/// So many finds of two pieces, each with a listing of one lot of one piece, each lot ordered.
async fn many(orders: u64) -> Visitor {
    let visitor = Visitor::inside().await;
    visitor.post("/begin/own", &[]).await;
    let mut shop = visitor.shop();
    let one = |number: u64| NewFind {
        text: FindText {
            form: "plate".to_owned(),
            description: format!("plate no. {number}."),
            shelf: format!("S{number:03}"),
        },
        sound: 2,
        flawed: 0,
        value: Money::from_cents(2000),
    };
    let haul = HaulIn {
        place: None,
        date: date(2026, 11, 10),
        paid: Money::from_cents(46_000),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: (1..=MANY).map(one).collect(),
    };
    for find in shop.buy(&at(), &haul).expect("a haul").finds {
        let listing = ListingIn {
            venue: None,
            title: format!("One plate, {find}."),
            lots: 1,
            price: Money::from_cents(1500),
            floor: None,
            listed_on: date(2026, 11, 11),
            ended: false,
            card: json!({}),
            parts: vec![ListingPart { find, pieces: 1, which: Which::Any }],
        };
        shop.list(&at(), &listing).expect("listed");
    }
    for listing in 1..=orders {
        let day = date(2026, 11, 20);
        let order = OrderIn {
            venue: None,
            ordered_on: day,
            promise_by: Some(date(2026, 11, if listing % 2 == 0 { 24 } else { 28 })),
            destination: "606".to_owned(),
            lines: vec![OrderLine { listing: LotId(listing), lots: 1, item: Money::from_cents(1500) }],
            shipping: Money::ZERO,
            tax: BuyerTax::None,
            paid: Some(Payment { date: day, into: Purse::Cash }),
            note: String::new(),
        };
        shop.take_order(&at(), &order).expect("an order");
    }
    visitor
}

/// The pages from one on, as far as `next` leads.
async fn followed(visitor: &Visitor, first: &str, next: &str) -> Vec<String> {
    let (mut pages, mut path) = (Vec::new(), first.to_owned());
    loop {
        let page = visitor.get(&path).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        let link = page.text.split("<a ").find(|link| link.split("</a>").next().unwrap_or("").contains(next));
        let to = link.and_then(|link| link.split("href=\"").nth(1)?.split('"').next());
        let to = to.map(|to| to.replace("&amp;", "&").split('#').next().unwrap_or_default().to_owned());
        pages.push(page.text);
        match to {
            Some(to) if pages.len() < 10 => path = to,
            Some(_) | None => return pages,
        }
    }
}

/// The numbers that follow a text on the pages, each of which must be on one page only.
fn numbers(pages: &[String], before: &str) -> BTreeSet<u64> {
    let mut all = BTreeSet::new();
    for page in pages {
        let of_page: BTreeSet<u64> = page
            .split(before)
            .skip(1)
            .filter_map(|rest| rest.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok())
            .collect();
        assert!(of_page.is_disjoint(&all), "twice");
        all.extend(of_page);
    }
    all
}

#[tokio::test]
async fn the_bench_leads_from_hundred_to_hundred_the_oldest_promise_first() {
    let visitor = many(MANY).await;
    let pages = followed(&visitor, "/bench", "The next hundred").await;
    assert_eq!(pages.len(), 3);
    assert_eq!(numbers(&pages, "href=\"/bench/"), (1..=MANY).collect());
    assert!(
        pages
            .first()
            .is_some_and(|page| page.contains("href=\"/bench/2\"") && !page.contains("href=\"/bench/1\""))
    );
    assert!(pages.iter().all(|page| page.contains("230 orders waiting")));
    assert!(
        pages
            .get(1)
            .is_some_and(|page| page.contains("href=\"/bench?page=1\"") && page.contains("Bench, page 2"))
    );
    for (path, words) in [
        ("/bench?page=9", "no orders on this page"),
        ("/bench?page=x", "230 orders"),
        ("/bench?page=0", "230 orders"),
        ("/bench?page=99999999999", "230 orders"),
    ] {
        let page = visitor.get(path).await;
        assert!(page.status == StatusCode::OK && page.text.contains(words), "{path}: {}", page.text);
    }
}

#[tokio::test]
async fn stock_listings_and_orders_lead_from_hundred_to_hundred() {
    let visitor = many(3).await;
    let stock = followed(&visitor, "/stock", "The next ").await;
    assert_eq!((stock.len(), numbers(&stock, "quiet-words\"> find ")), (3, (1..=MANY).collect()));
    assert!(
        stock
            .get(1)
            .is_some_and(|page| page.contains("101 to 200 of 230") && page.contains("The hundred before"))
    );
    let behind = visitor.get("/stock?from=900").await.text;
    assert!(
        behind.contains("Nothing of this kind.") && behind.contains("/stock?show=all&amp;from=130#shelf"),
        "{behind}"
    );
    let listings = followed(&visitor, "/listings?show=all", "The next ").await;
    assert_eq!((listings.len(), numbers(&listings, "href=\"/listings/")), (3, (1..=MANY).collect()));
    assert!(visitor.get("/listings?show=up").await.text.contains("227 listings"));
    let hauls = visitor.get("/hauls").await.text;
    assert!(hauls.contains("460") && hauls.contains("460.00"), "pieces and cost: {hauls}");
    let orders = visitor.get("/orders").await.text;
    assert!(orders.contains("3 orders") && orders.contains(" 3 of them waiting"), "{orders}");
    let today = visitor.get("/").await.text;
    assert!(today.contains("3 orders to pack, 1 late") && today.contains("href=\"/bench/2\""), "{today}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn pages_asked_at_the_same_time_see_each_write_whole() {
    let visitor = std::sync::Arc::new(many(2).await);
    let writes = {
        let visitor = std::sync::Arc::clone(&visitor);
        tokio::spawn(async move {
            for number in 3..=20_u64 {
                let (once, listing) = (format!("k{number}"), number.to_string());
                let form = [
                    ("once", once.as_str()),
                    ("listing-1", &listing),
                    ("lots-1", "1"),
                    ("to", "606"),
                    ("paid", "yes"),
                    ("into", "cash"),
                ];
                let answer = visitor.post("/orders/new", &form).await;
                assert_eq!(answer.header("location"), format!("/orders/{number}"), "{}", answer.text);
                // Whoever asks after the answer sees it.
                let seen = visitor.get("/bench").await.text;
                assert!(
                    seen.contains(&format!("{number} orders waiting"))
                        && seen.contains(&format!("href=\"/bench/{number}\""))
                );
            }
        })
    };
    let readers = (0..6).map(|_| {
        let visitor = std::sync::Arc::clone(&visitor);
        tokio::spawn(async move {
            for turn in 0..25 {
                let path = ["/", "/stock", "/orders", "/bench", "/books"][turn % 5];
                let page = visitor.get(path).await;
                assert_eq!(page.status, StatusCode::OK, "{path}");
                if path == "/bench" {
                    let said = page
                        .text
                        .split(" orders waiting")
                        .next()
                        .and_then(|text| text.rsplit('>').next()?.trim().parse().ok());
                    assert_eq!(said, Some(numbers(&[page.text], "href=\"/bench/").len()));
                }
            }
        })
    });
    let readers: Vec<_> = readers.collect();
    writes.await.expect("written");
    for reader in readers {
        reader.await.expect("read");
    }
    let mut shop = visitor.shop();
    assert_eq!(shop.books().expect("read").entries().len(), 1 + 20);
    assert_eq!(shop.rebuild_agrees().expect("agrees"), Vec::<String>::new());
}
