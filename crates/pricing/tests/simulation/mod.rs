//! A simulated market, for seeing how far off the estimator is when the truth is known.
//!
//! Buyers' values of a lot of `n` pieces are `20 * n^0.8 * exp(sigma * normal)`. Of the comps one half are exact
//! sales, a quarter accepted offers of which only the ask is known, 15 % listings still unsold, 10 % auctions with one
//! bid; in some conditions 8 % of the prices are typed wrong by a factor of 4 either way. The world shares the model's
//! assumptions, so this is the favourable case: it shows that the machinery is unbiased and honest about its width,
//! not that the assumptions fit real goods.

#![allow(dead_code, reason = "the test and the example each use their part")]

use std::f64::consts::TAU;

use fastrand::Rng;
use measure::Money;
use pricing::{
    Assumptions, Bids, Comp, ErrorLaw, Evidence, Grade, GridSize, PricingError, Shipping, appraise,
};

/// Lot size whose median is sought.
pub const LOT: u32 = 4;
/// Price of a single piece.
const PIECE: f64 = 20.0;
/// How the price per piece falls with the lot size.
const SLOPE: f64 = -0.2;
/// Lot sizes and how often they occur.
const LOTS: [(u32, f64); 4] = [(1, 0.35), (2, 0.30), (4, 0.25), (6, 0.10)];
/// Mean days until a listing at the median sells, and how steeply that grows with the ask.
const MEAN_DAYS: f64 = 45.0;
const ASK_EXPONENT: f64 = 3.0;
/// Range of asks of listings, as shares of the market's median.
const ASKS: (f64, f64) = (0.8, 2.0);
/// Range of days that listings have been seen for.
const DAYS: (f64, f64) = (10.0, 120.0);
/// Range of accepted offers, as shares of the ask.
const OFFERS: (f64, f64) = (0.6, 1.0);
/// Range of starting prices with one bid, as shares of what that bidder would have paid.
const STARTS: (f64, f64) = (0.4, 1.0);
/// Factor of a price typed wrong.
const SLIP: f64 = 4.0;
/// Range of the comps' ages in days.
const AGES: (f64, f64) = (0.0, 180.0);
/// A grid with one digit less than usual, and several times as quick.
const GRID: GridSize = GridSize { level: 21, beta: 15, ln_sigma: 17 };

/// One condition of the simulation.
#[derive(Debug, Clone, Copy)]
pub struct Condition {
    /// Share of prices that are wrong by a factor of 4.
    pub wrong: f64,
    /// Scatter of the market.
    pub sigma: f64,
    /// Comps in a set.
    pub comps: usize,
}

/// How one estimator did in one condition.
#[derive(Debug, Clone, Copy, Default)]
pub struct Score {
    /// Mean error of the median in the logarithm.
    pub bias: f64,
    /// Mean absolute error of the median in the logarithm.
    pub error: f64,
    /// Standard error of `error`.
    pub error_of_error: f64,
    /// Mean share of the market's true sales that the 80 % range of the next sale holds.
    pub coverage: f64,
}

/// How all estimators did.
#[derive(Debug, Clone, Copy, Default)]
pub struct Scores {
    /// Mean of all asks and prices per piece, whatever they are.
    pub all_asks: Score,
    /// Median of the exact sales per piece, or of all asks where there is none.
    pub exact_only: Score,
    /// The model with normal errors.
    pub normal: Score,
    /// The model with Student's t errors.
    pub student: Score,
}

fn between(rng: &mut Rng, (low, high): (f64, f64)) -> f64 {
    low + (high - low) * rng.f64()
}

fn normal(rng: &mut Rng) -> f64 {
    (-2.0 * (1.0 - rng.f64()).ln()).sqrt() * (TAU * rng.f64()).cos()
}

fn ln_median(pieces: u32) -> f64 {
    PIECE.ln() + (1.0 + SLOPE) * f64::from(pieces).ln()
}

/// One comp, with its ask or price per piece.
fn comp(rng: &mut Rng, condition: Condition) -> (Comp, f64) {
    let mut at = rng.f64();
    let mut pieces = LOT;
    for (size, share) in LOTS {
        pieces = size;
        if at < share {
            break;
        }
        at -= share;
    }
    let median = ln_median(pieces).exp();
    let value = median * (condition.sigma * normal(rng)).exp();
    let slip = if rng.f64() < condition.wrong { [SLIP, 1.0 / SLIP][rng.usize(..2)] } else { 1.0 };
    let kind = rng.f64();
    let (amount, days, kind) = if kind < 0.5 {
        (value, 0.0, 0)
    } else if kind < 0.75 {
        (value / between(rng, OFFERS), 0.0, 1)
    } else if kind < 0.9 {
        loop {
            let (ask, days) = (between(rng, ASKS), between(rng, DAYS));
            // Kept when it hasn't sold by then.
            if rng.f64() < (-days / MEAN_DAYS * ask.powf(-ASK_EXPONENT)).exp() {
                break (ask * median, days, 2);
            }
        }
    } else {
        (value * between(rng, STARTS), 7.0, 3)
    };
    let amount = amount * slip;
    let price = Money::from_cents_rounded((amount * 100.0).max(1.0));
    let evidence = match kind {
        0 => Evidence::Sold { price },
        1 => Evidence::AcceptedOffer { ask: price },
        2 => Evidence::Unsold { ask: price, days },
        _ => Evidence::Auction { price, bids: Bids::One, days },
    };
    let comp = Comp {
        evidence,
        shipping: Shipping::Free,
        pieces,
        grade: Grade::C,
        age_days: between(rng, AGES),
        days_to_sell: None,
        likeness: 1.0,
    };
    (comp, amount / f64::from(pieces))
}

fn median_of(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    if values.len() % 2 == 1 { values[half] } else { 0.5 * (values[half - 1] + values[half]) }
}

#[derive(Default)]
struct Tally {
    errors: Vec<f64>,
    coverage: f64,
}

impl Tally {
    fn score(&self) -> Score {
        let count = self.errors.len() as f64;
        let mean = |value: &dyn Fn(f64) -> f64| self.errors.iter().map(|&e| value(e)).sum::<f64>() / count;
        let error = mean(&f64::abs);
        let square = mean(&|e| (e.abs() - error).powi(2));
        Score {
            bias: mean(&|e| e),
            error,
            error_of_error: (square / count).sqrt(),
            coverage: self.coverage / count,
        }
    }
}

/// Runs `sets` sets of one condition.
pub fn run(condition: Condition, sets: usize, seed: u64) -> Result<Scores, PricingError> {
    let mut rng = Rng::with_seed(seed);
    let truth = ln_median(LOT);
    let (mut asks, mut exact) = (Tally::default(), Tally::default());
    let mut models = [(ErrorLaw::Normal, Tally::default()), (ErrorLaw::StudentT4, Tally::default())];
    for _ in 0..sets {
        let (comps, per_piece): (Vec<Comp>, Vec<f64>) =
            (0..condition.comps).map(|_| comp(&mut rng, condition)).unzip();
        let lot = f64::from(LOT);
        asks.errors.push((lot * per_piece.iter().sum::<f64>() / per_piece.len() as f64).ln() - truth);
        let sold: Vec<f64> = comps
            .iter()
            .zip(&per_piece)
            .filter(|(comp, _)| matches!(comp.evidence, Evidence::Sold { .. }))
            .map(|(_, &price)| price)
            .collect();
        exact.errors.push((lot * median_of(if sold.is_empty() { per_piece } else { sold })).ln() - truth);
        for (law, tally) in &mut models {
            let assumptions = Assumptions { error_law: *law, grid: GRID, ..Assumptions::default() };
            let worth = appraise(&comps, Grade::C, &assumptions)?.lot(LOT)?;
            tally.errors.push(worth.median.ln() - truth);
            let below = |price: f64| ErrorLaw::Normal.below((price.ln() - truth) / condition.sigma);
            tally.coverage += below(worth.p90) - below(worth.p10);
        }
    }
    let [(_, normal), (_, student)] = models;
    Ok(Scores {
        all_asks: asks.score(),
        exact_only: exact.score(),
        normal: normal.score(),
        student: student.score(),
    })
}
