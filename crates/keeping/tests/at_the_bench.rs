//! Swaps, orders in parts, sets and listings, as the terminal and the pages use them: laws and wrong input.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use books::{BuyerTax, FindId, FlawedCarry, LotId, OrderId, Purse, SplitRule};
use jiff::civil::date;
use keeping::{
    AtDoor, DropCheck, PartsGone, Proved, Sending, SetDecision, SetPart, Swapping, keep_sets, pieces_by_plan,
    promised, put_listing, send, sending, swap_at_bench,
};
use measure::Money;
use serde_json::json;
use shop::{
    FindText, Flaw, HaulIn, ListingIn, ListingPart, NewFind, OrderIn, OrderLine, OrderState, ParcelActual,
    ParcelPlan, Payment, PieceRef, Shop, Split, Stamp, Venue, Which,
};

fn at() -> Stamp {
    Stamp::at("2026-11-20T09:00:00Z".parse().unwrap())
}

/// Ten cups (find 1) and six saucers (find 2); a listing of two lots of three cups and two saucers, one ordered.
fn shop() -> (Shop, OrderId) {
    let mut shop = Shop::in_memory().unwrap();
    let find = |form: &str, sound| NewFind {
        text: FindText { form: form.to_owned(), description: format!("plain {form}"), shelf: String::new() },
        sound,
        flawed: 0,
        value: Money::from_cents(1000),
    };
    let haul = HaulIn {
        place: None,
        date: date(2026, 11, 10),
        paid: Money::from_cents(1600),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::ByValue,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: vec![find("tea_cup", 10), find("tea_saucer", 6)],
    };
    shop.buy(&at(), &haul).unwrap();
    let listing = put_listing(&mut shop, &at(), None, listing(2), None).unwrap();
    let order = OrderIn {
        venue: None,
        ordered_on: date(2026, 11, 15),
        promise_by: None,
        destination: "606".to_owned(),
        lines: vec![OrderLine { listing, lots: 1, item: Money::from_cents(3000) }],
        shipping: Money::ZERO,
        tax: BuyerTax::None,
        paid: Some(Payment { date: date(2026, 11, 15), into: Purse::Platform }),
        note: String::new(),
    };
    let order = shop.take_order(&at(), &order).unwrap();
    (shop, order)
}

fn listing(lots: u32) -> ListingIn {
    let part = |find, pieces| ListingPart { find: FindId(find), pieces, which: Which::Sound };
    ListingIn {
        venue: None,
        title: "cups with saucers".to_owned(),
        lots,
        price: Money::from_cents(3000),
        floor: None,
        listed_on: date(2026, 11, 12),
        ended: false,
        card: json!({}),
        parts: vec![part(1, 3), part(2, 2)],
    }
}

fn piece(find: u64, number: u32) -> PieceRef {
    PieceRef { find: FindId(find), number }
}

fn swapping(order: OrderId, out: PieceRef, instead: Option<PieceRef>, proved: Proved) -> Swapping {
    Swapping { order, out, instead, proved, why: "at the bench".to_owned(), day: date(2026, 11, 20) }
}

#[test]
fn the_next_sound_piece_is_one_with_nothing_known_against_it() {
    let (mut shop, order) = shop();
    let flaw = |number| Flaw {
        find: FindId(1),
        piece: Some(number),
        kind: "chip".to_owned(),
        position: String::new(),
        size: None,
    };
    shop.note_all(&at(), &[flaw(4), flaw(5)]).unwrap();
    let went = swap_at_bench(&mut shop, &at(), &swapping(order, piece(1, 1), None, Proved::Broken)).unwrap();
    assert_eq!(went, piece(1, 6));
    assert_eq!(promised(&shop, order).unwrap()[..3], [piece(1, 2), piece(1, 3), piece(1, 6)]);
    assert_eq!(shop.pieces(FindId(1)).unwrap()[0].fate, "broken or lost");
    let flawed = Proved::Flawed { kind: "crack".to_owned(), position: "foot".to_owned(), size: None };
    swap_at_bench(&mut shop, &at(), &swapping(order, piece(1, 2), Some(piece(1, 10)), flawed)).unwrap();
    let noted = shop.noted_of::<Flaw>(FindId(1)).unwrap();
    assert_eq!(noted.last().map(|(_, flaw)| (flaw.piece, flaw.kind.as_str())), Some((Some(2), "crack")));
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn a_swap_that_cannot_be_stores_nothing_and_says_what_would_be_right() {
    let (mut shop, order) = shop();
    let before = shop.export_json().unwrap();
    for (out, instead) in [
        (piece(1, 7), None),
        (piece(1, 99), None),
        (piece(9, 1), None),
        (piece(1, 1), Some(piece(1, 2))),
        (piece(1, 1), Some(piece(1, 99))),
        (piece(1, 1), Some(piece(1, 1))),
    ] {
        let why =
            swap_at_bench(&mut shop, &at(), &swapping(order, out, instead, Proved::Broken)).unwrap_err();
        assert!(!why.to_string().is_empty());
    }
    let other = OrderId(order.0 + 1);
    swap_at_bench(&mut shop, &at(), &swapping(other, piece(1, 1), None, Proved::Sound)).unwrap_err();
    assert_eq!(shop.export_json().unwrap(), before);
    // No saucer is left that could go: four of six are free, and all of them break.
    for _ in 0..4 {
        let out = *promised(&shop, order).unwrap().last().unwrap();
        swap_at_bench(&mut shop, &at(), &swapping(order, out, None, Proved::Broken)).unwrap();
    }
    let out = *promised(&shop, order).unwrap().last().unwrap();
    let why = swap_at_bench(&mut shop, &at(), &swapping(order, out, None, Proved::Broken)).unwrap_err();
    assert!(why.to_string().contains("no sound piece is free; right would be"), "{why}");
}

fn actual() -> ParcelActual {
    ParcelActual {
        mass: None,
        size: None,
        minutes: None,
        postage: None,
        tracking: String::new(),
        supplies: Vec::new(),
    }
}

fn door(goes: bool, pieces: Option<Vec<PieceRef>>) -> AtDoor {
    AtDoor { parcel: None, goes, pieces, actual: actual() }
}

const DAY: (jiff::civil::Date, Purse) = (date(2026, 11, 21), Purse::Platform);

#[test]
fn what_goes_is_all_of_it_or_the_parts_and_every_piece_lies_in_one_parcel() {
    let (mut shop, order) = shop();
    let all = promised(&shop, order).unwrap();
    let (cups, saucers) = all.split_at(3);
    let by_plan = [cups.to_vec(), saucers.to_vec()];
    let put = |doors: &[AtDoor]| sending(order, DAY, doors, &by_plan, &all);
    // All parcels, told or not, are the order as a whole.
    assert!(
        matches!(put(&[door(true, None), door(true, None)]), Ok(Sending::Whole(all)) if all.parcels.len() == 2)
    );
    let told = [door(true, Some(cups.to_vec())), door(true, None)];
    assert!(matches!(put(&told), Ok(Sending::Whole(_))));
    let one_has_all = [door(true, Some(all.clone())), door(true, Some(Vec::new()))];
    assert!(
        matches!(put(&one_has_all), Ok(Sending::Whole(_))),
        "a parcel beside those planned needs no list"
    );
    // Nothing goes; a piece lies twice; one isn't of the order; one goes empty.
    for (doors, parcel) in [
        (vec![door(false, None), door(false, None)], None),
        (vec![door(true, Some(vec![cups[0]])), door(true, Some(vec![cups[0]]))], Some(1)),
        (vec![door(true, Some(vec![cups[0], cups[0]])), door(false, None)], Some(0)),
        (vec![door(true, Some(vec![piece(1, 9)])), door(false, None)], Some(0)),
        (vec![door(false, None), door(true, Some(Vec::new()))], Some(1)),
        (vec![door(true, Some(vec![cups[0]])), door(true, Some(Vec::new()))], Some(1)),
    ] {
        let wrong = put(&doors).unwrap_err();
        assert_eq!(wrong.parcel, parcel, "{wrong}");
        assert!(wrong.why.contains("right would be"), "{wrong}");
    }
    // One goes by its plan, the other waits; then the rest.
    let first = put(&[door(true, None), door(false, None)]).unwrap();
    assert!(matches!(&first, Sending::Parts(parts) if parts.len() == 1 && parts[0].pieces == cups));
    send(&mut shop, &at(), &first).unwrap();
    let parcels = shop.parcels(order).unwrap();
    let gone = PartsGone::read(&shop, order, &parcels).unwrap();
    assert!(gone.is_partly_sent());
    assert_eq!((gone.gone.values().next().unwrap().as_slice(), gone.waiting.as_slice()), (cups, saucers));
    let rest = sending(order, DAY, &[door(true, None)], &[saucers.to_vec()], saucers).unwrap();
    send(&mut shop, &at(), &rest).unwrap();
    assert_eq!(shop.order(order).unwrap().state, OrderState::Sent);
    assert!(!PartsGone::read(&shop, order, &shop.parcels(order).unwrap()).unwrap().is_partly_sent());
    assert!(shop.check().unwrap().is_sound());
}

#[test]
fn pieces_of_no_plan_lie_in_the_last_parcel_and_none_is_lost() {
    let (mut shop, order) = shop();
    let plan = ParcelPlan {
        form: String::new(),
        recipe: String::new(),
        plan: json!({ "layers": 2 }),
        mass: None,
        size: None,
        minutes: None,
        postage: None,
        supplies: Vec::new(),
    };
    assert_eq!(DropCheck::kept_with(&plan), None);
    shop.plan_order(&at(), order, &[plan.clone(), plan]).unwrap();
    let held = pieces_by_plan(&shop.parcels(order).unwrap(), &shop.pull_list(order).unwrap());
    assert_eq!(held, [Vec::new(), promised(&shop, order).unwrap()]);
    assert!(pieces_by_plan(&[], &shop.pull_list(order).unwrap()).is_empty());
}

#[test]
fn sets_take_what_there_is_of_every_find_or_nothing_is_kept() {
    let (mut shop, _) = shop();
    let parts = vec![SetPart { find: FindId(1), each: 1 }, SetPart { find: FindId(2), each: 2 }];
    let decision = |lots: &[u32], spare| SetDecision {
        parts: parts.clone(),
        lots: lots.to_vec(),
        spare,
        date: date(2026, 11, 20),
        note: "pairs".to_owned(),
    };
    // Four saucers are free: two sets.
    for (lots, spare) in
        [(&[2_u32, 1][..], 0), (&[2], 1), (&[u32::MAX], 0), (&[u32::MAX, u32::MAX], u32::MAX)]
    {
        let why = keep_sets(&mut shop, &at(), &decision(lots, spare)).unwrap_err().to_string();
        assert!(why.contains("right would be at most"), "{why}");
    }
    assert!(shop.noted::<Split>().unwrap().is_empty());
    assert_eq!(keep_sets(&mut shop, &at(), &decision(&[1], 1)).unwrap(), [1, 2]);
    let kept: Vec<(Vec<u32>, u32)> =
        shop.noted::<Split>().unwrap().into_iter().map(|(_, one)| (one.lots, one.spare)).collect();
    assert_eq!(kept, [(vec![1], 1), (vec![2], 2)]);
}

#[test]
fn a_listing_keeps_finds_or_brings_its_venue() {
    let (mut shop, _) = shop();
    let one = LotId(1);
    put_listing(&mut shop, &at(), Some(one), listing(2), Some("Fair")).unwrap();
    assert_eq!(shop.listing(one).unwrap().entered.venue, Some(1));
    // Told nothing, what is entered stays; told another spelling, the same venue.
    let entered = shop.listing(one).unwrap().entered;
    put_listing(&mut shop, &at(), Some(one), entered, None).unwrap();
    assert_eq!(shop.listing(one).unwrap().entered.venue, Some(1));
    put_listing(&mut shop, &at(), Some(one), listing(2), Some("fair")).unwrap();
    assert_eq!(shop.listing(one).unwrap().entered.venue, Some(1));
    put_listing(&mut shop, &at(), None, listing(90), Some("Market")).unwrap_err();
    assert_eq!(shop.noted::<Venue>().unwrap().len(), 1);
}
