//! How fast a find sells, by what its comps and the market's counts tell.

use pricing::{Appraisal, ListingRecord, PricingError, SaleRate};

use crate::{Find, Job};

/// How fast things sell, and where that is known from.
#[derive(Debug, Clone, PartialEq)]
pub struct Pace {
    /// The rate of sales.
    pub rate: SaleRate,
    /// Comps that told days on offer.
    pub records: usize,
    /// Whether it is the market's counted sell-through.
    pub counted: bool,
}

/// What comps and counts tell of the time to a sale.
pub(crate) fn pace(job: &Job, group: &Find, appraisal: Option<&Appraisal>) -> Result<Pace, PricingError> {
    let market = &job.market;
    let mut records = Vec::new();
    if let Some(appraisal) = appraisal {
        for (comp, counted) in group.comps.iter().zip(appraisal.counted()) {
            let (days, sold) = match (comp.evidence, comp.days_to_sell) {
                (pricing::Evidence::Unsold { days, .. }, _) => (days, false),
                (pricing::Evidence::Sold { .. } | pricing::Evidence::AcceptedOffer { .. }, Some(days)) => {
                    (days, true)
                }
                // An auction ends on its day whatever the price: it tells nothing of waiting.
                (pricing::Evidence::Auction { .. }, _) | (_, None) => continue,
            };
            // The upper bound of a comp is its ask, or the price itself where that is known.
            let (_, Some(asked)) = counted.delivered() else { continue };
            let median = appraisal.lot(comp.pieces)?.median;
            records.push(ListingRecord::new(days, sold, asked / median)?);
        }
    }
    let mut time = market.time;
    if let Some(counts) = &market.sell_through {
        // Counted sales are sales of listings at about the median, over all the days that listings stood.
        time.prior_sales += f64::from(counts.sold());
        time.prior_days += counts.listing_days();
    }
    Ok(Pace {
        rate: SaleRate::learnt(&records, &time)?,
        records: records.len(),
        counted: market.sell_through.is_some(),
    })
}
