//! What is believed about prices, the time to a sale and demand.

use std::collections::{BTreeMap, BTreeSet};

use measure::Money;
use pricing::{Assumptions, ErrorLaw, GradeOffsets, Prior, SellThrough, TimeAssumptions};
use selling::{Demand, OrderMix};

use crate::entry::Entry;
use crate::row::MOST_PIECES;
use crate::section::Section;
use crate::told::{Problems, Told, parted, quoted};

/// Most natural lot sizes that may be named.
const MOST_NATURAL: usize = 50;
/// Most lots of one order in the mix.
const MOST_TAKEN: usize = 20;
/// How far the shares of the orders may be from adding up to 1: three thirds typed as 33.3 % are right.
const SHARE_SLACK: f64 = 0.0015;
/// Longest time that is believed, days.
const MOST_DAYS: f64 = 10_000.0;

/// What the estimator of prices takes for granted.
pub(crate) fn prices(
    section: &mut Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Assumptions, Told> {
    let usual = Assumptions::default();
    let prior = usual.prior;
    let half_life_days =
        section.number_or("half_life", usual.half_life_days, 1.0..=MOST_DAYS, "half_life = 180", problems);
    let offer_floor =
        section.percent_or("offer_floor", usual.offer_floor, 0.0..=0.99, "offer_floor = \"60 %\"", problems);
    let mean_days_at_median = section.number_or(
        "days_at_median",
        usual.mean_days_at_median,
        1.0..=MOST_DAYS,
        "days_at_median = 45",
        problems,
    );
    // A sheet tells by how much the price per piece falls, the estimator by how much it rises.
    let fall = section.number_or("price_fall", -prior.beta_mean, -1.0..=2.0, "price_fall = 0.2", problems);
    let fall_spread = section.number_or(
        "price_fall_spread",
        prior.beta_sd,
        0.01..=2.0,
        "price_fall_spread = 0.2",
        problems,
    );
    let spread =
        section.take("spread").map(|entry| entry.number(0.01..=3.0, "spread = 0.35", problems)).transpose();
    let error_law = section.take("errors").map(|entry| error_law(&entry, problems)).transpose();
    let shipping = section.take("unstated_shipping").map(|entry| between(&entry, problems)).transpose();
    let grades = section.take("grades").map(|entry| grades(&entry, problems)).transpose();
    Ok(Assumptions {
        half_life_days: half_life_days?,
        offer_floor: offer_floor?,
        mean_days_at_median: mean_days_at_median?,
        prior: Prior {
            beta_mean: -fall?,
            beta_sd: fall_spread?,
            ln_sigma_mean: spread?.map_or(prior.ln_sigma_mean, f64::ln),
            ..prior
        },
        error_law: error_law?.unwrap_or(usual.error_law),
        unstated_shipping: shipping?.unwrap_or(usual.unstated_shipping),
        grades: grades?.unwrap_or(usual.grades),
        ..usual
    })
}

fn error_law(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<ErrorLaw, Told> {
    const RIGHT: &str = "errors = \"student t\" or errors = \"normal\"";
    match entry.text(RIGHT, problems)? {
        "student t" => Ok(ErrorLaw::StudentT4),
        "normal" => Ok(ErrorLaw::Normal),
        other => {
            let message = format!("no law of errors is called \"{}\"", quoted(other));
            Err(entry.wrong(problems, message, RIGHT))
        }
    }
}

/// "7 - 16": two amounts, the lower first.
fn between(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<(Money, Money), Told> {
    const RIGHT: &str = "unstated_shipping = \"7.00 - 16.00\"";
    let text = entry.text(RIGHT, problems)?;
    let read = text.split_once(['-', '–']).and_then(|(low, high)| {
        let (low, high) = (Money::read(low.trim()).ok()?, Money::read(high.trim()).ok()?);
        (low >= Money::ZERO && low <= high).then_some((low, high))
    });
    read.ok_or_else(|| {
        let message = format!("`{}` is not two amounts, the lower first", quoted(text));
        entry.wrong(problems, message, RIGHT)
    })
}

/// What the grades are worth beside C, as logarithms of the price.
fn grades(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<GradeOffsets, Told> {
    const RIGHT: &str = "grades = { A = 0.2, B = 0.1, C = 0, D = -0.2, E = -0.5 }";
    let mut section = entry.section(RIGHT, problems)?;
    let GradeOffsets { a, b, c, d, e } = GradeOffsets::default();
    let mut offset = |key, usual| section.number_or(key, usual, -5.0..=5.0, RIGHT, problems);
    let (a, b, c, d, e) = (offset("A", a), offset("B", b), offset("C", c), offset("D", d), offset("E", e));
    section.close(problems);
    Ok(GradeOffsets { a: a?, b: b?, c: c?, d: d?, e: e? })
}

/// What is believed about the time to a sale before any is seen.
pub(crate) fn time(
    section: &mut Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<TimeAssumptions, Told> {
    let usual = TimeAssumptions::USUAL;
    let exponent =
        section.number_or("ask_exponent", usual.ask_exponent, 0.0..=20.0, "ask_exponent = 3", problems);
    let sales =
        section.number_or("prior_sales", usual.prior_sales, 0.001..=10_000.0, "prior_sales = 1", problems);
    let days =
        section.number_or("prior_days", usual.prior_days, 0.01..=100_000.0, "prior_days = 60", problems);
    Ok(TimeAssumptions { ask_exponent: exponent?, prior_sales: sales?, prior_days: days?, ..usual })
}

/// What was counted in the market itself.
pub(crate) fn sell_through(
    section: &mut Section<'_, '_>,
    problems: &mut Problems<'_>,
) -> Result<Option<SellThrough>, Told> {
    const RIGHT: &str = "sell_through = { sold = 18, days = 90, on_offer = 12 }";
    let Some(entry) = section.take("sell_through") else { return Ok(None) };
    let mut inner = entry.section(RIGHT, problems)?;
    let sold = inner.need("sold", RIGHT, problems).and_then(|e| e.whole(0..=1_000_000, RIGHT, problems));
    let mut number =
        |key| inner.need(key, RIGHT, problems).and_then(|e| e.number(0.1..=1_000_000.0, RIGHT, problems));
    let (days, on_offer) = (number("days"), number("on_offer"));
    inner.close(problems);
    let (sold, days, on_offer) = (sold?, days?, on_offer?);
    SellThrough::new(sold, days, on_offer).map(Some).map_err(|error| {
        let (message, _) = parted(&error.to_string(), RIGHT);
        entry.wrong(problems, message, RIGHT)
    })
}

/// How demand hangs on the lot size, and how many lots an order takes.
pub(crate) fn demand(section: &mut Section<'_, '_>, problems: &mut Problems<'_>) -> Result<Demand, Told> {
    let usual = Demand::default();
    let gamma = section.number_or("size_falloff", usual.gamma, 0.0..=3.0, "size_falloff = 0.35", problems);
    let odd = section.percent_or("odd_sizes", usual.odd, 0.001..=1.0, "odd_sizes = \"40 %\"", problems);
    let horizon_days =
        section.number_or("horizon", usual.horizon_days, 1.0..=MOST_DAYS, "horizon = 90", problems);
    let natural = section.take("natural_sizes").map(|entry| natural(&entry, problems)).transpose();
    let takes = section.take("takes").map(|entry| takes(&entry, problems)).transpose();
    Ok(Demand {
        gamma: gamma?,
        odd: odd?,
        horizon_days: horizon_days?,
        natural: natural?.unwrap_or(usual.natural),
        mix: takes?.unwrap_or(usual.mix),
        ..usual
    })
}

/// Lot sizes that buyers look for.
fn natural(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<BTreeSet<u32>, Told> {
    const RIGHT: &str = "natural_sizes = [1, 2, 4, 6, 8, 12]";
    let members = entry.list(MOST_NATURAL, RIGHT, problems)?;
    let read: Vec<_> = members.iter().map(|member| member.whole(1..=MOST_PIECES, RIGHT, problems)).collect();
    read.into_iter().collect()
}

/// Shares of the orders that take one lot, two lots, three lots...
fn takes(entry: &Entry<'_, '_>, problems: &mut Problems<'_>) -> Result<OrderMix, Told> {
    const RIGHT: &str = "takes = [\"85 %\", \"10 %\", \"5 %\"], the orders of one lot, of two, of three";
    let members = entry.list(MOST_TAKEN, RIGHT, problems)?;
    let read: Vec<_> = members.iter().map(|member| member.percent(0.0..=1.0, RIGHT, problems)).collect();
    let shares = read.into_iter().collect::<Result<Vec<f64>, Told>>()?;
    let sum: f64 = shares.iter().sum();
    if (sum - 1.0).abs() > SHARE_SLACK {
        let message = format!("the shares of the orders add up to {}", in_percent(sum));
        return Err(entry.wrong(
            problems,
            message,
            format!("shares that add up to 100 %, for example {RIGHT}"),
        ));
    }
    if shares.first().is_some_and(|share| *share <= 0.0) {
        let message = "no order takes one lot, so the last lot of a pile would never be sold";
        return Err(entry.wrong(problems, message, RIGHT));
    }
    // What the slack let pass is spread evenly, so that the shares add up.
    let shares: BTreeMap<u32, f64> = (1..).zip(shares.into_iter().map(|share| share / sum)).collect();
    OrderMix::new(shares).map_err(|error| {
        let (message, _) = parted(&error.to_string(), RIGHT);
        entry.wrong(problems, message, RIGHT)
    })
}

fn in_percent(share: f64) -> String {
    let percent = format!("{:.2}", 100.0 * share);
    format!("{} %", percent.trim_end_matches('0').trim_end_matches('.'))
}
