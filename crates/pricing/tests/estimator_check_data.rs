//! The estimator against the answers of `comps_train.json` and `ask_probability_train.json`.

mod sets;

use measure::Money;
use pricing::{
    Appraisal, Assumptions, Bounds, Counted, ErrorLaw, Grade, GridSize, Observation, Prior, SaleRate, Scale,
    appraise, fit,
};
use serde_json::Value;
use sets::{LAWS, assumptions, case, cases, comps, number, numbers};

/// Tolerance of the data for posterior quantiles, relative.
const QUANTILE: f64 = 2e-3;
/// How far the data's range of the median may lie off, in the logarithm. The data are no closer than this themselves:
/// against the closed form, a plain sum over a fine grid and importance sampling (`estimator_plain_sum.rs`,
/// `estimator_sampling.rs`, and the flat prior below), which all agree, their ends of the range for a single piece lie up
/// to 4 % to either side, as if read off at the nearest point of a coarse grid. Those tests hold the range to 1e-4.
const MEDIAN_STEP: f64 = 0.045;
/// Tolerance of the data for posterior means.
const MEAN: f64 = 2e-3;
/// Tolerance of the data for fits by maximum likelihood.
const FIT: f64 = 2e-5;
/// Tolerance of everything given to nine digits.
const NINE_DIGITS: f64 = 1e-6;
/// What lifelines reaches with its own stopping rule on intercepts and scales.
const LIFELINES: f64 = 2e-5;

fn appraised(case: &Value, law: ErrorLaw) -> Appraisal {
    appraise(&comps(case), Grade::C, &assumptions(law)).expect("appraises")
}

fn near(found: f64, right: f64, relative: f64, what: &str) {
    assert!((found - right).abs() <= relative * right.abs(), "{what}: {found} should be {right}");
}

#[test]
fn every_comp_counts_with_the_stated_bounds_and_weight() {
    let data = sets::sets();
    assert_eq!(cases(&data).len(), 7);
    for case in cases(&data) {
        let appraisal = appraised(case, ErrorLaw::Normal);
        let derived = &case["derived"];
        let weights = numbers(&derived["weight"]);
        assert_eq!(weights.len(), appraisal.counted().len());
        for (i, counted) in appraisal.counted().iter().enumerate() {
            let what = format!("{} comp {}", case["id"], i + 1);
            assert_eq!(counted.number, i + 1);
            near(counted.weight, weights[i], 1e-8, &what);
            assert_eq!(u64::from(counted.pieces), derived["pieces"][i].as_u64().expect("pieces"));
            let (low, high) = counted.delivered();
            near(low.unwrap_or(0.0), number(&derived["lo_delivered"][i]), 1e-8, &what);
            match derived["hi_delivered"][i].as_f64() {
                Some(right) => near(high.expect("closed above"), right, 1e-8, &what),
                None => assert_eq!(high, None, "{what}"),
            }
        }
        near(appraisal.weight_sum(), number(&derived["weight_sum"]), 1e-8, "weight sum");
        near(appraisal.effective_comps(), number(&derived["kish_n_eff"]), 1e-8, "effective comps");
    }
}

#[test]
fn the_posterior_has_the_stated_means_and_spreads() {
    let data = sets::sets();
    for case in cases(&data) {
        for (law, name) in LAWS {
            let appraisal = appraised(case, law);
            let answer = &case["results"][name];
            let parameters =
                [("mu", appraisal.mu()), ("beta", appraisal.beta()), ("sigma", appraisal.sigma())];
            for (parameter, found) in parameters {
                let what = format!("{} {name} {parameter}", case["id"]);
                let mean = number(&answer["posterior_mean"][parameter]);
                let sd = number(&answer["posterior_sd"][parameter]);
                assert!((found.mean - mean).abs() <= MEAN, "{what}: {} {mean}", found.mean);
                assert!((found.sd - sd).abs() <= MEAN, "{what}: {} {sd}", found.sd);
            }
        }
    }
}

#[test]
fn every_quantile_of_every_lot_is_as_stated() {
    let data = sets::sets();
    let mut lots = 0;
    let mut worst: f64 = 0.0;
    for case in cases(&data) {
        for (law, name) in LAWS {
            let appraisal = appraised(case, law);
            for (pieces, answer) in case["results"][name]["by_lot"].as_object().expect("lots") {
                let worth = appraisal.lot(pieces.parse().expect("a count")).expect("a lot");
                let figures = [
                    (worth.p10, &answer["p10"]),
                    (worth.p25, &answer["p25"]),
                    (worth.median, &answer["p50"]),
                    (worth.p75, &answer["p75"]),
                    (worth.p90, &answer["p90"]),
                    (worth.per_piece, &answer["per_piece_p50"]),
                ];
                let median = [worth.median_least, worth.median_most];
                for (found, right) in median.into_iter().zip(numbers(&answer["median_ci80"])) {
                    let off = (found / right).ln().abs();
                    assert!(off <= MEDIAN_STEP, "{} {name} lot {pieces}: {found} {right}", case["id"]);
                }
                for (k, (found, right)) in figures.into_iter().enumerate() {
                    let right = number(right);
                    worst = worst.max((found / right - 1.0).abs());
                    near(found, right, QUANTILE, &format!("{} {name} lot {pieces} figure {k}", case["id"]));
                }
                lots += 1;
            }
        }
    }
    assert_eq!(lots, 46, "all lots of the data are looked at");
    println!("largest difference: {worst:.2e} of the price");
}

#[test]
fn nothing_worth_counting_lies_outside_the_grid() {
    let data = sets::sets();
    for case in cases(&data) {
        for (law, name) in LAWS {
            let grid = appraised(case, law).grid();
            println!("{} {name}: {grid:?}", case["id"]);
            assert!(grid.edge_mass < 1e-5 && !grid.sigma_held, "{} {name}: {grid:?}", case["id"]);
        }
    }
}

#[test]
fn a_finer_grid_hardly_moves_a_quantile() {
    let data = sets::sets();
    let fine = GridSize { level: 81, beta: 51, ln_sigma: 61 };
    for case in cases(&data) {
        for (law, name) in LAWS {
            let usual = appraised(case, law);
            let finer = Assumptions { grid: fine, ..assumptions(law) };
            let finer = appraise(&comps(case), Grade::C, &finer).expect("appraises");
            for pieces in [1, 2, 4, 6] {
                let (found, right) = (usual.lot(pieces).expect("a lot"), finer.lot(pieces).expect("a lot"));
                let what = format!("{} {name} lot {pieces}", case["id"]);
                let seen = (usual.smallest_lot()..=usual.largest_lot()).contains(&pieces);
                for (found, right) in
                    [(found.p10, right.p10), (found.median, right.median), (found.p90, right.p90)]
                {
                    near(found, right, if seen { 5e-6 } else { 1e-4 }, &what);
                }
                near(found.median_least, right.median_least, 2e-4, &what);
                near(found.median_most, right.median_most, 2e-4, &what);
            }
        }
    }
}

#[test]
fn one_odd_price_carries_the_normal_law_away_and_not_students() {
    let data = sets::sets();
    let outlier = case(&data, "T3_outlier");
    let median = |law| appraised(outlier, law).lot(1).expect("a lot").median;
    near(median(ErrorLaw::Normal), 26.403715, QUANTILE, "normal");
    near(median(ErrorLaw::StudentT4), 21.6991862, QUANTILE, "Student's t");
}

#[test]
fn a_flat_prior_gives_students_predictive_law_in_closed_form() {
    // With equal weights and a flat prior on (mu, ln sigma) the next sale follows Student's t with n - 1
    // degrees of freedom about the mean (Gelman et al., Bayesian Data Analysis, section 3.2; from memory).
    let data = sets::sets();
    let single = case(&data, "T4_exact_single");
    let answer = &single["results"]["closed_form_flat_prior"];
    let flat = Assumptions {
        error_law: ErrorLaw::Normal,
        prior: Prior { mu_mean: Some(2.5), mu_sd: 1000.0, ln_sigma_sd: 1000.0, ..Prior::default() },
        grid: GridSize { level: 81, beta: 9, ln_sigma: 81 },
        ..Assumptions::default()
    };
    let worth = appraise(&comps(single), Grade::C, &flat).expect("appraises").lot(1).expect("a lot");
    near(worth.p10, number(&answer["p10"]), 1e-4, "p10");
    near(worth.median, number(&answer["median"]), 1e-4, "median");
    near(worth.p90, number(&answer["p90"]), 1e-4, "p90");
    near(worth.median_least, number(&answer["median_ci80"][0]), 1e-4, "median, low");
    near(worth.median_most, number(&answer["median_ci80"][1]), 1e-4, "median, high");
}

fn observations<const K: usize>(
    counted: &[Counted],
    weighted: bool,
    covariates: impl Fn(&Counted) -> [f64; K],
) -> Vec<Observation<K>> {
    counted
        .iter()
        .map(|comp| Observation {
            bounds: comp.bounds,
            covariates: covariates(comp),
            weight: if weighted { comp.weight } else { 1.0 },
        })
        .collect()
}

#[test]
fn the_weighted_fit_of_the_counted_comps_is_as_stated() {
    let data = sets::sets();
    let mut fits = 0;
    for case in cases(&data) {
        let counted = appraised(case, ErrorLaw::Normal);
        let counted = counted.counted();
        let results = &case["results"];
        let level = observations(counted, true, |_| []);
        let sloped = observations(counted, true, |comp| [f64::from(comp.pieces).ln()]);
        let plain = observations(counted, false, |_| []);
        // lifelines counts an exact price by its density on the scale of the price.
        let to_price_scale: f64 = counted
            .iter()
            .map(|comp| match comp.bounds {
                Bounds::Exact(value) => -comp.weight * value,
                Bounds::Between(..) | Bounds::Below(_) | Bounds::Above(_) => 0.0,
            })
            .sum();
        if let Some(answer) = results.get("mle_weighted_intercept_only") {
            let fit = fit(ErrorLaw::Normal, &level, Scale::Free).expect("fits");
            near(fit.intercept, number(&answer["mu"]), FIT, "mu");
            near(fit.scale, number(&answer["sigma"]), FIT, "sigma");
            near(fit.ln_likelihood, number(&answer["objective"]), NINE_DIGITS, "objective");
            fits += 1;
            if let Some(other) = results.get("lifelines_weighted").and_then(|l| l.get("intercept_only")) {
                near(fit.intercept, number(&other["mu"]), LIFELINES, "lifelines mu");
                near(fit.scale, number(&other["sigma"]), LIFELINES, "lifelines sigma");
                let ln_likelihood = number(&other["loglik_price_scale"]);
                near(fit.ln_likelihood + to_price_scale, ln_likelihood, NINE_DIGITS, "lifelines lnL");
                near(fit.intercept_error, number(&other["se_mu"]), 1e-3, "lifelines se mu");
                near(fit.scale_error(), number(&other["se_sigma"]), 1e-3, "lifelines se sigma");
                fits += 1;
            }
        }
        if let Some(answer) = results.get("mle_weighted_lnn") {
            let fit = fit(ErrorLaw::Normal, &sloped, Scale::Free).expect("fits");
            near(fit.intercept, number(&answer["mu"]), FIT, "mu");
            near(fit.slopes[0], number(&answer["beta"]), FIT, "beta");
            near(fit.scale, number(&answer["sigma"]), FIT, "sigma");
            near(fit.ln_likelihood, number(&answer["objective"]), NINE_DIGITS, "objective");
            fits += 1;
            if let Some(other) = results.get("lifelines_weighted").and_then(|l| l.get("aft_lnn")) {
                near(fit.intercept, number(&other["mu"]), LIFELINES, "lifelines mu");
                near(fit.slopes[0], number(&other["beta"]), LIFELINES, "lifelines beta");
                near(fit.scale, number(&other["sigma"]), LIFELINES, "lifelines sigma");
                near(fit.intercept_error, number(&other["se_mu"]), 1e-3, "lifelines se mu");
                near(fit.slope_errors[0], number(&other["se_beta"]), 1e-3, "lifelines se beta");
                near(fit.ln_scale_error, number(&other["se_lnsigma"]), 1e-3, "lifelines se ln sigma");
                fits += 1;
            }
            if let Some(other) = results.get("statsmodels_wls") {
                near(fit.intercept, number(&other["params"][0]), FIT, "statsmodels mu");
                near(fit.slopes[0], number(&other["params"][1]), FIT, "statsmodels beta");
                near(fit.scale, number(&other["sigma_ml"]), FIT, "statsmodels sigma");
                fits += 1;
            }
        }
        if let Some(answer) = results.get("scipy_unweighted_intercept_only") {
            let fit = fit(ErrorLaw::Normal, &plain, Scale::Free).expect("fits");
            near(fit.intercept, number(&answer["mu"]), FIT, "scipy mu");
            near(fit.scale, number(&answer["sigma"]), FIT, "scipy sigma");
            fits += 1;
        }
    }
    assert_eq!(fits, 27, "all fits of the data are looked at");
}

#[test]
fn a_set_without_any_sale_has_no_fit_worth_the_name_and_still_an_appraisal() {
    let data = sets::sets();
    let none_exact = case(&data, "T5_no_exact");
    let appraisal = appraised(none_exact, ErrorLaw::StudentT4);
    assert_eq!(appraisal.exact(), 0);
    let sloped = observations(appraisal.counted(), true, |comp| [f64::from(comp.pieces).ln()]);
    assert!(fit(ErrorLaw::Normal, &sloped, Scale::Free).is_err());
    near(appraisal.lot(2).expect("a lot").median, 20.6726302, QUANTILE, "median");
}

#[test]
fn the_chance_of_a_sale_averages_over_the_market_median() {
    let data = sets::sets();
    let asks: Value = serde_json::from_str(include_str!("data/ask_probability_train.json")).expect("JSON");
    let mut rows = 0;
    for asked in asks["cases"].as_array().expect("cases") {
        let law = if asked["err"] == "normal" { ErrorLaw::Normal } else { ErrorLaw::StudentT4 };
        let appraisal = appraised(case(&data, "T1_mixed_nine"), law);
        let pieces = u32::try_from(asked["lot"].as_u64().expect("a lot")).expect("small");
        let p50 = appraisal.lot(pieces).expect("a lot").median;
        near(p50, number(&asked["predictive_p50"]), QUANTILE, "median");
        let rate =
            SaleRate::new(number(&asked["gamma_a"]), number(&asked["gamma_b"]), number(&asked["kappa"]))
                .expect("a rate");
        let medians = appraisal.medians(pieces).expect("medians");
        for row in asked["rows"].as_array().expect("rows") {
            let ask = number(&row["ask_delivered"]);
            let amount = Money::from_cents_rounded(ask * 100.0);
            let at_least = appraisal.chance_next_sale_at_least(pieces, amount).expect("a chance");
            near(at_least, number(&row["p_next_sale_at_least_ask"]), QUANTILE, "next sale");
            near(ask / p50, number(&row["ratio_to_p50"]), QUANTILE, "ratio");
            for (days, averaged, plug_in) in [
                (7.0, "p_7d_averaged", "p_7d_plug_in"),
                (30.0, "p_30d_averaged", "p_30d_plug_in"),
                (90.0, "p_90d_averaged", "p_90d_plug_in"),
            ] {
                let found = rate.chance_within(
                    days,
                    ask,
                    medians.iter().map(|median| (median.weight, median.delivered)),
                );
                near(found, number(&row[averaged]), QUANTILE, averaged);
                near(rate.chance_within(days, ask, [(1.0, p50)]), number(&row[plug_in]), QUANTILE, plug_in);
            }
            rows += 1;
        }
    }
    assert_eq!(rows, 10);
}
