//! The laws of the error and the counts against values computed with 40 digits (mpmath 1.4.1, function by
//! function), rounded to 17. The closed form of Student's t with 4 degrees of freedom stands beside the incomplete
//! beta integral in the same file.

use pricing::{ErrorLaw, SaleRate, chance_of_at_most};
use serde_json::Value;

fn rows(of: &str) -> Vec<Value> {
    let data: Value = serde_json::from_str(include_str!("data/special_functions.json")).expect("check data");
    let rows: Vec<Value> =
        data["rows"].as_array().expect("rows").iter().filter(|row| row["fn"] == of).cloned().collect();
    assert!(!rows.is_empty(), "no row of {of}");
    rows
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

fn answer(row: &Value) -> f64 {
    row["y"].as_str().and_then(|y| y.parse().ok()).unwrap_or_else(|| panic!("y in {row}"))
}

/// Relative agreement, down to the last bit of a subnormal number.
fn agree(got: f64, row: &Value, tolerance: f64) {
    let wanted = answer(row);
    let off = (got - wanted).abs();
    assert!(off <= tolerance * wanted.abs() + 1e-323, "{row}: got {got:e}, off by {:e}", off / wanted.abs());
}

#[test]
fn every_row_of_the_file_is_checked_here() {
    let data: Value = serde_json::from_str(include_str!("data/special_functions.json")).expect("check data");
    let checked =
        ["ndtr", "log_ndtr", "log_ndtr_diff", "ndtri", "t4_cdf", "t_ppf_0.9", "poisson_cdf", "lomax_cdf"];
    for row in data["rows"].as_array().expect("rows") {
        assert!(checked.contains(&row["fn"].as_str().expect("a name")), "{row}");
    }
}

#[test]
fn normal_distribution_holds_in_both_tails() {
    for row in rows("ndtr") {
        agree(ErrorLaw::Normal.below(number(&row, "x")), &row, 1e-13);
    }
}

#[test]
fn logarithms_of_the_normal_distribution_hold_in_both_tails() {
    for row in rows("log_ndtr") {
        let x = number(&row, "x");
        agree(ErrorLaw::Normal.ln_below(x), &row, 1e-14);
        agree(ErrorLaw::Normal.ln_above(-x), &row, 1e-14);
    }
}

#[test]
fn normal_intervals_hold_in_both_tails_and_when_narrow() {
    for row in rows("log_ndtr_diff") {
        agree(ErrorLaw::Normal.ln_between(number(&row, "a"), number(&row, "b")), &row, 1e-13);
    }
}

#[test]
fn normal_quantiles() {
    for row in rows("ndtri") {
        agree(ErrorLaw::Normal.quantile(number(&row, "p")), &row, 2e-15);
    }
}

#[test]
fn students_t_with_four_degrees_in_closed_form_and_by_the_beta_integral() {
    for row in rows("t4_cdf") {
        let x = number(&row, "x");
        agree(ErrorLaw::StudentT4.below(x), &row, 1e-15);
        agree(ErrorLaw::StudentT4.ln_below(x).exp(), &row, 1e-14);
        agree(ErrorLaw::StudentT { degrees: 4.0 }.below(x), &row, 1e-13);
    }
}

#[test]
fn students_t_quantiles_at_nine_in_ten() {
    for row in rows("t_ppf_0.9") {
        let degrees = number(&row, "nu");
        agree(ErrorLaw::StudentT { degrees }.quantile(0.9), &row, 1e-13);
        if degrees == 4.0 {
            agree(ErrorLaw::StudentT4.quantile(0.9), &row, 1e-15);
        }
    }
}

#[test]
fn poisson_counts() {
    for row in rows("poisson_cdf") {
        let sales = row["k"].as_u64().expect("k");
        agree(chance_of_at_most(sales, number(&row, "mean")), &row, 1e-13);
    }
}

#[test]
fn chances_of_a_sale_follow_the_lomax_law() {
    for row in rows("lomax_cdf") {
        let rate = SaleRate::new(number(&row, "a"), number(&row, "b"), 3.0).expect("a rate");
        agree(rate.chance_within_at(number(&row, "t"), 1.0), &row, 1e-14);
    }
}
