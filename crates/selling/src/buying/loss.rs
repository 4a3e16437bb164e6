//! The chance of losing on a purchase.

use std::fmt;

use super::LotKind;
use crate::SellingError;
use crate::cents::{down, percent, up};
use crate::figure::Place;
use crate::normal;

/// How far out quantile functions are asked, in standard deviations: beyond, shares round to 0 or 1.
const FARTHEST_QUANTILE: f64 = 8.0;

/// What a purchase risks at a price paid, when the error of prices is common to all lots.
#[derive(Debug, Clone, PartialEq)]
pub struct LossRisk {
    /// What was taken as paid, tax included, in currency.
    pub paid: f64,
    /// The error of prices at which nothing is gained or lost, in standard deviations; none when no error
    /// within reach changes gain to loss.
    pub break_even_z: Option<f64>,
    /// The delivered price of a lot of each kind at that point, in the order given; empty when there is none.
    /// For one kind it is the closed form, within reach or not.
    pub break_even_delivered: Vec<f64>,
    /// The chance of losing money.
    pub chance_of_loss: f64,
    /// Profit before own work at mean prices, in currency.
    pub expected_profit: f64,
    /// Profit before own work that is missed with the given chance, in currency; below 0 it is a loss.
    pub profit_in_bad_luck: f64,
    /// The chance that was given for it.
    pub bad_luck: f64,
    /// The most that can be paid so that a loss is no likelier than that chance, in currency, tax included.
    pub most_to_pay: f64,
}

impl fmt::Display for LossRisk {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Paying {} loses money with a chance of {}; on average it brings {}, and with a chance of {} less \
             than {}. For no more than that chance of a loss, pay at most {}.",
            up(self.paid),
            percent(self.chance_of_loss),
            down(self.expected_profit),
            percent(self.bad_luck),
            down(self.profit_in_bad_luck),
            down(self.most_to_pay)
        )
    }
}

/// What a plan of lots risks when `paid` is paid for it (currency, tax included).
///
/// The error of prices is taken as common to all lots, the worst case: identical lots share it. Then profit
/// is a rising function of one standard normal z, the sum over kinds of k ((1 - f) Q(Phi(z)) - c) less what
/// was paid, and the chance of loss is Phi at its root. For one log-normal kind that is
/// Phi((ln X0 - ln M) / sigma) with X0 = (C/k + c)/(1 - f). Whether lots sell enters at its expectation.
///
/// # Errors
/// When there are no lots, a figure is out of its range, or a quantile function gives something that is not a
/// price.
///
/// ```
/// use selling::{LotKind, loss_risk};
/// let kind = LotKind::new("3 goblets", 3, 42.0, 0.30, 0.14, 14.80);
/// let risk = loss_risk(&[kind], 30.0, 0.10)?;
/// assert!((risk.chance_of_loss - 0.105_040_346_6).abs() < 1e-8);
/// assert!((risk.most_to_pay - 29.373_054_34).abs() < 1e-6);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn loss_risk(kinds: &[LotKind], paid: f64, bad_luck: f64) -> Result<LossRisk, SellingError> {
    let place = Place("chance of loss");
    if kinds.is_empty() {
        return Err(place.wrong("kinds", "empty", "at least one kind of lot"));
    }
    for kind in kinds {
        kind.check()?;
    }
    let paid = place.amount("paid", paid)?;
    let bad_luck = place.open_share("bad_luck", bad_luck)?;
    let in_bad_luck = proceeds_at(kinds, normal::quantile(bad_luck))?;
    let expected: f64 = kinds.iter().map(|kind| kind.leaves(kind.mean_price())).sum();
    let (break_even_z, chance_of_loss) = root(kinds, paid)?;
    let break_even_delivered = match (kinds, break_even_z) {
        ([kind], _) => kind.break_even_price(paid).into_iter().collect(),
        (_, Some(z)) => kinds.iter().map(|kind| kind.price_at(z)).collect::<Result<_, _>>()?,
        (_, None) => vec![],
    };
    Ok(LossRisk {
        paid,
        break_even_z,
        break_even_delivered,
        chance_of_loss,
        expected_profit: expected - paid,
        profit_in_bad_luck: in_bad_luck - paid,
        bad_luck,
        most_to_pay: in_bad_luck,
    })
}

/// What all lots leave before goods and own work when prices are `z` standard deviations off.
pub(crate) fn proceeds_at(kinds: &[LotKind], z: f64) -> Result<f64, SellingError> {
    kinds.iter().try_fold(0.0, |sum, kind| Ok(sum + kind.leaves(kind.price_at(z)?)))
}

/// The common error at which the lots leave just `paid`, and the chance of less.
pub(crate) fn root(kinds: &[LotKind], paid: f64) -> Result<(Option<f64>, f64), SellingError> {
    let all_formulas = kinds.iter().all(|kind| match kind.delivered {
        super::Delivered::Lognormal { .. } => true,
        super::Delivered::Quantiles { .. } => false,
    });
    let farthest = if all_formulas { normal::FARTHEST } else { FARTHEST_QUANTILE };
    let (mut low, mut high) = (-farthest, farthest);
    if proceeds_at(kinds, low)? >= paid {
        return Ok((None, 0.0));
    }
    if proceeds_at(kinds, high)? < paid {
        return Ok((None, 1.0));
    }
    loop {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            return Ok((Some(high), normal::cdf(high)));
        }
        if proceeds_at(kinds, middle)? < paid {
            low = middle;
        } else {
            high = middle;
        }
    }
}
