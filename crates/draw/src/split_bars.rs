//! Ways to split a find into lots, compared: profit as bars, with the hours they take.

mod sheet;

use measure::Money;

use crate::ascii::{ascii, cut, filled};

pub use sheet::split_bars_svg;

/// Shortest room for bars, in letters; a narrower terminal breaks the lines.
const NARROWEST: usize = 12;
/// Longest room for bars, in letters (judgement).
const WIDEST: usize = 80;
/// Longest name of a plan in letters, and how far a narrow terminal cuts it (judgement).
const LONGEST_NAME: usize = 32;
const SHORTEST_NAME: usize = 12;
/// What stands between two columns.
const GAP: &str = "  ";
/// What stands for a figure that is not known.
const UNKNOWN: &str = "-";

/// Plans to compare.
///
/// ```
/// use draw::{SplitBar, SplitBars, Standing};
/// use measure::Money;
///
/// let plan = |name: &str, cents, standing| SplitBar {
///     name: name.into(),
///     profit: Money::from_cents(cents),
///     per_hour: Some(Money::from_cents(cents / 2)),
///     hours: 2.0,
///     standing,
/// };
/// let bars = SplitBars {
///     title: "Eleven cups".into(),
///     plans: vec![plan("6 + 5", 41_20, Standing::Best), plan("11 x 1", -3_00, Standing::Other)],
/// };
/// assert!(draw::split_bars(&bars, 80).starts_with("    plan"));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SplitBars {
    /// What is split; may be empty.
    pub title: String,
    /// The plans, drawn in this order.
    pub plans: Vec<SplitBar>,
}

/// One plan.
#[derive(Debug, Clone, PartialEq)]
pub struct SplitBar {
    /// Its lots ("2 x 4 + 3").
    pub name: String,
    /// What it earns in all; negative is a loss.
    pub profit: Money,
    /// What it earns for an hour of work; `None` where that is not known.
    pub per_hour: Option<Money>,
    /// Hours of work, 0 or more; what is negative or not finite is written as not known.
    pub hours: f64,
    /// How it stands among the others.
    pub standing: Standing,
}

/// How a plan stands among the others, as the caller judged it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// It earns most in all.
    Best,
    /// It earns most for an hour.
    BestPerHour,
    /// It earns most in all and for an hour.
    BestInBoth,
    /// Another plan is better.
    Other,
}

impl Standing {
    const fn sign(self) -> &'static str {
        match self {
            Self::Best => "*",
            Self::BestPerHour => "+",
            Self::BestInBoth => "*+",
            Self::Other => "",
        }
    }

    const fn words(self) -> Option<&'static str> {
        match self {
            Self::Best => Some("best"),
            Self::BestPerHour => Some("best per hour"),
            Self::BestInBoth => Some("best, also per hour"),
            Self::Other => None,
        }
    }
}

fn hours(hours: f64) -> String {
    // A century of hours is past any plan; it only keeps the column readable.
    if hours.is_finite() && hours >= 0.0 {
        format!("{:.1}", hours.min(999_999.9))
    } else {
        UNKNOWN.to_owned()
    }
}

fn per_hour(money: Option<Money>) -> String {
    money.map_or_else(|| UNKNOWN.to_owned(), Money::write)
}

/// Greatest loss and greatest profit, both 0 or more, in cents.
fn reach(plans: &[SplitBar]) -> [f64; 2] {
    plans.iter().fold([0.0, 0.0], |[loss, profit], plan| {
        let cents = plan.profit.cents() as f64;
        [f64::max(loss, -cents), f64::max(profit, cents)]
    })
}

/// The plans as plain text, its lines at most `width` letters long.
///
/// One row for each plan: a sign (`*` best, `+` best per hour), its name, profit, profit per hour, hours, and
/// the profit as a bar of `#` to the right of the zero line `|`, or of `-` to its left for a loss. All bars have
/// one scale; a profit or loss too small for a letter still shows one. Only ASCII; every line ends with a line
/// feed. Lines are longer than `width` only where that leaves less than 12 letters for the bars and 12 for names.
#[must_use]
pub fn split_bars(bars: &SplitBars, width: usize) -> String {
    if bars.plans.is_empty() {
        return "Nothing to compare yet: no plan.\n".to_owned();
    }
    let mut cells: Vec<[String; 5]> = bars
        .plans
        .iter()
        .map(|plan| {
            [
                plan.standing.sign().to_owned(),
                ascii(&plan.name),
                plan.profit.write(),
                per_hour(plan.per_hour),
                hours(plan.hours),
            ]
        })
        .collect();
    let heads = ["  ", "plan", "profit", "per hour", "hours"];
    let wide = |cells: &[[String; 5]], column: usize| {
        let cells = cells.iter().filter_map(|row| row.get(column));
        cells.map(String::len).fold(heads.get(column).map_or(0, |head| head.len()), usize::max)
    };
    let figures: usize =
        [0, 2, 3, 4].map(|column| wide(&cells, column)).iter().sum::<usize>() + 5 * GAP.len();
    let longest = width.saturating_sub(figures + NARROWEST).clamp(SHORTEST_NAME, LONGEST_NAME);
    for [_, name, ..] in &mut cells {
        *name = cut(name, longest);
    }
    let [signs, names, profits, rates, times] = [0, 1, 2, 3, 4].map(|column| wide(&cells, column));
    let left = |row: [&str; 5]| {
        let [sign, name, profit, rate, time] = row;
        format!(
            "{sign:<signs$}{GAP}{name:<names$}{GAP}{profit:>profits$}{GAP}{rate:>rates$}{GAP}{time:>times$}{GAP}"
        )
    };
    let beside = left(heads).len();
    // One letter is the zero line itself.
    let room = width.saturating_sub(beside).clamp(NARROWEST, WIDEST) - 1;
    let [loss, profit] = reach(&bars.plans);
    let whole = (loss + profit).max(1.0);
    let letters = |cents: f64, most: usize| {
        let share = (cents / whole * room as f64).round() as usize;
        if cents > 0.0 { share.clamp(1, most.max(1)) } else { 0 }
    };
    // Both sides get at least a letter where they are used.
    let losses = letters(loss, if profit > 0.0 { room - 1 } else { room });
    let mut lines = vec![left(heads)];
    for (plan, cells) in bars.plans.iter().zip(&cells) {
        let cents = plan.profit.cents() as f64;
        let [lost, won] = [letters(-cents, losses), letters(cents, room - losses)];
        let bar = format!("{:>losses$}|{}", "-".repeat(lost), "#".repeat(won));
        lines.push(format!("{}{bar}", left(cells.each_ref().map(String::as_str))));
    }
    let has = |sign: char| bars.plans.iter().any(|plan| plan.standing.sign().contains(sign));
    let legend = [("* best", has('*')), ("+ best per hour", has('+'))];
    let legend: Vec<String> =
        legend.iter().filter(|(_, is_on)| *is_on).map(|(words, _)| (*words).into()).collect();
    lines.extend(filled(&legend, width.max(beside)));
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}
