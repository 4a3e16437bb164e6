//! Insurance and packing: worked examples (exact arithmetic) and what holds for all of them.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use proptest::prelude::*;
use selling::{
    BreakagePrior, Cover, InsuranceCase, LossCase, PackingLevel, Replacement, careful_premium,
    choose_packing_level, estimate_breakage, insure, loss_if_destroyed,
};
use serde_json::Value;

const TOLERANCE: f64 = 1e-6;

fn rows(kind: &str) -> Vec<Value> {
    let data: Value = serde_json::from_str(include_str!("data/economics_deals.json")).unwrap();
    data["insurance"][kind].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

fn cents(row: &Value, key: &str) -> Money {
    Money::from_cents_rounded(number(row, key) * 100.0)
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() <= TOLERANCE, "{found} is not {expected}");
}

const fn money(cents: i64) -> Money {
    Money::from_cents(cents)
}

const COVER: Cover =
    Cover { limit: money(20_000), deductible: Money::ZERO, payout_probability: 0.9, claim_cost: money(5_00) };

const CASE: InsuranceCase =
    InsuranceCase { loss: money(18_000), breakage: 0.02, premium: money(3_10), cover: COVER, included: None };

#[test]
fn every_insurance_is_met() {
    let rows = rows("insure");
    assert_eq!(rows.len(), 4);
    for row in &rows {
        let case = InsuranceCase {
            loss: cents(row, "loss"),
            breakage: number(row, "p"),
            premium: cents(row, "premium"),
            cover: Cover {
                limit: cents(row, "cover"),
                deductible: cents(row, "deductible"),
                payout_probability: number(row, "payout_prob"),
                claim_cost: cents(row, "claim_cost"),
            },
            included: None,
        };
        let found = insure(&case).unwrap();
        close(found.expected_benefit, number(row, "expected_benefit"));
        close(found.net, number(row, "net"));
        close(found.break_even_breakage.unwrap(), number(row, "breakeven_p"));
        assert_eq!(found.insure, row["insure"].as_bool().unwrap(), "{row}");
    }
}

#[test]
fn every_packing_level_is_met() {
    let rows = rows("packing");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let given = row["levels"].as_array().unwrap();
        let levels: Vec<PackingLevel> = given
            .iter()
            .map(|level| PackingLevel { cost: cents(level, "cost"), breakage: number(level, "p") })
            .collect();
        let found = choose_packing_level(cents(row, "loss"), &levels).unwrap();
        assert_eq!(found.best as u64, row["best"].as_u64().unwrap());
        for (total, level) in found.totals.iter().zip(given) {
            close(*total, number(level, "total"));
        }
    }
}

#[test]
fn every_careful_premium_is_met() {
    let rows = rows("risk_averse");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let found = careful_premium(cents(row, "W"), cents(row, "loss"), number(row, "p")).unwrap();
        assert!((found.most - number(row, "max_premium_full_cover")).abs() < 1e-8);
        assert_eq!(found.most > number(row, "premium"), row["insure_log_utility"].as_bool().unwrap());
        assert!(found.most > found.mean_loss);
    }
    let found = careful_premium(money(300_000), money(18_000), 0.02).unwrap();
    assert_eq!(found.most_premium, money(3_71));
}

#[test]
fn a_spare_is_sent_when_that_costs_less_than_the_refund() {
    let case = LossCase {
        item: money(45_00),
        shipping: money(12_00),
        fee_returned: money(7_00),
        return_cost: money(2_50),
        replacement: None,
    };
    let refund = loss_if_destroyed(&case).unwrap();
    assert_eq!((refund.loss, refund.by_replacement), (money(52_50), None));
    let spare = Replacement { margin: money(18_00), postage: money(13_00), labour: money(4_00) };
    let replaced = loss_if_destroyed(&LossCase { replacement: Some(spare), ..case }).unwrap();
    assert_eq!((replaced.loss, replaced.by_refund), (money(35_00), money(52_50)));
    let dear = Replacement { margin: money(40_00), ..spare };
    assert_eq!(loss_if_destroyed(&LossCase { replacement: Some(dear), ..case }).unwrap().loss, money(52_50));
    let wrong = loss_if_destroyed(&LossCase { shipping: money(-1), ..case }).unwrap_err();
    assert!(wrong.to_string().contains("shipping"));
}

#[test]
fn cover_included_free_is_discounted_too_and_bought_cover_only_adds_to_it() {
    // 100.00 included free are worth 0.9 * 100 - 5 = 85.00 a claim; the bought 200.00, 157.00.
    let included = Cover { limit: money(10_000), ..COVER };
    let found = insure(&InsuranceCase { included: Some(included), ..CASE }).unwrap();
    close(found.included_claim_worth, 85.0);
    close(found.expected_benefit, 0.02 * (157.0 - 85.0));
    assert!(!found.insure && insure(&CASE).unwrap().insure);
    assert!(found.to_string().contains("85.00"));
    // The free cover by itself costs nothing and is taken.
    let free = InsuranceCase { premium: Money::ZERO, cover: included, ..CASE };
    assert!(insure(&free).unwrap().insure);
    // Nothing is added to a cover that is as good.
    let same = insure(&InsuranceCase { included: Some(COVER), ..CASE }).unwrap();
    assert_eq!((same.expected_benefit, same.break_even_breakage, same.insure), (0.0, None, false));
}

#[test]
fn a_claim_that_costs_more_than_it_brings_is_not_made() {
    let small = insure(&InsuranceCase { loss: money(5_00), ..CASE }).unwrap();
    assert_eq!((small.claim_worth, small.expected_benefit, small.insure), (0.0, 0.0, false));
    let deducted = Cover { deductible: money(20_000), ..COVER };
    assert_eq!(insure(&InsuranceCase { cover: deducted, ..CASE }).unwrap().pays, Money::ZERO);
    // A premium above what a claim brings pays at no breakage.
    let dear = InsuranceCase { premium: money(15_800), ..CASE };
    assert_eq!(insure(&dear).unwrap().break_even_breakage, None);
}

#[test]
fn breakage_starts_at_one_in_fifty_and_learns() {
    let prior = BreakagePrior::default();
    assert_eq!(estimate_breakage(0, 0, prior), Ok(0.02));
    assert_eq!(estimate_breakage(2, 100, prior), Ok(0.02));
    assert_eq!(estimate_breakage(9, 50, prior), Ok(0.10));
    assert!(estimate_breakage(3, 2, prior).unwrap_err().to_string().contains("broken"));
    let wrong = BreakagePrior { broken: 5.0, sent: 5.0 };
    assert!(estimate_breakage(0, 0, wrong).unwrap_err().to_string().contains("prior broken"));
    let wrong = BreakagePrior { broken: 1.0, sent: f64::NAN };
    assert!(estimate_breakage(0, 0, wrong).unwrap_err().to_string().contains("prior sent"));
}

#[test]
fn of_equal_packing_levels_the_first_is_taken() {
    let level = PackingLevel { cost: money(1_10), breakage: 0.1 };
    // 1.10 + 0.1 * 3 = 1.40 = 1.25 + 0.05 * 3, with noise of binary fractions.
    let equal = PackingLevel { cost: money(1_25), breakage: 0.05 };
    for levels in [[level, equal], [equal, level]] {
        let found = choose_packing_level(money(3_00), &levels).unwrap();
        assert_eq!((found.best, found.runner_up), (0, Some(1)));
        assert!(found.ahead_by < 1e-9);
    }
    assert!(choose_packing_level(money(3_00), &[]).unwrap_err().to_string().contains("levels"));
    let wrong = [PackingLevel { breakage: f64::NAN, ..level }];
    assert!(choose_packing_level(money(3_00), &wrong).unwrap_err().to_string().contains("breakage"));
    let said = choose_packing_level(money(58_00), &[level]).unwrap().to_string();
    assert_eq!(
        said,
        "Pack by level 1 for 1.10: with a breakage of 10.0 % of a loss of 58.00 it costs 6.90 on average."
    );
}

#[test]
fn bad_figures_are_refused_by_name() {
    for (case, field) in [
        (InsuranceCase { loss: money(-1), ..CASE }, "loss"),
        (InsuranceCase { breakage: 1.2, ..CASE }, "breakage"),
        (InsuranceCase { breakage: f64::NAN, ..CASE }, "breakage"),
        (InsuranceCase { premium: money(-1), ..CASE }, "premium"),
        (InsuranceCase { cover: Cover { payout_probability: -0.1, ..COVER }, ..CASE }, "payout_probability"),
        (InsuranceCase { cover: Cover { deductible: money(-1), ..COVER }, ..CASE }, "deductible"),
        (InsuranceCase { included: Some(Cover { limit: money(-1), ..COVER }), ..CASE }, "limit"),
    ] {
        let refusal = insure(&case).unwrap_err().to_string();
        assert!(refusal.contains(&format!(": {field} can't be")), "{field}: {refusal}");
    }
    let ruined = careful_premium(money(18_000), money(18_000), 0.02).unwrap_err().to_string();
    assert!(ruined.contains("savings") && ruined.contains("more than the loss of 180.00"), "{ruined}");
}

proptest! {
    #[test]
    fn insurance_pays_from_its_break_even_breakage_on(
        loss in 1_i64..50_000, limit in 1_i64..50_000, deductible in 0_i64..5000, claim in 0_i64..2000,
        payout in 0.0..=1.0, premium in 1_i64..2000, breakage in 0.0..=1.0,
    ) {
        let case = InsuranceCase {
            loss: money(loss),
            breakage,
            premium: money(premium),
            cover: Cover {
                limit: money(limit),
                deductible: money(deductible),
                payout_probability: payout,
                claim_cost: money(claim),
            },
            included: None,
        };
        let found = insure(&case).unwrap();
        match found.break_even_breakage {
            Some(from) if (breakage - from).abs() > 1e-6 => prop_assert_eq!(found.insure, breakage > from),
            Some(_) => {}
            None => prop_assert!(!found.insure),
        }
        prop_assert!(found.pays <= case.loss && found.pays <= case.cover.limit);
        if found.insure {
            prop_assert!(found.most_premium >= case.premium);
        }
    }

    #[test]
    fn a_careful_premium_lies_between_the_mean_loss_and_the_loss(
        loss in 1_i64..100_000, more in 1_i64..1_000_000, breakage in 0.0..=1.0,
    ) {
        let found = careful_premium(money(loss + more), money(loss), breakage).unwrap();
        let slack = 1e-9 * loss as f64;
        prop_assert!(found.mean_loss <= found.most + slack);
        prop_assert!(found.most <= loss as f64 / 100.0 + slack);
        let richer = careful_premium(money(loss + 2 * more), money(loss), breakage).unwrap();
        prop_assert!(richer.most <= found.most + slack);
    }

    #[test]
    fn a_larger_loss_never_calls_for_a_level_that_breaks_more(
        costs in proptest::collection::vec((0_i64..1000, 0.0..=1.0), 1..6), loss in 0_i64..10_000,
        more in 0_i64..10_000,
    ) {
        let levels: Vec<PackingLevel> =
            costs.iter().map(|&(cost, breakage)| PackingLevel { cost: money(cost), breakage }).collect();
        let small = choose_packing_level(money(loss), &levels).unwrap();
        let large = choose_packing_level(money(loss + more), &levels).unwrap();
        prop_assert!(large.level.breakage <= small.level.breakage + 1e-9 || more == 0);
        prop_assert!(small.totals.iter().all(|total| small.total <= total + 1e-9));
    }
}
