//! When the cost of goods counts under the cash method. Not tax advice.

use jiff::civil::Date;

/// The tax year in which the cost of non-incidental materials and supplies counts: the later of the year paid and
/// the year provided to the customer (26 CFR 1.471-1(b)(4)).
#[must_use]
pub fn deduct_year(paid: Date, provided: Date) -> i16 {
    paid.max(provided).year()
}
