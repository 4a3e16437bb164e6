//! The example and the sheets of the examples folder become the jobs that they describe.

mod desk;

use desk::{TODAY, read};
use measure::{Length, Mass, Money, Units};
use trade::Charging;

#[test]
fn the_example_is_the_guest_house() {
    let job = read(sheet::example()).expect("the example has no problem");
    assert_eq!(job.title, "Closing guest house");
    assert_eq!(job.units, Units::UsCustomary);
    let lots: Vec<_> = job.finds.iter().map(|find| (find.name.as_str(), find.lots())).collect();
    assert_eq!(
        lots,
        [("consomme cups", 5), ("goblets", 3), ("pitcher", 1), ("skillet", 1), ("cookery books", 1)]
    );
    let left: Vec<_> =
        job.finds[0].leftovers().iter().map(|(row, left)| (row.what.as_str(), *left)).collect();
    assert_eq!(left, [("cup", 3), ("saucer", 1)]);
    let cup = &job.finds[0].rows[0];
    assert_eq!((cup.count, cup.flawed, cup.per_lot), (14, 1, 2));
    assert_eq!(cup.measures.height, Some(Length::from_inches(2.375)));
    assert_eq!(cup.measures.weight, Some(Mass::from_ounces(9.2)));
    assert_eq!(job.finds[0].price, Some(Money::from_cents(2400)));
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
