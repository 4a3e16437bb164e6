//! How a comp was understood, in a sentence.

use measure::Money;

use super::words;
use crate::{Bids, Comp, Evidence, Grade, Shipping};

impl Comp {
    /// How the comp was understood, in one plain sentence without a full stop.
    ///
    /// Amounts are for the whole lot. A condition of grade C, an age of no days and a full likeness, which is
    /// what an unsaid one is taken as, are left out.
    ///
    /// ```
    /// use jiff::civil::date;
    /// use pricing::Comp;
    ///
    /// let comp = Comp::read("unsold 35 90d", date(2026, 11, 25))?;
    /// assert_eq!(comp.understood(), "1 piece, still unsold at 35.00 after 90 days, shipping not stated");
    /// # Ok::<(), pricing::CompError>(())
    /// ```
    #[must_use]
    pub fn understood(&self) -> String {
        let lot = match self.pieces {
            1 => "1 piece".to_owned(),
            pieces => format!("a lot of {pieces}"),
        };
        let told = match self.evidence {
            Evidence::Sold { price } => format!("sold for {price}{}", self.shipping_told(price, "")),
            Evidence::AcceptedOffer { ask } => {
                format!("sold by an accepted offer; ask {ask}{}", self.shipping_told(ask, "less than "))
            }
            Evidence::Unsold { ask, days } => {
                let after = format!(" after {}", days_told(days));
                let shipping = self.shipping_told(ask, "");
                match self.shipping {
                    Shipping::Unknown => format!("still unsold at {ask}{after}{shipping}"),
                    Shipping::Free | Shipping::Charged(_) | Shipping::Between(..) => {
                        format!("still unsold at {ask}{shipping}{after}")
                    }
                }
            }
            Evidence::Auction { price, bids, days } => self.auction_told(price, bids, days),
        };
        let mut parts = vec![format!("{lot}, {told}")];
        if self.grade != Grade::default() {
            let (letter, words) = words::grade_words(self.grade);
            parts.push(format!("grade {letter} ({words})"));
        }
        if self.likeness != 1.0 {
            // Shares are read to a hundredth of a percent; the product is rounded to that.
            parts.push(format!("{} % alike", (self.likeness * 1e4).round() / 100.0));
        }
        if let Some(days) = self.days_to_sell {
            parts.push(format!("after {} on offer", days_told(days)));
        }
        if self.age_days != 0.0 {
            parts.push(format!("{} ago", days_told(self.age_days)));
        }
        parts.join(", ")
    }

    fn auction_told(&self, price: Money, bids: Bids, days: f64) -> String {
        let shipping = self.shipping_told(price, if bids == Bids::One { "at least " } else { "" });
        let ran = if days == 0.0 { String::new() } else { format!(" that ran {}", days_told(days)) };
        match bids {
            Bids::None => format!("without a bid in an auction from {price}{ran}{shipping}"),
            Bids::One => format!("sold to the only bidder in an auction{ran} for {price}{shipping}"),
            Bids::Several => format!("sold in an auction{ran} with several bids for {price}{shipping}"),
        }
    }

    /// Shipping as it follows the price, with the delivered sum after `bound`.
    fn shipping_told(&self, price: Money, bound: &str) -> String {
        match self.shipping {
            Shipping::Free => " with free shipping".to_owned(),
            Shipping::Charged(amount) => {
                format!(" plus {amount} shipping ({bound}{} delivered)", price + amount)
            }
            Shipping::Between(low, high) => {
                let (low_sum, high_sum) = (price + low, price + high);
                format!(" plus {low} to {high} shipping ({bound}{low_sum} to {high_sum} delivered)")
            }
            Shipping::Unknown => ", shipping not stated".to_owned(),
        }
    }
}

fn days_told(days: f64) -> String {
    if days == 1.0 { "1 day".to_owned() } else { format!("{days} days") }
}
