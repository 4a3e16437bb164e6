//! What happens together is stored together: all of it, or nothing.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::date;
use serde_json::json;
use shop::*;

fn sound(shop: &Shop) {
    assert_eq!(shop.check().unwrap().found, vec![]);
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}

fn comp(find: FindId, typed: &str) -> Comp {
    Comp { find, typed: typed.to_owned(), date: date(2026, 3, 8) }
}

fn venue(name: &str) -> Venue {
    Venue { name: name.to_owned(), terms: json!({}) }
}

#[test]
fn several_records_are_noted_as_one_and_a_key_counts_for_all_of_them() {
    let (mut shop, bought, _) = shop();
    let find = bought.finds[0];
    let comps = [comp(find, "2 for 17.50"), comp(find, "4 for 30")];
    let keyed = at().imported("a page", "k1");
    let numbers = shop.note_all(&keyed, &comps).unwrap();
    let known: Vec<(u64, Comp)> = numbers.into_iter().zip(comps.clone()).collect();
    assert_eq!(shop.noted_of::<Comp>(find).unwrap(), known);
    let before = shop.export_json().unwrap();
    assert!(matches!(shop.note_all(&keyed, &comps), Err(ShopError::Twice { .. })));
    let wrong = [comp(find, "1 for 9"), comp(FindId(99), "1 for 9")];
    shop.note_all(&at(), &wrong).unwrap_err();
    assert_eq!(shop.note_all::<Comp>(&at(), &[]).unwrap(), Vec::<u64>::new());
    assert_eq!(shop.export_json().unwrap(), before);
    sound(&shop);
}

#[test]
fn a_swap_with_its_flaw_and_its_breakage_is_entered_whole_or_not_at_all() {
    let (mut shop, bought, listed) = shop();
    let cups = bought.finds[0];
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let piece = |number| PieceRef { find: cups, number };
    let swap = Swap { out: piece(1), r#in: piece(9), why: String::new() };
    let flaw =
        Flaw { find: cups, piece: Some(1), kind: "chip".to_owned(), position: String::new(), size: None };
    let left = |number| FromShelf {
        find: cups,
        pieces: vec![number],
        date: date(2026, 4, 2),
        how: Leaving::Broken,
        note: String::new(),
    };
    let before = shop.export_json().unwrap();
    // Piece 2 is still promised, and can't leave.
    shop.swap_piece_for(&at(), &swap, Some(&flaw), Some(&left(2))).unwrap_err();
    let no_such = Flaw { piece: Some(99), ..flaw.clone() };
    shop.swap_piece_for(&at(), &swap, Some(&no_such), None).unwrap_err();
    assert_eq!(shop.export_json().unwrap(), before);
    shop.swap_piece_for(&at(), &swap, Some(&flaw), Some(&left(1))).unwrap();
    let pieces = shop.pieces(cups).unwrap();
    assert_eq!((pieces[0].fate.as_str(), pieces[0].promised_to), ("broken or lost", None));
    assert_eq!(pieces[8].promised_to, Some(order));
    assert_eq!(shop.noted_of::<Flaw>(cups).unwrap().len(), 1);
    sound(&shop);
}

#[test]
fn parcels_that_go_together_go_all_or_none_does() {
    let (mut shop, bought, listed) = shop();
    let order = shop.take_order(&at(), &order(listed, 1)).unwrap();
    let part = |find, numbers: &[u32]| PartSent {
        order,
        date: date(2026, 4, 3),
        postage_from: Purse::Platform,
        parcel: None,
        pieces: numbers.iter().map(|&number| PieceRef { find, number }).collect(),
        actual: actual(vec![]),
    };
    let [cups, saucers] = bought.finds[..] else { panic!("two finds") };
    let before = shop.export_json().unwrap();
    shop.ship_parts(&at(), &[part(cups, &[1, 2]), part(saucers, &[9])]).unwrap_err();
    assert_eq!(shop.export_json().unwrap(), before);
    shop.ship_parts(&at(), &[part(cups, &[1, 2]), part(saucers, &[1])]).unwrap();
    assert_eq!(shop.parcels(order).unwrap().len(), 2);
    assert_eq!(shop.order(order).unwrap().state, OrderState::Open);
    let waiting: usize = shop.pull_list(order).unwrap().iter().map(|row| row.pieces.len()).sum();
    assert_eq!(waiting, 5);
    sound(&shop);
}

#[test]
fn a_new_venue_comes_with_its_listing_or_not_at_all() {
    let (mut shop, bought, listed) = shop();
    let right = listing(&bought, 1);
    let before = shop.export_json().unwrap();
    let too_many = ListingIn { lots: 90, ..right.clone() };
    shop.list_at_new_venue(&at(), &too_many, &venue("fair")).unwrap_err();
    let fewer = ListingIn { lots: 90, ..listing(&bought, 2) };
    shop.relist_at_new_venue(&at(), listed, &fewer, &venue("fair")).unwrap_err();
    shop.relist_at_new_venue(&at(), LotId(99), &right, &venue("fair")).unwrap_err();
    assert_eq!(shop.export_json().unwrap(), before);
    let new = shop.list_at_new_venue(&at(), &right, &venue("fair")).unwrap();
    let known = shop.noted::<Venue>().unwrap();
    assert_eq!(shop.listing(new).unwrap().entered.venue, Some(known[0].0));
    // The same name again is refused, and the listing stays as it was.
    shop.relist_at_new_venue(&at(), listed, &listing(&bought, 2), &venue("fair")).unwrap_err();
    assert_eq!(shop.listing(listed).unwrap().entered.venue, None);
    shop.relist_at_new_venue(&at(), listed, &listing(&bought, 2), &venue("market")).unwrap();
    assert_eq!(shop.listing(listed).unwrap().entered.venue, Some(known[0].0 + 1));
    sound(&shop);
}
