//! A purchase to decide on, and the decision.

use measure::Money;

use super::{BuyTargets, Limit, LossRisk, LotKind, LotsToSell, PriceLimits};

/// Percentile of the price that is counted on when a purchase was chosen because it looked cheap: the guard
/// against the winner's curse (judgement).
pub(crate) const GUARD_PERCENTILE: f64 = 0.40;

/// A purchase to decide on.
#[derive(Debug, Clone, Copy)]
pub struct BuyCase<'a> {
    /// The price on the shelf for everything, before tax.
    pub asking: Money,
    /// Sales tax paid at the shop as a share of the shelf price, from 0 to under 1.
    pub tax_share: f64,
    /// The lots that will be made of it.
    pub kinds: &'a [LotKind<'a>],
    /// Hours of one's own work on all of it.
    pub hours: f64,
    /// What it must bring.
    pub targets: BuyTargets,
    /// The percentile of each price that proceeds are counted at, above 0 and under 1; none counts means.
    pub price_percentile: Option<f64>,
}

impl BuyCase<'_> {
    /// Without tax, with default targets and the 40th percentile of every price.
    #[must_use]
    pub fn new<'a>(asking: Money, kinds: &'a [LotKind<'a>], hours: f64) -> BuyCase<'a> {
        BuyCase {
            asking,
            tax_share: 0.0,
            kinds,
            hours,
            targets: BuyTargets::default(),
            price_percentile: Some(GUARD_PERCENTILE),
        }
    }
}

/// What to do at the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The asking price is good.
    Buy,
    /// Only at this shelf price or less.
    HaggleTo(Money),
    /// Leave it.
    Leave,
}

/// Why something is not to be taken even as a gift.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotEvenFree {
    /// The sales leave less than nothing, own work not counted.
    LosesMoney,
    /// It gains, but misses the limit that binds.
    MissesLimit,
}

/// The purchase at the asking price.
#[derive(Debug, Clone, PartialEq)]
pub struct AtAsking {
    /// What is paid, tax included.
    pub paid: Money,
    /// Profit after the wage at the prices counted on, rounded down.
    pub expected_profit: Money,
    /// Profit before the wage, rounded down.
    pub profit_before_wage: Money,
    /// Hours of own work.
    pub hours: f64,
    /// Profit before the wage for an hour of work, rounded down; none when there is no work.
    pub net_per_hour: Option<Money>,
    /// The chance of losing money, in the sense of [`BuyTargets::loss_counts_wage`].
    pub chance_of_loss: f64,
    /// The share of lots that must sell to have the money back, at the average a sold lot leaves.
    pub sell_through: LotsToSell,
    /// All figures of the risk, at mean prices; what was paid includes the wage if that counts as loss.
    pub risk: LossRisk,
}

/// The decision on a purchase, with every figure it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct BuyDecision {
    /// The highest shelf price to pay, before tax, rounded down; at least 0.00.
    pub most_to_pay: Money,
    /// The limit that binds it.
    pub bound_by: Limit,
    /// What to do.
    pub verdict: Verdict,
    /// The shelf price asked.
    pub asking: Money,
    /// At the asking price.
    pub at_asking: AtAsking,
    /// Whether and why not even a gift would do.
    pub not_even_free: Option<NotEvenFree>,
    /// The most by each limit, tax included.
    pub limits: PriceLimits,
    /// What the limits were asked to meet.
    pub targets: BuyTargets,
    /// The delivered prices counted on, by kind, in currency.
    pub counted_prices: Vec<f64>,
    /// The percentile they are; none for means.
    pub price_percentile: Option<f64>,
    /// What the sales leave at mean prices, before goods and work, in currency; more than is counted on when
    /// the guard is on.
    pub proceeds_at_means: f64,
    /// The tax share.
    pub tax_share: f64,
}
