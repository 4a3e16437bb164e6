//! Answers to offers as the seller sees them.

use measure::Money;
use selling::{
    CounterCase, CounterRounding, NetOf, OfferCase, OfferLimit, OfferSizes, PostedDemand, Reply, Search,
    Waiting, WaitingModel, Weighing, answer_offer, offers_left_values, plan_counter, posted_worth,
    reservation, uniform_by_deadline, worth_by_deadline,
};

const fn money(cents: i64) -> Money {
    Money::from_cents(cents)
}

const AS_IT_IS: NetOf = NetOf::Linear { fee_share: 0.0, costs: Money::ZERO };

/// With no days left a lot is worth just what it is worth at the deadline: a value that can be set.
fn worth_20(offer: i64, ask: i64) -> OfferCase<'static> {
    let sizes = OfferSizes::Uniform { low: 0.0, high: 50.0 };
    let search = Search { sizes, per_day: 0.1, holding_per_day: 0.0, discount_per_day: 0.0 };
    let waiting = Waiting::Offers(search);
    OfferCase {
        at_deadline: money(20_00),
        stay_probability: 0.75,
        ..OfferCase::new(money(offer), money(ask), AS_IT_IS, waiting, 0.0)
    }
}

#[test]
fn from_the_threshold_on_an_offer_is_taken_and_a_cent_under_it_is_countered() {
    let taken = answer_offer(&worth_20(25_00, 40_00)).unwrap();
    assert_eq!((taken.reply, taken.bound_by), (Reply::Accept, OfferLimit::AcceptFrom));
    assert_eq!((taken.accept_from, taken.floor), (money(25_00), money(20_00)));
    let countered = answer_offer(&worth_20(24_99, 40_00)).unwrap();
    assert_eq!(countered.reply, Reply::CounterAt(money(29_99)));
    assert_eq!(countered.bound_by, OfferLimit::CounterGainsMore);
    assert_eq!(countered.counter.unwrap().before_rounding, money(30_00));
    let low = answer_offer(&worth_20(15_00, 40_00)).unwrap();
    assert_eq!((low.reply, low.bound_by), (Reply::CounterAt(money(29_99)), OfferLimit::WorthOfWaiting));
}

#[test]
fn the_counter_named_is_the_price_that_gains_more_of_the_two_nearest() {
    // (46.20 + 20)/2 = 33.10: 32.99 is nearer than 33.50.
    let answer = answer_offer(&worth_20(15_00, 46_20)).unwrap();
    assert_eq!(answer.reply, Reply::CounterAt(money(32_99)));
    // (46.80 + 20)/2 = 33.40: 33.50 is nearer.
    let answer = answer_offer(&worth_20(15_00, 46_80)).unwrap();
    assert_eq!(answer.reply, Reply::CounterAt(money(33_50)));
    let to_the_cent = OfferCase { rounding: CounterRounding::WholeCents, ..worth_20(15_00, 46_80) };
    assert_eq!(answer_offer(&to_the_cent).unwrap().reply, Reply::CounterAt(money(33_40)));
}

#[test]
fn the_ask_itself_is_always_taken() {
    for ask in [10_00, 40_00] {
        for over in [0, 5_00] {
            let answer = answer_offer(&worth_20(ask + over, ask)).unwrap();
            assert_eq!((answer.reply, answer.bound_by), (Reply::Accept, OfferLimit::Ask));
        }
    }
}

#[test]
fn an_ask_under_the_worth_of_waiting_is_told() {
    let answer = answer_offer(&worth_20(15_00, 19_00)).unwrap();
    assert_eq!((answer.reply, answer.bound_by), (Reply::Decline, OfferLimit::AskTooLow));
    assert!(answer.to_string().contains("ask for more"));
    assert_eq!(answer.floor, money(20_00));
}

#[test]
fn an_offer_is_declined_outright_only_when_countering_costs_more_than_it_gains() {
    // 15.00: a counter at 29.99 gains 0.75 * 9.99 * 10.01 / 25 = 3.00 less the reply.
    let cheap = OfferCase { reply_cost: money(2_99), ..worth_20(15_00, 40_00) };
    assert_eq!(answer_offer(&cheap).unwrap().reply, Reply::CounterAt(money(29_99)));
    let dear = OfferCase { reply_cost: money(3_00), ..worth_20(15_00, 40_00) };
    let answer = answer_offer(&dear).unwrap();
    assert_eq!((answer.reply, answer.bound_by), (Reply::Decline, OfferLimit::CostOfReplying));
    assert_eq!((answer.auto_decline_below, answer.counter), (money(17_00), None));
    let alone = OfferCase { stay_probability: 0.0, ..worth_20(15_00, 40_00) };
    let answer = answer_offer(&alone).unwrap();
    assert_eq!((answer.reply, answer.bound_by), (Reply::Decline, OfferLimit::NoBetterPrice));
}

#[test]
fn a_cost_of_replying_lowers_the_price_from_which_accepting_is_best() {
    let plan = |reply_cost: f64| {
        let case =
            CounterCase { offer: 22.0, ask: 40.0, reservation: 20.0, stay_probability: 0.75, reply_cost };
        plan_counter(&case).unwrap()
    };
    assert_eq!(plan(0.0).threshold, 25.0);
    let at = plan(1.0).threshold;
    // At the threshold accepting gains what countering gains.
    assert!(at < 25.0 && (at - 20.0 - (0.75 * 100.0 / (40.0 - at) - 1.0)).abs() < 1e-12);
    assert_eq!(plan(10.0).threshold, 20.0);
}

#[test]
fn prices_between_which_nothing_can_be_named_end_the_haggling() {
    let offer = OfferCase { stay_probability: 1.0, ..worth_20(20_01, 20_02) };
    let answer = answer_offer(&offer).unwrap();
    assert_eq!((answer.reply, answer.counter), (Reply::Accept, None));
}

#[test]
fn a_counter_that_rounding_made_worse_than_the_offer_is_not_named() {
    // Countering at 20.35 would gain 0.306, but 20.50 gains 0.25 and the offer itself 0.30.
    let offer = OfferCase { stay_probability: 1.0, ..worth_20(20_30, 20_70) };
    let answer = answer_offer(&offer).unwrap();
    assert_eq!((answer.reply, answer.bound_by), (Reply::Accept, OfferLimit::NoBetterPrice));
    assert_eq!(answer.accept_from, money(20_35));
    let to_the_cent = OfferCase { rounding: CounterRounding::WholeCents, ..offer };
    assert_eq!(answer_offer(&to_the_cent).unwrap().reply, Reply::CounterAt(money(20_35)));
}

#[test]
fn fee_and_costs_are_taken_off_before_anything_is_compared() {
    let net = NetOf::Linear { fee_share: 0.13, costs: money(9_70) };
    let case = OfferCase { net, ..worth_20(38_00, 60_00) };
    let answer = answer_offer(&case).unwrap();
    // 38.00 leaves 23.36; 20.00 remains of (20 + 9.70)/0.87 = 34.1379, so of 34.14.
    assert_eq!((answer.offer_net, answer.floor), (money(23_36), money(34_14)));
    let own = |item: Money| item - Money::from_cents_rounded(item.cents() as f64 * 0.13) - money(9_70);
    let by_function = answer_offer(&OfferCase { net: NetOf::Function(&own), ..case }).unwrap();
    assert_eq!((by_function.reply, by_function.floor), (answer.reply, answer.floor));
}

#[test]
fn an_offer_for_several_lots_must_bring_what_all_of_them_would() {
    let demand = PostedDemand::new(0.2, 0.05).unwrap();
    let waiting = Waiting::Posted { demand, lots_left: 3, lots_wanted: 2 };
    let case = OfferCase::new(money(30_00), money(90_00), AS_IT_IS, waiting, 60.0);
    let answer = answer_offer(&case).unwrap();
    // J(3) - J(1) = 67.68602171 - 33.78180766
    assert_eq!((answer.floor, answer.worth_of_waiting), (money(33_91), money(33_91)));
    // What lots are worth at the deadline anyway moves the price axis: the demand above 5.00 each.
    let rest = OfferCase { at_deadline: money(5_00), ..case };
    let shifted = PostedDemand::new(0.2 * f64::exp(-0.25), 0.05).unwrap();
    let expected = posted_worth(&shifted, 3, 60.0).unwrap().worth_of(2).unwrap() + 10.0;
    let waiting = answer_offer(&rest).unwrap().waiting;
    assert!((waiting.value - expected).abs() < 1e-9);
    let posted = waiting.by_posted.unwrap();
    let unshifted = posted_worth(&shifted, 3, 60.0).unwrap();
    assert!((posted.value() - unshifted.value() - 15.0).abs() < 1e-9);
    assert!((posted.best_prices[2] - unshifted.best_prices[2] - 5.0).abs() < 1e-9);
    let too_many = Waiting::Posted { demand, lots_left: 3, lots_wanted: 4 };
    let refusal = answer_offer(&OfferCase { waiting: too_many, ..case }).unwrap_err().to_string();
    assert!(refusal.contains("lots_wanted") && refusal.contains("at most the 3 lots"), "{refusal}");
}

#[test]
fn of_two_models_the_smaller_counts_unless_the_larger_is_asked_for() {
    let search = Search {
        sizes: OfferSizes::Exponential { mean: 12.0 },
        per_day: 0.1,
        holding_per_day: 0.05,
        discount_per_day: 0.0,
    };
    let demand = PostedDemand::new(0.2, 0.05).unwrap();
    let offers = worth_by_deadline(&search, 60.0, 0.0).unwrap().value;
    let posted = posted_worth(&demand, 1, 60.0).unwrap().value();
    assert!(offers < posted);
    for (weighing, value, model) in
        [(Weighing::Smaller, offers, WaitingModel::Offers), (Weighing::Larger, posted, WaitingModel::Posted)]
    {
        let waiting = Waiting::Both { search, demand, weighing };
        let case = OfferCase::new(money(20_00), money(60_00), AS_IT_IS, waiting, 60.0);
        let answer = answer_offer(&case).unwrap();
        assert_eq!((answer.waiting.value, answer.waiting.decided_by), (value, model));
        assert!(answer.waiting.by_offers.is_some() && answer.waiting.by_posted.is_some());
    }
}

#[test]
fn an_answer_says_why_in_sentences() {
    let said = answer_offer(&worth_20(24_00, 40_00)).unwrap().reasons();
    assert_eq!(said[0], "Counter at 29.99.");
    assert_eq!(said[1], "It is better than waiting, but a counter gains more on average.");
    assert!(said.contains(&"Waiting is worth 20.00, counted by other offers.".to_owned()));
    assert!(said.iter().any(|line| line.contains("Under 20.00") && line.contains("from 25.00")));
}

#[test]
fn nothing_to_wait_for_is_worth_what_is_left_at_the_deadline() {
    let dear = Search {
        sizes: OfferSizes::Exponential { mean: 12.0 },
        per_day: 0.001,
        holding_per_day: 0.5,
        discount_per_day: 0.0,
    };
    let worth = worth_by_deadline(&dear, 90.0, 3.0).unwrap();
    assert_eq!((worth.value, worth.without_deadline, worth.chance_taken), (3.0, Some(3.0), 0.0));
    assert!(reservation(&dear).unwrap().value < 0.0);
}

#[test]
fn offers_still_come_after_the_worth_of_waiting_has_settled() {
    let search = Search {
        sizes: OfferSizes::Exponential { mean: 12.0 },
        per_day: 0.01,
        holding_per_day: 0.0,
        discount_per_day: 1.0,
    };
    let worth = worth_by_deadline(&search, 100.0, 0.0).unwrap();
    // Within days of its settled value; an offer of 0.01 * P(X > V) a day for all 100 days.
    let expected = 1.0 - f64::exp(-100.0 * 0.01 * f64::exp(-worth.value / 12.0));
    assert!((worth.chance_taken - expected).abs() < 1e-3, "{worth:?} {expected}");
}

#[test]
fn bad_figures_are_refused_by_name() {
    let good = Search {
        sizes: OfferSizes::Exponential { mean: 12.0 },
        per_day: 0.1,
        holding_per_day: 0.05,
        discount_per_day: 0.0,
    };
    for (search, field) in [
        (Search { per_day: 0.0, ..good }, "per_day"),
        (Search { per_day: f64::NAN, ..good }, "per_day"),
        (Search { holding_per_day: -0.1, ..good }, "holding_per_day"),
        (Search { holding_per_day: 0.0, ..good }, "holding_per_day"),
        (Search { discount_per_day: 1.5, ..good }, "discount_per_day"),
        (Search { sizes: OfferSizes::Exponential { mean: 0.0 }, ..good }, "mean"),
        (Search { sizes: OfferSizes::Uniform { low: 5.0, high: 5.0 }, ..good }, "low"),
        (Search { sizes: OfferSizes::Uniform { low: 5.0, high: f64::INFINITY }, ..good }, "high"),
        (Search { sizes: OfferSizes::Lognormal { median: -1.0, sigma: 0.3 }, ..good }, "median"),
        (Search { sizes: OfferSizes::Lognormal { median: 1.0, sigma: 0.0 }, ..good }, "sigma"),
    ] {
        let refusal = reservation(&search).unwrap_err().to_string();
        assert!(refusal.starts_with(&format!("offer search: {field} can't be")), "{refusal}");
    }
    assert!(worth_by_deadline(&good, -1.0, 0.0).unwrap_err().to_string().contains("days_left"));
    assert!(worth_by_deadline(&good, 1.0, f64::NAN).unwrap_err().to_string().contains("at_deadline"));
    assert!(PostedDemand::new(0.0, 0.1).unwrap_err().to_string().contains("a_per_day"));
    assert!(PostedDemand::new(0.1, 0.0).unwrap_err().to_string().contains("alpha"));
    assert!(PostedDemand::fit(40.0, 0.02, -3.0).unwrap_err().to_string().contains("elasticity"));
    assert!(PostedDemand::fit(f64::NAN, 0.02, 3.0).unwrap_err().to_string().contains("median"));
    let demand = PostedDemand::new(0.2, 0.05).unwrap();
    assert!(demand.after_costs(1.0, 0.0).unwrap_err().to_string().contains("fee_share"));
    assert!(posted_worth(&demand, 0, 60.0).unwrap_err().to_string().contains("lots"));
    assert!(posted_worth(&demand, 1, f64::INFINITY).unwrap_err().to_string().contains("days_left"));
    assert!(uniform_by_deadline(-1.0).is_err() && offers_left_values(u32::MAX).is_err());
    for (case, field) in [
        (OfferCase { offer: money(-1), ..worth_20(0, 40_00) }, "offer"),
        (OfferCase { stay_probability: 1.1, ..worth_20(15_00, 40_00) }, "stay_probability"),
        (OfferCase { days_left: f64::NAN, ..worth_20(15_00, 40_00) }, "days_left"),
        (OfferCase { reply_cost: money(-1), ..worth_20(15_00, 40_00) }, "reply_cost"),
        (OfferCase { at_deadline: money(-1), ..worth_20(15_00, 40_00) }, "at_deadline"),
        (
            OfferCase { net: NetOf::Linear { fee_share: 1.0, costs: Money::ZERO }, ..worth_20(15_00, 40_00) },
            "fee_share",
        ),
    ] {
        let refusal = answer_offer(&case).unwrap_err().to_string();
        assert!(refusal.contains(&format!(": {field} can't be")), "{field}: {refusal}");
    }
    let falling = |item: Money| Money::from_cents(50_00) - item;
    let case = OfferCase { net: NetOf::Function(&falling), ..worth_20(15_00, 40_00) };
    assert!(answer_offer(&case).unwrap_err().to_string().contains("never leaves less"));
}

#[test]
fn no_days_are_worth_nothing_and_extreme_demand_stays_a_number() {
    let demand = PostedDemand::new(1e6, 1e-6).unwrap();
    let none = posted_worth(&demand, 10, 0.0).unwrap();
    assert_eq!((none.value(), none.expected_sold, none.chance_all_sold), (0.0, 0.0, 0.0));
    let huge = posted_worth(&demand, 10_000, 36_525.0).unwrap();
    assert!(huge.value().is_finite() && huge.expected_sold <= 10_000.0 + 1e-6);
    // So few lots against such demand are gone almost for sure.
    assert!((huge.chance_all_sold - 1.0).abs() < 1e-5);
    let wanted = PostedDemand::new(1.0, 1.0).unwrap().after_costs(0.0, -2000.0).unwrap();
    let one = posted_worth(&wanted, 1, 1.0).unwrap();
    assert!((one.value() - 1999.0).abs() < 1e-9, "ln(1 + e^1999)");
    let steep = PostedDemand::new(1e-9, 1e6).unwrap().after_costs(0.9, 1e6).unwrap();
    let worth = posted_worth(&steep, 1000, 36_525.0).unwrap();
    assert!(worth.value() == 0.0 && worth.to_string().contains("posted price"));
}
