//! What an entry must agree with before it is taken into the books.

use std::collections::BTreeMap;

use measure::Money;

use crate::piece::Fate;
use crate::{Account, AveragePool, Books, BooksError, Entry, FindId, Kind, Memo, Quantity, SupplyId};

/// The accounts that make up what a buyer paid for goods and shipping and still has not got back.
const PAID_BY_BUYER: [Account; 3] = [Account::Sales, Account::ShippingCharged, Account::Refunds];

/// What an entry adds to what its buyer has paid, refunds taken off.
pub(crate) fn paid_by_buyer(entry: &Entry) -> Money {
    PAID_BY_BUYER.into_iter().map(|account| -entry.net(account)).sum()
}

impl Books {
    pub(crate) fn check_correction(&self, entry: &Entry) -> Result<(), BooksError> {
        let Some(id) = entry.corrects() else { return Ok(()) };
        let of = self.entry(id)?;
        if of.corrects().is_some() || self.corrected.contains_key(&id) {
            return Err(BooksError::CorrectedAlready { id });
        }
        if entry.takes_back(of) { Ok(()) } else { Err(BooksError::NotTheReverse { id }) }
    }

    pub(crate) fn check_haul(&self, entry: &Entry) -> Result<(), BooksError> {
        let kind = entry.kind();
        if !matches!(kind, Kind::HaulBought | Kind::HaulAdjusted) {
            return entry.about().haul.map_or(Ok(()), |haul| self.haul(haul).map(|_| ()));
        }
        let id = entry.about().haul.ok_or(BooksError::Lacks { kind, needs: "the haul it is about" })?;
        let haul = self.haul(id)?;
        let entered = self.is_entered(id);
        if kind == Kind::HaulAdjusted {
            let needs = "a haul of which a piece has left the shelf; before that, correct its purchase";
            return if self.is_frozen(id) { Ok(()) } else { Err(BooksError::Lacks { kind, needs }) };
        }
        if entry.corrects().is_some() {
            return if self.is_frozen(id) { Err(BooksError::Frozen { haul: id }) } else { Ok(()) };
        }
        if entered {
            return Err(BooksError::Twice { what: "haul", number: id.0 });
        }
        if self.superseded.contains(&entry.id()) {
            return Ok(());
        }
        if entry.date() < haul.record().date {
            return Err(BooksError::Lacks {
                kind,
                needs: "the date on which the haul was bought, or a later one",
            });
        }
        for (posted, right) in
            [(entry.net(Account::Goods), haul.cost()), (entry.freight_in(), haul.record().freight_in)]
        {
            if posted != right {
                return Err(BooksError::Mismatch { kind, account: Account::Goods, posted, right });
            }
        }
        Ok(())
    }

    /// Pieces must be where they are taken from, and amounts must be what they carry.
    pub(crate) fn check_moves(&self, entry: &Entry) -> Result<(), BooksError> {
        let carries = |account| Fate::ALL.iter().any(|fate| fate.account() == account);
        if entry.moves().is_empty()
            && entry.recosts().is_empty()
            && !entry.lines().iter().any(|line| carries(line.account))
        {
            return Ok(());
        }
        let more = self.check_recosts(entry)?;
        let mut carried: BTreeMap<Fate, Money> = BTreeMap::new();
        let mut moved: BTreeMap<FindId, Vec<u32>> = BTreeMap::new();
        for step in entry.moves() {
            let stock = self.find(step.find)?;
            if !self.is_entered(stock.haul) {
                return Err(BooksError::NoHaul { haul: stock.haul });
            }
            let all = moved.entry(step.find).or_default();
            all.extend(&step.pieces);
            self.pieces(step.find, all)?;
            for &piece in &step.pieces {
                stock.check(piece, step, entry)?;
                let cost = stock.state(piece).map_or(Money::ZERO, |state| state.cost);
                let cost = cost + more.get(&(step.find, piece)).copied().unwrap_or_default();
                *carried.entry(step.to).or_default() += cost;
                *carried.entry(step.from).or_default() += -cost;
            }
        }
        let kind = entry.kind();
        for fate in Fate::ALL {
            let by_itself = match fate {
                Fate::OnHand => kind == Kind::HaulBought,
                Fate::Sold => kind == Kind::HaulAdjusted,
                Fate::Broken | Fate::GivenAway | Fate::Personal => false,
            };
            let account = fate.account();
            let (posted, right) = (entry.net(account), carried.get(&fate).copied().unwrap_or_default());
            if !by_itself && posted != right {
                return Err(BooksError::Mismatch { kind, account, posted, right });
            }
        }
        Ok(())
    }

    pub(crate) fn check_refund(&self, entry: &Entry) -> Result<(), BooksError> {
        let kind = entry.kind();
        if !matches!(kind, Kind::OrderPaid | Kind::Refund) {
            return Ok(());
        }
        let order = entry.about().order.ok_or(BooksError::Lacks { kind, needs: "the order it is about" })?;
        let change = paid_by_buyer(entry);
        let left = self.left_to_refund(order);
        if left + change < Money::ZERO {
            return Err(BooksError::RefundAbovePaid { order, asked: -change, left });
        }
        Ok(())
    }

    /// Checks and changes the supplies; the last step that can refuse.
    /// The supplies that an entry changes, as they are after it.
    pub(crate) fn supplies_after(
        &self,
        entry: &Entry,
    ) -> Result<BTreeMap<SupplyId, AveragePool>, BooksError> {
        let kind = entry.kind();
        let mut after = BTreeMap::new();
        if !matches!(kind, Kind::SuppliesBought | Kind::SuppliesUsed) {
            return Ok(after);
        }
        let bought = kind == Kind::SuppliesBought;
        for memo in entry.memos() {
            let Memo::Supply(supply, quantity) = memo else { continue };
            let (supply, quantity) = (*supply, *quantity);
            let mut pool = after.get(&supply).copied().unwrap_or_else(|| self.supply(supply));
            let change = entry.net(Account::SuppliesOnHand);
            match (bought, entry.corrects().is_some()) {
                (true, false) | (false, true) => pool.add(quantity, change)?,
                (true, true) => pool.take_at(quantity, -change)?,
                (false, false) => {
                    let right = pool.take(quantity).map_err(|_| self.short(supply, quantity))?;
                    if right != -change {
                        let account = Account::SuppliesOnHand;
                        return Err(BooksError::Mismatch { kind, account, posted: change, right: -right });
                    }
                }
            }
            after.insert(supply, pool);
        }
        Ok(after)
    }

    pub(crate) fn short(&self, supply: SupplyId, asked: Quantity) -> BooksError {
        let on_hand = self.supply(supply).on_hand().in_units();
        BooksError::SuppliesShort { supply, asked: asked.in_units(), on_hand }
    }
}
