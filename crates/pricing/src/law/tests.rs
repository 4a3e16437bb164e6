//! What the laws of the error must be, far out and between their branches.

use std::f64::consts::PI;

use super::ErrorLaw;

const LAWS: [ErrorLaw; 8] = [
    ErrorLaw::Normal,
    ErrorLaw::StudentT4,
    ErrorLaw::StudentT { degrees: 0.7 },
    ErrorLaw::StudentT { degrees: 5.0 },
    ErrorLaw::StudentT { degrees: 400.0 },
    ErrorLaw::Logistic,
    ErrorLaw::SmallestExtreme,
    ErrorLaw::LargestExtreme,
];

#[track_caller]
fn near(got: f64, wanted: f64, tolerance: f64, what: impl std::fmt::Debug) {
    assert!((got - wanted).abs() <= tolerance * (1.0 + wanted.abs()), "{what:?}: {got} {wanted}");
}

#[test]
fn density_is_the_slope_of_the_distribution() {
    let step = 1e-5;
    for law in LAWS {
        for z in [-4.0, -1.5, -0.2, 0.0, 0.9, 2.5] {
            let slope = (law.below(z + step) - law.below(z - step)) / (2.0 * step);
            near(slope, law.ln_density(z).exp(), 1e-8, (law, z));
        }
    }
}

#[test]
fn what_lies_below_above_and_between_is_everything() {
    for law in LAWS {
        for (low, high) in [(-2.0, 0.5), (0.3, 1.1), (-3.0, -2.999), (1.0, 4.0)] {
            let sum = law.ln_below(low).exp() + law.ln_between(low, high).exp() + law.ln_above(high).exp();
            near(sum, 1.0, 1e-13, (law, low, high));
            near(law.ln_below(low).exp(), law.below(low), 1e-14, (law, low));
        }
    }
}

#[test]
fn far_tails_stay_finite_and_in_order() {
    for law in LAWS {
        let mut last = f64::NEG_INFINITY;
        for z in [-1e30, -1e6, -300.0, -60.0, -38.0, -20.000_1, -20.0, -19.999_9, -5.0, 0.0, 5.0] {
            let ln_below = law.ln_below(z);
            assert!(ln_below >= last && !ln_below.is_nan(), "{law:?} {z}: {ln_below} after {last}");
            last = ln_below;
            assert!(law.ln_between(z, z + 0.5 * z.abs() + 0.1) <= law.ln_above(z) + 1e-12, "{law:?} {z}");
        }
    }
}

#[test]
fn the_smallest_extreme_law_falls_off_as_the_exponential() {
    for z in [-36.9, -37.1, -800.0, -1e30] {
        near(ErrorLaw::SmallestExtreme.ln_below(z) / z, 1.0, 1e-15, z);
        near(ErrorLaw::LargestExtreme.ln_above(-z) / z, 1.0, 1e-15, z);
    }
}

#[test]
fn the_branches_of_the_normal_tail_meet() {
    // The slope of ln F at -20 is about 20, and the step across the seam must show it.
    let step = ErrorLaw::Normal.ln_below(-20.0 + 1e-7) - ErrorLaw::Normal.ln_below(-20.0 - 1e-7);
    near(step / 2e-7, 20.0 + 1.0 / 20.05, 1e-4, "normal");
}

#[test]
fn the_tail_of_students_t_is_one_whichever_way_it_is_reached() {
    for t in [1e3, 1e30, 1e59, 1e61, 1e70] {
        let closed = ErrorLaw::StudentT4.ln_below(-t);
        near(ErrorLaw::StudentT { degrees: 4.0 }.ln_below(-t), closed, 1e-13, t);
        // From the leading term 3 / t^4.
        near(closed, 3.0_f64.ln() - 4.0 * t.ln(), 1e-5, t);
    }
    // Where the integral underflows its series takes over.
    let law = ErrorLaw::StudentT { degrees: 900.0 };
    for t in [55.0, 60.0, 63.0, 66.0, 70.0, 300.0] {
        let step = 1e-4;
        let slope = (law.ln_below(-t + step) - law.ln_below(-t - step)) / (2.0 * step);
        near(slope / (law.ln_density(-t) - law.ln_below(-t)).exp(), 1.0, 1e-7, t);
    }
    assert!(law.ln_below(-55.0) > -667.0 && law.ln_below(-70.0) < -668.0, "the seam lies between");
    assert!(law.ln_below(-1e5).is_finite() && law.ln_below(-1e200).is_finite());
}

#[test]
fn students_t_with_many_degrees_is_nearly_normal() {
    let law = ErrorLaw::StudentT { degrees: 999_999.0 };
    for z in [-6.0, -1.0, 0.0, 2.0] {
        near(law.ln_below(z), ErrorLaw::Normal.ln_below(z), 1e-4, z);
        near(law.ln_density(z), ErrorLaw::Normal.ln_density(z), 1e-4, z);
    }
    // The two ways to its constant meet.
    let at = |degrees| ErrorLaw::StudentT { degrees }.ln_density(0.0);
    near(at(99.999_999), at(100.000_001), 1e-10, "seam");
}

#[test]
fn students_t_with_one_degree_is_cauchys_law() {
    let law = ErrorLaw::StudentT { degrees: 1.0 };
    for z in [-30.0_f64, -1.0, 0.4, 7.0] {
        near(law.below(z), 0.5 + z.atan() / PI, 1e-13, z);
        near(law.ln_density(z), -(PI * (1.0 + z * z)).ln(), 1e-13, z);
    }
}

#[test]
fn quantiles_undo_the_distribution() {
    for law in LAWS {
        for p in [1e-12, 1e-3, 0.1, 0.31, 0.5, 0.77, 0.999] {
            near(law.below(law.quantile(p)) / p, 1.0, 1e-11, (law, p));
        }
        assert_eq!(law.quantile(0.0), f64::NEG_INFINITY, "{law:?}");
        assert_eq!(law.quantile(1.0), f64::INFINITY, "{law:?}");
        assert!(law.quantile(-0.1).is_nan() && law.quantile(1.1).is_nan() && law.quantile(f64::NAN).is_nan());
    }
}

#[test]
fn odd_numbers_give_odd_answers_without_a_panic() {
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN, f64::MIN_POSITIVE, 0.0, -0.0];
    let degrees = [f64::NAN, -1.0, 0.0, 1e-300, 1e-3, 1e5, 1e6, f64::INFINITY];
    let laws = LAWS.into_iter().chain(degrees.map(|degrees| ErrorLaw::StudentT { degrees }));
    for law in laws {
        for z in odd {
            let _ = (law.ln_density(z), law.below(z), law.quantile(z), law.ln_density_slopes(z));
            let tails = (law.ln_below(z), law.ln_above(z));
            assert!(tails.0.is_nan() || tails.0 <= 0.0, "{law:?} {z} {tails:?}");
            for other in odd {
                let between = law.ln_between(z, other);
                assert!(between.is_nan() || between <= 1e-9, "{law:?} {z} {other} {between}");
            }
        }
    }
    assert!(ErrorLaw::StudentT { degrees: -1.0 }.quantile(0.3).is_nan());
    assert_eq!(ErrorLaw::Normal.ln_between(f64::NEG_INFINITY, f64::INFINITY), 0.0);
    assert_eq!(ErrorLaw::Normal.ln_between(2.0, 1.0), f64::NEG_INFINITY);
}
