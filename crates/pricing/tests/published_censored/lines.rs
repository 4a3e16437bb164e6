//! Lines through censored values: one or two covariates.

use pricing::{Bounds, ErrorLaw, Observation};

use super::{RECOMPUTED, example, fitted, near, number, numbers, printed};

pub(crate) const CHECKED: &[&str] =
    &["tobin_1958_tobit", "motor_insulation_lognormal_aft", "capacitor_student_t_regression"];

/// Tobin 1958, *Estimation of relationships for limited dependent variables*; predictions as printed by R
/// survival's examples.
#[test]
fn tobins_households() {
    let e = example("tobin_1958_tobit");
    let durable = numbers(&e["data"]["durable"]);
    let covariates = numbers(&e["data"]["age"]).into_iter().zip(numbers(&e["data"]["quant"]));
    let seen: Vec<Observation<2>> = durable
        .into_iter()
        .zip(covariates)
        .map(|(spent, (age, quant))| Observation {
            bounds: if spent == 0.0 { Bounds::Below(0.0) } else { Bounds::Exact(spent) },
            covariates: [age, quant],
            weight: 1.0,
        })
        .collect();
    let fit = fitted(ErrorLaw::Normal, &seen);
    let predictions = numbers(&e["published"]["linear_predictions"]);
    assert_eq!(predictions.len(), seen.len());
    for (observation, prediction) in seen.iter().zip(predictions) {
        assert!((fit.location(&observation.covariates) - prediction).abs() < 5e-7);
    }
    for (got, i) in [fit.intercept, fit.slopes[0], fit.slopes[1]].into_iter().zip(0..) {
        near(got, &e["published"]["coefficients_implied_by_predictions"][i], 1e-6);
        near(got, &e["published"]["coefficients_memory"][i], 1e-6);
    }
    printed(fit.scale, &e["published"]["scale_memory"], 5);
    near(fit.intercept, &e["computed"]["intercept"], RECOMPUTED);
    near(fit.slopes[0], &e["computed"]["age"], RECOMPUTED);
    near(fit.slopes[1], &e["computed"]["quant"], RECOMPUTED);
    near(fit.scale, &e["computed"]["scale"], RECOMPUTED);
    near(fit.ln_likelihood, &e["computed"]["loglik"], RECOMPUTED);
}

/// Nelson & Hahn's motor insulation above 150 degrees; as in R survival's `r_sas` test, which follows the SAS
/// manual.
#[test]
fn motor_insulation_lasts_as_the_inverse_temperature() {
    let e = example("motor_insulation_lognormal_aft");
    let covariate = |temperature: f64| 1000.0 / (273.2 + temperature);
    let lives = numbers(&e["data"]["time"]).into_iter().zip(numbers(&e["data"]["event"]));
    let seen: Vec<Observation<1>> = lives
        .zip(numbers(&e["data"]["temp"]))
        .filter(|(_, temperature)| *temperature > 150.0)
        .map(|((time, ended), temperature)| Observation {
            bounds: if ended == 1.0 { Bounds::Exact(time.ln()) } else { Bounds::Above(time.ln()) },
            covariates: [covariate(temperature)],
            weight: 1.0,
        })
        .collect();
    let fit = fitted(ErrorLaw::Normal, &seen);
    let found = [("intercept", fit.intercept), ("slope", fit.slopes[0]), ("sigma", fit.scale)];
    let errors = [fit.intercept_error, fit.slope_errors[0], fit.ln_scale_error];
    for ((name, got), (error, i)) in found.into_iter().zip(errors.into_iter().zip(0..)) {
        printed(got, &e["published"][name], 3);
        near(got, &e["computed"][name], RECOMPUTED);
        printed(error, &e["published"]["se"][i], 3);
        near(error, &e["computed"]["se"][i], 1e-6);
    }
    for temperature in [130.0, 150.0] {
        let at = temperature.to_string();
        for (p, i) in [0.1, 0.5, 0.9].into_iter().zip(0..) {
            let quantile = fit.quantile(p, &[covariate(temperature)]).exp();
            // Seven to eight digits are printed.
            near(quantile, &e["published"]["quantiles_10_50_90"][&at][i], 2e-7);
            near(quantile, &e["computed"]["quantiles_10_50_90"][&at][i], RECOMPUTED);
        }
    }
}

/// Glass capacitors, half of them still sound, with Student's t of 5 degrees; as in R survival's `r_tdist` test.
#[test]
fn capacitors_with_heavy_tails() {
    let e = example("capacitor_student_t_regression");
    let lives = numbers(&e["data"]["time"]).into_iter().zip(numbers(&e["data"]["status"]));
    let seen: Vec<Observation<1>> = lives
        .zip(numbers(&e["data"]["voltage"]))
        .map(|((time, ended), voltage)| Observation {
            bounds: if ended == 1.0 { Bounds::Exact(time) } else { Bounds::Above(time) },
            covariates: [voltage],
            weight: 1.0,
        })
        .collect();
    for (law, name) in [(ErrorLaw::Normal, "gaussian"), (ErrorLaw::StudentT { degrees: 5.0 }, "t5")] {
        let fit = fitted(law, &seen);
        printed(fit.slopes[0], &e["published"][name][1], 6);
        printed(fit.ln_likelihood, &e["published"][name][3], 1);
        for (got, i) in [fit.intercept, fit.slopes[0], fit.scale, fit.ln_likelihood].into_iter().zip(0..) {
            if i < 3 {
                near(got, &e["published"][name][i], 2e-7);
            }
            near(got, &e["computed"][name][i], RECOMPUTED);
        }
    }
    assert!(number(&e["published"]["t5"][0]) > number(&e["published"]["gaussian"][0]));
}
