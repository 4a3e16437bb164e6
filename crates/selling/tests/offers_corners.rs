//! No figures whatever make an answer panic or stop being a number.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use proptest::prelude::*;
use selling::{
    CounterCase, CounterRounding, NetOf, OfferCase, OfferSizes, PostedDemand, Search, Waiting, Weighing,
    answer_offer, offers_left_values, plan_counter, posted_worth, reservation, uniform_by_deadline,
    worth_by_deadline,
};

fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        1 => proptest::sample::select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, -0.0]),
        6 => proptest::sample::select(vec![
            0.0, f64::MIN_POSITIVE, 1e-300, 1e-30, 1e-9, 0.01, 0.5, 1.0 - f64::EPSILON, 1.0, 2.0, 5.0, 100.0,
            1e4, 36_525.0, 1e6, 1e7,
        ]),
        3 => 0.0..1.0,
        3 => 0.0..100.0,
    ]
}

fn money() -> impl Strategy<Value = Money> {
    prop_oneof![
        1 => proptest::sample::select(vec![i64::MIN, -1, i64::MAX, 1_000_000_000]),
        5 => 0_i64..100_000,
    ]
    .prop_map(Money::from_cents)
}

fn sizes() -> impl Strategy<Value = OfferSizes> {
    prop_oneof![
        figure().prop_map(|mean| OfferSizes::Exponential { mean }),
        (figure(), figure()).prop_map(|(low, high)| OfferSizes::Uniform { low, high }),
        (figure(), figure()).prop_map(|(median, sigma)| OfferSizes::Lognormal { median, sigma }),
    ]
}

fn search() -> impl Strategy<Value = Search> {
    (sizes(), figure(), figure(), figure()).prop_map(|(sizes, per_day, holding, discount)| Search {
        sizes,
        per_day,
        holding_per_day: holding,
        discount_per_day: discount,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_search_is_answered_with_numbers_or_refused(
        search in search(), days in figure(), rest in figure(),
    ) {
        if let Ok(found) = reservation(&search) {
            prop_assert!(found.value.is_finite() && (0.0..=1.0).contains(&found.accept_probability));
            prop_assert!(!found.mean_wait_days.is_nan() && !found.to_string().is_empty());
        }
        if let Ok(found) = worth_by_deadline(&search, days, rest) {
            prop_assert!(found.value.is_finite() && found.value >= rest, "{found:?}");
            prop_assert!((0.0..=1.0).contains(&found.chance_taken), "{found:?}");
            if let Some(endless) = found.without_deadline {
                let slack = 1e-8 * search.sizes.mean().max(rest).max(1.0);
                prop_assert!(found.value <= endless + slack, "{found:?}");
            }
        }
    }

    #[test]
    fn any_demand_is_answered_with_numbers_or_refused(
        a in figure(), alpha in figure(), kappa in figure(), fee in figure(), costs in figure(),
        lots in 0_u32..300, days in figure(),
    ) {
        for demand in [PostedDemand::new(a, alpha), PostedDemand::fit(a, alpha, kappa)].into_iter().flatten() {
            for demand in [Ok(demand), demand.after_costs(fee, costs)].into_iter().flatten() {
                if let Ok(found) = posted_worth(&demand, lots, days) {
                    prop_assert!(found.value().is_finite() && found.value() >= 0.0, "{demand:?}");
                    prop_assert!((0.0..=1.0 + 1e-9).contains(&found.chance_all_sold), "{demand:?}");
                    prop_assert!(found.expected_sold >= 0.0 && found.expected_sold.is_finite());
                    prop_assert!(found.best_prices.iter().all(|price| price.is_finite()));
                    prop_assert!(!found.to_string().is_empty());
                }
            }
        }
        let _ = uniform_by_deadline(a);
        let _ = offers_left_values(lots);
    }

    #[test]
    fn any_counter_is_answered_with_numbers_or_refused(
        offer in figure(), ask in figure(), worth in figure(), stay in figure(), reply in figure(),
    ) {
        let case = CounterCase { offer, ask, reservation: worth, stay_probability: stay, reply_cost: reply };
        if let Ok(found) = plan_counter(&case) {
            prop_assert!(found.threshold.is_finite() && found.gain_of_counter.is_finite());
            prop_assert!(!found.to_string().is_empty());
        }
    }

    #[test]
    fn any_offer_is_answered_in_sentences_or_refused(
        offer in money(), ask in money(), costs in money(), fee in figure(), search in search(),
        demand in (0.001..1.0, 0.001..1.0), lots in (0_u32..5, 0_u32..5), days in figure(), rest in money(),
        stay in figure(), reply in money(), which in 0..4,
    ) {
        let demand = PostedDemand::new(demand.0, demand.1).unwrap();
        let waiting = match which {
            0 => Waiting::Offers(search),
            1 => Waiting::Posted { demand, lots_left: lots.0, lots_wanted: lots.1 },
            2 => Waiting::Both { search, demand, weighing: Weighing::Smaller },
            _ => Waiting::Both { search, demand, weighing: Weighing::Larger },
        };
        let own = |item: Money| if item.cents() % 7 == 0 { item - costs } else { costs - item };
        for net in [NetOf::Linear { fee_share: fee, costs }, NetOf::Function(&own)] {
            for rounding in [CounterRounding::NinetyNineOrFifty, CounterRounding::WholeCents] {
                let case = OfferCase {
                    at_deadline: rest,
                    stay_probability: stay,
                    reply_cost: reply,
                    rounding,
                    ..OfferCase::new(offer, ask, net, waiting, days)
                };
                match answer_offer(&case) {
                    Ok(answer) => prop_assert!(answer.reasons().len() >= 5),
                    Err(refusal) => prop_assert!(refusal.to_string().contains("right would be")),
                }
            }
        }
    }
}
