//! The appraisal: what a lot of any size is worth, how sure that is, and how each comp counted.

use measure::{LARGEST_MONEY, Money};

use crate::counted::{MOST_PIECES, count};
use crate::middle::middle;
use crate::posterior::Posterior;
use crate::predictive::Predictive;
use crate::slice::{LotEvidence, Model};
use crate::{Assumptions, Bounds, Comp, Counted, ErrorLaw, Grade, GridReport, Moments, PricingError};
use crate::{LotWorth, WeightedMedian};

/// Comps taken at most (judgement: a person types tens, an import may bring hundreds).
pub const MOST_COMPS: usize = 1000;
/// Weight sum below which the prior has more say than the comps (judgement).
const PRIOR_DRIVEN_BELOW: f64 = 2.0;
/// Lot sizes up to this share under and over those seen still lean on the comps (judgement).
const EXTRAPOLATED_BEYOND: (f64, f64) = (0.5, 1.5);
/// Points a drawing of the density may have.
const POINTS: (usize, usize) = (2, 2000);
/// Chances between which a drawing of the density runs.
const DRAWN: (f64, f64) = (0.005, 0.995);

/// Why a lot's figures should be taken with care.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caution {
    /// The comps weigh less than two fresh sales, or none is an exact price: the answer leans on the prior.
    PriorDriven,
    /// The lot is smaller than half the smallest or larger than one and a half times the largest lot among
    /// the comps: how the price falls with the lot size then comes from the prior.
    Extrapolated,
}

/// What the comps say about the worth of pieces of one grade.
///
/// All prices are *delivered*: the item's price plus the shipping charged to the buyer, for the whole lot. The
/// item's own price is the delivered price less the shipping charged.
#[derive(Debug, Clone, PartialEq)]
pub struct Appraisal {
    counted: Vec<Counted>,
    weight_sum: f64,
    effective_comps: f64,
    exact: usize,
    lots_seen: (u32, u32),
    law: ErrorLaw,
    posterior: Posterior,
}

/// Appraises pieces of the `target` grade by their comps.
///
/// ```
/// use measure::Money;
/// use pricing::{Assumptions, Comp, Evidence, Grade, Shipping, appraise};
///
/// let sold = |cents, pieces| Comp {
///     evidence: Evidence::Sold { price: Money::from_cents(cents) },
///     shipping: Shipping::Free,
///     pieces,
///     grade: Grade::C,
///     age_days: 10.0,
///     days_to_sell: None,
///     likeness: 1.0,
/// };
/// let comps = [sold(15_00, 1), sold(26_00, 2), sold(44_00, 4)];
/// let appraisal = appraise(&comps, Grade::C, &Assumptions::default())?;
/// let four = appraisal.lot(4)?;
/// assert!(four.p10 < 44.0 && 44.0 < four.p90);
/// assert_eq!(appraisal.counted()[0].sentence, "sold at 15.00: counted as worth 15.00, weight 0.96");
/// # Ok::<(), pricing::PricingError>(())
/// ```
///
/// # Errors
/// When there is no comp, none with any weight, or more than [`MOST_COMPS`]; when a comp or an assumption
/// holds something that can't be.
pub fn appraise(comps: &[Comp], target: Grade, assumptions: &Assumptions) -> Result<Appraisal, PricingError> {
    assumptions.check()?;
    if comps.is_empty() {
        return Err(PricingError::NoComps);
    }
    if comps.len() > MOST_COMPS {
        return Err(PricingError::TooManyComps { found: comps.len(), most: MOST_COMPS });
    }
    let counted: Vec<Counted> = comps
        .iter()
        .enumerate()
        .map(|(i, comp)| count(i + 1, comp, target, assumptions))
        .collect::<Result<_, _>>()?;

    // One order whatever the order of the comps, so that every sum comes out the same to the last bit.
    let mut weighty: Vec<&Counted> = counted.iter().filter(|comp| comp.weight > 0.0).collect();
    weighty.sort_by(|a, b| {
        let ((kind_a, low_a, high_a), (kind_b, low_b, high_b)) = (order(a.bounds), order(b.bounds));
        a.pieces
            .cmp(&b.pieces)
            .then(kind_a.cmp(&kind_b))
            .then(low_a.total_cmp(&low_b))
            .then(high_a.total_cmp(&high_b))
            .then(a.weight.total_cmp(&b.weight))
    });
    let weight_sum: f64 = weighty.iter().map(|comp| comp.weight).sum();
    let Some(seen_middle) = middle(&weighty) else {
        return Err(PricingError::NothingCounts { comps: comps.len() });
    };
    let centre =
        weighty.iter().map(|comp| comp.weight * f64::from(comp.pieces).ln()).sum::<f64>() / weight_sum;
    let mut lots: Vec<LotEvidence> = Vec::new();
    let mut last_pieces = 0;
    for comp in &weighty {
        if comp.pieces != last_pieces {
            last_pieces = comp.pieces;
            lots.push(LotEvidence { offset: f64::from(comp.pieces).ln() - centre, comps: Vec::new() });
        }
        if let Some(lot) = lots.last_mut() {
            lot.comps.push((comp.bounds, comp.weight));
        }
    }
    let mut seen = (f64::INFINITY, f64::NEG_INFINITY);
    for comp in &weighty {
        let (_, low, high) = order(comp.bounds);
        seen = (seen.0.min(low), seen.1.max(high));
    }
    let model = Model {
        law: assumptions.error_law,
        lots,
        centre,
        mu_mean: assumptions.prior.mu_mean.unwrap_or(seen_middle),
        prior: assumptions.prior,
    };
    let pieces = || weighty.iter().map(|comp| comp.pieces);
    let squares: f64 = weighty.iter().map(|comp| comp.weight * comp.weight).sum();
    Ok(Appraisal {
        weight_sum,
        effective_comps: weight_sum * weight_sum / squares,
        exact: weighty.iter().filter(|comp| comp.is_exact()).count(),
        lots_seen: (pieces().min().unwrap_or(1), pieces().max().unwrap_or(1)),
        law: assumptions.error_law,
        posterior: Posterior::of(&model, seen, assumptions.grid),
        counted,
    })
}

/// Kind of the bounds and their ends, an open end standing at the closed one.
fn order(bounds: Bounds) -> (u8, f64, f64) {
    match bounds {
        Bounds::Exact(value) => (0, value, value),
        Bounds::Between(low, high) => (1, low, high),
        Bounds::Below(high) => (2, high, high),
        Bounds::Above(low) => (3, low, low),
    }
}

impl Appraisal {
    /// How each comp counted, in the order given.
    #[must_use]
    pub fn counted(&self) -> &[Counted] {
        &self.counted
    }

    /// All weights together: how many fresh, fully alike comps the evidence amounts to.
    #[must_use]
    pub fn weight_sum(&self) -> f64 {
        self.weight_sum
    }

    /// Effective number of comps: the square of the weights' sum over the sum of their squares (Kish, *Survey
    /// Sampling*, 1965; from memory).
    #[must_use]
    pub fn effective_comps(&self) -> f64 {
        self.effective_comps
    }

    /// Comps with any weight that are exact prices.
    #[must_use]
    pub fn exact(&self) -> usize {
        self.exact
    }

    /// Pieces in the smallest lot among the comps with any weight.
    #[must_use]
    pub fn smallest_lot(&self) -> u32 {
        self.lots_seen.0
    }

    /// Pieces in the largest lot among the comps with any weight.
    #[must_use]
    pub fn largest_lot(&self) -> u32 {
        self.lots_seen.1
    }

    /// `mu`: logarithm of a single piece's median price, in currency units.
    #[must_use]
    pub fn mu(&self) -> Moments {
        self.posterior.mu
    }

    /// `beta`: how the logarithmic price per piece moves with the logarithm of the lot size.
    #[must_use]
    pub fn beta(&self) -> Moments {
        self.posterior.beta
    }

    /// `sigma`: scale of the sales about their median, in the logarithm.
    #[must_use]
    pub fn sigma(&self) -> Moments {
        self.posterior.sigma
    }

    /// How well the grid held the posterior.
    #[must_use]
    pub fn grid(&self) -> GridReport {
        self.posterior.report
    }

    /// Why a lot's figures should be taken with care.
    #[must_use]
    pub fn cautions(&self, pieces: u32) -> Vec<Caution> {
        let mut cautions = Vec::new();
        if self.weight_sum < PRIOR_DRIVEN_BELOW || self.exact == 0 {
            cautions.push(Caution::PriorDriven);
        }
        let (smallest, largest) = self.lots_seen;
        let (under, over) = EXTRAPOLATED_BEYOND;
        let size = f64::from(pieces);
        if size < under * f64::from(smallest) || size > over * f64::from(largest) {
            cautions.push(Caution::Extrapolated);
        }
        cautions
    }

    /// What a lot of so many pieces is worth.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot.
    pub fn lot(&self, pieces: u32) -> Result<LotWorth, PricingError> {
        let predictive = self.predictive(pieces)?;
        let median = predictive.quantile(0.5);
        Ok(LotWorth {
            pieces,
            p10: predictive.quantile(0.1),
            p25: predictive.quantile(0.25),
            median,
            p75: predictive.quantile(0.75),
            p90: predictive.quantile(0.9),
            median_least: predictive.median_quantile(0.1),
            median_most: predictive.median_quantile(0.9),
            per_piece: median / f64::from(pieces),
            cautions: self.cautions(pieces),
        })
    }

    /// The delivered price that the next sale of a lot stays below with chance `p`, in currency units.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot, or `p` is not between 0 and 1.
    pub fn quantile(&self, pieces: u32, p: f64) -> Result<f64, PricingError> {
        Ok(self.predictive(pieces)?.quantile(chance(p)?))
    }

    /// The delivered price that the *median* of the market for a lot stays below with chance `p`, in currency
    /// units: what is not known about the median, without the scatter of the sales about it.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot, or `p` is not between 0 and 1.
    pub fn median_quantile(&self, pieces: u32, p: f64) -> Result<f64, PricingError> {
        Ok(self.predictive(pieces)?.median_quantile(chance(p)?))
    }

    /// Chance that the next sale of a lot brings at least this delivered amount.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot, or the amount is negative or past all amounts.
    pub fn chance_next_sale_at_least(&self, pieces: u32, amount: Money) -> Result<f64, PricingError> {
        let predictive = self.predictive(pieces)?;
        if amount < Money::ZERO || amount > LARGEST_MONEY {
            let right = format!("0.00 to {}", LARGEST_MONEY.write());
            return Err(PricingError::Question {
                what: "the amount asked for",
                found: amount.write(),
                right,
            });
        }
        if amount == Money::ZERO {
            return Ok(1.0);
        }
        Ok(predictive.chance_of_at_least(amount.currency()))
    }

    /// The medians that the market for a lot may have, with their weights: for averaging over what is not
    /// known about the price whatever depends on it, such as the time to a sale.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot.
    pub fn medians(&self, pieces: u32) -> Result<Vec<WeightedMedian>, PricingError> {
        Ok(self.predictive(pieces)?.weighted_medians())
    }

    /// The density of the next sale's delivered price, for drawing: evenly spaced amounts in currency units
    /// from the lowest half per cent to the highest, each with its density per currency unit.
    ///
    /// # Errors
    /// When `pieces` is 0 or more than go in a lot, or `points` is not from 2 to 2000.
    pub fn density(&self, pieces: u32, points: usize) -> Result<Vec<(f64, f64)>, PricingError> {
        let predictive = self.predictive(pieces)?;
        if !(POINTS.0..=POINTS.1).contains(&points) {
            let right = format!("{} to {}", POINTS.0, POINTS.1);
            return Err(PricingError::Question {
                what: "points of the drawing",
                found: points.to_string(),
                right,
            });
        }
        let (low, high) = (predictive.quantile(DRAWN.0), predictive.quantile(DRAWN.1));
        let step = (high - low) / (points - 1) as f64;
        Ok((0..points)
            .map(|k| {
                let amount = low + step * k as f64;
                (amount, predictive.density(amount))
            })
            .collect())
    }

    fn predictive(&self, pieces: u32) -> Result<Predictive, PricingError> {
        if !(1..=MOST_PIECES).contains(&pieces) {
            let right = format!("1 to {MOST_PIECES}");
            return Err(PricingError::Question {
                what: "pieces in the lot",
                found: pieces.to_string(),
                right,
            });
        }
        Ok(Predictive::new(&self.posterior, self.law, pieces))
    }
}

fn chance(p: f64) -> Result<f64, PricingError> {
    if p > 0.0 && p < 1.0 {
        return Ok(p);
    }
    let right = String::from("more than 0 and less than 1");
    Err(PricingError::Question { what: "the chance", found: p.to_string(), right })
}
