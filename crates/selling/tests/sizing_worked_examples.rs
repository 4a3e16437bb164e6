//! Two invented piles, eleven heavy glasses and twenty-four light pieces, whose every plan of equal lots and
//! whose best mixture were computed once by an independent program; here all of it is computed again.

use std::collections::BTreeMap;

use measure::Money;
use selling::{Demand, EqualLots, FeeRule, LotSize, OrderCost, Sizing, Split, Terms};
use serde_json::Value;

/// As given with the examples, in the unit of each figure.
const TOLERANCE: f64 = 1e-4;

fn examples() -> BTreeMap<String, Value> {
    serde_json::from_str(include_str!("data/economics_lot_sizing.json")).expect("an object")
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn numbers(value: &Value, key: &str) -> Vec<f64> {
    value[key].as_array().expect(key).iter().map(|v| v.as_f64().expect(key)).collect()
}

fn whole(value: &Value, key: &str) -> u32 {
    u32::try_from(value[key].as_u64().expect(key)).expect(key)
}

fn money(amount: f64) -> Money {
    Money::from_cents_rounded(amount * 100.0)
}

fn terms(inputs: &Value) -> Terms {
    let share = number(inputs, "fee_pct");
    Terms {
        fees: FeeRule {
            share_of_item: share,
            share_of_shipping: share,
            share_of_tax: if inputs["fee_on_tax"] == true { share } else { 0.0 },
            fixed: money(number(inputs, "fee_fixed")),
            share_given_back: 1.0,
        },
        tax_rate: number(inputs, "tax_rate"),
        wage: number(inputs, "wage"),
        listing_minutes: number(inputs, "min_listing"),
        chance_of_damage: number(inputs, "p_damage"),
        holding: number(inputs, "hold_piece_day"),
    }
}

fn demand(inputs: &Value) -> Demand {
    let natural = inputs["natural_sizes"].as_array().expect("sizes").iter();
    Demand {
        at_one: number(inputs, "rate1"),
        gamma: number(inputs, "rate_gamma"),
        natural: natural.map(|v| u32::try_from(v.as_u64().expect("a size")).expect("a size")).collect(),
        odd: number(inputs, "odd_size_demand"),
        horizon_days: number(inputs, "horizon"),
        ..Demand::default()
    }
}

fn lot(inputs: &Value, pieces: u32, demand: &Demand) -> LotSize {
    let s = f64::from(pieces);
    let get = |key| number(inputs, key);
    let ounces = s * get("piece_oz") + get("pack_oz_base") + s * get("pack_oz_piece");
    let further_pounds = (ounces / 16.0).ceil() - 1.0;
    let zones = numbers(inputs, "zone_base").into_iter().zip(numbers(inputs, "zone_per_lb"));
    let shares = numbers(inputs, "zone_share");
    let postage = zones.zip(shares).map(|((base, per), share)| share * (base + per * further_pounds)).sum();
    let order = OrderCost {
        postage,
        materials: get("mat_base") + get("mat_piece") * s,
        minutes: get("min_parcel") + get("min_piece") * s,
        shipping_charged: money(get("ship_charged")),
    };
    LotSize {
        pieces,
        delivered: get("q1") * s.powf(1.0 + get("beta")),
        rate_per_day: demand.rate(pieces),
        orders: BTreeMap::from([(1, order)]),
    }
}

fn sizing(inputs: &Value) -> Sizing {
    let demand = demand(inputs);
    let sizes: Vec<LotSize> = (1..=whole(inputs, "max_lot")).map(|s| lot(inputs, s, &demand)).collect();
    Sizing::new(whole(inputs, "pieces"), &sizes, &terms(inputs), &demand).expect("figures in range")
}

fn near(found: f64, expected: &Value, key: &str) {
    let expected = number(expected, key);
    assert!((found - expected).abs() < TOLERANCE, "{key}: {found} instead of {expected}");
}

fn equal_plan(split: &Split, expected: &Value, cost: Money) {
    let parts: BTreeMap<u32, u32> = serde_json::from_value(expected["parts"].clone()).expect("parts");
    assert_eq!(split.parts(), parts);
    assert_eq!(split.dropped(), whole(expected, "dropped_pieces"));
    near(split.net_of_lots(), expected, "net_of_lots");
    near(split.listing_labour(), expected, "listing_labour");
    near(split.piece_days(), expected, "piece_days");
    near(split.holding(), expected, "holding");
    near(split.profit(cost), expected, "profit");
    near(split.hours(), expected, "hours");
    near(split.contribution_per_hour(cost).expect("work"), expected, "contribution_per_hour");
    near(split.last_sale_day(), expected, "last_sale_day");
    let rows = expected["rows"].as_array().expect("rows");
    assert_eq!(split.listings.len(), rows.len());
    for (listing, row) in split.listings.iter().zip(rows) {
        assert_eq!((listing.size, listing.lots), (whole(row, "size"), whole(row, "count")));
        near(listing.orders[0].net, row, "net_per_lot");
        near(listing.rate_per_day, row, "rate_per_day");
        near(listing.expected.piece_days, row, "piece_days");
        near(listing.expected.last_sale_day, row, "last_sale_day");
        near(listing.sold_by_horizon, row, "expected_sold_by_horizon");
        near(listing.all_by_horizon, row, "prob_all_by_horizon");
        let (found, small) = (listing.all_by_horizon, number(row, "prob_all_by_horizon"));
        assert!((found / small - 1.0).abs() < 1e-6, "a small chance is as exact: {found} for {small}");
    }
}

#[test]
fn every_plan_of_equal_lots_has_every_figure_of_the_example() {
    for (name, example) in examples() {
        let inputs = &example["inputs"];
        let cost = money(number(inputs, "cost"));
        let plans = sizing(inputs).equal_lots(whole(inputs, "pieces")).expect("planned for");
        let expected = example["uniform_plans"].as_array().expect("plans");
        assert_eq!(plans.len(), expected.len(), "{name}");
        for (plan, expected) in plans.iter().zip(expected) {
            assert_eq!(plan.size, whole(expected, "s"), "{name}");
            equal_plan(&plan.split, expected, cost);
            let (order, of_lot) = (&plan.split.listings[0].orders[0], &expected["lot"]);
            for (cents, key) in [
                (order.delivered, "delivered"),
                (order.items, "item"),
                (order.tax, "buyer_tax"),
                (order.fee, "fee"),
            ] {
                assert_eq!(cents, money(number(of_lot, key)), "{name}, lots of {}, {key}", plan.size);
            }
            near(order.postage, of_lot, "postage");
            near(order.materials, of_lot, "materials");
            near(order.minutes, of_lot, "minutes");
            near(order.labour, of_lot, "labour");
            near(order.damage, of_lot, "damage");
            near(order.net, of_lot, "net_per_lot");
            near(order.net_per_piece(), of_lot, "net_per_piece");
        }
    }
}

#[test]
fn the_best_plan_of_equal_lots_is_that_of_the_example_by_profit_and_per_hour() {
    for (name, example) in examples() {
        let inputs = &example["inputs"];
        let cost = money(number(inputs, "cost"));
        let plans = sizing(inputs).equal_lots(whole(inputs, "pieces")).expect("planned for");
        let best = |figure: &dyn Fn(&EqualLots) -> f64| {
            plans.iter().max_by(|a, b| figure(a).total_cmp(&figure(b))).map(|plan| plan.size)
        };
        let by_profit = best(&|plan| plan.split.profit(cost));
        assert_eq!(by_profit, Some(whole(&example, "best_uniform_profit")), "{name}");
        let per_hour = best(&|plan| plan.split.contribution_per_hour(cost).expect("work"));
        assert_eq!(per_hour, Some(whole(&example, "best_uniform_per_hour")), "{name}");
    }
}

#[test]
fn the_best_mixture_is_that_of_the_example() {
    for (name, example) in examples() {
        let inputs = &example["inputs"];
        let pieces = whole(inputs, "pieces");
        let sizing = sizing(inputs);
        let expected = &example["mixed_optimum"];
        let best = sizing.by_profit(None).expect("no limit").split(pieces).expect("planned for");
        equal_plan(&best, expected, money(number(inputs, "cost")));
        near(best.worth(), expected, "value_before_goods");
        let limited = sizing.by_profit(Some(2)).expect("two").split(pieces).expect("planned for");
        assert_eq!(limited, best, "{name}: the optimum has at most two sizes anyway");
    }
}

#[test]
fn the_close_second_of_eleven_glasses_is_shown() {
    let example = &examples()["glass_eleven"];
    let cost = money(20.0);
    let sizing = sizing(&example["inputs"]);
    let choice = sizing.by_profit(None).expect("no limit").choice(11).expect("planned for");
    let runner_up = choice.runner_up.expect("another size");
    assert_eq!(runner_up.parts(), BTreeMap::from([(4, 2), (3, 1)]));
    let gap = choice.best.gap_to(&runner_up, cost);
    assert!((gap.profit - (12.68959388 - 12.63368744)).abs() < TOLERANCE);
    assert!((gap.hours - (1.066666667 - 1.216666667)).abs() < TOLERANCE);
    assert!((gap.per_hour.expect("work") - (26.89649427 - 25.38385269)).abs() < TOLERANCE);
    assert_eq!(choice.second, Some(runner_up), "nothing lies between them");
}

#[test]
fn a_lot_of_six_glasses_opens_to_its_arithmetic() {
    let example = &examples()["glass_eleven"];
    let inputs = &example["inputs"];
    let six = lot(inputs, 6, &demand(inputs)).money(1, &terms(inputs)).expect("a parcel");
    assert_eq!(six.delivered, Money::from_cents(5608));
    assert_eq!(six.tax, Money::from_cents(381));
    assert_eq!(six.fee, Money::from_cents(803));
    assert_eq!(six.fee_given_back, Money::from_cents(723), "the tax's share is not given back");
    assert!((six.damage - 0.73275).abs() < 1e-12);
    assert!((six.net - 24.60225).abs() < 1e-9);
}
