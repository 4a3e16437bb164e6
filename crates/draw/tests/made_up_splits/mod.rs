//! Made-up ways to split, for tests and for looking at drawings.

use draw::{SplitBar, SplitBars, Standing};
use measure::Money;

/// Ways to split eleven cups.
pub fn splits() -> SplitBars {
    let plan = |name: &str, profit, per_hour: Option<i64>, hours, standing| SplitBar {
        name: name.into(),
        profit: Money::from_cents(profit),
        per_hour: per_hour.map(Money::from_cents),
        hours,
        standing,
    };
    SplitBars {
        title: "Eleven consommé cups".into(),
        plans: vec![
            plan("2 x 4 + 3", 61_40, Some(27_90), 2.2, Standing::Best),
            plan("6 + 5", 55_10, Some(34_40), 1.6, Standing::BestPerHour),
            plan("5 x 2, one left over", 38_75, Some(11_10), 3.5, Standing::Other),
            plan("all eleven", 4, Some(5), 0.8, Standing::Other),
            plan("11 x 1", -12_30, None, 6.1, Standing::Other),
        ],
    }
}
