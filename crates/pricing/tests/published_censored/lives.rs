//! Lives that ended or still went on, without covariates.

use pricing::{Bounds, ErrorLaw, Lifetime, kaplan_meier, median_survival};

use super::{
    RECOMPUTED, alone, example, exponential, fitted, ln_times, near, number, numbers, printed, weibull,
};

pub(crate) const CHECKED: &[&str] = &[
    "nelson_fan_weibull",
    "nelson_locomotive_lognormal",
    "weibull_20_right_censored",
    "exponential_right_censored",
    "freireich_6mp_km_exponential_weibull",
    "shock_absorber",
    "ball_bearings",
    "insulating_fluid_weibull_exact",
];

/// Nelson 1982, *Applied Life Data Analysis*, 70 fans of which 12 failed; as the SAS manual fits them.
#[test]
fn nelsons_fans_are_weibull() {
    let e = example("nelson_fan_weibull");
    let seen = ln_times(&e["data"]["time"], &e["data"]["failed"]);
    let (shape, scale) = weibull(seen.clone());
    printed(shape, &e["published"]["shape"], 4);
    printed(scale / 1000.0, &e["published"]["scale_thousand_hours"], 4);
    near(shape, &e["computed"]["shape"], RECOMPUTED);
    near(scale / 1000.0, &e["computed"]["scale_thousand_hours"], RECOMPUTED);

    let fit = exponential(seen);
    let mean = fit.intercept.exp();
    near(mean, &e["computed"]["exponential_mean_hours"], RECOMPUTED);
    near(mean * fit.intercept_error, &e["computed"]["exponential_se"], RECOMPUTED);
    near(12.0 * mean, &e["computed"]["total_time"], 1e-12);
}

/// Nelson 1982, 37 locomotive controls that failed and 59 that ran at 135 thousand miles; as SAS fits them.
#[test]
fn nelsons_locomotive_controls_are_lognormal() {
    let e = example("nelson_locomotive_lognormal");
    let failures = numbers(&e["data"]["failures"]);
    let end = number(&e["data"]["right_censored_at"]).ln();
    let running = e["data"]["right_censored_count"].as_u64().expect("a count") as usize;
    let mut seen = alone(failures.iter().map(|t| Bounds::Exact(t.ln())));
    seen.extend(alone(vec![Bounds::Above(end); running]));
    let fit = fitted(ErrorLaw::Normal, &seen);
    printed(fit.intercept, &e["published"]["mu"], 4);
    printed(fit.scale, &e["published"]["sigma"], 4);
    near(fit.intercept, &e["computed"]["mu"], RECOMPUTED);
    near(fit.scale, &e["computed"]["sigma"], RECOMPUTED);
    near(fit.quantile(0.5, &[]).exp(), &e["computed"]["median"], RECOMPUTED);
    near(fit.chance_below(80.0_f64.ln(), &[]), &e["computed"]["F_80"], RECOMPUTED);
    // The density of a time is that of its logarithm over the time.
    let of_times = fit.ln_likelihood - failures.iter().map(|t| t.ln()).sum::<f64>();
    near(of_times, &e["computed"]["reliability_loglik"], RECOMPUTED);

    // One observation that counts 59 times says the same as 59 of them.
    let mut once = alone(failures.iter().map(|t| Bounds::Exact(t.ln())));
    once.extend(alone([Bounds::Above(end)]));
    if let Some(last) = once.last_mut() {
        last.weight = running as f64;
    }
    let weighted = fitted(ErrorLaw::Normal, &once);
    assert!((weighted.intercept - fit.intercept).abs() < 1e-9);
    assert!((weighted.scale_error() - fit.scale_error()).abs() < 1e-9);
}

/// Twenty times, seven of them censored, from the lecture notes that SciPy's test suite quotes.
#[test]
fn twenty_times_of_the_lecture_notes_are_weibull() {
    let e = example("weibull_20_right_censored");
    let seen = ln_times(&e["data"]["time"], &e["data"]["event"]);
    let (shape, scale) = weibull(seen.clone());
    printed(shape, &e["published"]["shape"], 3);
    // The notes cut 28.996 short.
    near(scale, &e["published"]["scale"], 1e-3);
    near(shape, &e["computed"]["shape"], RECOMPUTED);
    near(scale, &e["computed"]["scale"], RECOMPUTED);
    near(exponential(seen).intercept.exp(), &e["computed"]["exponential_mean"], RECOMPUTED);
}

/// Ten exact and six censored times: R fitdistrplus, as quoted in SciPy's test suite.
#[test]
fn an_exponential_mean_is_all_time_over_all_ends() {
    let e = example("exponential_right_censored");
    let fit = exponential(ln_times(&e["data"]["time"], &e["data"]["event"]));
    let mean = fit.intercept.exp();
    near(mean, &e["published"]["scale"], 1e-12);
    near(mean * fit.intercept_error, &e["published"]["se"], 1e-6);
    near(mean * fit.intercept_error, &e["computed"]["se"], RECOMPUTED);
}

/// Freireich et al. 1963; shares as in Klein & Moeschberger, *Survival Analysis*, table 4.1B, Weibull as in Lawless,
/// *Statistical Models and Methods for Lifetime Data*.
#[test]
fn remissions_of_freireichs_patients() {
    let e = example("freireich_6mp_km_exponential_weibull");
    let (times, ended) = (numbers(&e["data"]["time"]), numbers(&e["data"]["event"]));
    let lives: Vec<Lifetime> = times
        .iter()
        .zip(&ended)
        .map(|(time, ended)| Lifetime { time: *time, ended: *ended == 1.0 })
        .collect();
    let steps = kaplan_meier(&lives).expect("times");
    assert_eq!(steps.len(), e["published"]["km"].as_object().expect("shares").len());
    for step in &steps {
        let at = step.time.to_string();
        printed(step.survival, &e["published"]["km"][&at], 3);
        printed(step.survival, &e["computed"]["km"][&at], 6);
        printed(step.standard_error, &e["computed"]["km_se_greenwood"][&at], 6);
        // The table's own figures carry rounded shares forward.
        near(step.standard_error, &e["published"]["km_se"][&at], 1e-3);
    }
    assert_eq!(median_survival(&steps), e["computed"]["median_km"].as_f64());

    let seen = ln_times(&e["data"]["time"], &e["data"]["event"]);
    near((-exponential(seen.clone()).intercept).exp(), &e["published"]["exponential_rate"], 1e-9);
    let (shape, scale) = weibull(seen);
    printed(shape, &e["published"]["weibull_shape"], 3);
    printed(scale, &e["published"]["weibull_scale"], 2);
    near(shape, &e["computed"]["weibull_shape"], RECOMPUTED);
    near(scale, &e["computed"]["weibull_scale"], RECOMPUTED);
}

/// O'Connor 1985; as in Meeker & Escobar, *Statistical Methods for Reliability Data*, chapter 8.
#[test]
fn shock_absorbers_by_two_laws() {
    let e = example("shock_absorber");
    let seen = alone(ln_times(&e["data"]["km"], &e["data"]["event"]));
    for (law, name) in [(ErrorLaw::SmallestExtreme, "weibull"), (ErrorLaw::Normal, "lognormal")] {
        let fit = fitted(law, &seen);
        printed(fit.intercept, &e["published"][format!("{name}_mu")], 2);
        printed(fit.scale, &e["published"][format!("{name}_sigma")], 4);
        near(fit.intercept, &e["computed"][format!("{name}_mu")], RECOMPUTED);
        near(fit.scale, &e["computed"][format!("{name}_sigma")], 2e-7);
    }
}

/// Lieblein & Zelen 1956; as in Lawless and in Meeker & Escobar.
#[test]
fn ball_bearings_by_two_laws() {
    let e = example("ball_bearings");
    let seen: Vec<Bounds> = numbers(&e["data"]).into_iter().map(|t| Bounds::Exact(t.ln())).collect();
    let (shape, scale) = weibull(seen.clone());
    printed(shape, &e["published"]["weibull_shape"], 2);
    printed(scale, &e["published"]["weibull_scale"], 1);
    near(shape, &e["computed"]["weibull_shape"], RECOMPUTED);
    near(scale, &e["computed"]["weibull_scale"], RECOMPUTED);
    let fit = fitted(ErrorLaw::Normal, &alone(seen));
    printed(fit.intercept, &e["published"]["lognormal_mu"], 2);
    printed(fit.scale, &e["published"]["lognormal_sigma"], 2);
    near(fit.intercept, &e["computed"]["lognormal_mu"], RECOMPUTED);
    near(fit.scale, &e["computed"]["lognormal_sigma_ml"], RECOMPUTED);
}

/// Nelson's insulating fluid at three voltages; as in R survival's `r_sas` test, which follows the SAS manual.
#[test]
fn insulating_fluid_at_three_voltages() {
    let e = example("insulating_fluid_weibull_exact");
    for voltage in ["30", "34", "38"] {
        let seen = numbers(&e["data"][voltage]).into_iter().map(|t| Bounds::Exact(t.ln())).collect();
        let (shape, scale) = weibull(seen);
        // Five decimals for two of them; the third has eight, the last of which is left to that program.
        for (got, i) in [shape, scale].into_iter().zip(0..) {
            let published = &e["published"][voltage][i];
            if voltage == "38" { near(got, published, 1e-8) } else { printed(got, published, 5) }
        }
        near(shape, &e["computed"][voltage][0], RECOMPUTED);
        near(scale, &e["computed"][voltage][1], RECOMPUTED);
    }
}
