//! What always holds of the time to a sale.

use pricing::{
    AskTerms, ListingRecord, SaleRate, TimeAssumptions, ask_exponent, chance_of_at_most, weibull_pace,
};
use proptest::prelude::*;

fn any_rate() -> impl Strategy<Value = SaleRate> {
    (0.2..30.0_f64, 1.0..2000.0_f64, 0.0..6.0_f64)
        .prop_map(|(sales, days, exponent)| SaleRate::new(sales, days, exponent).expect("in range"))
}

fn any_record() -> impl Strategy<Value = ListingRecord> {
    (0.0..400.0_f64, any::<bool>(), 0.2..4.0_f64)
        .prop_map(|(days, sold, ratio)| ListingRecord::new(days, sold, ratio).expect("in range"))
}

fn any_terms() -> impl Strategy<Value = AskTerms> {
    (1.0..500.0_f64, 0.0..0.4_f64, 0.0..20.0_f64, 0.001..0.5_f64, 1.2..6.0_f64, 0.001..2.0_f64, 0.0..0.01_f64)
        .prop_map(|(median, fee_share, fixed_costs, rate_at_median, ask_exponent, holding, discount)| {
            AskTerms {
                median,
                fee_share,
                fixed_costs,
                rate_at_median,
                ask_exponent,
                holding_per_day: holding,
                discount_per_day: discount,
            }
        })
}

proptest! {
    #[test]
    fn a_chance_grows_with_the_days_and_falls_with_the_ask(
        rate in any_rate(), days in 0.0..500.0_f64, more in 0.0..500.0_f64, ratio in 0.1..5.0_f64, higher in 0.0..3.0_f64,
    ) {
        let chance = rate.chance_within_at(days, ratio);
        prop_assert!((0.0..=1.0).contains(&chance));
        prop_assert!(rate.chance_within_at(days + more, ratio) >= chance);
        prop_assert!(rate.chance_within_at(days, ratio + higher) <= chance);
    }

    #[test]
    fn within_the_median_days_the_chance_is_even(rate in any_rate(), ratio in 0.1..5.0_f64) {
        prop_assert!((rate.chance_within_at(rate.median_days(ratio), ratio) - 0.5).abs() < 1e-9);
    }

    #[test]
    fn the_chance_over_medians_lies_between_the_chances_of_each(
        rate in any_rate(), days in 1.0..200.0_f64, ask in 5.0..100.0_f64,
        medians in prop::collection::vec((0.01..1.0_f64, 5.0..100.0_f64), 1..20),
    ) {
        let each: Vec<f64> = medians.iter().map(|(_, median)| rate.chance_within_at(days, ask / median)).collect();
        let over = rate.chance_within(days, ask, medians.iter().copied());
        let low = each.iter().copied().fold(f64::INFINITY, f64::min);
        let high = each.iter().copied().fold(0.0, f64::max);
        prop_assert!(over >= low - 1e-12 && over <= high + 1e-12);
        // Doubled weights weigh the same.
        let doubled = rate.chance_within(days, ask, medians.iter().map(|(w, m)| (2.0 * w, *m)));
        prop_assert!((over - doubled).abs() < 1e-12);
    }

    #[test]
    fn a_sale_raises_the_rate_and_a_wait_lowers_it(records in prop::collection::vec(any_record(), 0..12)) {
        let learn = |records: &[ListingRecord]| SaleRate::learnt(records, &TimeAssumptions::USUAL).expect("a rate");
        let before = learn(&records);
        let with = |sold| {
            let mut more = records.clone();
            more.push(ListingRecord::new(if sold { 0.0 } else { 30.0 }, sold, 1.0).expect("a record"));
            learn(&more)
        };
        prop_assert!(with(true).mean_rate() > before.mean_rate());
        prop_assert!(with(false).mean_rate() < before.mean_rate());
    }

    #[test]
    fn an_unsold_dear_listing_says_less_than_an_unsold_cheap_one(
        days in 1.0..300.0_f64, cheap in 0.5..1.0_f64, dear in 1.0..3.0_f64,
    ) {
        let learn = |ratio| {
            let record = ListingRecord::new(days, false, ratio).expect("a record");
            SaleRate::learnt(&[record], &TimeAssumptions::USUAL).expect("a rate").mean_rate()
        };
        prop_assert!(learn(dear) >= learn(cheap));
    }

    #[test]
    fn rate_quantiles_rise_and_count_what_lies_below(rate in any_rate(), p in 0.001..0.998_f64) {
        prop_assert!(rate.rate_quantile(p) < rate.rate_quantile(p + 0.001));
        prop_assert_eq!(rate.rate_quantile(0.0), 0.0);
        prop_assert_eq!(rate.rate_quantile(1.0), f64::INFINITY);
    }

    #[test]
    fn no_other_ask_is_worth_more_than_the_best(
        terms in any_terms(), factor in prop_oneof![0.2..5.0_f64, 0.97..1.03_f64],
    ) {
        let best = terms.best().expect("an ask");
        let other = terms.outcome(best.ask * factor).expect("an ask");
        prop_assert!(other.value <= best.value + 1e-9 * best.value.abs(), "{best:?} {other:?}");
    }

    #[test]
    fn a_dearer_wait_never_raises_the_best_ask(terms in any_terms(), more in 0.0..2.0_f64) {
        let dearer = AskTerms { holding_per_day: terms.holding_per_day + more, ..terms };
        let (before, after) = (terms.best().expect("an ask"), dearer.best().expect("an ask"));
        prop_assert!(after.ask <= before.ask * (1.0 + 1e-12));
    }

    #[test]
    fn counts_of_sales_add_up(expected in 0.0..60.0_f64, sales in 0_u64..80) {
        let mut term = (-expected).exp();
        let mut sum = term;
        for k in 1..=sales {
            term *= expected / k as f64;
            sum += term;
        }
        prop_assert!((chance_of_at_most(sales, expected) - sum).abs() < 1e-12);
    }

    #[test]
    fn no_figure_however_odd_ends_in_a_panic(a in any::<f64>(), b in any::<f64>(), c in any::<f64>(), sold in any::<bool>()) {
        let _ = ListingRecord::new(a, sold, b);
        let _ = chance_of_at_most(7, a);
        if let Ok(rate) = SaleRate::new(a.abs(), b.abs(), c.abs()) {
            let _ = (rate.chance_within_at(c, a), rate.median_days(b), rate.mean_days(c), rate.rate_quantile(a));
            let _ = (rate.rate_quantile(0.3), rate.chance_within(a, b, [(c, a)]));
        }
        let terms = AskTerms {
            median: a.abs(), fee_share: 0.1, fixed_costs: c.abs(), rate_at_median: b.abs(), ask_exponent: 3.0,
            holding_per_day: c.abs(), discount_per_day: a.abs(),
        };
        let _ = (terms.best(), terms.outcome(b));
        let odd = ListingRecord::new(a.abs(), sold, b.abs());
        if let Ok(odd) = odd {
            let mut records = vec![odd; 4];
            records.extend((1..9).map(|d| ListingRecord::new(f64::from(d), true, 0.5 + f64::from(d) / 8.0).expect("a record")));
            let _ = (weibull_pace(&records), ask_exponent(&records, &TimeAssumptions::USUAL));
            let _ = SaleRate::learnt(&records, &TimeAssumptions::USUAL);
        }
    }
}

#[test]
fn a_figure_that_cannot_be_is_refused_with_what_would_be_right() {
    for (days, ratio) in [(-1.0, 1.0), (f64::NAN, 1.0), (f64::INFINITY, 1.0), (3.0, 0.0), (3.0, f64::NAN)] {
        let error = ListingRecord::new(days, true, ratio).expect_err("refused");
        assert!(error.to_string().contains("right would be"), "{error}");
    }
    let wrong = TimeAssumptions { prior_days: 0.0, ..TimeAssumptions::USUAL };
    assert!(SaleRate::learnt(&[], &wrong).is_err());
}

#[test]
fn without_a_median_there_is_no_chance() {
    let rate = SaleRate::new(2.0, 60.0, 3.0).expect("a rate");
    assert!(rate.chance_within(30.0, 20.0, []).is_nan());
}
