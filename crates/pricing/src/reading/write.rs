//! A comp as the line that reads back to it.

use std::fmt::Write as _;

use super::words;
use crate::{Bids, Comp, Evidence, Grade, Shipping};

impl Comp {
    /// The comp as a line in its plainest form: `2 for 17.50 + 8.25, 60d ago`.
    ///
    /// For every comp that was read, the line reads back to the same comp. A comp made otherwise whose figures
    /// no line can state (days of more than two decimals, a likeness past 1) gives a line that is refused, not
    /// one that reads as another comp; a charge of nothing reads back as free shipping.
    #[must_use]
    pub fn write(&self) -> String {
        let (begin, counted) = match self.evidence {
            Evidence::Sold { price } if self.pieces != 1 => (format!("{} for {price}", self.pieces), true),
            Evidence::Sold { price } => (format!("sold {price}"), false),
            Evidence::AcceptedOffer { ask } => (format!("offer under {ask}"), false),
            Evidence::Unsold { ask, days } => (format!("unsold {ask} for {days}d"), false),
            Evidence::Auction { price, bids, days } => {
                let bids = match bids {
                    Bids::None => "no bids",
                    Bids::One => "one bid",
                    Bids::Several => "several bids",
                };
                let ran = if days == 0.0 { String::new() } else { format!(", ran {days}d") };
                (format!("auction {price}, {bids}{ran}"), false)
            }
        };
        let mut line = begin;
        if !counted && self.pieces != 1 {
            line.push_str(&format!(" x{}", self.pieces));
        }
        line.push_str(&match self.shipping {
            Shipping::Free => " free ship".to_owned(),
            Shipping::Charged(amount) => format!(" + {amount}"),
            Shipping::Between(low, high) => format!(" + {low}-{high}"),
            Shipping::Unknown => String::new(),
        });
        // Writing to a text can't fail.
        if self.grade != Grade::default() {
            let _ = write!(line, ", grade {}", words::grade_words(self.grade).0);
        }
        if self.likeness != 1.0 {
            let _ = write!(line, ", alike {}", self.likeness);
        }
        if let Some(days) = self.days_to_sell {
            let _ = write!(line, ", in {days}d");
        }
        if self.age_days != 0.0 {
            let _ = write!(line, ", {}d ago", self.age_days);
        }
        line
    }
}
