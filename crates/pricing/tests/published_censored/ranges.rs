//! Values of which only a range is known, alone or among exact ones.

use pricing::{Bounds, ErrorLaw, Observation, turnbull};

use super::{RECOMPUTED, alone, example, fitted, near, number, numbers, printed};

pub(crate) const CHECKED: &[&str] = &[
    "normal_interval_censored",
    "gumbel_mixed",
    "logistic_left_censored_at_zero",
    "turbine_cracks_interval_weibull",
    "lifelines_interval_weibull_weighted",
    "turnbull_npmle",
];

fn ranges(value: &serde_json::Value) -> Vec<Bounds> {
    let pairs = value.as_array().expect("ranges").iter().map(numbers);
    pairs.map(|pair| Bounds::Between(pair[0], pair[1])).collect()
}

/// Four ranges: R fitdistrplus, as quoted in SciPy's test suite.
#[test]
fn a_normal_law_from_four_ranges() {
    let e = example("normal_interval_censored");
    let fit = fitted(ErrorLaw::Normal, &alone(ranges(&e["data"]["interval"])));
    near(fit.intercept, &e["published"]["mean"], 1e-6);
    near(fit.scale, &e["published"]["sd"], 1e-6);
    // That program takes the bend of the likelihood from steps of 0.001, which is 0.1029450 for the second; with
    // steps that vanish it is 0.1029504.
    near(fit.intercept_error, &e["published"]["se_mean"], 1e-6);
    near(fit.scale_error(), &e["published"]["se_sd"], 1e-4);
    near(fit.scale_error(), &0.102_950_38.into(), RECOMPUTED);
    near(fit.intercept, &e["computed"]["mean"], RECOMPUTED);
    near(fit.scale, &e["computed"]["sd"], RECOMPUTED);
}

/// Three exact values, two lower bounds and a range: R fitdistrplus with evd, as quoted in SciPy's test suite.
#[test]
fn a_largest_extreme_law_from_all_kinds_of_bounds() {
    let e = example("gumbel_mixed");
    let mut seen: Vec<Bounds> = numbers(&e["data"]["uncensored"]).into_iter().map(Bounds::Exact).collect();
    seen.extend(numbers(&e["data"]["right"]).into_iter().map(Bounds::Above));
    seen.extend(ranges(&e["data"]["interval"]));
    let fit = fitted(ErrorLaw::LargestExtreme, &alone(seen.clone()));
    near(fit.intercept, &e["published"]["loc"], 1e-6);
    near(fit.scale, &e["published"]["scale"], 1e-6);
    near(fit.intercept, &e["computed"]["loc"], RECOMPUTED);
    near(fit.scale, &e["computed"]["scale"], RECOMPUTED);

    // Seen in a mirror it is the law of the smallest.
    let mirrored = seen.into_iter().map(|bounds| match bounds {
        Bounds::Exact(value) => Bounds::Exact(-value),
        Bounds::Between(low, high) => Bounds::Between(-high, -low),
        Bounds::Below(high) => Bounds::Above(-high),
        Bounds::Above(low) => Bounds::Below(-low),
    });
    let mirrored = fitted(ErrorLaw::SmallestExtreme, &alone(mirrored));
    near(-mirrored.intercept, &e["computed"]["loc"], RECOMPUTED);
    near(mirrored.scale, &e["computed"]["scale"], RECOMPUTED);
}

/// Thirty values of which five are only known to be at most 0: R fitdistrplus, as quoted in SciPy's test suite.
#[test]
fn a_logistic_law_with_upper_bounds_at_zero() {
    let e = example("logistic_left_censored_at_zero");
    let floor = number(&e["data"]["left_censored_when"]);
    let values = numbers(&e["data"]["x"]).into_iter();
    let seen = alone(values.map(|x| if x <= floor { Bounds::Below(floor) } else { Bounds::Exact(x) }));
    let fit = fitted(ErrorLaw::Logistic, &seen);
    near(fit.intercept, &e["published"]["location"], 1e-6);
    near(fit.scale, &e["published"]["scale"], 1e-6);
    near(fit.intercept, &e["computed"]["location"], RECOMPUTED);
    near(fit.scale, &e["computed"]["scale"], RECOMPUTED);
    let normal = fitted(ErrorLaw::Normal, &seen);
    near(normal.intercept, &e["computed"]["normal_mean"], RECOMPUTED);
    near(normal.scale, &e["computed"]["normal_sd"], RECOMPUTED);
}

/// Meeker & Escobar, cracks in 167 turbine parts found at eight inspections; as in R survival's `r_sas` test, which
/// follows the SAS manual.
#[test]
fn turbine_cracks_found_at_inspections() {
    let e = example("turbine_cracks_interval_weibull");
    let days = numbers(&e["data"]["inspection_day"]);
    let cracks = numbers(&e["data"]["new_cracks"]);
    let mut seen = Vec::new();
    let mut last = f64::NEG_INFINITY;
    for (day, weight) in days.iter().zip(&cracks) {
        seen.push(Observation { bounds: Bounds::Between(last, day.ln()), covariates: [], weight: *weight });
        last = day.ln();
    }
    let whole = number(&e["data"]["total"]) - cracks.iter().sum::<f64>();
    seen.push(Observation { bounds: Bounds::Above(last), covariates: [], weight: whole });
    let fit = fitted(ErrorLaw::SmallestExtreme, &seen);
    printed(fit.intercept, &e["published"]["log_scale"], 4);
    printed(fit.scale.ln(), &e["published"]["ln_sigma"], 4);
    printed(fit.ln_likelihood, &e["published"]["loglik"], 1);
    near(fit.intercept, &e["computed"]["log_scale"], RECOMPUTED);
    near(fit.scale.ln(), &e["computed"]["ln_sigma"], RECOMPUTED);
    near(fit.ln_likelihood, &e["computed"]["loglik"], RECOMPUTED);
    near(fit.scale.recip(), &e["computed"]["shape"], RECOMPUTED);
    near(fit.intercept.exp(), &e["computed"]["scale"], RECOMPUTED);
    let recomputed = numbers(&e["computed"]["quantiles_1_10_50_80"]);
    for (percent, recomputed) in ["1", "10", "50", "80"].into_iter().zip(recomputed) {
        let p = percent.parse::<f64>().expect("percent") / 100.0;
        let quantile = fit.quantile(p, &[]).exp();
        near(quantile, &e["published"]["quantile_pct"][percent], 1e-7);
        near(quantile, &recomputed.into(), RECOMPUTED);
    }
}

/// A month's failures of a large fleet: lifelines' test suite, which gives the pair to one part in a thousand.
#[test]
fn a_weighted_weibull_law_from_ranges() {
    let e = example("lifelines_interval_weibull_weighted");
    let left = numbers(&e["data"]["left"]);
    let right = e["data"]["right"].as_array().expect("ends");
    let units = numbers(&e["data"]["units"]);
    let seen: Vec<Observation<0>> = left
        .iter()
        .zip(right)
        .zip(units)
        .map(|((left, right), weight)| Observation {
            bounds: Bounds::Between(left.ln(), right.as_f64().map_or(f64::INFINITY, f64::ln)),
            covariates: [],
            weight,
        })
        .collect();
    let fit = fitted(ErrorLaw::SmallestExtreme, &seen);
    near(fit.scale.recip(), &e["published"]["shape"], number(&e["published"]["rtol"]));
    near(fit.intercept.exp(), &e["published"]["scale"], number(&e["published"]["rtol"]));
    // The likelihood is so flat here that the recomputed pair stopped a little off its top.
    near(fit.scale.recip(), &e["computed"]["shape"], 1e-6);
    near(fit.intercept.exp(), &e["computed"]["scale"], 1e-6);
}

/// Turnbull's shares from six ranges: R icenReg, as quoted in lifelines' test suite.
#[test]
fn turnbulls_shares_from_six_ranges() {
    let e = example("turnbull_npmle");
    let pairs: Vec<(f64, f64)> =
        numbers(&e["data"]["left"]).into_iter().zip(numbers(&e["data"]["right"])).collect();
    let shares = turnbull(&pairs).expect("ranges");
    assert_eq!(
        shares.iter().map(|s| (s.from, s.to)).collect::<Vec<_>>(),
        [(0.0, 1.0), (2.0, 3.0), (4.0, 4.0), (5.0, 6.0)]
    );
    let mut left = 1.0;
    let after = ["S(1) lower", "S(4)", "S(6) upper", "S(6) lower"];
    for (share, name) in shares.iter().zip(after) {
        left -= share.share;
        assert!((left - number(&e["published"][name])).abs() < 1e-9, "{name}: {left}");
    }
    // The share that outlasts 2 is that which outlasts 1, as none can end between.
    assert_eq!(e["published"]["S(2)"], e["published"]["S(1) lower"]);
    // The recomputed shares stopped short of the best ones.
    assert!((number(&e["computed"]["1"][1]) - 0.75).abs() < 0.005);
}
