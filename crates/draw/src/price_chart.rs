//! What lots of each size are worth, and the comps that say so: the record that both charts read.

mod columns;
mod key;
mod sheet;
mod sound;
mod spoken;
mod swarm;

pub use sheet::price_chart_svg;
pub(crate) use sound::{CompPoint, LineMark, Sound};

/// What a price chart shows: the worth of lots by their size, the comps, and prices to compare with.
///
/// All amounts are delivered prices of the whole lot in currency units, not rounded; a figure that is not
/// finite and above 0 cannot be drawn, and what it belongs to is left out and counted in a note. Amounts
/// under 0.01 are drawn at 0.01, and those over 1e9 at 1e9.
///
/// ```
/// use draw::{CompMark, CompPrice, LotPrices, PriceChart};
///
/// let chart = PriceChart {
///     title: "Consomme cups".into(),
///     lots: vec![LotPrices {
///         pieces: 2,
///         p10: 19.0,
///         p25: 22.4,
///         median: 26.0,
///         p75: 30.1,
///         p90: 35.5,
///         median_least: 23.1,
///         median_most: 29.2,
///         leans_on_the_prior: false,
///         is_extrapolated: false,
///     }],
///     comps: vec![CompMark {
///         pieces: 2,
///         price: CompPrice::Exact(25.5),
///         weight: 0.9,
///         label: "two with saucers".into(),
///     }],
///     lines: vec![],
/// };
/// assert!(draw::price_chart_svg(&chart).starts_with("<svg"));
/// assert!(draw::price_plot(&chart, 80).contains("26.00"));
/// ```
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PriceChart {
    /// What the pieces are; may be empty.
    pub title: String,
    /// One entry for each lot size, in any order; of two for one size the first is drawn.
    pub lots: Vec<LotPrices>,
    /// The comps, in any order.
    pub comps: Vec<CompMark>,
    /// Prices to compare with: what is asked, what is needed.
    pub lines: Vec<PriceLine>,
}

/// What a lot of one size is worth: where its next sale falls, and where the market's median lies.
///
/// The five quantiles must not fall from `p10` to `p90`, nor the median's interval from least to most;
/// otherwise the size is left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotPrices {
    /// Pieces in the lot, 1 or more.
    pub pieces: u32,
    /// One next sale in ten brings less, currency units.
    pub p10: f64,
    /// One in four brings less, currency units.
    pub p25: f64,
    /// Half bring less, currency units.
    pub median: f64,
    /// One in four brings more, currency units.
    pub p75: f64,
    /// One in ten brings more, currency units.
    pub p90: f64,
    /// The market's median is below this with a chance of one in ten, currency units.
    pub median_least: f64,
    /// The market's median is above this with a chance of one in ten, currency units.
    pub median_most: f64,
    /// Whether the figures come from the prior more than from the comps.
    pub leans_on_the_prior: bool,
    /// Whether the lot is well smaller or larger than any among the comps.
    pub is_extrapolated: bool,
}

/// A comp as it stands on the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct CompMark {
    /// Pieces in its lot, 1 or more.
    pub pieces: u32,
    /// What it says about the price.
    pub price: CompPrice,
    /// How much it counts, 0 to 1; what lies outside is drawn as the nearer end, and no number as 0.
    pub weight: f64,
    /// Its name; may be empty.
    pub label: String,
}

/// What a comp says about the delivered price of its lot, currency units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CompPrice {
    /// It is this.
    Exact(f64),
    /// It lies between two amounts.
    Between {
        /// The lower one.
        low: f64,
        /// The higher one, not below `low`.
        high: f64,
    },
    /// It is lower than this: an ask that nobody paid.
    Below(f64),
    /// It is higher than this.
    Above(f64),
}

/// A price to compare with. Lines of one label share one letter; of more than 26 labels the first are drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceLine {
    /// What it is ("asked", "least that pays").
    pub label: String,
    /// The lot size it holds for, or `None` for a line across all sizes. A size that is not on the chart has
    /// no line.
    pub pieces: Option<u32>,
    /// The delivered price of the lot, currency units.
    pub amount: f64,
}
