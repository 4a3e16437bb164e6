//! What holds for every offer.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use proptest::prelude::*;
use selling::{
    CounterCase, CounterRounding, NetOf, OfferCase, OfferSizes, PostedDemand, Reply, Search, Waiting,
    answer_offer, plan_counter, posted_worth, reservation, worth_by_deadline,
};

fn sizes() -> impl Strategy<Value = OfferSizes> {
    prop_oneof![
        (1.0..200.0).prop_map(|mean| OfferSizes::Exponential { mean }),
        (0.0..50.0, 1.0..100.0).prop_map(|(low, width)| OfferSizes::Uniform { low, high: low + width }),
        (1.0..200.0, 0.05..1.5).prop_map(|(median, sigma)| OfferSizes::Lognormal { median, sigma }),
    ]
}

fn search() -> impl Strategy<Value = Search> {
    (sizes(), 0.001..2.0, 0.001..1.0, 0.0..0.01).prop_map(|(sizes, per_day, holding, discount)| Search {
        sizes,
        per_day,
        holding_per_day: holding,
        discount_per_day: discount,
    })
}

fn waiting() -> impl Strategy<Value = Waiting> {
    prop_oneof![
        search().prop_map(Waiting::Offers),
        (0.001..5.0, 0.005..1.0, 1_u32..40, 0_u32..40).prop_map(|(a, alpha, wanted, more)| {
            let demand = PostedDemand::new(a, alpha).unwrap();
            Waiting::Posted { demand, lots_left: wanted + more, lots_wanted: wanted }
        }),
    ]
}

proptest! {
    #[test]
    fn a_longer_deadline_never_lowers_what_lots_are_worth(
        a in 0.001..50.0, alpha in 0.001..2.0, lots in 1_u32..60, days in 0.0..400.0, more in 0.0..400.0,
    ) {
        let demand = PostedDemand::new(a, alpha).unwrap();
        let (short, long) =
            (posted_worth(&demand, lots, days).unwrap(), posted_worth(&demand, lots, days + more).unwrap());
        prop_assert!(short.value() <= long.value() * (1.0 + 1e-12));
        prop_assert!(short.expected_sold <= f64::from(lots) * (1.0 + 1e-12));
    }

    #[test]
    fn each_further_lot_adds_something_and_less_than_the_one_before(
        a in 0.001..1e5, alpha in 0.001..2.0, days in 0.1..3650.0,
    ) {
        let worth = posted_worth(&PostedDemand::new(a, alpha).unwrap(), 1000, days).unwrap();
        for pair in worth.opportunity_costs.windows(2) {
            prop_assert!(pair[0] >= pair[1] && pair[1] >= 0.0, "{pair:?}");
        }
        for pair in worth.values.windows(2) {
            prop_assert!(pair[1].is_finite() && pair[1] >= pair[0]);
        }
        let all = worth.worth_of(1000).unwrap();
        prop_assert!((all - worth.value()).abs() <= 1e-9 * all.max(1e-300));
        prop_assert_eq!(worth.worth_of(1001), None);
    }

    #[test]
    fn the_best_posted_price_beats_its_neighbours(
        a in 0.01..5.0, alpha in 0.01..1.0, days in 1.0..200.0, lots in 1_u32..20,
    ) {
        let demand = PostedDemand::new(a, alpha).unwrap();
        let worth = posted_worth(&demand, lots, days).unwrap();
        let last = worth.lots() - 1;
        let gain = |price: f64| demand.rate(price) * (price - worth.opportunity_costs[last]);
        let best = worth.best_prices[last];
        prop_assert!(gain(best) >= gain(best * 1.01) && gain(best) >= gain(best * 0.99));
    }

    #[test]
    fn costs_move_the_price_axis_and_nothing_else(
        a in 0.01..5.0, alpha in 0.01..1.0, fee in 0.0..0.5, costs in -10.0..30.0, price in 0.0..200.0,
    ) {
        let demand = PostedDemand::new(a, alpha).unwrap();
        let net = demand.after_costs(fee, costs).unwrap();
        let (by_price, by_net) = (demand.rate(price), net.rate(price * (1.0 - fee) - costs));
        prop_assert!((by_price - by_net).abs() <= 1e-9 * by_price);
    }

    #[test]
    fn a_fitted_demand_has_the_rate_and_the_elasticity_of_the_median(
        median in 1.0..500.0, rate in 0.001..1.0, kappa in 0.5..6.0,
    ) {
        let demand = PostedDemand::fit(median, rate, kappa).unwrap();
        prop_assert!((demand.rate(median) / rate - 1.0).abs() < 1e-10);
        let step = 1e-5;
        let slope = (demand.rate(median * f64::exp(step)).ln() - demand.rate(median * f64::exp(-step)).ln())
            / (2.0 * step);
        prop_assert!((slope + kappa).abs() < 1e-5 * kappa);
        prop_assert!((demand.a_per_day() / (rate * kappa.exp()) - 1.0).abs() < 1e-10);
    }

    #[test]
    fn a_deadline_never_makes_waiting_worth_more_and_a_later_one_never_less(
        search in search(), days in 0.0..300.0, more in 0.0..300.0, rest in 0.0..5.0,
    ) {
        let short = worth_by_deadline(&search, days, rest).unwrap();
        let long = worth_by_deadline(&search, days + more, rest).unwrap();
        let slack = 1e-8 * search.sizes.mean().max(1.0);
        prop_assert!(rest <= short.value + slack && short.value <= long.value + slack);
        prop_assert!(long.value <= long.without_deadline.unwrap() + slack);
        prop_assert!((0.0..=1.0).contains(&short.chance_taken));
    }

    #[test]
    fn dearer_holding_and_rarer_offers_never_raise_the_reservation_value(
        search in search(), factor in 1.0..5.0,
    ) {
        let base = reservation(&search).unwrap().value;
        let slack = 1e-9 * base.abs().max(1.0);
        let dearer = Search { holding_per_day: search.holding_per_day * factor, ..search };
        let rarer = Search { per_day: search.per_day / factor, ..search };
        prop_assert!(reservation(&dearer).unwrap().value <= base + slack);
        prop_assert!(reservation(&rarer).unwrap().value <= base + slack);
        prop_assert!(search.sizes.mean() > 0.0);
    }

    #[test]
    fn the_threshold_lies_between_the_worth_of_waiting_and_the_ask(
        worth in -20.0..100.0, room in 0.01..100.0, at in 0.0..1.0, stay in 0.0..=1.0, reply in 0.0..20.0,
    ) {
        let ask = worth + room;
        let offer = worth - 10.0 + at * (room + 10.0);
        let case = CounterCase { offer, ask, reservation: worth, stay_probability: stay, reply_cost: reply };
        let plan = plan_counter(&case).unwrap();
        prop_assert!(worth <= plan.threshold && plan.threshold <= ask);
        if let Some(counter) = plan.best_counter {
            prop_assert!(offer < counter && counter < ask);
        }
    }

    #[test]
    fn the_choice_is_the_answer_that_gains_most(
        worth in 0.0..100.0, room in 0.01..100.0, at in 0.0..1.0, stay in 0.0..=1.0, reply in 0.0..5.0,
    ) {
        use selling::CounterChoice;
        let ask = worth + room;
        let offer = worth - 10.0 + at * (room + 9.0);
        let case = CounterCase { offer, ask, reservation: worth, stay_probability: stay, reply_cost: reply };
        let plan = plan_counter(&case).unwrap();
        let counter = if plan.best_counter.is_some() { plan.gain_of_counter } else { f64::NEG_INFINITY };
        let best = plan.gain_of_accepting.max(counter).max(0.0);
        let chosen = match plan.choice {
            CounterChoice::Accept => plan.gain_of_accepting,
            CounterChoice::Counter => counter,
            CounterChoice::Decline => 0.0,
        };
        prop_assert!(chosen >= best - 2e-8, "{plan:?}");
    }

    #[test]
    fn an_answer_keeps_its_prices_in_order(
        waiting in waiting(), ask in 100_i64..20_000, share in 0.0..1.0, fee in 0.0..0.3,
        costs in -500_i64..2000, days in 0.0..200.0, stay in 0.0..=1.0, reply in 0_i64..100,
        whole_cents in any::<bool>(),
    ) {
        let offer = Money::from_cents((ask as f64 * share) as i64);
        let ask = Money::from_cents(ask);
        let net = NetOf::Linear { fee_share: fee, costs: Money::from_cents(costs) };
        let rounding =
            if whole_cents { CounterRounding::WholeCents } else { CounterRounding::NinetyNineOrFifty };
        let case = OfferCase {
            stay_probability: stay,
            reply_cost: Money::from_cents(reply),
            rounding,
            ..OfferCase::new(offer, ask, net, waiting, days)
        };
        let answer = answer_offer(&case).unwrap();
        prop_assert!(answer.auto_decline_below <= answer.floor);
        prop_assert!(answer.floor <= answer.accept_from);
        let worth = answer.waiting.value;
        let kept = |item: Money| item.cents() as f64 / 100.0 * (1.0 - fee) - costs as f64 / 100.0;
        prop_assert!(kept(answer.floor) >= worth - 1e-7);
        let under = answer.floor - Money::from_cents(1);
        prop_assert!(under < Money::ZERO || kept(under) < worth);
        if kept(ask) >= worth {
            prop_assert!(answer.accept_from <= ask);
        }
        match answer.reply {
            Reply::CounterAt(counter) => {
                prop_assert!(offer < counter && counter < ask);
                prop_assert!(counter >= answer.floor);
                prop_assert!(offer < answer.accept_from);
                prop_assert!(answer.counter.unwrap().gain > 0.0);
            }
            Reply::Accept => prop_assert!(offer >= answer.floor || offer >= ask),
            Reply::Decline => prop_assert!(offer < answer.floor),
        }
        prop_assert!(!answer.to_string().is_empty());
    }
}
