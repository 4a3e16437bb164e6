//! What could be listed next, with what it should bring.
//!
//! Of a find, the pieces that no listing and no order speaks for. They should bring their share of what the find
//! was expected to sell for, less what selling has cost so far as a share of item prices (fees, advertising,
//! postage and packing, less shipping charged), less their basis. The work is the minutes of packing a piece so
//! far.

use books::{By, Unlisted};
use jiff::civil::Date;
use measure::Money;

use crate::{Shop, ShopError, StockLine};

/// What selling costs as a share of item prices, where nothing was sold yet (judgement: a fee of an eighth, and
/// packing and postage not fully charged).
pub const SELLING_SHARE: f64 = 0.25;
/// Minutes of work for a piece, where nothing was packed yet (judgement).
pub const MINUTES_A_PIECE: f64 = 8.0;

/// What could be listed, and what it was reckoned with.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidates {
    /// The finds, for [`books::list_next`].
    pub finds: Vec<Unlisted>,
    /// Costs of selling as a share of item prices.
    pub selling_share: f64,
    /// Minutes of work for a piece.
    pub minutes_a_piece: f64,
    /// Whether both come from own sales.
    pub own: bool,
}

impl Shop {
    /// Finds with pieces that could be listed.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn candidates(&mut self, today: Date) -> Result<Candidates, ShopError> {
        Ok(self.stock_report(today)?.candidates.clone())
    }

    pub(crate) fn candidates_among(
        &mut self,
        lines: &[StockLine],
        today: Date,
    ) -> Result<Candidates, ShopError> {
        let all = self.earned(By::Year, Date::MIN, today)?;
        let sum = |of: fn(&books::Earned) -> Money| all.values().map(of).sum::<Money>();
        let items = sum(|row| row.items);
        let costs = sum(|row| row.fees + row.advertising + row.postage + row.materials - row.shipping);
        let pieces: i64 = all.values().map(|row| row.pieces).sum();
        let minutes: u64 = all.values().map(|row| row.minutes).sum();
        let own = items > Money::ZERO && pieces > 0 && minutes > 0;
        let selling_share = if own { costs.cents() as f64 / items.cents() as f64 } else { SELLING_SHARE };
        let minutes_a_piece = if own { minutes as f64 / pieces as f64 } else { MINUTES_A_PIECE };
        let books = self.books()?;
        let mut finds = Vec::new();
        for line in lines.iter().filter(|line| line.unlisted() > 0) {
            let basis = books.basis_of(line.find)?;
            let free = f64::from(line.unlisted());
            let share = free / f64::from(basis.pieces().max(1));
            let value = basis.find().value.cents() as f64 * share * (1.0 - selling_share);
            let cost = line.basis.cents() as f64 * free / f64::from(line.on_hand.max(1));
            finds.push(Unlisted {
                find: line.find,
                net: Money::from_cents_rounded(value - cost),
                // At least 1, and a find has few enough pieces to fit.
                minutes: (free * minutes_a_piece).ceil().clamp(1.0, 1e9) as u32,
                age_days: u32::try_from(line.age_days.max(0)).unwrap_or(u32::MAX),
            });
        }
        Ok(Candidates { finds, selling_share, minutes_a_piece, own })
    }
}
