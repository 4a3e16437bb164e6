//! Ties, refusals and what is not offered.

mod sizing_piles;

use std::collections::BTreeMap;

use measure::Money;
use selling::{
    BarePool, Demand, FeeRule, LedgerEntry, LotSize, NotOffered, OrderCost, SellingError, Sizing, Spare,
    Terms, best_pools,
};
use sizing_piles::mix;

/// Terms on which a lot leaves its price less its postage, to the cent.
fn plain() -> Terms {
    Terms {
        fees: FeeRule {
            share_of_item: 0.0,
            share_of_shipping: 0.0,
            share_of_tax: 0.0,
            fixed: Money::ZERO,
            share_given_back: 0.0,
        },
        tax_rate: 0.0,
        wage: 0.0,
        listing_minutes: 0.0,
        chance_of_damage: 0.0,
        holding: 0.0,
    }
}

fn order(postage: f64) -> OrderCost {
    OrderCost { postage, materials: 0.0, minutes: 10.0, shipping_charged: Money::ZERO }
}

/// A lot that leaves `delivered` per order of one.
fn lot(pieces: u32, delivered: f64) -> LotSize {
    LotSize { pieces, delivered, rate_per_day: 0.1, orders: BTreeMap::from([(1, order(0.0))]) }
}

fn sizing(pieces: u32, sizes: &[LotSize], terms: &Terms) -> Sizing {
    Sizing::new(pieces, sizes, terms, &Demand::default()).expect("figures in range")
}

fn best(pieces: u32, sizes: &[LotSize]) -> Vec<(u32, u32)> {
    let sizing = sizing(pieces, sizes, &plain());
    let [unlimited, limited] = [None, Some(3)]
        .map(|limit| sizing.by_profit(limit).expect("a limit").split(pieces).expect("planned for").parts());
    assert_eq!(unlimited, limited, "a limit that does not bind changes nothing");
    unlimited.into_iter().collect()
}

#[test]
fn of_equal_plans_the_one_with_fewer_listings_is_best_then_fewer_lots_then_larger_lots() {
    // Two of 3, or one of 2 and one of 4: equal, and equal in lots.
    assert_eq!(best(6, &[lot(2, 2.0), lot(3, 3.0), lot(4, 4.0)]), [(3, 2)]);
    // Three of 2, two of 3, one of 6: equal, one listing each.
    assert_eq!(best(6, &[lot(2, 2.0), lot(3, 3.0), lot(6, 6.0)]), [(6, 1)]);
    // Three of 2, or 5 and 1: one listing of three lots goes before two listings of two.
    assert_eq!(best(6, &[lot(1, 1.0), lot(2, 2.0), lot(5, 5.0)]), [(2, 3)]);
    // 5 and 2, or 4 and 3: equal in worth, listings and lots.
    assert_eq!(best(7, &[lot(2, 2.0), lot(3, 3.0), lot(4, 4.0), lot(5, 5.0)]), [(2, 1), (5, 1)]);
    // A lot that brings nothing is not listed: a price of 5 that all goes to the post.
    let nothing = LotSize { orders: BTreeMap::from([(1, order(5.0))]), ..lot(1, 5.0) };
    assert_eq!(best(3, &[nothing]), []);
}

#[test]
fn the_tie_rule_holds_for_the_second_and_the_runner_up_too() {
    let sizes = [lot(3, 3.0), lot(4, 4.0), lot(5, 5.0), lot(6, 6.0)];
    let sizing = sizing(9, &sizes, &plain());
    let choice = sizing.by_profit(None).expect("no limit").choice(9).expect("planned for");
    assert_eq!(choice.best.parts(), BTreeMap::from([(3, 3)]));
    // 6 and 3, or 5 and 4.
    assert_eq!(choice.second.map(|split| split.parts()), Some(BTreeMap::from([(3, 1), (6, 1)])));
    assert_eq!(choice.runner_up.map(|split| split.parts()), Some(BTreeMap::from([(3, 1), (6, 1)])));
}

#[test]
fn of_equal_pools_the_one_with_fewer_listings_is_best_then_more_sets() {
    let [sets, cups, saucers] = [3.0, 2.0, 1.0].map(|price| sizing(1, &[lot(1, price)], &plain()));
    let plans = [&sets, &cups, &saucers].map(|sizing| sizing.by_profit(None).expect("no limit"));
    let [of_sets, of_cups, of_saucers] = &plans;
    let bare = |plans| BarePool { plans, pieces: 1, per_set: 1 };
    let made = best_pools(of_sets, &[bare(of_cups), bare(of_saucers)]).expect("planned for");
    assert_eq!((made.sets, made.worth_by_sets), (1, vec![3.0, 3.0]), "one listing instead of two");
    let made = best_pools(of_cups, &[bare(of_cups)]).expect("planned for");
    assert_eq!((made.sets, made.worth_by_sets), (1, vec![2.0, 2.0]), "nothing else tells them apart");
}

#[test]
fn the_tie_rule_holds_for_plans_per_hour_too() {
    // Each lot takes ten minutes and a piece brings the same, so only the lot size tells.
    let sizes = [lot(2, 4.0), lot(4, 4.0)];
    let sizing = sizing(4, &sizes, &plain());
    let choice = sizing.per_hour(4, Money::ZERO, None).expect("in range").expect("offered");
    assert_eq!(choice.best.parts(), BTreeMap::from([(4, 1)]), "of equals the larger lot");
    assert_eq!(choice.best.contribution_per_hour(Money::ZERO), Some(24.0));
    let equal = choice.second.expect("another");
    assert_eq!(equal.parts(), BTreeMap::from([(2, 1)]));
    assert_eq!(choice.best.gap_to(&equal, Money::ZERO).per_hour, Some(0.0));
}

#[test]
fn best_profit_and_best_per_hour_may_differ() {
    let quick =
        LotSize { orders: BTreeMap::from([(1, OrderCost { minutes: 5.0, ..order(0.0) })]), ..lot(4, 10.0) };
    let slow = lot(1, 4.0);
    let terms = Terms { listing_minutes: 5.0, ..plain() };
    let sizing = sizing(4, &[slow, quick], &terms);
    let by_profit = sizing.by_profit(None).expect("no limit").split(4).expect("planned for");
    assert_eq!(by_profit.parts(), BTreeMap::from([(1, 4)]));
    let per_hour = sizing.per_hour(4, Money::ZERO, None).expect("in range").expect("offered");
    assert_eq!(per_hour.best.parts(), BTreeMap::from([(4, 1)]));
    assert_eq!(per_hour.runner_up.map(|split| split.parts()), Some(BTreeMap::from([(1, 4)])));
}

#[test]
fn the_price_of_a_lot_is_the_price_delivered_less_the_shipping_of_a_single_order() {
    let charged = |cents| OrderCost { shipping_charged: Money::from_cents(cents), ..order(3.0) };
    let size = LotSize { orders: BTreeMap::from([(1, charged(800)), (3, charged(1100))]), ..lot(2, 25.004) };
    let three = size.money(3, &plain()).expect("a parcel");
    assert_eq!(three.item, Money::from_cents(1700));
    assert_eq!(three.items, Money::from_cents(5100));
    assert_eq!(three.delivered, Money::from_cents(6200));
    assert_eq!(three.pieces, 6);
    assert!((three.net - 59.0).abs() < 1e-12);
    assert_eq!(size.money(2, &plain()), Err(SellingError::NoParcel { pieces: 2, lots: 2 }));
}

#[test]
fn an_order_that_no_parcel_carries_takes_the_most_that_one_does() {
    let size = LotSize { orders: BTreeMap::from([(1, order(1.0)), (2, order(1.5))]), ..lot(1, 10.0) };
    let demand = Demand { mix: mix(&[(4, 1.0)]), ..Demand::default() };
    let sizing = Sizing::new(5, &[size], &plain(), &demand).expect("in range");
    let listing = sizing.listing(1, 5).expect("it fits");
    assert!((listing.expected.orders - 3.0).abs() < 1e-12, "two, two and the one that remains");
    assert!((listing.worth - (50.0 - 1.5 - 1.5 - 1.0)).abs() < 1e-9);
}

#[test]
fn sizes_that_are_not_offered_say_why() {
    let charged = OrderCost { shipping_charged: Money::from_cents(800), ..order(3.0) };
    let cheap = LotSize { orders: BTreeMap::from([(1, charged)]), ..lot(1, 8.0) };
    let large = LotSize { orders: BTreeMap::from([(2, order(3.0))]), ..lot(9, 80.0) };
    let sizing = sizing(9, &[large, lot(3, 9.0), cheap.clone()], &plain());
    assert_eq!(sizing.offered().collect::<Vec<_>>(), [3]);
    let shipping = Money::from_cents(800);
    assert_eq!(
        sizing.not_offered(),
        [(1, NotOffered::ShippingAbovePrice { shipping }), (9, NotOffered::NoParcel)]
    );
    let message = cheap.money(1, &plain()).expect_err("no price").to_string();
    assert!(message.contains("of 8.00 delivered, 8.00 is charged for shipping"), "{message}");
}

#[test]
fn the_ledger_names_its_lines() {
    let terms = Terms { wage: 12.0, listing_minutes: 10.0, holding: 0.01, ..plain() };
    let sizing = sizing(6, &[lot(2, 20.005)], &terms);
    let split = sizing.by_profit(None).expect("no limit").split(6).expect("planned for");
    let ledger = split.ledger(Money::from_cents(1000));
    let entries: Vec<LedgerEntry> = ledger.lines.iter().map(|line| line.entry).collect();
    use LedgerEntry::{CostOfGoods, Holding, ListingLabour, NetOfLots};
    assert_eq!(entries, [NetOfLots, ListingLabour, Holding, CostOfGoods]);
    // Labour at 12.00 an hour: 10 minutes to list, 10 for each of three parcels; 120 piece-days.
    let cents: Vec<i64> = ledger.in_cents().into_iter().map(Money::cents).collect();
    assert_eq!(cents, [6003 - 600, -200, -120, -1000]);
}

#[test]
fn a_piece_that_would_be_dropped_is_a_free_spare() {
    let sizing = sizing(5, &[lot(4, 30.0)], &plain());
    let plans = sizing.by_profit(None).expect("no limit");
    let spare = Spare { kept: 1, chance_of_break: 0.02, saving: 20.0 };
    let worth = plans.spare(5, &spare).expect("planned for");
    assert_eq!(worth.costs, 0.0);
    assert!((worth.any_break - 0.02).abs() < 1e-12 && (worth.gain() - 0.4).abs() < 1e-12);
    assert!(worth.pays());
    let dear = plans.spare(4, &spare).expect("planned for");
    assert!((dear.costs - 30.0).abs() < 1e-9 && !dear.pays(), "the last lot would be broken up");
}

#[test]
fn cups_without_saucers_are_sold_bare() {
    let sets = sizing(11, &[lot(1, 9.0), lot(2, 20.0)], &plain());
    let cups = sizing(14, &[lot(1, 2.0)], &plain());
    let saucers = sizing(11, &[lot(1, 0.5)], &plain());
    let plans = [&sets, &cups, &saucers].map(|sizing| sizing.by_profit(None).expect("no limit"));
    let [of_sets, of_cups, of_saucers] = &plans;
    let bare = [
        BarePool { plans: of_cups, pieces: 14, per_set: 1 },
        BarePool { plans: of_saucers, pieces: 11, per_set: 1 },
    ];
    let plan = best_pools(of_sets, &bare).expect("planned for");
    assert_eq!(plan.sets, 11);
    assert_eq!(plan.of_sets.parts(), BTreeMap::from([(1, 1), (2, 5)]));
    assert_eq!(plan.of_bare[0].parts(), BTreeMap::from([(1, 3)]));
    assert!(plan.of_bare[1].listings.is_empty());
    assert!((plan.profit(Money::from_cents(700)) - (100.0 + 9.0 + 6.0 - 7.0)).abs() < 1e-9);
    assert_eq!(plan.ledger(Money::ZERO).lines.last().map(|line| line.pool), Some(0));
}

#[test]
fn what_cannot_be_planned_is_refused_with_the_reason() {
    let terms = plain();
    let demand = Demand::default();
    let refused = |pieces, sizes: &[LotSize], terms: &Terms| {
        Sizing::new(pieces, sizes, terms, &demand).expect_err("refused").to_string()
    };
    assert!(refused(1001, &[], &terms).contains("more than the 1000"));
    let many: Vec<LotSize> = (1..=101).map(|s| lot(s, 10.0)).collect();
    assert!(refused(10, &many, &terms).contains("101 lot sizes"));
    assert!(refused(10, &[lot(2, 5.0), lot(2, 6.0)], &terms).contains("lots of 2 are given twice"));
    let wrong = LotSize { orders: BTreeMap::from([(2, order(f64::NAN))]), ..lot(3, 5.0) };
    assert_eq!(
        refused(10, &[wrong], &terms),
        "lots of 3, order of 2, postage: NaN stands where an amount from 0 to 100,000 was expected"
    );
    assert!(refused(10, &[lot(0, 5.0)], &terms).contains("a number from 1 to 1000"));
    let dear = Terms { tax_rate: 1.5, ..terms };
    assert!(refused(10, &[], &dear).contains("tax rate: 1.5"));

    let sizing = sizing(4, &[lot(2, 5.0)], &terms);
    assert!(matches!(sizing.by_profit(Some(13)), Err(SellingError::LooseLimit { asked: 13, most: 12 })));
    let plans = sizing.by_profit(None).expect("no limit");
    assert_eq!(plans.split(5), Err(SellingError::BeyondPlan { asked: 5, planned: 4 }));
    assert!(sizing.equal_lots(5).is_err() && sizing.per_hour(5, Money::ZERO, None).is_err());
    assert!(sizing.per_hour(4, Money::from_cents(-1), None).is_err());
    let spare = Spare { kept: 5, chance_of_break: 0.1, saving: 1.0 };
    assert!(plans.spare(4, &spare).is_err(), "more than there are");
    assert!(best_pools(&plans, &[BarePool { plans: &plans, pieces: 4, per_set: 0 }]).is_err());
    assert!(best_pools(&plans, &[BarePool { plans: &plans, pieces: 9, per_set: 1 }]).is_err());
}

#[test]
fn nothing_to_sell_is_a_plan_without_listings() {
    for sizing in [sizing(0, &[lot(1, 9.0)], &plain()), sizing(7, &[], &plain())] {
        let choice = sizing.by_profit(None).expect("no limit").choice(sizing.pieces()).expect("planned for");
        assert!(choice.best.listings.is_empty() && choice.second.is_none() && choice.runner_up.is_none());
        assert_eq!(choice.best.profit(Money::from_cents(500)), -5.0);
        assert_eq!(choice.best.contribution_per_hour(Money::ZERO), None);
        assert_eq!(sizing.per_hour(sizing.pieces(), Money::ZERO, None), Ok(None));
        assert_eq!(sizing.equal_lots(sizing.pieces()), Ok(vec![]));
    }
}

#[test]
fn a_price_that_fees_eat_has_no_break_even() {
    let mut terms = plain();
    terms.fees.share_of_item = 1.0;
    assert_eq!(lot(2, 5.0).break_even(&terms), Ok(None));
    terms.fees.share_of_item = 0.1;
    terms.fees.fixed = Money::from_cents(40);
    // 10 % and 0.40: at 0.44 the fee is 0.44; at 0.45 it is 0.445, rounded up to 0.45; at 0.46 it is 0.45.
    assert_eq!(lot(2, 5.0).break_even(&terms), Ok(Some(Money::from_cents(46))));
}
