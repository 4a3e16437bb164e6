//! No figures whatever make a decision panic or stop being a number.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use proptest::prelude::*;
use selling::{
    BuyCase, BuyTargets, Delivered, LotKind, NewsvendorCase, PriceCase, best_quantity, buy_decision,
    loss_risk, price_limits, sell_through_break_even,
};

fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        1 => proptest::sample::select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, -0.0]),
        6 => proptest::sample::select(vec![
            0.0, f64::MIN_POSITIVE, 1e-300, 1e-9, 0.01, 0.5, 1.0 - f64::EPSILON, 1.0, 2.0, 5.0, 100.0, 1e4,
            1e7,
        ]),
        4 => 0.0..1.0,
        4 => 0.0..100.0,
    ]
}

/// Mostly a share, so that cases with many of them are not all refused.
fn share() -> impl Strategy<Value = f64> {
    prop_oneof![1 => figure(), 12 => 0.0..1.0]
}

fn money() -> impl Strategy<Value = Money> {
    prop_oneof![
        1 => proptest::sample::select(vec![i64::MIN, -1, i64::MAX]),
        8 => 0_i64..100_000,
        2 => proptest::sample::select(vec![0, 1, 1_000_000_000]),
    ]
    .prop_map(Money::from_cents)
}

fn kind() -> impl Strategy<Value = LotKind<'static>> {
    (0_u32..9, figure(), share(), share(), share(), share(), figure(), proptest::option::of(figure()))
        .prop_map(|(lots, median, sigma, fee, chance_sold, unsold, cost, guarded)| LotKind {
            guarded_price: guarded,
            chance_sold,
            unsold_worth: unsold,
            ..LotKind::new("lots", lots, median, sigma, fee, cost)
        })
}

fn targets() -> impl Strategy<Value = BuyTargets> {
    (
        money(),
        proptest::option::of(share()),
        proptest::option::of(money()),
        proptest::option::of(share()),
        any::<bool>(),
    )
        .prop_map(|(wage, return_on_cost, minimum_profit, loss_chance, loss_counts_wage)| BuyTargets {
            wage,
            return_on_cost,
            minimum_profit,
            loss_chance,
            loss_counts_wage,
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_purchase_is_decided_in_sentences_or_refused(
        kinds in proptest::collection::vec(kind(), 0..3), asking in money(), targets in targets(),
        hours in figure(), tax in share(), guard in proptest::option::of(share()), odd in figure(),
    ) {
        let case = BuyCase {
            targets,
            tax_share: tax,
            price_percentile: guard,
            ..BuyCase::new(asking, &kinds, hours)
        };
        if let Ok(decision) = buy_decision(&case) {
            prop_assert!(decision.most_to_pay >= Money::ZERO);
            prop_assert!(decision.limits.most.is_finite());
            prop_assert!((0.0..=1.0).contains(&decision.at_asking.chance_of_loss));
            prop_assert!(decision.reasons().len() >= 6);
        }
        // Quantiles that are none: constant, falling, beyond every price.
        let of = |share: f64| odd * (0.5 - share);
        if let Some(first) = kinds.first() {
            let told = [LotKind { delivered: Delivered::Quantiles { of: &of, mean: odd }, ..*first }];
            if let Ok(risk) = loss_risk(&told, hours, tax) {
                prop_assert!((0.0..=1.0).contains(&risk.chance_of_loss));
            }
        }
        if let Ok(risk) = loss_risk(&kinds, hours, tax) {
            prop_assert!(risk.most_to_pay.is_finite() && !risk.to_string().is_empty());
        }
    }

    #[test]
    fn any_limits_and_shares_are_answered_or_refused(
        gross in figure(), costs in figure(), hours in figure(), risk in proptest::option::of(figure()),
        targets in targets(), lots in 0_u32..9,
    ) {
        let case = PriceCase { gross, other_costs: costs, hours, by_loss_chance: risk };
        if let Ok(found) = price_limits(&case, &targets) {
            prop_assert!(found.most.is_finite() && !found.to_string().is_empty());
        }
        if let Ok(found) = sell_through_break_even(gross, lots, costs) {
            prop_assert!(!found.to_string().is_empty());
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_quantity_is_answered_or_refused(
        net in figure(), cost in figure(), salvage in figure(), mean in figure(),
    ) {
        let case =
            NewsvendorCase { net_per_piece: net, unit_cost: cost, salvage, expected_demand: mean };
        if let Ok(found) = best_quantity(&case) {
            prop_assert!(found.expected_profit.is_finite() && !found.to_string().is_empty());
            prop_assert!((0.0..=1.0).contains(&found.chance_all_sold));
        }
    }
}
