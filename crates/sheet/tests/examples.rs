//! The example and the sheets of the examples folder become the jobs that they describe.

mod desk;

use desk::{TODAY, read};
use listing::{Belonging, Maker, Period, Place};
use measure::{Length, Mass, Money, Units};
use pricing::{Bids, Evidence, Grade, Shipping};
use trade::{Charging, Cost, LotsBy};

#[test]
fn the_example_is_the_guest_house() {
    let job = read(sheet::example()).expect("the example has no problem");
    assert_eq!(job.title, "Closing guest house");
    assert_eq!(job.units, Units::UsCustomary);
    let lots: Vec<_> = job.finds.iter().map(|find| (find.name.as_str(), find.lots_by, find.lots())).collect();
    assert_eq!(
        lots,
        [
            ("consomme cups", LotsBy::Split, 11),
            ("goblets", LotsBy::Split, 6),
            ("pitcher", LotsBy::Sheet, 1),
            ("skillet", LotsBy::Sheet, 1),
            ("cookery books", LotsBy::Sheet, 1)
        ]
    );
    let cups = &job.finds[0];
    let left: Vec<_> = cups.leftovers().iter().map(|(row, left)| (row.what.as_str(), *left)).collect();
    assert_eq!(left, [("cup", 2), ("saucer", 0)]);
    let cup = &cups.rows[0];
    assert_eq!((cup.count, cup.flawed, cup.per_lot), (14, 1, 1), "a set has one cup");
    assert_eq!(cup.measures.height, Some(Length::from_inches(2.375)));
    assert_eq!(cup.measures.weight, Some(Mass::from_ounces(9.2)));
    assert_eq!(job.finds[2].price, Some(Money::from_cents(2800)));
    let lots: Vec<_> = job.orders.iter().map(|order| order.lots.clone()).collect();
    assert_eq!(lots, [vec![(0, 1), (2, 1)], vec![(3, 1), (1, 1)]]);
    assert_eq!(job.post.origin, "45300");
    assert_eq!(job.post.date, TODAY);
    assert!(job.post.buyers.iter().all(|buyer| (buyer.share - 0.2).abs() < 1e-12));
    assert_eq!(
        job.charging,
        Charging::FlatPlus { first: Money::from_cents(950), further: Money::from_cents(400) }
    );
}

#[test]
fn the_example_tells_what_was_paid_seen_and_found_wrong() {
    let job = read(sheet::example()).expect("the example has no problem");
    let cups = &job.finds[0];
    assert_eq!(cups.cost, Cost::Paid(Money::from_cents(700)));
    assert_eq!((cups.price, cups.grade, cups.largest_lot), (None, Grade::C, Some(4)));
    let comps: Vec<_> = job.finds.iter().map(|find| find.comps.len()).collect();
    assert_eq!(comps, [7, 4, 0, 4, 0]);
    let offer = &cups.comps[4];
    assert_eq!(offer.evidence, Evidence::AcceptedOffer { ask: Money::from_cents(4800) });
    assert_eq!((offer.pieces, offer.age_days), (2, 30.0));
    assert_eq!(cups.comps[2].days_to_sell, Some(21.0));
    assert_eq!(cups.comps[6].shipping, Shipping::Unknown);
    let auction = job.finds[1].comps[3].evidence;
    assert_eq!(auction, Evidence::Auction { price: Money::from_cents(2400), bids: Bids::Several, days: 0.0 });
    let alone: Vec<_> = job.finds.iter().map(|find| find.rows[0].alone).collect();
    assert_eq!(alone, [0.55, 1.0, 1.0, 1.0, 1.0], "where a set is one piece it is worth all of it");
    assert!((cups.rows[1].alone - 0.15).abs() < 1e-12);
    let flaw = &cups.rows[0].flaws[0];
    assert_eq!((flaw.term.as_str(), flaw.place, flaw.pieces), ("hairline", Some(Place::Rim), 1));
    assert_eq!(cups.rows[0].flawed_grade, Grade::E);
    assert_eq!((&cups.words.maker, &cups.words.period), (&Maker::Unmarked, &Period::Vintage));
    assert_eq!(cups.words.material, "stoneware");
    assert_eq!(job.market.venue.id, "open_market");
    assert!((job.market.buyers_tax - 0.068).abs() < 1e-12 && (job.market.damage - 0.015).abs() < 1e-12);
    let takes: Vec<_> = job.market.demand.mix.shares().collect();
    assert_eq!(takes.iter().map(|(lots, _)| *lots).collect::<Vec<_>>(), [1, 2, 3]);
    assert!((takes[0].1 - 0.85).abs() < 1e-12 && (takes[2].1 - 0.05).abs() < 1e-12);
}

#[test]
fn the_example_has_ten_cartons_and_three_are_the_last() {
    let job = read(sheet::example()).expect("the example has no problem");
    assert_eq!(job.cartons.len(), 10);
    let last: Vec<_> = job
        .cartons
        .iter()
        .filter(|carton| carton.on_hand == Some(1))
        .map(|carton| carton.name.as_str())
        .collect();
    assert_eq!(last, ["16 x 16 x 16", "18 x 18 x 12", "20 x 20 x 20"]);
    let scored = &job.cartons[3];
    assert_eq!(scored.cut_heights, [10.0, 8.0, 6.0].map(Length::from_inches));
}

#[test]
fn the_least_sheet_takes_the_usual_way_in_everything_else() {
    let job = read(include_str!("../../../examples/one-mug.toml")).expect("the sheet has no problem");
    assert_eq!(job.post.date, TODAY, "without a date it is mailed today");
    assert_eq!(job.charging, Charging::Combined);
    assert_eq!(job.finds[0].rows[0].what, job.finds[0].rows[0].form.name);
    assert!(!job.cartons.is_empty(), "without cartons of its own it takes the stock list");
    assert_eq!(job.units, Units::UsCustomary);
    assert!(job.protecting.clearance.is_none());
}

#[test]
fn the_sheet_of_plates_states_shares_and_adds_the_stock_list_to_its_own_carton() {
    let job = read(include_str!("../../../examples/plates.toml")).expect("the sheet has no problem");
    let sum: f64 = job.post.buyers.iter().map(|buyer| buyer.share).sum();
    assert!((sum - 1.0).abs() < 1e-12);
    assert_eq!(job.cartons[0].name, "14 x 14 x 8");
    assert!(job.cartons.len() > 1);
    let same = job.cartons.iter().filter(|carton| carton.inside == job.cartons[0].inside).count();
    assert_eq!(same, 1, "a size that the sheet states is not taken from the stock list as well");
    let Charging::StatedPerLot { weight: Some(weight), size: Some(size) } = job.charging else {
        panic!("{:?}", job.charging);
    };
    assert_eq!(weight, Mass::from_pounds(9.0));
    assert_eq!(size[2], Length::from_inches(8.0));
}

#[test]
fn the_sheet_of_books_means_centimetres_and_grams() {
    let job = read(include_str!("../../../examples/books.toml")).expect("the sheet has no problem");
    assert_eq!(job.units, Units::Metric);
    let book = &job.finds[0].rows[0].measures;
    assert_eq!(book.length, Some(Length::from_mm(241.0)));
    assert_eq!(book.weight, Some(Mass::from_grams(680.0)));
    assert_eq!(job.cartons[0].name, "30.5 x 23 x 15 cm");
    assert_eq!(job.charging, Charging::Included);
    assert_eq!(job.wage, Money::from_cents(1200));
}

#[test]
fn the_sheet_of_bowls_asks_whether_they_are_worth_their_price() {
    let job = read(include_str!("../../../examples/bowls.toml")).expect("the sheet has no problem");
    let bowls = &job.finds[0];
    assert_eq!((bowls.lots_by, bowls.cost), (LotsBy::Split, Cost::Asked(Money::from_cents(1400))));
    assert_eq!((bowls.lots(), bowls.grade), (9, Grade::B), "the two flawed ones make no lots");
    assert_eq!(bowls.rows[0].flaws.len(), 2);
    assert_eq!(bowls.words.belonging, Some(Belonging::Alike));
    let comps = &bowls.comps;
    assert_eq!((comps[1].grade, comps[1].age_days), (Grade::B, 54.0));
    assert_eq!(comps[2].shipping, Shipping::Free);
    assert_eq!((comps[5].likeness, comps[5].pieces), (0.7, 1));
    let buying = &job.market.buying;
    assert!((buying.return_wanted - 0.6).abs() < 1e-12 && (buying.shop_tax - 0.07).abs() < 1e-12);
    assert!((buying.least_profit - 12.0).abs() < 1e-12);
    assert!((buying.guard - 0.4).abs() < 1e-12, "what isn't told is as usual");
}

#[test]
fn the_usual_job_wants_nothing_but_a_find() {
    let problems = read(sheet::usual()).expect_err("the sheet is refused");
    assert_eq!(problems.iter().map(|problem| problem.field.as_str()).collect::<Vec<_>>(), ["find"]);
    let find = "\n[[find]]\nname = \"mug\"\nform = \"diner_mug\"\ncount = 4\ncomps = [\"2 for 17.50\"]\n";
    let job = read(&format!("{}{find}", sheet::usual())).expect("the sheet has no problem");
    assert_eq!((job.charging, job.finds[0].lots_by), (Charging::Included, LotsBy::Split));
    assert_eq!(job.market, trade::Market::usual(job.market.venue.clone()));
    assert_eq!(job.market.venue.id, "open_market");
}
