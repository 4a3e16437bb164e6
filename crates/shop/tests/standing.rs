//! Parcels, pieces and candidates for listing, as they stand.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use desk::*;
use jiff::civil::date;
use shop::*;

#[test]
fn a_parcel_shows_what_was_set_aside_before_it_is_sent_and_what_it_took_after() {
    let (mut shop, _, listed) = shop();
    let carton = supply(&mut shop, "carton 12");
    let other = supply(&mut shop, "carton 14");
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let planned = plan(vec![need(carton, 1.0)]);
    shop.plan_order(&at(), order, std::slice::from_ref(&planned)).unwrap();
    let parcels = shop.parcels(order).unwrap();
    // The file keeps whole micrometres and milligrams, so figures are compared as it keeps them.
    assert_eq!(serde_json::to_value(&parcels[0].plan).unwrap(), serde_json::to_value(&planned).unwrap());
    assert_eq!(parcels[0].actual, None);
    let used = actual(vec![PlannedSupply { instead_of: Some(carton), ..need(other, 1.0) }]);
    shop.ship_order(&at(), &shipped(order, vec![used.clone()])).unwrap();
    let parcels = shop.parcels(order).unwrap();
    assert!(parcels[0].plan.supplies.is_empty());
    let (sent, took) = parcels[0].actual.clone().unwrap();
    assert_eq!(sent, date(2026, 4, 3));
    assert_eq!(serde_json::to_value(&took).unwrap(), serde_json::to_value(&used).unwrap());
    assert_eq!(shop.parcels(books::OrderId(99)).unwrap(), []);
}

#[test]
fn a_piece_says_to_which_order_it_is_promised_and_with_which_it_was_sold() {
    let (mut shop, bought, listed) = shop();
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let promised = |shop: &Shop| {
        let pieces = shop.pieces(bought.finds[0]).unwrap();
        pieces.iter().map(|one| (one.promised_to.is_some(), one.sold_in.is_some())).collect::<Vec<_>>()
    };
    assert_eq!(
        promised(&shop)[..5],
        [(true, false), (true, false), (true, false), (true, false), (false, false)]
    );
    shop.ship_order(&at(), &shipped(order, vec![actual(vec![])])).unwrap();
    assert_eq!(
        promised(&shop)[..5],
        [(false, true), (false, true), (false, true), (false, true), (false, false)]
    );
    let flawed: Vec<u32> =
        shop.pieces(bought.finds[0]).unwrap().iter().filter(|one| one.flawed).map(|one| one.number).collect();
    assert_eq!(flawed, [14]);
    assert!(shop.pieces(books::FindId(99)).is_err());
}

#[test]
fn what_no_listing_speaks_for_should_bring_its_share_less_selling_and_cost() {
    let (mut shop, bought, _) = shop();
    let day = date(2026, 4, 6);
    let found = shop.candidates(day).unwrap();
    assert!(!found.own);
    // 14 cups of which 8 are listed; 6 / 14 of 60.00 less a quarter is 19.29. All 8.51 of cost but the saucers'
    // share lie on the cups: 6.81, of which 6 / 14 are 2.92.
    let cups = found.finds.iter().find(|one| one.find == bought.finds[0]).unwrap();
    assert_eq!((cups.net, cups.minutes, cups.age_days), (cents(1929 - 292), 48, 30));
    let listings = shop.listings().unwrap();
    let order = shop.take_order(&at(), &order(listings[0].id, 1)).unwrap();
    shop.ship_order(&at(), &shipped(order, vec![actual(vec![])])).unwrap();
    let found = shop.candidates(day).unwrap();
    // 12.65 of postage less 8.00 charged, over 40.00 of items; 31 minutes over 8 pieces.
    assert!(found.own);
    assert!((found.selling_share - 4.65 / 40.0).abs() < 1e-12, "{}", found.selling_share);
    assert!((found.minutes_a_piece - 31.0 / 8.0).abs() < 1e-12);
}
