//! The books: hauls, entries in the order they were made, and where every piece and supply is because of them.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use measure::Money;

use crate::checks::paid_by_buyer;
use crate::piece::Fate;
use crate::stock::{FindStock, PieceState};
use crate::undo::{Change, Journal};
use crate::{
    Account, AveragePool, BooksError, Entry, EntryId, FindBasis, FindId, Haul, HaulId, Kind, OrderId,
    Quantity, SupplyId,
};

/// All records of one person's trade, checked against each other as they come in.
///
/// Each entry is checked before it is taken: pieces must be where it takes them from, its amounts must be what
/// those pieces carry, supplies must be on hand at the cost stated, a correction must take back exactly what it
/// corrects. An entry that is refused leaves the books as they were.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Books {
    pub(crate) hauls: BTreeMap<HaulId, Haul>,
    pub(crate) bought: BTreeMap<HaulId, Option<Date>>,
    pub(crate) finds: BTreeMap<FindId, FindStock>,
    pub(crate) supplies: BTreeMap<SupplyId, AveragePool>,
    pub(crate) entries: Vec<Entry>,
    pub(crate) corrected: BTreeMap<EntryId, EntryId>,
    pub(crate) paid: BTreeMap<OrderId, Money>,
    pub(crate) superseded: BTreeSet<EntryId>,
    pub(crate) journal: Journal,
}

impl Books {
    /// Books made from records: hauls in any order, entries by rising number.
    ///
    /// # Errors
    /// The first record that doesn't fit those before it.
    pub fn replay(
        hauls: impl IntoIterator<Item = Haul>,
        entries: impl IntoIterator<Item = Entry>,
    ) -> Result<Self, BooksError> {
        let entries: Vec<Entry> = entries.into_iter().collect();
        // A purchase that was taken back later may state another cost than the haul as it is known now.
        let superseded = entries.iter().filter_map(Entry::corrects).collect();
        let mut books = Self { superseded, entries: Vec::with_capacity(entries.len()), ..Self::default() };
        for haul in hauls {
            books.add_haul(haul)?;
        }
        for entry in entries {
            books.post(entry)?;
        }
        books.superseded.clear();
        Ok(books)
    }

    /// Adds a haul. Its pieces can move once the entry of its purchase is made.
    ///
    /// # Errors
    /// When its number or that of a find is taken.
    pub fn add_haul(&mut self, haul: Haul) -> Result<(), BooksError> {
        let id = haul.id();
        if self.hauls.contains_key(&id) {
            return Err(BooksError::Twice { what: "haul", number: id.0 });
        }
        if let Some(basis) = haul.finds().iter().find(|basis| self.finds.contains_key(&basis.find().id)) {
            return Err(BooksError::Twice { what: "find", number: basis.find().id.0 });
        }
        self.note_change(|_| Change::HaulAdded(id));
        self.take_in(haul);
        self.bought.insert(id, None);
        Ok(())
    }

    /// Replaces a haul by one with other finds or another split. Its cost must stay what was entered; to change
    /// that, take the entry of its purchase back first and enter it anew afterwards.
    ///
    /// # Errors
    /// When it isn't known, a piece of it has ever left the shelf, its cost differs from what was entered, or a
    /// find's number is taken by another haul.
    pub fn split_anew(&mut self, haul: Haul) -> Result<(), BooksError> {
        let id = haul.id();
        let before = self.haul(id)?.clone();
        if self.is_frozen(id) {
            return Err(BooksError::Frozen { haul: id });
        }
        let entered = self.is_entered(id);
        let same_money = before.cost() == haul.cost()
            && before.record().freight_in == haul.record().freight_in
            && before.record().date == haul.record().date;
        if entered && !same_money {
            return Err(BooksError::Mismatch {
                kind: Kind::HaulBought,
                account: Account::Goods,
                posted: before.cost(),
                right: haul.cost(),
            });
        }
        let taken =
            |basis: &&FindBasis| self.finds.get(&basis.find().id).is_some_and(|stock| stock.haul != id);
        if let Some(basis) = haul.finds().iter().find(taken) {
            return Err(BooksError::Twice { what: "find", number: basis.find().id.0 });
        }
        let told = self.find_ids(id);
        self.note_change(|books| {
            let stock = |find: &FindId| Some((*find, books.finds.get(find)?.clone()));
            Change::SplitAnew(before, told.iter().filter_map(stock).collect())
        });
        self.finds.retain(|_, stock| stock.haul != id);
        self.take_in(haul);
        Ok(())
    }

    fn take_in(&mut self, haul: Haul) {
        for &basis in haul.finds() {
            let since = haul.record().date;
            let at = |number| PieceState { fate: Fate::OnHand, since, sale: None, cost: basis.piece(number) };
            let pieces = (1..=basis.pieces()).map(at).collect();
            let stock = FindStock { haul: haul.id(), basis, pieces, has_moved: false };
            self.finds.insert(basis.find().id, stock);
        }
        self.hauls.insert(haul.id(), haul);
    }

    /// A haul.
    ///
    /// # Errors
    /// When it isn't in the books.
    pub fn haul(&self, haul: HaulId) -> Result<&Haul, BooksError> {
        self.hauls.get(&haul).ok_or(BooksError::NoHaul { haul })
    }

    /// All hauls by number.
    pub fn hauls(&self) -> impl DoubleEndedIterator<Item = &Haul> {
        self.hauls.values()
    }

    /// Tells what the place of a haul is called now. No figure depends on it, and no mark takes it back.
    ///
    /// # Errors
    /// When the haul isn't in the books.
    pub fn call_place(&mut self, haul: HaulId, place: &str) -> Result<(), BooksError> {
        self.hauls.get_mut(&haul).ok_or(BooksError::NoHaul { haul })?.call_place(place);
        Ok(())
    }

    /// The haul a find came with.
    ///
    /// # Errors
    /// When the find isn't in the books.
    pub fn haul_of(&self, find: FindId) -> Result<&Haul, BooksError> {
        self.haul(self.find(find)?.haul)
    }

    /// What a find carries.
    ///
    /// # Errors
    /// When the find isn't in the books.
    pub fn basis_of(&self, find: FindId) -> Result<&FindBasis, BooksError> {
        Ok(&self.find(find)?.basis)
    }

    /// Whether the purchase of a haul has been entered, and not taken back.
    #[must_use]
    pub fn is_entered(&self, haul: HaulId) -> bool {
        self.entered_on(haul).is_some()
    }

    pub(crate) fn entered_on(&self, haul: HaulId) -> Option<Date> {
        self.bought.get(&haul).copied().flatten()
    }

    /// Whether the basis of a haul stands for good since a piece of it has left the shelf, be it that it came
    /// back since.
    #[must_use]
    pub fn is_frozen(&self, haul: HaulId) -> bool {
        self.find_ids(haul).iter().any(|find| self.finds.get(find).is_some_and(|stock| stock.has_moved))
    }

    /// All entries in the order they were made.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// An entry.
    ///
    /// # Errors
    /// When it isn't in the books.
    pub fn entry(&self, id: EntryId) -> Result<&Entry, BooksError> {
        // Their numbers rise.
        let at = self.entries.binary_search_by_key(&id, Entry::id);
        at.ok().and_then(|at| self.entries.get(at)).ok_or(BooksError::NoEntry { id })
    }

    /// The entry that takes back another, if there is one.
    #[must_use]
    pub fn correction_of(&self, id: EntryId) -> Option<EntryId> {
        self.corrected.get(&id).copied()
    }

    /// A number for the next entry.
    #[must_use]
    pub fn next_entry(&self) -> EntryId {
        EntryId(self.entries.last().map_or(1, |last| last.id().0.saturating_add(1)))
    }

    /// A supply on hand.
    #[must_use]
    pub fn supply(&self, supply: SupplyId) -> AveragePool {
        self.supplies.get(&supply).copied().unwrap_or_default()
    }

    /// What using a quantity of a supply costs now.
    ///
    /// # Errors
    /// When less is on hand.
    pub fn supply_cost(&self, supply: SupplyId, quantity: Quantity) -> Result<Money, BooksError> {
        self.supply(supply).quote(quantity).map_err(|_| self.short(supply, quantity))
    }

    /// Debits less credits of an account, from the entries of the days that `counts` lets through.
    pub fn net(&self, account: Account, counts: impl Fn(Date) -> bool) -> Money {
        self.entries.iter().filter(|entry| counts(entry.date())).map(|entry| entry.net(account)).sum()
    }

    /// Debits less credits of every account that moved, from the entries of the days that `counts` lets through.
    pub(crate) fn nets(&self, counts: impl Fn(Date) -> bool) -> BTreeMap<Account, Money> {
        let mut sums: BTreeMap<Account, Money> = BTreeMap::new();
        for entry in self.entries.iter().filter(|entry| counts(entry.date())) {
            for line in entry.lines() {
                *sums.entry(line.account).or_default() += line.signed();
            }
        }
        sums
    }

    /// What a buyer paid for an order for goods and shipping, less what was given back.
    #[must_use]
    pub fn left_to_refund(&self, order: OrderId) -> Money {
        self.paid.get(&order).copied().unwrap_or_default()
    }

    /// Takes an entry into the books.
    ///
    /// # Errors
    /// When it doesn't fit the records before it; the books are then unchanged.
    pub fn post(&mut self, entry: Entry) -> Result<(), BooksError> {
        if let Some(last) = self.entries.last()
            && entry.id() <= last.id()
        {
            return Err(BooksError::OutOfTurn { id: entry.id(), last: last.id() });
        }
        self.check_correction(&entry)?;
        self.check_haul(&entry)?;
        self.check_moves(&entry)?;
        self.check_refund(&entry)?;
        let pools = self.supplies_after(&entry)?;
        // From here on nothing is refused.
        self.note_change(|books| books.before(&entry));
        self.supplies.extend(pools);
        if let (Kind::HaulBought, Some(haul)) = (entry.kind(), entry.about().haul) {
            let entered = entry.corrects().is_none().then_some(entry.date());
            self.bought.insert(haul, entered);
            for find in self.find_ids(haul) {
                for state in self.finds.get_mut(&find).into_iter().flat_map(|stock| &mut stock.pieces) {
                    state.since = entry.date();
                }
            }
        }
        if let Some(order) = entry.about().order {
            *self.paid.entry(order).or_default() += paid_by_buyer(&entry);
        }
        self.recost(&entry);
        for step in entry.moves() {
            if let Some(stock) = self.finds.get_mut(&step.find) {
                stock.apply(step, &entry);
            }
        }
        if let Some(of) = entry.corrects() {
            self.corrected.insert(of, entry.id());
        }
        self.entries.push(entry);
        Ok(())
    }

    pub(crate) fn find(&self, find: FindId) -> Result<&FindStock, BooksError> {
        self.finds.get(&find).ok_or(BooksError::NoFind { find })
    }
}
