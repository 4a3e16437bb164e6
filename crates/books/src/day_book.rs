//! What was earned day by day, and which entries belong to an order: read on as entries are made, so that a report
//! of a month costs no walk through all years.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::report::pieces_sent;
use crate::{Books, Earned, EntryId, Key, OrderId};

/// The entries of books by day and by order, as far as they were read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DayBook {
    read: usize,
    last: Option<EntryId>,
    days: BTreeMap<Date, Earned>,
    orders: BTreeMap<OrderId, Vec<usize>>,
}

impl DayBook {
    /// Takes in the entries that were made since it was last read on. Entries are never changed, only added; where
    /// the books are others than before, it begins anew.
    pub fn read_on(&mut self, books: &Books) {
        let entries = books.entries();
        let known = self.read.checked_sub(1).and_then(|at| entries.get(at)).map(|entry| entry.id());
        if known != self.last {
            *self = Self::default();
        }
        for (at, entry) in entries.iter().enumerate().skip(self.read) {
            let day = self.days.entry(entry.date()).or_default();
            for line in entry.lines() {
                day.add(line.account, line.signed());
            }
            day.pieces += entry.moves().iter().map(pieces_sent).sum::<i64>();
            if let Some(order) = entry.about().order {
                self.orders.entry(order).or_default().push(at);
            }
        }
        (self.read, self.last) = (entries.len(), entries.last().map(|entry| entry.id()));
    }

    /// Whether it holds entries that the books don't have yet: those of a moment before it was read on.
    #[must_use]
    pub fn is_past(&self, books: &Books) -> bool {
        self.read > books.entries().len()
    }

    /// The last day that an entry is dated.
    #[must_use]
    pub fn last_day(&self) -> Option<Date> {
        self.days.last_key_value().map(|(day, _)| *day)
    }

    /// What [`report`](crate::report) has by month or year: the rows of `key`, from `from` to `to`, both counted.
    /// `minutes` of work are told by day.
    #[must_use]
    pub fn rows(
        &self,
        key: impl Fn(Date) -> Key,
        minutes: &BTreeMap<Date, u64>,
        from: Date,
        to: Date,
    ) -> BTreeMap<Key, Earned> {
        let mut rows: BTreeMap<Key, Earned> = BTreeMap::new();
        if from > to {
            return rows;
        }
        for (day, earned) in self.days.range(from..=to) {
            rows.entry(key(*day)).or_default().take_in(earned);
        }
        for (day, minutes) in minutes.range(from..=to) {
            let row = rows.entry(key(*day)).or_default();
            row.minutes = row.minutes.saturating_add(*minutes);
        }
        rows.retain(|_, row| *row != Earned::default());
        rows
    }

    /// What one order came to, as [`of_order`](crate::of_order) reckons it.
    #[must_use]
    pub fn of_order(&self, books: &Books, order: OrderId, minutes: u64) -> Earned {
        let mut earned = Earned { minutes, ..Earned::default() };
        let entries = self.orders.get(&order).into_iter().flatten().filter_map(|at| books.entries().get(*at));
        for entry in entries {
            for line in entry.lines() {
                earned.add(line.account, line.signed());
            }
            earned.pieces += entry.moves().iter().map(pieces_sent).sum::<i64>();
        }
        earned
    }
}

impl Earned {
    /// Adds what another row earned.
    pub fn take_in(&mut self, other: &Self) {
        self.pieces += other.pieces;
        self.items += other.items;
        self.shipping += other.shipping;
        self.refunds += other.refunds;
        self.other_income += other.other_income;
        self.fees += other.fees;
        self.advertising += other.advertising;
        self.postage += other.postage;
        self.materials += other.materials;
        self.basis += other.basis;
        self.losses += other.losses;
        self.other += other.other;
        self.minutes = self.minutes.saturating_add(other.minutes);
    }
}
