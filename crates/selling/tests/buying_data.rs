//! Worked examples of buying, with answers from SciPy 1.17 (normal and Poisson distributions).

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use measure::Money;
use selling::{
    BuyTargets, Limit, LotKind, NewsvendorCase, PriceCase, best_quantity, loss_risk, price_limits,
};
use serde_json::Value;

/// Tolerance of the check data.
const TOLERANCE: f64 = 1e-6;

fn rows(kind: &str) -> Vec<Value> {
    let data: Value = serde_json::from_str(include_str!("data/economics_deals.json")).unwrap();
    data["buying"][kind].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} in {row}"))
}

fn close(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() <= TOLERANCE, "{what}: {found} is not {expected}");
}

fn cents(currency: f64) -> Money {
    Money::from_cents_rounded(currency * 100.0)
}

#[test]
fn every_highest_price_is_met_to_the_cent() {
    let rows = rows("max_price");
    assert_eq!(rows.len(), 2);
    for (row, bound_by) in rows.iter().zip([Limit::MinimumProfit, Limit::Return]) {
        let given = &row["inputs"];
        let case = PriceCase {
            gross: number(given, "gross"),
            other_costs: number(given, "other_costs"),
            hours: number(row, "hours"),
            by_loss_chance: None,
        };
        let targets = BuyTargets {
            wage: cents(number(given, "wage")),
            return_on_cost: Some(number(given, "roi")),
            minimum_profit: Some(cents(number(given, "min_profit"))),
            loss_chance: None,
            loss_counts_wage: false,
        };
        let found = price_limits(&case, &targets).unwrap();
        close(found.proceeds, number(row, "expected_net_proceeds_before_goods_and_labour"), "proceeds");
        for (found, key) in [
            (found.by_return.unwrap(), "by_roi"),
            (found.by_wage, "by_hourly"),
            (found.by_minimum_profit.unwrap(), "by_min_profit"),
            (found.most, "max_price"),
        ] {
            assert!((found - number(row, key)).abs() < 1e-12, "{key}: {found}");
        }
        assert_eq!(found.bound_by, bound_by);
    }
}

#[test]
fn every_risk_is_met() {
    let rows = rows("risk");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let lots = row["lots"].as_u64().unwrap() as u32;
        let kind = LotKind::new(
            "lots",
            lots,
            number(row, "median"),
            number(row, "sigma"),
            number(row, "fee"),
            number(row, "per_lot_cost"),
        );
        let found = loss_risk(&[kind], number(row, "pay"), 0.10).unwrap();
        close(found.break_even_delivered[0], number(row, "breakeven_delivered"), "break-even");
        close(found.chance_of_loss, number(row, "prob_loss"), "chance of loss");
        close(found.expected_profit, number(row, "expected_profit"), "expected profit");
        close(found.profit_in_bad_luck, number(row, "profit_p10"), "p10");
        close(found.most_to_pay, number(row, "max_pay_for_10pct_loss"), "most to pay");
    }
}

#[test]
fn every_best_quantity_is_met() {
    let rows = rows("newsvendor");
    assert_eq!(rows.len(), 2);
    for row in &rows {
        let case = NewsvendorCase {
            net_per_piece: number(row, "net_per_piece"),
            unit_cost: number(row, "unit_cost"),
            salvage: number(row, "salvage"),
            expected_demand: number(row, "poisson_mean"),
        };
        let best = best_quantity(&case).unwrap();
        assert_eq!(u64::from(best.quantity), row["q_star"].as_u64().unwrap());
        close(best.critical_ratio, number(row, "critical_ratio"), "ratio");
        close(best.expected_sold, number(row, "expected_sold"), "sold");
        close(best.chance_all_sold, number(row, "prob_sell_all"), "all sold");
        let profits = row["expected_profit"].as_object().unwrap();
        assert_eq!(profits.len(), 5);
        for (quantity, profit) in profits {
            let found = case.at(quantity.parse().unwrap()).unwrap();
            close(found.expected_profit, profit.as_f64().unwrap(), "profit");
            assert!(found.expected_profit <= best.expected_profit);
        }
        assert_eq!(case.at(best.quantity).unwrap(), best);
    }
}
