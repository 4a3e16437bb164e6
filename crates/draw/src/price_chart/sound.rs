//! What of a price chart can be drawn: sorted, with amounts that have a place on the axis.

use super::{CompMark, CompPrice, LotPrices, PriceChart, PriceLine};
use crate::money_axis::{LARGEST_DRAWN, LEAST_DRAWN};

/// A comp that can be drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CompPoint<'a> {
    /// Its place in the record, from 0.
    pub index: usize,
    /// The comp itself.
    pub comp: &'a CompMark,
    /// Its price with every amount in the range that is drawn.
    pub price: CompPrice,
    /// How much it counts, 0 to 1.
    pub weight: f64,
}

/// A price line that can be drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LineMark<'a> {
    /// What stands beside it.
    pub letter: char,
    /// What it is.
    pub label: &'a str,
    /// The size it holds for, or all.
    pub pieces: Option<u32>,
    /// Its amount, in the range that is drawn.
    pub amount: f64,
}

/// What can be drawn of a chart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sound<'a> {
    /// Lots by rising size, each size once.
    pub lots: Vec<LotPrices>,
    /// Comps by rising size, then by their lower amount.
    pub comps: Vec<CompPoint<'a>>,
    /// Price lines in their given order.
    pub lines: Vec<LineMark<'a>>,
    /// Lots, comps and lines that could not be drawn.
    pub left_out: usize,
}

/// The amount where it can be drawn.
fn drawn(amount: f64) -> Option<f64> {
    (amount.is_finite() && amount > 0.0).then(|| amount.clamp(LEAST_DRAWN, LARGEST_DRAWN))
}

fn sound_lot(lot: &LotPrices) -> Option<LotPrices> {
    let rises = lot.p10 <= lot.p25
        && lot.p25 <= lot.median
        && lot.median <= lot.p75
        && lot.p75 <= lot.p90
        && lot.median_least <= lot.median_most;
    if lot.pieces == 0 || !rises {
        return None;
    }
    Some(LotPrices {
        p10: drawn(lot.p10)?,
        p25: drawn(lot.p25)?,
        median: drawn(lot.median)?,
        p75: drawn(lot.p75)?,
        p90: drawn(lot.p90)?,
        median_least: drawn(lot.median_least)?,
        median_most: drawn(lot.median_most)?,
        ..*lot
    })
}

fn sound_price(price: CompPrice) -> Option<CompPrice> {
    Some(match price {
        CompPrice::Exact(at) => CompPrice::Exact(drawn(at)?),
        CompPrice::Between { low, high } if low <= high => {
            CompPrice::Between { low: drawn(low)?, high: drawn(high)? }
        }
        CompPrice::Between { .. } => return None,
        CompPrice::Below(high) => CompPrice::Below(drawn(high)?),
        CompPrice::Above(low) => CompPrice::Above(drawn(low)?),
    })
}

impl CompPrice {
    /// The lowest and the highest amount named.
    pub(crate) fn ends(self) -> [f64; 2] {
        match self {
            Self::Exact(at) | Self::Below(at) | Self::Above(at) => [at, at],
            Self::Between { low, high } => [low, high],
        }
    }

    fn order(self) -> u8 {
        match self {
            Self::Exact(_) => 0,
            Self::Between { .. } => 1,
            Self::Below(_) => 2,
            Self::Above(_) => 3,
        }
    }
}

impl<'a> Sound<'a> {
    /// What can be drawn of this chart.
    pub(crate) fn of(chart: &'a PriceChart) -> Self {
        let mut lots: Vec<LotPrices> = chart.lots.iter().filter_map(sound_lot).collect();
        lots.sort_by_key(|lot| lot.pieces);
        lots.dedup_by_key(|lot| lot.pieces);
        let mut comps: Vec<CompPoint<'a>> = Vec::new();
        for (index, comp) in chart.comps.iter().enumerate() {
            let Some(price) = sound_price(comp.price).filter(|_| comp.pieces > 0) else { continue };
            let weight = if comp.weight.is_nan() { 0.0 } else { comp.weight.clamp(0.0, 1.0) };
            comps.push(CompPoint { index, comp, price, weight });
        }
        comps.sort_by(|a, b| {
            let ([low_a, high_a], [low_b, high_b]) = (a.price.ends(), b.price.ends());
            (a.comp.pieces.cmp(&b.comp.pieces))
                .then(low_a.total_cmp(&low_b))
                .then(high_a.total_cmp(&high_b))
                .then(a.price.order().cmp(&b.price.order()))
                .then(a.index.cmp(&b.index))
        });
        let known = |pieces: u32| {
            lots.iter().any(|lot| lot.pieces == pieces)
                || comps.iter().any(|point| point.comp.pieces == pieces)
        };
        let lines = lettered(&chart.lines, known);
        let given = chart.lots.len() + chart.comps.len() + chart.lines.len();
        let left_out = given - lots.len() - comps.len() - lines.len();
        Self { lots, comps, lines, left_out }
    }

    /// Every amount that the axis has to hold.
    pub(crate) fn amounts(&self) -> impl Iterator<Item = f64> + '_ {
        let lots = self.lots.iter().flat_map(|lot| [lot.p10, lot.p90, lot.median_least, lot.median_most]);
        let comps = self.comps.iter().flat_map(|point| point.price.ends());
        lots.chain(comps).chain(self.lines.iter().map(|line| line.amount))
    }

    /// The distinct lines for the key: letter, label, and the amount where it is the only one.
    pub(crate) fn line_names(&self) -> Vec<(char, &'a str, Option<f64>)> {
        let mut names: Vec<(char, &'a str, Option<f64>)> = Vec::new();
        for line in &self.lines {
            match names.iter_mut().find(|(letter, ..)| *letter == line.letter) {
                Some((_, _, only)) => *only = only.filter(|&amount| amount == line.amount),
                None => names.push((line.letter, line.label, Some(line.amount))),
            }
        }
        names
    }

    /// What could not be drawn, as a sentence.
    pub(crate) fn note(&self) -> Option<String> {
        match self.left_out {
            0 => None,
            1 => Some("One entry is left out: its figures cannot be drawn.".to_owned()),
            count => Some(format!("{count} entries are left out: their figures cannot be drawn.")),
        }
    }
}

fn lettered(lines: &[PriceLine], known: impl Fn(u32) -> bool) -> Vec<LineMark<'_>> {
    let mut labels: Vec<&str> = Vec::new();
    let mut marks = Vec::new();
    for line in lines {
        let Some(amount) = drawn(line.amount).filter(|_| line.pieces.is_none_or(&known)) else { continue };
        let place = labels.iter().position(|label| *label == line.label).unwrap_or_else(|| {
            labels.push(&line.label);
            labels.len() - 1
        });
        let Some(letter) = ('A'..='Z').nth(place) else { continue };
        marks.push(LineMark { letter, label: &line.label, pieces: line.pieces, amount });
    }
    marks
}
