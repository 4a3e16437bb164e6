//! What the estimator refuses, and how it says so.

use measure::Money;
use pricing::{
    Assumptions, Bids, Comp, Evidence, Grade, GridSize, MOST_COMPS, PricingError, Shipping, appraise,
};

fn sold(cents: i64) -> Comp {
    Comp {
        evidence: Evidence::Sold { price: Money::from_cents(cents) },
        shipping: Shipping::Free,
        pieces: 1,
        grade: Grade::C,
        age_days: 0.0,
        days_to_sell: None,
        likeness: 1.0,
    }
}

fn with(evidence: Evidence) -> Comp {
    Comp { evidence, ..sold(1) }
}

#[test]
fn no_comps_is_an_error_that_says_what_is_missing() {
    let error = appraise(&[], Grade::C, &Assumptions::default()).expect_err("nothing to go by");
    assert_eq!(error, PricingError::NoComps);
    assert!(error.to_string().contains("at least one"), "{error}");
}

#[test]
fn comps_that_weigh_nothing_are_an_error_and_not_an_answer() {
    let today = with(Evidence::Unsold { ask: Money::from_cents(2000), days: 0.0 });
    let error = appraise(&[today.clone(), today], Grade::C, &Assumptions::default()).expect_err("no weight");
    assert_eq!(error, PricingError::NothingCounts { comps: 2 });
    // A half-life of a hundredth of a day leaves nothing of a comp a century old.
    let brisk = Assumptions { half_life_days: 0.01, ..Assumptions::default() };
    let old = Comp { age_days: 36_525.0, ..sold(2000) };
    assert_eq!(
        appraise(&[old], Grade::C, &brisk).expect_err("old"),
        PricingError::NothingCounts { comps: 1 }
    );
}

#[test]
fn a_thousand_comps_are_taken_and_one_more_is_not() {
    let rough = Assumptions { grid: GridSize { level: 9, beta: 9, ln_sigma: 9 }, ..Assumptions::default() };
    let many: Vec<Comp> = (0..1001).map(|k| sold(1500 + 7 * (k % 100))).collect();
    assert!(appraise(&many[..MOST_COMPS], Grade::C, &rough).is_ok());
    let error = appraise(&many, Grade::C, &rough).expect_err("too many");
    assert_eq!(error, PricingError::TooManyComps { found: 1001, most: 1000 });
    assert!(error.to_string().contains("1000"), "{error}");
}

#[test]
fn whatever_can_not_be_is_refused_with_the_comps_number_and_what_is_right() {
    let money = Money::from_cents;
    let auction = |price, bids, days| with(Evidence::Auction { price: money(price), bids, days });
    let unsold = |ask, days| with(Evidence::Unsold { ask: money(ask), days });
    let shipped = |shipping| Comp { shipping, ..sold(2000) };
    let absurd: Vec<(Comp, &str)> = vec![
        (sold(0), "delivered price"),
        (sold(-1), "price"),
        (sold(i64::MAX), "price"),
        (sold(i64::MIN), "price"),
        (with(Evidence::AcceptedOffer { ask: money(i64::MAX) }), "ask"),
        (with(Evidence::AcceptedOffer { ask: money(0) }), "delivered price"),
        (unsold(i64::MAX, 9.0), "ask"),
        (unsold(0, 9.0), "delivered price"),
        (unsold(2000, -1.0), "days unsold"),
        (unsold(2000, f64::NAN), "days unsold"),
        (unsold(2000, f64::INFINITY), "days unsold"),
        (auction(i64::MAX, Bids::Several, 7.0), "price"),
        (auction(-5, Bids::One, 7.0), "price"),
        (auction(0, Bids::One, 7.0), "delivered price"),
        (auction(999, Bids::None, f64::NAN), "days the auction ran"),
        (shipped(Shipping::Charged(money(-1))), "shipping"),
        (shipped(Shipping::Charged(money(i64::MAX))), "shipping"),
        (shipped(Shipping::Between(money(900), money(800))), "shipping"),
        (shipped(Shipping::Between(money(-900), money(800))), "shipping"),
        (shipped(Shipping::Between(money(900), money(i64::MAX))), "shipping"),
        (Comp { pieces: 0, ..sold(2000) }, "pieces"),
        (Comp { pieces: 10_001, ..sold(2000) }, "pieces"),
        (Comp { pieces: u32::MAX, ..sold(2000) }, "pieces"),
        (Comp { age_days: -0.5, ..sold(2000) }, "age"),
        (Comp { age_days: f64::NAN, ..sold(2000) }, "age"),
        (Comp { age_days: f64::INFINITY, ..sold(2000) }, "age"),
        (Comp { days_to_sell: Some(f64::NAN), ..sold(2000) }, "days to sell"),
        (Comp { likeness: 0.0, ..sold(2000) }, "likeness"),
        (Comp { likeness: 1.01, ..sold(2000) }, "likeness"),
        (Comp { likeness: f64::NAN, ..sold(2000) }, "likeness"),
    ];
    for (comp, word) in absurd {
        let comps = [sold(2000), sold(1900), comp.clone()];
        let error = appraise(&comps, Grade::C, &Assumptions::default()).expect_err(word);
        assert!(matches!(error, PricingError::Comp { number: 3, .. }), "{comp:?}: {error}");
        let words = error.to_string();
        assert!(words.contains("comp 3") && words.contains(word), "{words}");
        assert!(words.contains("right would be"), "{words}");
    }
}

#[test]
fn free_goods_with_shipping_paid_are_a_price() {
    let comp = Comp { shipping: Shipping::Charged(Money::from_cents(800)), ..sold(0) };
    let appraisal = appraise(&[comp], Grade::C, &Assumptions::default()).expect("8.00 was paid");
    assert_eq!(
        appraisal.counted()[0].sentence,
        "sold at 0.00 + 8.00 shipping: counted as worth 8.00, weight 1.00"
    );
}

#[test]
fn questions_without_an_answer_are_refused() {
    let appraisal = appraise(&[sold(2000)], Grade::C, &Assumptions::default()).expect("appraises");
    for pieces in [0, 10_001, u32::MAX] {
        assert!(appraisal.lot(pieces).is_err() && appraisal.medians(pieces).is_err());
        assert!(appraisal.density(pieces, 10).is_err());
        assert!(appraisal.chance_next_sale_at_least(pieces, Money::from_cents(100)).is_err());
    }
    for p in [0.0, 1.0, -0.1, 1.1, f64::NAN, f64::INFINITY] {
        let error = appraisal.quantile(1, p).expect_err("no such chance").to_string();
        assert!(error.contains("more than 0 and less than 1"), "{error}");
        assert!(appraisal.median_quantile(1, p).is_err());
    }
    for points in [0, 1, 2001, usize::MAX] {
        assert!(appraisal.density(1, points).is_err());
    }
    for cents in [-1, i64::MIN, i64::MAX] {
        assert!(appraisal.chance_next_sale_at_least(1, Money::from_cents(cents)).is_err());
    }
    assert_eq!(appraisal.chance_next_sale_at_least(1, Money::ZERO), Ok(1.0));
    let tiny = appraisal.chance_next_sale_at_least(1, Money::from_cents(1)).expect("a chance");
    assert!(tiny > 0.999 && tiny <= 1.0);
}

#[test]
fn chances_next_to_nothing_and_next_to_one_still_have_a_price() {
    let appraisal =
        appraise(&[sold(2000), sold(2400)], Grade::C, &Assumptions::default()).expect("appraises");
    for p in [f64::MIN_POSITIVE, 1e-300, 1e-12, 1e-6, 1.0 - 1e-6, 1.0 - 1e-12, 1.0 - f64::EPSILON] {
        let (price, median) = (appraisal.quantile(1, p), appraisal.median_quantile(1, p));
        assert!(!price.expect("a price").is_nan() && !median.expect("a price").is_nan(), "{p}");
    }
    let quantile = |p| appraisal.quantile(1, p).expect("a price");
    let rising = [1e-12, 1e-9, 1e-6, 1e-3, 0.5, 1.0 - 1e-3, 1.0 - 1e-6, 1.0 - 1e-9].map(quantile);
    assert!(rising.is_sorted(), "{rising:?}");
}
