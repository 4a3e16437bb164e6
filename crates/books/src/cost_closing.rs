//! Cost of goods by closing: opening stock and purchases less closing stock (Schedule C, Part III).

use measure::Money;

/// What cost of goods sold is made of. Not tax advice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CostClosing {
    /// Goods on hand at the beginning, at cost.
    pub opening: Money,
    /// Goods bought, with the tax paid on them.
    pub purchases: Money,
    /// Of those, or of the opening stock, taken for oneself.
    pub personal: Money,
    /// Paid labour; one's own time is never a cost.
    pub labour: Money,
    /// Materials that became part of the goods.
    pub materials: Money,
    /// Other costs: freight-in.
    pub other: Money,
    /// Goods on hand at the end, at cost.
    pub closing: Money,
}

impl CostClosing {
    /// Purchases less what was taken for oneself.
    #[must_use]
    pub fn purchases_net(&self) -> Money {
        self.purchases - self.personal
    }

    /// Everything that could have been sold.
    #[must_use]
    pub fn available(&self) -> Money {
        self.opening + self.purchases_net() + self.labour + self.materials + self.other
    }

    /// What is no longer there: cost of goods sold.
    #[must_use]
    pub fn cost_of_goods(&self) -> Money {
        self.available() - self.closing
    }
}

/// Receipts, returns and cost of goods down to gross profit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GrossProfit {
    /// Gross receipts.
    pub receipts: Money,
    /// Returns and allowances.
    pub returns: Money,
    /// Cost of goods sold.
    pub cost_of_goods: Money,
}

impl GrossProfit {
    /// Receipts less returns.
    #[must_use]
    pub fn net_receipts(&self) -> Money {
        self.receipts - self.returns
    }

    /// Net receipts less cost of goods.
    #[must_use]
    pub fn amount(&self) -> Money {
        self.net_receipts() - self.cost_of_goods
    }

    /// Gross profit as a share of net receipts; none where there are no receipts.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        let net = self.net_receipts();
        (net > Money::ZERO).then(|| self.amount().currency() / net.currency())
    }
}
