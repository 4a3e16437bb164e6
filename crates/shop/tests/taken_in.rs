//! What comes in from elsewhere comes to the same in one go, looked at first, or each by itself.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod desk;

use books::*;
use desk::*;
use jiff::civil::date;
use measure::Mass;
use proptest::prelude::*;
use proptest::strategy::ValueTree as _;
use shop::*;

/// 250 cups, 20 of them flawed, and 120 saucers, in listings that promise more than there are.
fn begun() -> Shop {
    let mut shop = Shop::in_memory().unwrap();
    let told = HaulIn {
        finds: vec![find("cup", "B2", 230, 20, 6000), find("saucer", "A1", 120, 0, 1500)],
        ..haul()
    };
    let bought = shop.buy(&at(), &told).unwrap();
    let [cups, saucers] = bought.finds[..] else { panic!("two finds") };
    let part = |find, pieces, which| ListingPart { find, pieces, which };
    for (lots, parts) in [
        (230, vec![part(cups, 1, Which::Sound)]),
        (110, vec![part(cups, 2, Which::Any), part(saucers, 1, Which::Sound)]),
        (20, vec![part(cups, 1, Which::Flawed)]),
        (120, vec![part(saucers, 1, Which::Any)]),
    ] {
        shop.list(&at(), &ListingIn { parts, ..listing(&bought, lots) }).unwrap();
    }
    shop
}

#[derive(Debug, Clone)]
struct Told {
    external: u32,
    lots: Vec<u32>,
    day: i8,
    fee: i64,
    paid: bool,
    sent: Option<(i8, Option<i64>, Option<f64>)>,
}

fn told() -> impl Strategy<Value = Told> {
    let sent = prop::option::weighted(
        0.3,
        (
            prop_oneof![20 => 0_i8..5, 1 => Just(5)],
            prop::option::of(0_i64..900),
            prop::option::of(50.0..900.0),
        ),
    );
    // Mostly small, so that most come in and some don't.
    let lots = prop::collection::vec(prop_oneof![30 => Just(0_u32), 20 => Just(1), 1 => 1_u32..60], 4);
    (
        0_u32..6000,
        lots,
        1_i8..20,
        prop_oneof![20 => 0_i64..300, 1 => Just(-5)],
        prop::bool::weighted(0.9),
        sent,
    )
        .prop_map(|(external, lots, day, fee, paid, sent)| Told { external, lots, day, fee, paid, sent })
}

fn item(at: usize, told: &Told) -> ImportItem {
    let ordered_on = date(2026, 4, told.day);
    let lines = (1_u64..).zip(&told.lots).filter(|(_, lots)| **lots > 0);
    let lines = lines.map(|(listing, &lots)| OrderLine { listing: LotId(listing), lots, item: cents(900) });
    let order = OrderIn {
        ordered_on,
        lines: lines.collect(),
        paid: told.paid.then_some(Payment { date: ordered_on, into: Purse::Platform }),
        ..order(LotId(1), 1)
    };
    let sent = told.sent.map(|(later, postage, grams)| SentBefore {
        // Sometimes before the haul, which can't be.
        date: if later == 5 { date(2026, 3, 1) } else { date(2026, 4, told.day + later) },
        postage: postage.map(cents),
        mass: grams.map(Mass::from_grams),
    });
    let content = ImportContent::Order(Box::new(ImportedOrder { order, fee: cents(told.fee), sent }));
    ImportItem { external: told.external.to_string(), lines: vec![at as u64], content }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    #[test]
    fn many_at_once_come_to_what_each_by_itself_comes_to(told in prop::collection::vec(told(), 0..320)) {
        let items: Vec<ImportItem> = told.iter().enumerate().map(|(at, told)| item(at, told)).collect();
        let mut alone = begun();
        let mut left_out = Vec::new();
        let mut came_in = 0;
        for item in &items {
            let staged = alone.stage("venue", vec![item.clone()], &at()).unwrap();
            came_in += alone.confirm(&at(), &staged).unwrap();
            left_out.extend(staged.rejected);
        }
        let mut at_once = begun();
        let taken = at_once.take_in("venue", items.clone(), &at()).unwrap();
        prop_assert_eq!(&taken.rejected, &left_out);
        prop_assert_eq!(taken.ready().len(), came_in);
        prop_assert_eq!(at_once.export_json().unwrap(), alone.export_json().unwrap());
        let mut looked_at = begun();
        let before = (looked_at.export_json().unwrap(), looked_at.books().unwrap().clone());
        let staged = looked_at.stage("venue", items, &at()).unwrap();
        prop_assert_eq!(&staged.rejected, &left_out);
        prop_assert_eq!((looked_at.export_json().unwrap(), looked_at.books().unwrap().clone()), before);
        looked_at.confirm(&at(), &staged).unwrap();
        prop_assert_eq!(looked_at.export_json().unwrap(), alone.export_json().unwrap());
        prop_assert_eq!(looked_at.books().unwrap(), alone.books().unwrap());
        prop_assert_eq!(at_once.books().unwrap(), alone.books().unwrap());
        prop_assert_eq!(at_once.rebuild_agrees().unwrap(), Vec::<String>::new());
        prop_assert!(at_once.check().unwrap().is_sound());
    }
}

#[test]
fn the_random_tables_hold_orders_that_come_in_and_every_reason_not_to() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let told = prop::collection::vec(told(), 320).new_tree(&mut runner).unwrap().current();
    let items = told.iter().enumerate().map(|(at, told)| item(at, told)).collect();
    let taken = begun().take_in("venue", items, &at()).unwrap();
    assert!(taken.ready().len() > 60, "{}", taken.ready().len());
    for reason in
        ["lots left", "stored before", "at least one line", "not paid", "pieces", "-0.05", "can't move on"]
    {
        assert!(
            taken.rejected.iter().any(|one| one.reason.contains(reason)),
            "{reason}: {:?}",
            taken.rejected
        );
    }
}

#[test]
fn an_order_that_was_sent_before_leaves_the_shelf_and_the_bench() {
    let mut shop = begun();
    let told = Told {
        external: 1,
        lots: vec![2, 1, 0, 0],
        day: 3,
        fee: 120,
        paid: true,
        sent: Some((2, Some(450), Some(800.0))),
    };
    let before = shop.books().unwrap().count(FindId(1), Fate::OnHand).unwrap();
    let taken = shop.take_in("venue", vec![item(2, &told)], &at()).unwrap();
    assert_eq!(taken.rejected, []);
    let order = shop.order(OrderId(1)).unwrap();
    assert_eq!((order.state, order.sent_on), (OrderState::Sent, Some(date(2026, 4, 5))));
    assert_eq!(shop.bench().unwrap(), []);
    let parcels = shop.parcels(OrderId(1)).unwrap();
    let [parcel] = &parcels[..] else { panic!("{parcels:?}") };
    let (day, actual) = parcel.actual.as_ref().unwrap();
    assert_eq!((*day, actual.postage), (date(2026, 4, 5), Some(cents(450))));
    assert_eq!(actual.mass, Some(Mass::from_grams(800.0)));
    assert_eq!(actual.supplies, []);
    let books = shop.books().unwrap();
    assert_eq!(books.count(FindId(1), Fate::OnHand).unwrap(), before - 4);
    assert_eq!(books.net(Account::Postage, |_| true), cents(450));
    assert_eq!(books.net(Account::Fees, |_| true), cents(120));
    // Paid to the venue's balance: items, shipping; from it fee and postage.
    assert_eq!(books.net(Account::PlatformBalance, |_| true), cents(2 * 900 + 800 - 120 - 450));
    assert!(shop.check().unwrap().is_sound());
    assert_eq!(shop.rebuild_agrees().unwrap(), Vec::<String>::new());
}
