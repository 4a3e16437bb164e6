//! Days to a sale: three invented sets of listings, a market's counts and three asks, against the answers of public
//! libraries (SciPy 1.17.1, statsmodels 0.15.0, lifelines 0.30.3, reliability 0.9.0) and of closed forms in 40 digits.

use pricing::{
    AskTerms, Bounds, ErrorLaw, ExponentialPace, Lifetime, ListingRecord, NoBestAsk, Observation,
    PricingError, SaleRate, Scale, SellThrough, TimeAssumptions, ask_exponent, fit, kaplan_meier,
    rate_bound_without_sales, weibull_pace,
};
use serde_json::Value;

fn data() -> Value {
    serde_json::from_str(include_str!("data/time_to_sale_train.json")).expect("check data")
}

fn set(id: &str) -> Value {
    let sets = data()["sets"].as_array().expect("sets").clone();
    sets.into_iter().find(|set| set["id"] == id).unwrap_or_else(|| panic!("no set {id}"))
}

fn sets() -> Vec<Value> {
    data()["sets"].as_array().expect("sets").clone()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap_or_else(|| panic!("not a list: {value}")).iter().map(number).collect()
}

/// Nine digits are written; the closed forms hold all of them.
const CLOSED_FORM: f64 = 2e-8;

/// Of answers that another program's search has found.
const SEARCHED: f64 = 1e-5;

#[track_caller]
fn near(got: f64, wanted: &Value, tolerance: f64) {
    let wanted = number(wanted);
    assert!((got - wanted).abs() <= tolerance * wanted.abs(), "got {got}, wanted {wanted}");
}

fn records(set: &Value) -> Vec<ListingRecord> {
    let days = numbers(&set["data"]["days"]);
    let sold = numbers(&set["data"]["sold"]);
    let ratios = numbers(&set["data"]["ask_ratio"]);
    let all = days.into_iter().zip(sold).zip(ratios);
    all.map(|((days, sold), ratio)| ListingRecord::new(days, sold == 1.0, ratio).expect("a record")).collect()
}

fn observations(records: &[ListingRecord]) -> Vec<Observation<0>> {
    observed(records, |_| [])
}

fn observed<const K: usize>(
    records: &[ListingRecord],
    of: fn(&ListingRecord) -> [f64; K],
) -> Vec<Observation<K>> {
    records
        .iter()
        .map(|record| {
            let ln_days = record.days().ln();
            let bounds = if record.sold() { Bounds::Exact(ln_days) } else { Bounds::Above(ln_days) };
            Observation { bounds, covariates: of(record), weight: 1.0 }
        })
        .collect()
}

/// The figure in a key such as "30d" or "r=1.2".
fn key_number(key: &str) -> f64 {
    key.trim_start_matches("r=").trim_end_matches('d').parse().expect("a number in the key")
}

#[test]
fn the_gamma_law_of_the_rate_gives_every_chance_and_wait() {
    for set in sets() {
        let wanted = &set["results"]["gamma_exponential"];
        let assumptions = TimeAssumptions {
            prior_sales: number(&wanted["a0"]),
            prior_days: number(&wanted["b0_days"]),
            ask_exponent: number(&wanted["kappa"]),
            ..TimeAssumptions::USUAL
        };
        assert_eq!(assumptions, TimeAssumptions::default());
        let rate = SaleRate::learnt(&records(&set), &assumptions).expect("a rate");
        near(rate.sales(), &wanted["a"], CLOSED_FORM);
        near(rate.days(), &wanted["b"], CLOSED_FORM);
        near(rate.sales() - 1.0, &wanted["sales"], CLOSED_FORM);
        near(rate.days() - 60.0, &wanted["exposure_scaled"], CLOSED_FORM);
        near(rate.mean_rate(), &wanted["posterior_mean_rate"], CLOSED_FORM);
        near(rate.rate_quantile(0.1), &wanted["rate_ci80"][0], CLOSED_FORM);
        near(rate.rate_quantile(0.9), &wanted["rate_ci80"][1], CLOSED_FORM);
        for (ratio, chances) in wanted["p_sold_within"].as_object().expect("asks") {
            for (days, chance) in chances.as_object().expect("times") {
                near(rate.chance_within_at(key_number(days), key_number(ratio)), chance, CLOSED_FORM);
            }
        }
        for (ratio, days) in wanted["median_days"].as_object().expect("asks") {
            near(rate.median_days(key_number(ratio)), days, CLOSED_FORM);
        }
        match rate.mean_days(1.0) {
            Some(days) => near(days, &wanted["mean_days_at_r1"], CLOSED_FORM),
            None => assert!(wanted["mean_days_at_r1"].is_null()),
        }
    }
}

#[test]
fn one_steady_rate_without_assumptions() {
    for id in ["D1", "D2"] {
        let set = set(id);
        let pace = ExponentialPace::of(&records(&set));
        let wanted = &set["results"]["exponential_mle"];
        near(pace.rate(), &wanted["rate"], CLOSED_FORM);
        near(pace.mean_days().expect("sales"), &wanted["mean_days"], CLOSED_FORM);
        near(pace.chance_within(30.0), &wanted["p30"], CLOSED_FORM);
        near(pace.rate_error().expect("sales"), &wanted["se_rate"], CLOSED_FORM);
        let (low, high) = pace.rate_interval(0.8);
        near(low, &wanted["chi2_ci80_rate"][0], CLOSED_FORM);
        near(high, &wanted["chi2_ci80_rate"][1], CLOSED_FORM);
        let at_median = ExponentialPace::at_median(&records(&set), 3.0);
        near(at_median.rate(), &set["results"]["exponential_mle_ask_scaled"]["rate_at_r1"], CLOSED_FORM);
    }
    let set = set("D1");
    let wanted = &set["results"]["exponential_reliability"];
    let fitted =
        fit(ErrorLaw::SmallestExtreme, &observations(&records(&set)), Scale::Fixed(1.0)).expect("a fit");
    near((-fitted.intercept).exp(), &wanted["rate"], CLOSED_FORM);
    near(fitted.ln_likelihood - ln_days_of_sales(&records(&set)), &wanted["loglik"], CLOSED_FORM);
}

/// What turns the likelihood of logarithms into that of days.
fn ln_days_of_sales(records: &[ListingRecord]) -> f64 {
    records.iter().filter(|record| record.sold()).map(|record| record.days().ln()).sum()
}

#[test]
fn nothing_sold_still_bounds_the_rate() {
    let set = set("D3_none_sold");
    let pace = ExponentialPace::of(&records(&set));
    let wanted = &set["results"]["rule_of_three"];
    near(pace.days(), &wanted["total_days"], CLOSED_FORM);
    near(rate_bound_without_sales(pace.days(), 0.8).expect("a bound"), &wanted["upper_rate_80"], CLOSED_FORM);
    near(
        rate_bound_without_sales(pace.days(), 0.95).expect("a bound"),
        &wanted["upper_rate_95"],
        CLOSED_FORM,
    );
    assert_eq!((pace.rate(), pace.rate_error(), pace.mean_days()), (0.0, None, None));
    // The interval with 60 % confidence leaves 20 % above it.
    let (low, high) = pace.rate_interval(0.6);
    assert_eq!(low, 0.0);
    near(high, &wanted["upper_rate_80"], CLOSED_FORM);
}

#[test]
fn a_weibull_law_where_there_are_eight_sales() {
    let set = set("D1");
    let wanted = &set["results"]["weibull_mle"];
    let pace = weibull_pace(&records(&set)).expect("eight sales");
    near(pace.shape(), &wanted["shape"], 1e-7);
    near(pace.scale_days(), &wanted["scale"], 1e-7);
    near(pace.chance_within(30.0), &wanted["p30"], 1e-7);
    near(pace.median_days(), &wanted["median"], 1e-7);
    for other in ["lifelines", "reliability"] {
        near(pace.shape(), &wanted[other][0], 1e-6);
        near(pace.scale_days(), &wanted[other][1], 1e-6);
    }
    let fitted = fit(ErrorLaw::SmallestExtreme, &observations(&records(&set)), Scale::Free).expect("a fit");
    near(fitted.ln_likelihood - ln_days_of_sales(&records(&set)), &wanted["loglik"], CLOSED_FORM);

    let seven: Vec<ListingRecord> = records(&set).into_iter().skip(1).collect();
    assert!(matches!(weibull_pace(&seven), Err(PricingError::TooFewSales { sales: 7, needed: 8, .. })));
}

#[test]
fn a_lognormal_law_and_a_weibull_line_over_the_ask() {
    let set = set("D1");
    let lognormal = fit(ErrorLaw::Normal, &observations(&records(&set)), Scale::Free).expect("a fit");
    near(lognormal.intercept, &set["results"]["lognormal_lifelines"]["mu"], SEARCHED);
    near(lognormal.scale, &set["results"]["lognormal_lifelines"]["sigma"], SEARCHED);

    let wanted = &set["results"]["weibull_aft_lifelines"];
    let seen = observed(&records(&set), |record| [record.ask_ratio().ln()]);
    let line = fit(ErrorLaw::SmallestExtreme, &seen, Scale::Free).expect("a fit");
    near(line.intercept, &wanted["intercept"], SEARCHED);
    near(line.slopes[0], &wanted["ln_ratio"], SEARCHED);
    near(line.scale.recip(), &wanted["shape"], SEARCHED);
    near(line.ln_likelihood - ln_days_of_sales(&records(&set)), &wanted["loglik"], CLOSED_FORM);
}

#[test]
fn the_exponent_of_the_ask_is_a_diagnosis_and_is_shrunk() {
    let set = set("D1");
    let wanted = &set["results"]["exponential_regression_poisson_trick"];
    let assumptions = TimeAssumptions::USUAL;
    let told = ask_exponent(&records(&set), &assumptions).expect("eight sales");
    near(told.seen, &wanted["kappa"], CLOSED_FORM);
    // That program takes the errors one step before the end.
    near(told.seen_error, &wanted["se"][1], 1e-6);
    near(told.rate_at_median.ln(), &wanted["ln_rate_at_r1"], CLOSED_FORM);
    near(told.ln_rate_error, &wanted["se"][0], 1e-6);
    near(told.rate_at_median, &wanted["rate_at_r1"], CLOSED_FORM);
    for (ratio, key) in [(1.0_f64, "p30_r1"), (1.2, "p30_r1_2")] {
        let rate = told.rate_at_median * ratio.powf(-told.seen);
        near(1.0 - (-30.0 * rate).exp(), &wanted[key], CLOSED_FORM);
    }
    // A wild estimate moves the assumption by a fraction only, by the two variances.
    let share = 1.0 / (1.0 + told.seen_error * told.seen_error);
    assert!((told.shrunk - (3.0 + share * (told.seen - 3.0))).abs() < 1e-12);
    assert!(told.shrunk > 3.0 && told.shrunk < 4.0, "{}", told.shrunk);
    assert!(told.shrunk_error < 1.0 && told.shrunk_error < told.seen_error);
    // Two sales are no ground for it.
    let few = records(&self::set("D2"));
    assert!(matches!(ask_exponent(&few, &assumptions), Err(PricingError::TooFewSales { sales: 2, .. })));
}

#[test]
fn the_share_unsold_without_a_law() {
    let set = set("D1");
    let wanted = &set["results"]["kaplan_meier"];
    let lives: Vec<Lifetime> =
        records(&set).iter().map(|r| Lifetime { time: r.days(), ended: r.sold() }).collect();
    let steps = kaplan_meier(&lives).expect("times");
    assert_eq!(steps.len(), numbers(&wanted["time"]).len());
    for (step, i) in steps.iter().zip(0_usize..) {
        near(step.time, &wanted["time"][i], CLOSED_FORM);
        near(step.survival, &wanted["surv"][i], CLOSED_FORM);
        near(step.standard_error, &wanted["se_greenwood"][i], CLOSED_FORM);
    }
}

#[test]
fn a_markets_counts_give_a_rate() {
    let data = data();
    let wanted = &data["sell_through"];
    let inputs = &wanted["inputs"];
    let sold = u32::try_from(inputs["sold_in_window"].as_u64().expect("a count")).expect("a count");
    let market = SellThrough::new(sold, number(&inputs["window_days"]), number(&inputs["active_avg"]))
        .expect("a market");
    near(market.rate(), &wanted["rate"], CLOSED_FORM);
    near(market.ratio(), &wanted["sell_through_ratio"], CLOSED_FORM);
    near(market.mean_days().expect("sales"), &wanted["mean_days"], CLOSED_FORM);
    for (days, chance) in wanted["p_within"].as_object().expect("times") {
        near(market.chance_within(key_number(days)), chance, CLOSED_FORM);
    }
}

fn terms(inputs: &Value) -> AskTerms {
    AskTerms {
        median: number(&inputs["M"]),
        fee_share: number(&inputs["fee"]),
        fixed_costs: number(&inputs["fixed_costs"]),
        rate_at_median: number(&inputs["lam0_per_day"]),
        ask_exponent: number(&inputs["kappa"]),
        holding_per_day: number(&inputs["holding_per_day"]),
        discount_per_day: number(&inputs["discount_per_day"]),
    }
}

#[test]
fn the_best_ask_with_and_without_discounting() {
    for choice in data()["ask_choice"].as_array().expect("choices") {
        let terms = terms(&choice["inputs"]);
        let plain = AskTerms { discount_per_day: 0.0, ..terms }.best().expect("an ask");
        near(plain.ask, &choice["closed_form_ask_no_discount"], CLOSED_FORM);
        near(plain.rate, &choice["rate_at_ask"], CLOSED_FORM);
        near(plain.expected_days, &choice["expected_days"], CLOSED_FORM);
        near(plain.value, &choice["value_no_discount"], CLOSED_FORM);
        near(plain.chance_within_30_days, &choice["p30"], CLOSED_FORM);
        let best = terms.best().expect("an ask");
        // At the top the value is flat, so that a search by values stops a little beside it.
        near(best.ask, &choice["discounted_opt_ask"], 1e-7);
        near(best.value, &choice["discounted_value"], CLOSED_FORM);
    }
}

#[test]
fn a_vanishing_discount_gives_the_closed_form() {
    let plain = terms(&data()["ask_choice"][0]["inputs"]);
    let slight = AskTerms { discount_per_day: 1e-13, ..plain };
    let (plain, slight) = (plain.best().expect("an ask"), slight.best().expect("an ask"));
    assert!((plain.ask - slight.ask).abs() < 1e-6, "{} {}", plain.ask, slight.ask);
}

#[test]
fn where_waiting_is_free_or_asks_hardly_matter_no_ask_is_best() {
    let terms = terms(&data()["ask_choice"][0]["inputs"]);
    let free = AskTerms { holding_per_day: 0.0, discount_per_day: 0.0, ..terms };
    assert_eq!(free.best(), Err(PricingError::NoBestAsk(NoBestAsk::FreeWait)));
    let slow = AskTerms { ask_exponent: 1.0, ..terms };
    assert_eq!(slow.best(), Err(PricingError::NoBestAsk(NoBestAsk::SlowFall(1.0))));
    let wrong = AskTerms { fee_share: 1.0, ..terms };
    assert!(matches!(wrong.best(), Err(PricingError::Figure { what: "the share of fees", .. })));
}
