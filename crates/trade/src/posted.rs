//! What a parcel costs to post as it stands on the scale.

use measure::{Length, Mass, Money};
use postage::ParcelFacts;

use crate::Job;
use crate::cartons::destinations;
use crate::planner::price;

/// Postage of a box with these outside sides and this weight to each of the job's destinations, in their order.
///
/// # Errors
/// Why it isn't mailed so, or which destination can't be found.
pub fn posted(job: &Job, outside: [Length; 3], gross: Mass) -> Result<Vec<Money>, String> {
    let destinations = destinations(job).map_err(|why| why.to_string())?;
    let facts = ParcelFacts { outside, gross, rectangular: true };
    let quotes = price(job, &destinations, &facts)?;
    Ok(quotes.into_iter().map(|quote| quote.total).collect())
}
