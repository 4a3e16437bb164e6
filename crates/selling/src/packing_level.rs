//! How well to pack: the level whose cost and expected loss together are least.

use std::fmt;

use measure::Money;

use crate::SellingError;
use crate::cents::{NOISE, percent, up};
use crate::figure::Place;

/// A way to pack the parcel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PackingLevel {
    /// Materials, work and the postage of the added weight.
    pub cost: Money,
    /// The chance that the parcel breaks when packed so.
    pub breakage: f64,
}

/// The choice of a packing level.
#[derive(Debug, Clone, PartialEq)]
pub struct PackingChoice {
    /// Index of the best level; of equals the first.
    pub best: usize,
    /// Its cost and expected loss, in currency.
    pub total: f64,
    /// Cost and expected loss of every level, in currency.
    pub totals: Vec<f64>,
    /// Index of the next best, if there is one.
    pub runner_up: Option<usize>,
    /// What the runner-up would cost more, in currency.
    pub ahead_by: f64,
    /// The best level.
    pub level: PackingLevel,
    /// The loss when the parcel breaks.
    pub loss: Money,
}

impl fmt::Display for PackingChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Pack by level {} for {}: with a breakage of {} of a loss of {} it costs {} on average",
            self.best + 1,
            self.level.cost,
            percent(self.level.breakage),
            self.loss,
            up(self.total)
        )?;
        match self.runner_up {
            Some(next) => write!(f, ", {} less than level {}.", up(self.ahead_by), next + 1),
            None => write!(f, "."),
        }
    }
}

/// The level with the least cost and expected loss, c + p L.
///
/// For breakables this usually beats insurance: the buyer is not disappointed either.
///
/// # Errors
/// When there are no levels, an amount is negative or past ten million, or a chance is no share.
///
/// ```
/// use measure::Money;
/// use selling::{PackingLevel, choose_packing_level};
/// let levels = [(110, 0.06), (190, 0.025), (340, 0.008)]
///     .map(|(cents, breakage)| PackingLevel { cost: Money::from_cents(cents), breakage });
/// assert_eq!(choose_packing_level(Money::from_cents(58_00), &levels)?.best, 1);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn choose_packing_level(loss: Money, levels: &[PackingLevel]) -> Result<PackingChoice, SellingError> {
    let place = Place("packing level");
    let lost = place.money("loss", loss)?;
    let totals = levels
        .iter()
        .map(|level| {
            let cost = place.money("cost", level.cost)?;
            Ok(cost + place.share("breakage", level.breakage)? * lost)
        })
        .collect::<Result<Vec<f64>, SellingError>>()?;
    // Stable, and noise of binary fractions doesn't order equals.
    let mut ranked: Vec<(usize, f64)> = totals.iter().copied().enumerate().collect();
    ranked.sort_by(|(_, a), (_, b)| a.total_cmp(b));
    let Some(&(first, total)) = ranked.first() else {
        return Err(place.wrong("levels", "empty", "at least one way to pack"));
    };
    let equal = |(index, amount): &(usize, f64)| (*amount <= total + NOISE).then_some(*index);
    let best = ranked.iter().filter_map(equal).min().unwrap_or(first);
    let next = ranked.iter().find(|(index, _)| *index != best);
    let Some(&level) = levels.get(best) else {
        return Err(place.wrong("levels", "empty", "at least one way to pack"));
    };
    Ok(PackingChoice {
        best,
        total,
        runner_up: next.map(|(index, _)| *index),
        ahead_by: next.map_or(0.0, |(_, amount)| (amount - total).max(0.0)),
        totals,
        level,
        loss,
    })
}
