//! Whether to insure a parcel: expected loss against premium, cover that is free, and how often parcels break.
//!
//! Amounts that are expectations are f64 in currency; prices are whole cents. Not insurance advice.

use std::fmt;

use measure::Money;

use crate::SellingError;
use crate::cents::{NOISE, currency, down, percent, up};
use crate::figure::Place;

/// What the seller loses when a parcel arrives broken or not at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossCase {
    /// Item price to refund.
    pub item: Money,
    /// Shipping charged, to refund.
    pub shipping: Money,
    /// Part of the percentage fee that the venue gives back.
    pub fee_returned: Money,
    /// What the return or the disposal costs.
    pub return_cost: Money,
    /// When an identical piece is in stock: what sending it instead costs.
    pub replacement: Option<Replacement>,
}

/// Sending an identical piece instead of refunding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Replacement {
    /// What the piece would have earned otherwise.
    pub margin: Money,
    /// The second postage, with its materials.
    pub postage: Money,
    /// The second packing, at one's wage.
    pub labour: Money,
}

/// The loss of a destroyed parcel; what the goods cost is spent either way and is not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LossIfDestroyed {
    /// The smaller of refund and replacement, at least 0.00.
    pub loss: Money,
    /// Refund less fee returned plus return cost.
    pub by_refund: Money,
    /// Margin, second postage and labour, when there is a spare.
    pub by_replacement: Option<Money>,
}

impl fmt::Display for LossIfDestroyed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.by_replacement {
            Some(replacing) if replacing < self.by_refund => write!(
                f,
                "If it breaks, sending the spare costs {replacing}; a refund would cost {}.",
                self.by_refund
            ),
            Some(_) | None => write!(f, "If it breaks, the refund costs {}.", self.by_refund),
        }
    }
}

/// What is lost when the parcel is destroyed: refund less fee returned plus return cost, or the replacement if
/// that is less.
///
/// # Errors
/// When an amount is negative or past ten million.
pub fn loss_if_destroyed(case: &LossCase) -> Result<LossIfDestroyed, SellingError> {
    let place = Place("loss if destroyed");
    place.money("item", case.item)?;
    place.money("shipping", case.shipping)?;
    place.money("fee_returned", case.fee_returned)?;
    place.money("return_cost", case.return_cost)?;
    let by_refund = case.item + case.shipping - case.fee_returned + case.return_cost;
    let by_replacement = match case.replacement {
        Some(Replacement { margin, postage, labour }) => {
            place.money("replacement margin", margin)?;
            place.money("replacement postage", postage)?;
            place.money("replacement labour", labour)?;
            Some(margin + postage + labour)
        }
        None => None,
    };
    let loss = by_replacement.map_or(by_refund, |replacing| replacing.min(by_refund)).max(Money::ZERO);
    Ok(LossIfDestroyed { loss, by_refund, by_replacement })
}

/// Cover of a parcel, bought or included free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cover {
    /// The most it pays.
    pub limit: Money,
    /// What it keeps of every claim.
    pub deductible: Money,
    /// The chance that a claim is paid; breakables are often refused for their packing.
    pub payout_probability: f64,
    /// What making a claim costs: photos, letters, time.
    pub claim_cost: Money,
}

impl Cover {
    fn check(&self, place: Place) -> Result<(), SellingError> {
        place.money("limit", self.limit)?;
        place.money("deductible", self.deductible)?;
        place.share("payout_probability", self.payout_probability)?;
        place.money("claim_cost", self.claim_cost)?;
        Ok(())
    }

    /// What a claim for `loss` pays if it is paid.
    fn pays(&self, loss: Money) -> Money {
        (loss.min(self.limit) - self.deductible).max(Money::ZERO)
    }

    /// What a claim for `loss` is worth on average; a claim that costs more than it brings is not made.
    fn claim_worth(&self, loss: Money) -> f64 {
        (self.payout_probability * currency(self.pays(loss)) - currency(self.claim_cost)).max(0.0)
    }
}

/// Whether to buy cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InsuranceCase {
    /// What is lost when the parcel is destroyed.
    pub loss: Money,
    /// The chance of that.
    pub breakage: f64,
    /// The price of the cover.
    pub premium: Money,
    /// The cover on offer, in total.
    pub cover: Cover,
    /// Cover that the carrier includes for nothing; it is claimed when it is worth more than the bought one.
    pub included: Option<Cover>,
}

/// The decision on cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InsuranceDecision {
    /// Whether the cover is worth its premium on average.
    pub insure: bool,
    /// What a paid claim pays.
    pub pays: Money,
    /// What a claim on the cover is worth when the parcel is destroyed, in currency.
    pub claim_worth: f64,
    /// What a claim on the included cover is worth then, in currency.
    pub included_claim_worth: f64,
    /// The chance times what the cover adds to that, in currency.
    pub expected_benefit: f64,
    /// The benefit less the premium, in currency.
    pub net: f64,
    /// The chance of breakage from which the cover pays; none when it never does.
    pub break_even_breakage: Option<f64>,
    /// The highest premium worth paying on average, rounded down.
    pub most_premium: Money,
    /// The premium asked.
    pub premium: Money,
    /// The chance that was given.
    pub breakage: f64,
}

impl fmt::Display for InsuranceDecision {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let verdict = if self.insure { "Insure it" } else { "Do not insure it" };
        write!(
            f,
            "{verdict}: at a breakage of {} the cover is worth {} on average and costs {}.",
            percent(self.breakage),
            self.most_premium,
            self.premium
        )?;
        if self.included_claim_worth > 0.0 {
            write!(f, " The cover included free is worth {} a claim.", down(self.included_claim_worth))?;
        }
        match self.break_even_breakage {
            Some(chance) => write!(f, " It pays from a breakage of {} on.", percent(chance)),
            None => write!(f, " It pays at no breakage."),
        }
    }
}

/// Whether cover is worth its premium on average: p (payout chance (min(L, limit) - deductible) - claim cost)
/// against the premium, less what the free cover would bring anyway.
///
/// # Errors
/// When an amount is negative or past ten million, or a chance is no share.
///
/// ```
/// use measure::Money;
/// use selling::{Cover, InsuranceCase, insure};
/// let cover = Cover {
///     limit: Money::from_cents(10_000), deductible: Money::ZERO, payout_probability: 0.9,
///     claim_cost: Money::from_cents(5_00),
/// };
/// let case = InsuranceCase {
///     loss: Money::from_cents(60_00), breakage: 0.02, premium: Money::from_cents(1_65), cover, included: None,
/// };
/// let decision = insure(&case)?;
/// assert!(!decision.insure && (decision.expected_benefit - 0.98).abs() < 1e-9);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn insure(case: &InsuranceCase) -> Result<InsuranceDecision, SellingError> {
    let place = Place("insurance");
    place.money("loss", case.loss)?;
    let breakage = place.share("breakage", case.breakage)?;
    let premium = place.money("premium", case.premium)?;
    case.cover.check(place)?;
    if let Some(included) = case.included {
        included.check(Place("cover included free"))?;
    }
    let claim_worth = case.cover.claim_worth(case.loss);
    let included_claim_worth = case.included.map_or(0.0, |cover| cover.claim_worth(case.loss));
    let added = (claim_worth - included_claim_worth).max(0.0);
    let expected_benefit = breakage * added;
    let net = expected_benefit - premium;
    let break_even = premium / added;
    Ok(InsuranceDecision {
        insure: net > NOISE,
        pays: case.cover.pays(case.loss),
        claim_worth,
        included_claim_worth,
        expected_benefit,
        net,
        break_even_breakage: (added > 0.0 && break_even <= 1.0).then_some(break_even),
        most_premium: down(expected_benefit),
        premium: case.premium,
        breakage,
    })
}

/// The highest premium for full cover that a careful person with little saved would pay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarefulPremium {
    /// In currency.
    pub most: f64,
    /// The mean loss, p L, in currency: what it is worth to somebody whom the loss doesn't worry.
    pub mean_loss: f64,
    /// The most in whole cents, rounded down.
    pub most_premium: Money,
}

impl fmt::Display for CarefulPremium {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Full cover is worth at most {}; the loss is {} on average.",
            self.most_premium,
            up(self.mean_loss)
        )
    }
}

/// The premium for full and certain cover at which the mean of the log of savings is the same with and without:
/// W - exp(p ln(W - L) + (1 - p) ln W). Hardly more than p L when the loss is small against the savings.
///
/// # Errors
/// When an amount is negative or past ten million, the chance is no share, or the savings don't exceed the
/// loss.
pub fn careful_premium(savings: Money, loss: Money, breakage: f64) -> Result<CarefulPremium, SellingError> {
    let place = Place("insurance of a careful person");
    let lost = place.money("loss", loss)?;
    let saved = place.money("savings", savings)?;
    let breakage = place.share("breakage", breakage)?;
    if savings <= loss {
        return Err(place.wrong("savings", savings, format!("more than the loss of {loss}")));
    }
    // W - W (1 - L/W)^p, without the cancellation.
    let most = -saved * (breakage * (-lost / saved).ln_1p()).exp_m1();
    Ok(CarefulPremium { most, mean_loss: breakage * lost, most_premium: down(most) })
}

/// What is known about breakage before any parcel was sent: as if `sent` parcels had been sent, of which
/// `broken` broke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakagePrior {
    /// Above 0.
    pub broken: f64,
    /// Above `broken`.
    pub sent: f64,
}

impl Default for BreakagePrior {
    /// Beta(1, 49): one in fifty (judgement).
    fn default() -> Self {
        Self { broken: 1.0, sent: 50.0 }
    }
}

/// The chance of breakage when `broken` of `sent` parcels arrived broken: (1 + k)/(50 + n) with the default
/// prior.
///
/// # Errors
/// When more are broken than sent, or the prior is not between none and all.
///
/// ```
/// use selling::{BreakagePrior, estimate_breakage};
/// assert_eq!(estimate_breakage(3, 150, BreakagePrior::default())?, 0.02);
/// # Ok::<(), selling::SellingError>(())
/// ```
pub fn estimate_breakage(broken: u32, sent: u32, prior: BreakagePrior) -> Result<f64, SellingError> {
    let place = Place("breakage");
    place.positive_amount("prior broken", prior.broken)?;
    place.positive_amount("prior sent", prior.sent)?;
    if prior.broken >= prior.sent {
        return Err(place.wrong("prior broken", prior.broken, format!("under {}", prior.sent)));
    }
    if broken > sent {
        return Err(place.wrong("broken", broken, format!("at most the {sent} sent")));
    }
    Ok((prior.broken + f64::from(broken)) / (prior.sent + f64::from(sent)))
}
