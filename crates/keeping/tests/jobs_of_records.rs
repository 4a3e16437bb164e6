//! What a job out of a find's or a listing's records promises.

mod desk;

use books::FindId;
use desk::{DAY, listing, part, shop, stamp};
use jiff::civil::{Date, date};
use keeping::{CardQuestion, Desk, FindQuestion, Stop, pieces_suffice};
use measure::{Length, Money};
use pricing::Grade;
use shop::{Comp, Flaw, FromShelf, Leaving, ListingIn, Listings, Measured, Measurement, Shop, Which};
use trade::{Cost, Listing, LotsBy, order_ladder, work_out};

fn comp(shop: &mut Shop, typed: &str, date: Date) {
    shop.note(&stamp(), &Comp { find: FindId(1), typed: typed.to_owned(), date }).expect("a comp");
}

fn question(shop: &mut Shop) -> FindQuestion {
    FindQuestion::read(shop, FindId(1), DAY).expect("find 1")
}

#[test]
fn only_pieces_that_are_there_count_and_so_does_what_they_cost() {
    let mut shop = shop([(6, 1), (2, 0)]);
    let left = FromShelf {
        find: FindId(1),
        pieces: vec![1, 2],
        date: DAY,
        how: Leaving::GivenAway,
        note: String::new(),
    };
    shop.leave_shelf(&stamp(), &left).expect("two are given away");
    shop.list(&stamp(), &listing(1, vec![part(1, 3, Which::Sound)])).expect("three are listed");
    let question = question(&mut shop);
    assert_eq!((question.pieces(), question.listed, question.records.free()), (4, 3, 5));
    let job = question.job(&Desk::published()).expect("a job").job;
    let row = &job.finds[0].rows[0];
    assert_eq!((row.count, row.flawed, row.what.as_str()), (5, 1, "diner mug"));
    assert_eq!(job.finds[0].cost, Cost::Paid(Money::from_cents(1000)));
}

#[test]
fn the_split_decides_where_there_are_comps_and_each_is_as_old_as_it_is_now() {
    let mut shop = shop([(6, 1), (2, 0)]);
    let desk = Desk::published();
    let without = question(&mut shop).job(&desk).expect("a job");
    assert_eq!(without.job.finds[0].lots_by, LotsBy::Sheet);
    comp(&mut shop, "2 for 30 + 8, 5d ago", DAY);
    comp(&mut shop, "2 for 31 + 8, 5d ago\n3 for 40", date(2026, 11, 10));
    let with = question(&mut shop).job(&desk).expect("a job");
    assert_eq!(with.job.finds[0].lots_by, LotsBy::Split);
    let ages: Vec<f64> = with.job.finds[0].comps.iter().map(|comp| comp.age_days).collect();
    assert_eq!(ages, [5.0, 15.0, 10.0]);
    assert_ne!(with.key, without.key);
    let later = FindQuestion::read(&mut shop, FindId(1), date(2026, 11, 21)).expect("find 1");
    assert_ne!(later.job(&desk).expect("a job").key, with.key, "a day later it is another question");
}

#[test]
fn where_all_are_flawed_they_are_split_as_damaged_ones() {
    let mut shop = shop([(0, 4), (2, 0)]);
    let question = question(&mut shop);
    assert!(question.is_all_flawed() && question.pieces() == 4);
    let job = question.job(&Desk::published()).expect("a job").job;
    assert_eq!((job.finds[0].grade, job.finds[0].rows[0].flawed), (Grade::E, 0));
}

#[test]
fn a_find_without_free_pieces_is_refused_in_words() {
    let mut shop = shop([(1, 0), (2, 0)]);
    let (find, how) = (FindId(1), Leaving::Broken);
    shop.leave_shelf(&stamp(), &FromShelf { find, pieces: vec![1], date: DAY, how, note: String::new() })
        .expect("it broke");
    let refused = question(&mut shop).job(&Desk::published());
    assert!(matches!(refused, Err(Stop::Input(why)) if why.contains("right would be")));
}

#[test]
fn a_place_in_own_words_is_taken_by_its_last_one_and_kept_as_a_note_and_unknown_flaws_are_told() {
    let mut shop = shop([(6, 1), (2, 0)]);
    let flaw = |kind: &str, position: &str| Flaw {
        find: FindId(1),
        piece: Some(7),
        kind: kind.into(),
        position: position.into(),
        size: Some(Length::from_inches(0.5)),
    };
    for one in
        [flaw("chip", "rim"), flaw("hairline", "low down, inside the rim"), flaw("wobble of its own", "")]
    {
        shop.note(&stamp(), &one).expect("a flaw");
    }
    let made = question(&mut shop).job(&Desk::published()).expect("a job");
    assert_eq!(made.job.finds[0].rows[0].flaws.len(), 2, "{:?}", made.unread_flaws);
    assert!(
        made.unread_flaws.len() == 1 && made.unread_flaws[0].starts_with("wobble"),
        "{:?}",
        made.unread_flaws
    );
}

#[test]
fn a_card_is_of_the_lots_that_are_left_and_damage_stays_out_of_sound_ones() {
    let mut shop = shop([(6, 1), (4, 0)]);
    let flaw = Flaw {
        find: FindId(1),
        piece: Some(7),
        kind: "chip".into(),
        position: "rim".into(),
        size: Some(Length::from_inches(0.25)),
    };
    shop.note(&stamp(), &flaw).expect("a flaw");
    let (name, figure) = ("height".to_owned(), Measured::Length(Length::from_inches(3.5)));
    shop.note(&stamp(), &Measurement { find: FindId(1), piece: None, name, figure, estimated: false })
        .expect("a measure");
    let parts = vec![part(1, 2, Which::Sound), part(2, 1, Which::Any)];
    let number = shop.list(&stamp(), &listing(3, parts)).expect("a mixed lot");
    let question = CardQuestion::read(&mut shop, number, DAY).expect("it");
    let job = question.job(&Desk::published()).expect("a job").job;
    let find = &job.finds[0];
    assert_eq!((question.lots(), find.lots(), find.price), (3, 3, Some(Money::from_cents(2400))));
    let rows: Vec<(u32, u32, u32)> =
        find.rows.iter().map(|row| (row.count, row.flawed, row.per_lot)).collect();
    assert_eq!(rows, [(7, 1, 2), (3, 0, 1)]);
    assert!(find.rows[0].flaws.is_empty());
    assert!(find.rows[0].measures.height.is_some_and(|height| (height.inches() - 3.5).abs() < 1e-9));
    let flawed = shop.list(&stamp(), &listing(1, vec![part(1, 1, Which::Flawed)])).expect("the flawed one");
    let job =
        CardQuestion::read(&mut shop, flawed, DAY).expect("it").job(&Desk::published()).expect("a job").job;
    assert_eq!((job.finds[0].grade, job.finds[0].rows[0].flaws.len()), (Grade::E, 1));
}

#[test]
fn lots_are_refused_beyond_what_is_there_with_how_many_there_could_be() {
    let shop = shop([(6, 1), (4, 0)]);
    assert!(pieces_suffice(&shop, &[part(1, 2, Which::Sound)], 3).is_ok());
    assert!(pieces_suffice(&shop, &[part(1, 7, Which::Any)], 1).is_ok());
    let refused = |pieces, which, lots| match pieces_suffice(&shop, &[part(1, pieces, which)], lots) {
        Err(Stop::Input(why)) => why,
        other => panic!("{other:?}"),
    };
    assert!(refused(2, Which::Sound, 4).contains("at most 3 lots"));
    assert!(refused(4, Which::Sound, 2).contains("right would be 1 lot"));
    assert!(refused(2, Which::Flawed, 1).contains("lots of at most 1"));
    assert!(
        refused(u32::MAX, Which::Any, u32::MAX).contains("7 pieces")
            || refused(8, Which::Any, 1).contains("7 are free")
    );
}

#[test]
fn listings_come_the_newest_first_in_parts_by_what_is_left_of_them() {
    let mut shop = shop([(6, 1), (4, 0)]);
    let up = shop.list(&stamp(), &listing(1, vec![part(1, 1, Which::Sound)])).expect("one");
    let over = shop
        .list(&stamp(), &ListingIn { ended: true, ..listing(1, vec![part(2, 1, Which::Sound)]) })
        .expect("two");
    let third = shop.list(&stamp(), &listing(1, vec![part(2, 2, Which::Sound)])).expect("three");
    let ids = |which, pass_over, most| -> Vec<u64> {
        let part = shop.listings_part(which, pass_over, most).expect("listings");
        part.iter().map(|state| state.id.0).collect()
    };
    assert_eq!(ids(Listings::All, 0, 10), [third.0, over.0, up.0]);
    assert_eq!((ids(Listings::All, 1, 1), ids(Listings::Up, 0, 10)), (vec![over.0], vec![third.0, up.0]));
    assert_eq!(
        (ids(Listings::Over, 0, 10), shop.count_listings(Listings::Up).expect("a count")),
        (vec![over.0], 2)
    );
    let of_find: Vec<u64> =
        shop.listings_of(FindId(2)).expect("listings").iter().map(|one| one.id.0).collect();
    assert_eq!(of_find, [over.0, third.0]);
    let listed: Vec<u64> = shop.listed().expect("listed").iter().map(|one| one.lot.0).collect();
    assert_eq!(listed, [up.0, third.0], "what is over offers nothing");
}

#[test]
fn the_ladder_of_one_listing_is_the_one_of_the_whole_job() {
    let mut shop = shop([(4, 0), (4, 0)]);
    let number = shop.list(&stamp(), &listing(2, vec![part(1, 2, Which::Sound)])).expect("two pairs");
    let desk = Desk::published();
    let job = CardQuestion::read(&mut shop, number, DAY).expect("it").job(&desk).expect("a job").job;
    let whole = work_out(&job, &desk.library, None, &|_| {}).expect("it is worked out");
    let alone =
        order_ladder(&job, &desk.library, whole.ladders[0].listing.clone(), &|_| {}).expect("a ladder");
    assert_eq!((alone.rungs.len(), alone.stated), (2, whole.ladders[0].stated));
    for ((lots, one), (_, other)) in alone.rungs.iter().zip(&whole.ladders[0].rungs) {
        let (one, other) = (one.as_ref().expect("packed"), other.as_ref().expect("packed"));
        assert_eq!((one.lot_count(), one.expected_postage), (*lots, other.expected_postage));
    }
    let foreign = Listing { find: 1, per_lot: vec![1], lots: 1, price: None };
    assert!(order_ladder(&job, &desk.library, foreign, &|_| {}).is_err());
    let steps = keeping::ladder_steps("", &alone, measure::Units::UsCustomary);
    assert!(steps.rungs.iter().all(|rung| rung.postage.is_some() && !rung.billed.is_empty()));
}
