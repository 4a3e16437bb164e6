//! What must hold of any set of comps.

use measure::Money;
use pricing::{
    Appraisal, Assumptions, Bids, Caution, Comp, Evidence, Grade, GridSize, Prior, Shipping, appraise,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const SMALL: GridSize = GridSize { level: 25, beta: 17, ln_sigma: 21 };
/// Seed of all sets, so that a run that fails fails again.
const SEED: u64 = 20_260_901;
/// How far two ways to the same figure may lie apart on the small grid.
const SMALL_GRID: f64 = 2e-3;

fn small() -> Assumptions {
    Assumptions { grid: SMALL, ..Assumptions::default() }
}

/// As [`small`], with the prior's middle stated and so the same whatever the comps.
fn fixed() -> Assumptions {
    Assumptions { prior: Prior { mu_mean: Some(2.7), ..Prior::default() }, ..small() }
}

fn comp(evidence: Evidence, pieces: u32) -> Comp {
    Comp {
        evidence,
        shipping: Shipping::Free,
        pieces,
        grade: Grade::C,
        age_days: 0.0,
        days_to_sell: None,
        likeness: 1.0,
    }
}

fn sold(cents: i64, pieces: u32) -> Comp {
    comp(Evidence::Sold { price: Money::from_cents(cents) }, pieces)
}

fn unsold(cents: i64, days: f64, pieces: u32) -> Comp {
    comp(Evidence::Unsold { ask: Money::from_cents(cents), days }, pieces)
}

fn appraised(comps: &[Comp], assumptions: &Assumptions) -> Appraisal {
    appraise(comps, Grade::C, assumptions).expect("appraises")
}

/// A price per piece around fifteen, as of a market with some scatter.
fn per_piece() -> impl Strategy<Value = i64> {
    (700_i64..3000).boxed()
}

fn any_evidence(pieces: u32) -> impl Strategy<Value = Evidence> {
    let whole = move |cents: i64| Money::from_cents(cents * i64::from(pieces));
    prop_oneof![
        4 => per_piece().prop_map(move |cents| Evidence::Sold { price: whole(cents) }),
        2 => per_piece().prop_map(move |cents| Evidence::AcceptedOffer { ask: whole(cents * 5 / 4) }),
        2 => (per_piece(), 1.0..200.0).prop_map(move |(cents, days)| Evidence::Unsold {
            ask: whole(cents * 3 / 2),
            days
        }),
        1 => per_piece().prop_map(move |cents| Evidence::Auction {
            price: whole(cents / 2),
            bids: Bids::One,
            days: 7.0
        }),
        1 => per_piece().prop_map(move |cents| Evidence::Auction {
            price: whole(cents),
            bids: Bids::Several,
            days: 7.0
        }),
        1 => per_piece().prop_map(move |cents| Evidence::Auction {
            price: whole(cents * 3 / 2),
            bids: Bids::None,
            days: 7.0
        }),
    ]
}

fn any_comp() -> impl Strategy<Value = Comp> {
    let shipping = prop_oneof![
        Just(Shipping::Free),
        (0_i64..1500).prop_map(|cents| Shipping::Charged(Money::from_cents(cents))),
        (0_i64..700, 0_i64..700)
            .prop_map(|(a, b)| Shipping::Between(Money::from_cents(a), Money::from_cents(a + b))),
    ];
    let grade = prop_oneof![Just(Grade::A), Just(Grade::B), Just(Grade::C), Just(Grade::D)];
    let pieces = prop_oneof![Just(1_u32), Just(2), Just(4), Just(6)];
    (pieces.prop_flat_map(|n| (Just(n), any_evidence(n))), shipping, grade, 0.0..400.0, 0.2..1.0).prop_map(
        |((pieces, evidence), shipping, grade, age_days, likeness)| Comp {
            shipping,
            grade,
            age_days,
            likeness,
            ..comp(evidence, pieces)
        },
    )
}

fn any_comps() -> impl Strategy<Value = Vec<Comp>> {
    prop::collection::vec(any_comp(), 1..9)
}

fn times(comp: &Comp, factor: i64) -> Comp {
    let evidence = match comp.evidence {
        Evidence::Sold { price } => Evidence::Sold { price: price * factor },
        Evidence::AcceptedOffer { ask } => Evidence::AcceptedOffer { ask: ask * factor },
        Evidence::Unsold { ask, days } => Evidence::Unsold { ask: ask * factor, days },
        Evidence::Auction { price, bids, days } => Evidence::Auction { price: price * factor, bids, days },
    };
    let shipping = match comp.shipping {
        Shipping::Free => Shipping::Free,
        Shipping::Charged(amount) => Shipping::Charged(amount * factor),
        Shipping::Between(low, high) => Shipping::Between(low * factor, high * factor),
        Shipping::Unknown => Shipping::Unknown,
    };
    Comp { evidence, shipping, ..comp.clone() }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, rng_seed: RngSeed::Fixed(SEED), ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_the_comps_changes_no_bit(comps in any_comps(), shift in 1_usize..8) {
        let mut turned = comps.clone();
        turned.rotate_left(shift % comps.len());
        turned.reverse();
        let (one, other) = (appraised(&comps, &small()), appraised(&turned, &small()));
        prop_assert_eq!(one.lot(3).expect("a lot"), other.lot(3).expect("a lot"));
        prop_assert_eq!((one.mu(), one.beta(), one.sigma()), (other.mu(), other.beta(), other.sigma()));
        prop_assert_eq!(one.weight_sum().to_bits(), other.weight_sum().to_bits());
        prop_assert_eq!(one.effective_comps().to_bits(), other.effective_comps().to_bits());
    }

    #[test]
    fn prices_times_a_factor_give_quantiles_times_that_factor(comps in any_comps(), factor in 2_i64..200) {
        let scaled: Vec<Comp> = comps.iter().map(|comp| times(comp, factor)).collect();
        let (one, other) = (appraised(&comps, &small()), appraised(&scaled, &small()));
        let (one, other) = (one.lot(2).expect("a lot"), other.lot(2).expect("a lot"));
        let figures = [
            (one.p10, other.p10),
            (one.median, other.median),
            (one.p90, other.p90),
            (one.median_least, other.median_least),
            (one.median_most, other.median_most),
        ];
        for (small, large) in figures {
            let off = large / (small * factor as f64) - 1.0;
            prop_assert!(off.abs() < SMALL_GRID, "{small} times {factor} is {large}");
        }
    }

    #[test]
    fn quantiles_rise_with_the_chance_and_the_interval_of_the_median_lies_within(comps in any_comps()) {
        let appraisal = appraised(&comps, &small());
        for pieces in [1, 4, 20] {
            let worth = appraisal.lot(pieces).expect("a lot");
            let rising = [worth.p10, worth.p25, worth.median, worth.p75, worth.p90];
            prop_assert!(rising.is_sorted() && worth.p10 > 0.0 && worth.p90.is_finite(), "{worth:?}");
            prop_assert!(worth.p10 < worth.median_least && worth.median_most < worth.p90, "{worth:?}");
            prop_assert!(worth.median_least < worth.median && worth.median < worth.median_most);
        }
    }

    #[test]
    fn the_chance_of_a_price_undoes_the_quantile(comps in any_comps(), p in 0.02..0.98) {
        let appraisal = appraised(&comps, &small());
        let price = appraisal.quantile(2, p).expect("a price");
        let cents = Money::from_cents_rounded(price * 100.0);
        let chance = appraisal.chance_next_sale_at_least(2, cents).expect("a chance");
        // Half a cent in a price of several is what rounding leaves.
        prop_assert!((chance - (1.0 - p)).abs() < 0.01 / price + 1e-9, "{chance} {p}");
    }

    #[test]
    fn the_drawn_density_holds_nearly_everything(comps in any_comps()) {
        let appraisal = appraised(&comps, &small());
        let worth = appraisal.lot(2).expect("a lot");
        // Without any price to go by the range is so wide that even steps are too coarse at its low end.
        prop_assume!(worth.p90 < 8.0 * worth.p10);
        let drawn = appraisal.density(2, 2000).expect("a drawing");
        let area: f64 = drawn.windows(2).map(|w| 0.5 * (w[0].1 + w[1].1) * (w[1].0 - w[0].0)).sum();
        prop_assert!((area - 0.99).abs() < 5e-3, "{area}");
    }

    #[test]
    fn the_weights_of_the_medians_sum_to_one_about_the_median(comps in any_comps()) {
        let appraisal = appraised(&comps, &small());
        let medians = appraisal.medians(2).expect("medians");
        let sum: f64 = medians.iter().map(|median| median.weight).sum();
        prop_assert!((sum - 1.0).abs() < 1e-9);
        let mean: f64 = medians.iter().map(|median| median.weight * median.delivered.ln()).sum();
        let right = appraisal.mu().mean + (1.0 + appraisal.beta().mean) * 2.0_f64.ln();
        prop_assert!((mean - right).abs() < 1e-4, "{mean} {right}");
    }

    #[test]
    fn the_whole_evidence_seen_twice_never_widens_the_interval_of_the_median(
        prices in prop::collection::vec(900_i64..2200, 1..6),
        pieces in prop_oneof![Just(1_u32), Just(4)],
    ) {
        let once: Vec<Comp> = prices.iter().map(|&cents| sold(cents * i64::from(pieces), pieces)).collect();
        let width = |copies: usize| {
            let comps = vec![once.clone(); copies].concat();
            let worth = appraised(&comps, &fixed()).lot(pieces).expect("a lot");
            (worth.median_most / worth.median_least).ln()
        };
        let widths = [width(1), width(2), width(4), width(16)];
        prop_assert!(widths.windows(2).all(|w| w[1] <= w[0] * (1.0 + SMALL_GRID)), "{widths:?}");
    }

    #[test]
    fn a_comp_whose_weight_falls_to_nothing_is_as_if_left_out(
        comps in prop::collection::vec(any_comp(), 2..8),
        more in any_comp(),
    ) {
        let without = appraised(&comps, &fixed()).lot(2).expect("a lot");
        let off = |likeness: f64| {
            let mut with = comps.clone();
            with.push(Comp { likeness, ..more.clone() });
            let with = appraised(&with, &fixed()).lot(2).expect("a lot");
            (with.median / without.median).ln().abs().max((with.p90 / without.p90).ln().abs())
        };
        prop_assert!(off(1e-4) < SMALL_GRID && off(1e-9) < SMALL_GRID, "{} {}", off(1e-4), off(1e-9));
    }

    /// With the spread known this is a theorem: the listing multiplies the density of the median by a function that
    /// falls with the median.
    #[test]
    fn with_the_spread_known_an_unsold_listing_never_raises_its_own_lots_prices(
        comps in any_comps(),
        ask in 300_i64..20_000,
        days in 1.0..300.0,
    ) {
        let mut known = fixed();
        known.prior.ln_sigma_sd = 0.001;
        let figures = |comps: &[Comp]| {
            let worth = appraised(comps, &known).lot(2).expect("a lot");
            [worth.p10, worth.median, worth.p90, worth.median_least, worth.median_most]
        };
        let before = figures(&comps);
        let mut with = comps;
        with.push(unsold(ask, days, 2));
        for (before, after) in before.into_iter().zip(figures(&with)) {
            prop_assert!(after <= before * (1.0 + SMALL_GRID), "{after} over {before}");
        }
    }

    /// With the spread unknown it is no theorem, as a listing far above the market also speaks for a narrow market; for
    /// asks at or under the median it holds.
    #[test]
    fn an_unsold_listing_at_or_under_the_median_never_raises_it(
        comps in any_comps(),
        share in 0.3..1.0,
        days in 1.0..300.0,
    ) {
        let before = appraised(&comps, &small()).lot(2).expect("a lot").median;
        let mut with = comps;
        with.push(unsold((before * share * 100.0) as i64, days, 2));
        let after = appraised(&with, &small()).lot(2).expect("a lot").median;
        prop_assert!(after <= before * (1.0 + SMALL_GRID), "{after} over {before}");
    }

    #[test]
    fn any_amounts_at_all_give_figures_and_a_grid_that_holds_them(
        rows in prop::collection::vec((1_i64..1_000_000_000, 1_u32..=10_000, 0.0..3000.0), 1..12),
        asks in prop::collection::vec((1_i64..1_000_000_000, 1_u32..=10_000, 1.0..3000.0), 0..4),
    ) {
        let mut comps: Vec<Comp> = rows
            .into_iter()
            .map(|(cents, pieces, age_days)| Comp { age_days, ..sold(cents, pieces) })
            .collect();
        comps.extend(asks.into_iter().map(|(cents, pieces, days)| unsold(cents, days, pieces)));
        let appraisal = appraised(&comps, &small());
        prop_assert!(appraisal.grid().edge_mass < 1e-4, "{:?}", appraisal.grid());
        for pieces in [1, 7, 10_000] {
            let worth = appraisal.lot(pieces).expect("a lot");
            prop_assert!(worth.p10.is_finite() && worth.p90.is_finite(), "{worth:?}");
            prop_assert!(0.0 < worth.p10 && worth.p10 < worth.median && worth.median < worth.p90, "{worth:?}");
            prop_assert!(worth.median_least < worth.median_most, "{worth:?}");
        }
    }
}

#[test]
fn sales_that_agree_to_the_cent_hold_the_spread_and_say_so() {
    let few = appraised(&vec![sold(2000, 1); 3], &Assumptions::default());
    assert!(!few.grid().sigma_held);
    for count in [30, 300, 1000] {
        let appraisal = appraised(&vec![sold(2000, 1); count], &Assumptions::default());
        let worth = appraisal.lot(1).expect("a lot");
        assert!(appraisal.grid().sigma_held && appraisal.grid().edge_mass < 1e-5, "{:?}", appraisal.grid());
        assert!((worth.median - 20.0).abs() < 0.01, "{worth:?}");
        let spread = (worth.p90 / worth.p10).ln() / 2.0;
        assert!(spread > 1.5 * 0.0287 && spread < 1.8 * 0.0287, "{spread}");
    }
}

#[test]
fn a_held_spread_does_not_depend_on_the_grid() {
    let comps = vec![sold(2000, 1); 30];
    let sigma = |ln_sigma| {
        let grid = GridSize { ln_sigma, ..GridSize::default() };
        appraised(&comps, &Assumptions { grid, ..Assumptions::default() }).sigma()
    };
    let (usual, fine) = (sigma(25), sigma(193));
    assert!((usual.mean / fine.mean - 1.0).abs() < 1e-3, "{usual:?} {fine:?}");
    assert!((usual.sd / fine.sd - 1.0).abs() < 0.02, "{usual:?} {fine:?}");
}

#[test]
fn two_markets_in_one_set_are_both_kept_in_view() {
    let mut comps = vec![sold(1000, 1); 6];
    comps.extend(vec![sold(20_000, 1); 6]);
    let appraisal = appraised(&comps, &Assumptions::default());
    let worth = appraisal.lot(1).expect("a lot");
    assert!(worth.p10 < 10.5 && worth.p90 > 190.0, "{worth:?}");
    assert!(worth.median > 20.0 && worth.median < 100.0, "{worth:?}");
    assert!(appraisal.grid().edge_mass < 1e-5);
}

#[test]
fn one_comp_of_any_kind_is_enough_and_is_called_prior_driven() {
    let price = Money::from_cents(2000);
    let kinds = [
        Evidence::Sold { price },
        Evidence::AcceptedOffer { ask: price },
        Evidence::Unsold { ask: price, days: 30.0 },
        Evidence::Auction { price, bids: Bids::One, days: 7.0 },
        Evidence::Auction { price, bids: Bids::Several, days: 7.0 },
        Evidence::Auction { price, bids: Bids::None, days: 7.0 },
    ];
    for kind in kinds {
        for shipping in [Shipping::Free, Shipping::Unknown] {
            let appraisal = appraised(&[Comp { shipping, ..comp(kind, 2) }], &Assumptions::default());
            let worth = appraisal.lot(2).expect("a lot");
            assert_eq!(worth.cautions, [Caution::PriorDriven], "{kind:?}");
            assert!(worth.p10 < 25.0 && worth.p90 > 15.0, "{kind:?}: {worth:?}");
            assert!(appraisal.grid().edge_mass < 1e-5, "{kind:?}: {:?}", appraisal.grid());
        }
    }
}

#[test]
fn lots_far_from_those_seen_are_called_extrapolated() {
    let comps = [sold(3000, 2), sold(2800, 2), sold(5200, 4)];
    let appraisal = appraised(&comps, &Assumptions::default());
    assert_eq!((appraisal.smallest_lot(), appraisal.largest_lot()), (2, 4));
    for (pieces, far) in [(1, false), (2, false), (6, false), (7, true), (12, true)] {
        let cautions = appraisal.lot(pieces).expect("a lot").cautions;
        assert_eq!(cautions.contains(&Caution::Extrapolated), far, "lot of {pieces}");
        assert!(!cautions.contains(&Caution::PriorDriven));
    }
    let large = [sold(9000, 6), sold(9000, 6), sold(9900, 8)];
    let cautions = appraised(&large, &Assumptions::default()).cautions(2);
    assert_eq!(cautions, [Caution::Extrapolated]);
}

#[test]
fn a_set_without_an_exact_price_is_prior_driven_whatever_it_weighs() {
    let offer = comp(Evidence::AcceptedOffer { ask: Money::from_cents(2000) }, 1);
    let appraisal = appraised(&vec![offer; 5], &Assumptions::default());
    assert_eq!(appraisal.exact(), 0);
    assert!(appraisal.weight_sum() > 4.9);
    assert_eq!(appraisal.cautions(1), [Caution::PriorDriven]);
}

#[test]
fn older_comps_count_less_and_widen_the_answer() {
    let of_age = |age_days| -> Vec<Comp> {
        [1800, 2000, 2300, 1900].map(|cents| Comp { age_days, ..sold(cents, 1) }).to_vec()
    };
    let width = |age| {
        let worth = appraised(&of_age(age), &fixed()).lot(1).expect("a lot");
        worth.median_most / worth.median_least
    };
    assert!(width(0.0) < width(180.0) && width(180.0) < width(720.0));
    let appraisal = appraised(&of_age(180.0), &fixed());
    assert!((appraisal.weight_sum() - 2.0).abs() < 1e-12);
    assert!((appraisal.effective_comps() - 4.0).abs() < 1e-12);
}

#[test]
fn pieces_of_a_better_grade_are_worth_more_by_the_offset() {
    let comps: Vec<Comp> = [1800, 2000, 2300].map(|cents| sold(cents, 1)).to_vec();
    let median = |grade| {
        appraise(&comps, grade, &Assumptions::default()).expect("appraises").lot(1).expect("a lot").median
    };
    let ordinary = median(Grade::C);
    for (grade, offset) in [(Grade::A, 0.2), (Grade::B, 0.1), (Grade::D, -0.2), (Grade::E, -0.5_f64)] {
        assert!((median(grade) / ordinary / offset.exp() - 1.0).abs() < 1e-4, "{grade:?}");
    }
}

#[test]
fn figures_are_also_given_to_the_cent() {
    let worth = appraised(&[sold(2000, 1), sold(2100, 1)], &Assumptions::default()).lot(1).expect("a lot");
    let cents = |money: Money| money.cents() as f64 / 100.0;
    assert!((cents(worth.median_price()) - worth.median).abs() <= 0.005);
    assert!((cents(worth.per_piece_price()) - worth.per_piece).abs() <= 0.005);
    let ((low, high), (least, most)) = (worth.next_sale(), worth.median_range());
    assert!((cents(low) - worth.p10).abs() <= 0.005 && (cents(high) - worth.p90).abs() <= 0.005);
    assert!((cents(least) - worth.median_least).abs() <= 0.005);
    assert!((cents(most) - worth.median_most).abs() <= 0.005);
}
