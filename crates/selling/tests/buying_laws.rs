//! What holds for every purchase.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use proptest::prelude::*;
use selling::{
    BuyCase, BuyDecision, BuyTargets, Delivered, LotKind, NewsvendorCase, PriceCase, Verdict, best_quantity,
    buy_decision, loss_risk, price_limits, sell_through_break_even,
};

fn kind() -> impl Strategy<Value = LotKind<'static>> {
    (1_u32..12, 5.0..150.0, 0.05..0.8, 0.0..0.3, 0.0..40.0, 0.0..=1.0, 0.0..5.0).prop_map(
        |(lots, median, sigma, fee, cost, chance_sold, unsold_worth)| LotKind {
            chance_sold,
            unsold_worth,
            ..LotKind::new("lots", lots, median, sigma, fee, cost)
        },
    )
}

fn targets() -> impl Strategy<Value = BuyTargets> {
    (
        0_i64..3000,
        proptest::option::of(0.0..2.0),
        proptest::option::of(0_i64..3000),
        proptest::option::of(0.01..0.5),
        any::<bool>(),
    )
        .prop_map(|(wage, return_on_cost, profit, loss_chance, loss_counts_wage)| BuyTargets {
            wage: Money::from_cents(wage),
            return_on_cost,
            minimum_profit: profit.map(Money::from_cents),
            loss_chance,
            loss_counts_wage,
        })
}

fn decide(
    kinds: &[LotKind],
    targets: BuyTargets,
    asking: i64,
    hours: f64,
    tax: f64,
    guard: Option<f64>,
) -> BuyDecision {
    let case = BuyCase {
        targets,
        tax_share: tax,
        price_percentile: guard,
        ..BuyCase::new(Money::from_cents(asking), kinds, hours)
    };
    buy_decision(&case).unwrap()
}

proptest! {
    #[test]
    fn nothing_that_makes_a_purchase_worse_raises_the_most_to_pay(
        kinds in proptest::collection::vec(kind(), 1..4), targets in targets(), hours in 0.0..6.0,
        tax in 0.0..0.12, guard in proptest::option::of(0.1..0.9), by in 0.0..1.0,
    ) {
        let most = |kinds: &[LotKind], targets: BuyTargets, hours: f64, tax: f64| {
            decide(kinds, targets, 1000, hours, tax, guard).most_to_pay
        };
        let base = most(&kinds, targets, hours, tax);
        let with = |change: &dyn Fn(&mut LotKind)| {
            let mut changed = kinds.clone();
            changed.iter_mut().for_each(change);
            most(&changed, targets, hours, tax)
        };
        prop_assert!(base >= Money::ZERO);
        prop_assert!(with(&|kind| kind.fee_share += 0.5 * by) <= base, "fee");
        prop_assert!(with(&|kind| kind.cost_per_lot += 10.0 * by) <= base, "cost");
        prop_assert!(with(&|kind| kind.unsold_worth *= 1.0 - by) <= base, "salvage");
        let wage = BuyTargets { wage: targets.wage + Money::from_cents((by * 1000.0) as i64), ..targets };
        prop_assert!(most(&kinds, wage, hours, tax) <= base, "wage");
        let roi = targets.return_on_cost.unwrap_or(0.0) + by;
        let more_return = BuyTargets { return_on_cost: Some(roi), ..targets };
        prop_assert!(most(&kinds, more_return, hours, tax) <= base, "return");
        let safer = targets.loss_chance.unwrap_or(0.9) * (1.0 - 0.9 * by);
        let safer = BuyTargets { loss_chance: Some(safer), ..targets };
        prop_assert!(most(&kinds, safer, hours, tax) <= base, "risk");
        prop_assert!(most(&kinds, targets, hours + by, tax) <= base, "hours");
        prop_assert!(most(&kinds, targets, hours, tax + 0.5 * by) <= base, "tax");
        prop_assert!(
            with(&|kind| if let Delivered::Lognormal { median, .. } = &mut kind.delivered {
                *median *= 1.0 + by;
            }) >= base,
            "better prices"
        );
    }

    #[test]
    fn the_most_to_pay_rises_with_gross_and_keeps_every_limit(
        gross in 0.0..500.0, more in 0.0..100.0, costs in 0.0..300.0, hours in 0.0..10.0,
        targets in targets(),
    ) {
        let of = |gross: f64| {
            let case = PriceCase { gross, other_costs: costs, hours, by_loss_chance: None };
            price_limits(&case, &targets).unwrap()
        };
        let (low, high) = (of(gross), of(gross + more));
        prop_assert!(low.most <= high.most);
        let paid = low.most;
        let profit = low.proceeds - low.labour - paid;
        prop_assert!(profit >= -1e-7);
        if let Some(share) = targets.return_on_cost && paid > 0.0 {
            prop_assert!(profit >= share * paid - 1e-7);
        }
        if let Some(least) = targets.minimum_profit {
            prop_assert!(profit >= least.cents() as f64 / 100.0 - 1e-7);
        }
    }

    #[test]
    fn one_kind_has_the_chance_of_loss_of_the_closed_form(
        median in 5.0..150.0, sigma in 0.05..0.8, lots in 1_u32..12, fee in 0.0..0.3, cost in 0.0..40.0,
        paid in 0.0..100.0,
    ) {
        let found =
            loss_risk(&[LotKind::new("lots", lots, median, sigma, fee, cost)], paid, 0.10).unwrap();
        let break_even = (paid / f64::from(lots) + cost) / (1.0 - fee);
        let z = (break_even.ln() - median.ln()) / sigma;
        let closed = 0.5 * libm::erfc(-z / 2_f64.sqrt());
        prop_assert!((found.chance_of_loss - closed).abs() < 1e-10, "{} {closed}", found.chance_of_loss);
        prop_assert!((found.break_even_delivered[0] - break_even).abs() < 1e-9 * break_even.max(1.0));
    }

    #[test]
    fn one_kind_cut_into_two_or_told_by_quantiles_risks_the_same(
        median in 5.0..150.0, sigma in 0.05..0.8, fee in 0.0..0.3, cost in 0.0..40.0, paid in 0.0..100.0,
    ) {
        let whole = LotKind::new("lots", 5, median, sigma, fee, cost);
        let (two, three) = (LotKind { lots: 2, ..whole }, LotKind { lots: 3, ..whole });
        let of = |share: f64| median * (sigma * quantile(share)).exp();
        let mean = median * f64::exp(0.5 * sigma * sigma);
        let told = LotKind { delivered: Delivered::Quantiles { of: &of, mean }, ..whole };
        let one = loss_risk(&[whole], paid, 0.10).unwrap();
        for other in [loss_risk(&[two, three], paid, 0.10).unwrap(), loss_risk(&[told], paid, 0.10).unwrap()]
        {
            prop_assert!((one.chance_of_loss - other.chance_of_loss).abs() < 1e-9);
            prop_assert!((one.expected_profit - other.expected_profit).abs() < 1e-9);
            prop_assert!((one.most_to_pay - other.most_to_pay).abs() < 1e-6);
        }
    }

    #[test]
    fn paying_the_most_for_a_chance_of_loss_risks_just_that_chance(
        kinds in proptest::collection::vec(kind(), 1..4), chance in 0.01..0.5,
    ) {
        let sells = kinds.iter().any(|kind| kind.chance_sold > 0.01);
        let most = loss_risk(&kinds, 0.0, chance).unwrap().most_to_pay;
        prop_assume!(sells && most > 0.0);
        let at_most = loss_risk(&kinds, most, chance).unwrap();
        prop_assert!((at_most.chance_of_loss - chance).abs() < 1e-9);
        prop_assert!(at_most.profit_in_bad_luck.abs() < 1e-9);
        prop_assert!(loss_risk(&kinds, most + 1.0, chance).unwrap().chance_of_loss >= chance);
    }

    #[test]
    fn a_verdict_agrees_with_its_figures(
        kinds in proptest::collection::vec(kind(), 1..4), targets in targets(), hours in 0.0..6.0,
        asking in 0_i64..20_000, tax in 0.0..0.12,
    ) {
        let decision = decide(&kinds, targets, asking, hours, tax, Some(0.4));
        let asking = Money::from_cents(asking);
        match decision.verdict {
            Verdict::Buy => {
                prop_assert!(asking <= decision.most_to_pay);
                prop_assert!(decision.at_asking.expected_profit >= Money::ZERO);
                if let Some(chance) = targets.loss_chance {
                    prop_assert!(decision.at_asking.chance_of_loss <= chance + 1e-9);
                }
            }
            Verdict::HaggleTo(price) => prop_assert!(price == decision.most_to_pay && price < asking),
            Verdict::Leave => prop_assert!(decision.most_to_pay == Money::ZERO),
        }
        if decision.not_even_free.is_some() {
            prop_assert_eq!(decision.verdict, Verdict::Leave);
        }
        prop_assert!(decision.reasons().len() >= 6);
    }

    #[test]
    fn the_best_quantity_brings_no_less_than_its_neighbours(
        net in 0.0..30.0, cost in 0.1..20.0, salvage in 0.0..0.99, mean in 0.1..60.0,
    ) {
        let case = NewsvendorCase {
            net_per_piece: net, unit_cost: cost, salvage: salvage * cost, expected_demand: mean,
        };
        let best = best_quantity(&case).unwrap();
        let profit = |quantity: u32| case.at(quantity).unwrap().expected_profit;
        prop_assert!(best.expected_profit >= profit(best.quantity + 1) - 1e-9);
        prop_assert!(best.expected_profit >= profit(best.quantity.saturating_sub(1)) - 1e-9);
    }

    #[test]
    fn the_lots_of_the_break_even_bring_the_money_back_and_one_less_does_not(
        paid in 0.01..300.0, lots in 1_u32..30, net in -5.0..60.0,
    ) {
        let found = sell_through_break_even(paid, lots, net).unwrap();
        match found.lots {
            Some(enough) => {
                prop_assert!(f64::from(enough) * net >= paid - 1e-5);
                prop_assert!(f64::from(enough - 1) * net < paid);
                prop_assert!((found.share.unwrap() - paid / (f64::from(lots) * net)).abs() < 1e-12);
            }
            None => prop_assert!(f64::from(lots) * net < paid),
        }
    }
}

/// The normal quantile by bisection on the library's error function.
fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-39.0, 39.0);
    for _ in 0..200 {
        let middle: f64 = 0.5 * (low + high);
        if 0.5 * libm::erfc(-middle / 2_f64.sqrt()) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
