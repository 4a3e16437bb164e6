//! What a best fit must be, and when there is none.

use super::{Fit, Observation, Scale, fit};
use crate::error::{NoFit, PricingError};
use crate::law::ErrorLaw;
use crate::likelihood::{Bounds, ln_likelihood};
use proptest::prelude::*;

fn alone(bounds: impl IntoIterator<Item = Bounds>) -> Vec<Observation<0>> {
    bounds.into_iter().map(|bounds| Observation { bounds, covariates: [], weight: 1.0 }).collect()
}

fn refusal<const K: usize>(law: ErrorLaw, seen: &[Observation<K>]) -> Option<NoFit> {
    match fit(law, seen, Scale::Free) {
        Err(PricingError::NoFit(why)) => Some(why),
        Ok(_) | Err(_) => None,
    }
}

#[test]
fn bounds_on_one_side_only_are_refused() {
    let seen = alone([1.0, 2.0, 3.0].map(Bounds::Below));
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::OneSided));
    let seen = alone([Bounds::Above(1.0), Bounds::Between(2.0, f64::INFINITY)]);
    assert_eq!(refusal(ErrorLaw::SmallestExtreme, &seen), Some(NoFit::OneSided));
}

#[test]
fn values_without_scatter_are_refused() {
    assert_eq!(refusal(ErrorLaw::Normal, &alone([Bounds::Exact(2.0)])), Some(NoFit::NoScatter));
    let seen = alone([Bounds::Exact(0.1), Bounds::Exact(0.1), Bounds::Below(3.0)]);
    assert_eq!(refusal(ErrorLaw::StudentT4, &seen), Some(NoFit::NoScatter));
    // Two points make a line.
    let seen = [(0.0, 1.0), (1.0, 1.7)].map(|(x, y)| Observation {
        bounds: Bounds::Exact(y),
        covariates: [x],
        weight: 1.0,
    });
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::NoScatter));
    // Ranges that share a value can all be met by it.
    let seen = alone([Bounds::Between(1.0, 2.0), Bounds::Below(3.0), Bounds::Above(0.5)]);
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::NoScatter));
}

#[test]
fn bounds_that_contradict_each_other_leave_the_scale_without_end() {
    let seen = alone([Bounds::Above(1.0), Bounds::Below(0.0)]);
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::Unbounded));
}

#[test]
fn a_group_of_which_only_upper_bounds_are_known_has_no_slope() {
    let mut seen = [0.9, 1.4, 1.1].map(|y| (0.0, Bounds::Exact(y))).to_vec();
    seen.extend([(1.0, Bounds::Below(1.0)), (1.0, Bounds::Below(2.0))]);
    let seen: Vec<_> =
        seen.into_iter().map(|(x, bounds)| Observation { bounds, covariates: [x], weight: 1.0 }).collect();
    for law in [ErrorLaw::Normal, ErrorLaw::StudentT4, ErrorLaw::SmallestExtreme, ErrorLaw::Logistic] {
        assert_eq!(refusal(law, &seen), Some(NoFit::Unbounded), "{law:?}");
    }
}

#[test]
fn covariates_that_move_together_are_refused() {
    let seen = [1.0, 2.0, 4.0, 7.0].map(|x: f64| Observation {
        bounds: Bounds::Exact(x.sqrt()),
        covariates: [x, 3.0 - 2.0 * x],
        weight: 1.0,
    });
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::Collinear));
    let still = seen.map(|o| Observation {
        covariates: [5.0],
        ..Observation { bounds: o.bounds, covariates: [0.0], weight: 1.0 }
    });
    assert_eq!(refusal(ErrorLaw::Normal, &still), Some(NoFit::Collinear));
}

#[test]
fn nothing_with_a_weight_is_nothing_seen() {
    assert_eq!(refusal::<0>(ErrorLaw::Normal, &[]), Some(NoFit::NothingObserved));
    let seen = [Observation { bounds: Bounds::Exact(1.0), covariates: [], weight: 0.0 }];
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::NothingObserved));
}

#[test]
fn a_figure_that_is_no_use_is_named_with_its_place() {
    let mut seen = alone([Bounds::Exact(1.0), Bounds::Exact(2.0)]);
    for bad in [Bounds::Exact(f64::NAN), Bounds::Between(2.0, 1.0), Bounds::Below(f64::INFINITY)] {
        seen[1].bounds = bad;
        let error = fit(ErrorLaw::Normal, &seen, Scale::Free).expect_err("refused");
        assert!(error.to_string().starts_with("observation 2:"), "{error}");
    }
    seen[1] = Observation { bounds: Bounds::Exact(2.0), covariates: [], weight: -1.0 };
    assert!(matches!(fit(ErrorLaw::Normal, &seen, Scale::Free), Err(PricingError::Figure { .. })));
    seen[1].weight = 1.0;
    assert!(matches!(fit(ErrorLaw::Normal, &seen, Scale::Fixed(0.0)), Err(PricingError::Figure { .. })));
    let law = ErrorLaw::StudentT { degrees: -1.0 };
    assert!(matches!(fit(law, &seen, Scale::Free), Err(PricingError::Figure { .. })));
}
/// Nine comps of all kinds: price per piece over the logarithm of the pieces. The best fit is that which
/// lifelines and two general optimisers find.
fn nine_comps() -> Vec<Observation<1>> {
    [
        (1.0, Bounds::Exact(21.9), 0.954_841_604),
        (4.0, Bounds::Exact(44.6), 0.890_898_718),
        (2.0, Bounds::Exact(27.5), 0.840_896_415),
        (4.0, Bounds::Between(23.994, 39.99), 0.925_874_712),
        (6.0, Bounds::Exact(63.25), std::f64::consts::FRAC_1_SQRT_2),
        (2.0, Bounds::Between(22.5, 32.1), 0.793_700_526),
        (4.0, Bounds::Below(60.0), 0.811_124_397),
        (2.0, Bounds::Above(18.39), 0.561_231_024),
        (1.0, Bounds::Exact(19.99), 0.462_937_356),
    ]
    .map(|(pieces, bounds, weight): (f64, Bounds, f64)| {
        let ln_each = |delivered: f64| (delivered / pieces).ln();
        let bounds = match bounds {
            Bounds::Exact(value) => Bounds::Exact(ln_each(value)),
            Bounds::Between(low, high) => Bounds::Between(ln_each(low), ln_each(high)),
            Bounds::Below(high) => Bounds::Below(ln_each(high)),
            Bounds::Above(low) => Bounds::Above(ln_each(low)),
        };
        Observation { bounds, covariates: [pieces.ln()], weight }
    })
    .to_vec()
}

#[test]
fn nine_weighted_comps_fit_as_three_programs_say() {
    let line = fit(ErrorLaw::Normal, &nine_comps(), Scale::Free).expect("a fit");
    assert!((line.intercept - 3.003_666_87).abs() < 1e-7, "{line:?}");
    assert!((line.slopes[0] + 0.448_279_633).abs() < 1e-7);
    assert!((line.scale - 0.096_819_433_1).abs() < 1e-7);
    assert!((line.ln_likelihood - 2.287_675_05).abs() < 1e-8);
    // Standard errors as lifelines gives them.
    assert!((line.intercept_error - 0.072_834_473_3).abs() < 1e-6);
    assert!((line.slope_errors[0] - 0.066_306_214).abs() < 1e-6);
    assert!((line.ln_scale_error - 0.364_048_402).abs() < 1e-6);

    let alone: Vec<Observation<0>> = nine_comps()
        .into_iter()
        .map(|o| Observation { bounds: o.bounds, covariates: [], weight: o.weight })
        .collect();
    let flat = fit(ErrorLaw::Normal, &alone, Scale::Free).expect("a fit");
    assert!((flat.intercept - 2.564_856_97).abs() < 1e-7);
    assert!((flat.scale - 0.315_136_754).abs() < 1e-7);
    assert!((flat.ln_likelihood + 3.697_221_18).abs() < 1e-8);
}

#[test]
fn the_fit_moves_and_stretches_with_the_values() {
    for law in [ErrorLaw::Normal, ErrorLaw::StudentT4, ErrorLaw::Logistic, ErrorLaw::SmallestExtreme] {
        let plain = fit(law, &nine_comps(), Scale::Free).expect("a fit");
        let (by, times) = (-1200.0, 350.0);
        let moved: Vec<_> = nine_comps()
            .into_iter()
            .map(|o| {
                let to = |value: f64| by + times * value;
                let bounds = match o.bounds {
                    Bounds::Exact(value) => Bounds::Exact(to(value)),
                    Bounds::Between(low, high) => Bounds::Between(to(low), to(high)),
                    Bounds::Below(high) => Bounds::Below(to(high)),
                    Bounds::Above(low) => Bounds::Above(to(low)),
                };
                Observation { bounds, covariates: [1e4 + 0.01 * o.covariates[0]], weight: o.weight }
            })
            .collect();
        let moved = fit(law, &moved, Scale::Free).expect("a fit");
        let slope = times * plain.slopes[0] / 0.01;
        assert!((moved.scale / times - plain.scale).abs() < 1e-8, "{law:?}");
        assert!((moved.slopes[0] / slope - 1.0).abs() < 1e-8, "{law:?}");
        let location = by + times * plain.location(&[0.7]);
        assert!((moved.location(&[1e4 + 0.007]) - location).abs() < 1e-4, "{law:?}");
        assert!((moved.ln_scale_error - plain.ln_scale_error).abs() < 1e-7, "{law:?}");
    }
}

#[test]
fn no_small_step_leads_higher() {
    let seen = nine_comps();
    for law in LAWS {
        let best = fit(law, &seen, Scale::Free).expect("a fit");
        let height = |intercept: f64, slope: f64, ln_scale: f64| -> f64 {
            seen.iter()
                .map(|o| {
                    let location = intercept + slope * o.covariates[0];
                    o.weight * ln_likelihood(law, o.bounds, location, ln_scale)
                })
                .sum()
        };
        let (a, b, s) = (best.intercept, best.slopes[0], best.scale.ln());
        assert!((height(a, b, s) - best.ln_likelihood).abs() < 1e-10, "{law:?}");
        for step in [-1e-3, 1e-3] {
            for near in [height(a + step, b, s), height(a, b + step, s), height(a, b, s + step)] {
                assert!(near < best.ln_likelihood, "{law:?}");
            }
        }
    }
}

#[test]
fn comps_of_which_only_ranges_that_overlap_are_known_have_no_fit() {
    let seen = alone([
        Bounds::Between(2.2, 2.7),
        Bounds::Between(2.05, 2.56),
        Bounds::Below(2.83),
        Bounds::Below(2.525),
    ]);
    assert_eq!(refusal(ErrorLaw::Normal, &seen), Some(NoFit::NoScatter));
    assert_eq!(refusal(ErrorLaw::StudentT4, &seen), Some(NoFit::NoScatter));
}

const LAWS: [ErrorLaw; 6] = [
    ErrorLaw::Normal,
    ErrorLaw::StudentT4,
    ErrorLaw::StudentT { degrees: 2.5 },
    ErrorLaw::Logistic,
    ErrorLaw::SmallestExtreme,
    ErrorLaw::LargestExtreme,
];

fn height<const K: usize>(fit: &Fit<K>, seen: &[Observation<K>], by: f64, by_ln_scale: f64) -> f64 {
    seen.iter()
        .filter(|o| o.weight > 0.0)
        .map(|o| {
            let location = fit.location(&o.covariates) + by * fit.scale;
            o.weight * ln_likelihood(fit.law, o.bounds, location, fit.scale.ln() + by_ln_scale)
        })
        .sum()
}

fn any_bounds() -> impl Strategy<Value = Bounds> {
    prop_oneof![
        (-3.0..3.0_f64).prop_map(Bounds::Exact),
        (-3.0..3.0_f64, 0.01..2.0_f64).prop_map(|(low, width)| Bounds::Between(low, low + width)),
        (-1.0..4.0_f64).prop_map(Bounds::Below),
        (-4.0..1.0_f64).prop_map(Bounds::Above),
    ]
}

proptest! {
    #[test]
    fn enough_exact_values_always_have_a_fit_and_it_is_the_top(
        exact in prop::collection::vec((-3.0..3.0_f64, 0.05..3.0_f64), 5..9),
        more in prop::collection::vec((any_bounds(), -2.0..2.0_f64, 0.0..3.0_f64), 0..9),
    ) {
        // Values off any line, however the drawn ones shrink.
        let exact = [0.0, 1.0, 0.3, 2.0, -0.4, 0.1, 1.7, 0.9, 0.2].into_iter().zip(exact).zip(0_u8..);
        let exact = exact.map(|((off, (y, weight)), i)| (Bounds::Exact(y + off), f64::from(i % 3), weight));
        let seen: Vec<Observation<1>> =
            exact.chain(more).map(|(bounds, x, weight)| Observation { bounds, covariates: [x], weight }).collect();
        for law in LAWS {
            let best = fit(law, &seen, Scale::Free);
            let heavy_tailed = matches!(law, ErrorLaw::StudentT4 | ErrorLaw::StudentT { .. });
            if heavy_tailed && best == Err(PricingError::NoFit(NoFit::NoScatter)) {
                // Two heavy points on a line outweigh light ones far from it.
                continue;
            }
            prop_assert!(best.is_ok(), "{law:?} {best:?}");
            let best = best.expect("checked");
            prop_assert!((height(&best, &seen, 0.0, 0.0) - best.ln_likelihood).abs() < 1e-9);
            for step in [-1e-3, 1e-3] {
                prop_assert!(height(&best, &seen, step, 0.0) < best.ln_likelihood, "{law:?} {best:?}");
                prop_assert!(height(&best, &seen, 0.0, step) < best.ln_likelihood, "{law:?} {best:?}");
            }
            prop_assert!(best.intercept_error > 0.0 && best.slope_errors[0] > 0.0 && best.ln_scale_error > 0.0);
        }
    }

    #[test]
    fn bounds_of_any_kind_have_a_fit_or_a_reason(
        any in prop::collection::vec((any_bounds(), 0.0..3.0_f64), 1..7),
        scale in prop_oneof![Just(Scale::Free), (0.1..3.0_f64).prop_map(Scale::Fixed)],
    ) {
        let seen: Vec<Observation<0>> =
            any.into_iter().map(|(bounds, weight)| Observation { bounds, covariates: [], weight }).collect();
        for law in LAWS {
            match fit(law, &seen, scale) {
                Ok(best) => {
                    let top = height(&best, &seen, 0.0, 0.0);
                    for step in [-1e-2, 1e-2] {
                        prop_assert!(height(&best, &seen, step, 0.0) <= top + 1e-12, "{law:?} {best:?}");
                        let by_scale = height(&best, &seen, 0.0, step);
                        prop_assert!(scale != Scale::Free || by_scale <= top + 1e-12, "{law:?} {best:?}");
                    }
                }
                Err(error) => prop_assert!(matches!(error, PricingError::NoFit(_)), "{error:?}"),
            }
        }
    }

    #[test]
    fn no_figure_however_odd_ends_in_a_panic(
        odd in prop::collection::vec((any::<f64>(), any::<f64>(), any::<f64>(), 0..4_u8), 0..6),
        degrees in any::<f64>(),
    ) {
        let seen: Vec<Observation<1>> = odd
            .into_iter()
            .map(|(a, b, weight, kind)| {
                let bounds = match kind {
                    0 => Bounds::Exact(a),
                    1 => Bounds::Below(a),
                    2 => Bounds::Above(a),
                    _ => Bounds::Between(a.min(b), a.max(b)),
                };
                Observation { bounds, covariates: [b], weight: weight.abs() }
            })
            .collect();
        for law in LAWS.into_iter().chain([ErrorLaw::StudentT { degrees }]) {
            let _ = fit(law, &seen, Scale::Free);
            let _ = fit(law, &seen, Scale::Fixed(degrees.abs()));
        }
    }
}
