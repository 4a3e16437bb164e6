//! What orders, lots, finds, hauls, shops, months and years earned.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use measure::Money;

use crate::allocate::{allocate, divide_half_up, i64_of};
use crate::piece::Fate;
use crate::{Account, Books, BooksError, Entry, FindId, HaulId, Line, LotId, Move, OrderId, Part};

/// By what a report is grouped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum By {
    /// By order.
    Order,
    /// By lot.
    Lot,
    /// By find.
    Find,
    /// By haul.
    Haul,
    /// By shop or place of purchase.
    Place,
    /// By month.
    Month,
    /// By year.
    Year,
}

/// What a row of a report is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Key {
    /// An order.
    Order(OrderId),
    /// A lot.
    Lot(LotId),
    /// A find.
    Find(FindId),
    /// A haul.
    Haul(HaulId),
    /// A shop or place of purchase.
    Place(String),
    /// A year and month, from 1.
    Month(i16, i8),
    /// A year.
    Year(i16),
    /// What belongs to none of them: subscriptions, insurance, supplies used at large.
    Rest,
}

/// Work done, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work {
    /// The day.
    pub date: Date,
    /// Minutes.
    pub minutes: u32,
    /// The order it was for, if for one.
    pub order: Option<OrderId>,
    /// The lot or find it was for, if for one.
    pub part: Part,
    /// The haul it was for, if for one.
    pub haul: Option<HaulId>,
}

/// What something earned. Costs are positive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Earned {
    /// Pieces sent, less those returned.
    pub pieces: i64,
    /// Item prices.
    pub items: Money,
    /// Shipping charged.
    pub shipping: Money,
    /// Given back to buyers.
    pub refunds: Money,
    /// Claims paid and other income.
    pub other_income: Money,
    /// Selling fees.
    pub fees: Money,
    /// Advertising.
    pub advertising: Money,
    /// Postage.
    pub postage: Money,
    /// Packing supplies used.
    pub materials: Money,
    /// Basis of what buyers have.
    pub basis: Money,
    /// Basis of what broke, was lost or was given away.
    pub losses: Money,
    /// Other expenses. Miles are not in it; they count once, on the year worksheet.
    pub other: Money,
    /// Minutes of work.
    pub minutes: u64,
}

impl Earned {
    /// Item prices and shipping, less refunds.
    #[must_use]
    pub fn revenue(&self) -> Money {
        self.items + self.shipping - self.refunds
    }

    /// What is left of revenue and other income after all costs.
    #[must_use]
    pub fn net(&self) -> Money {
        let costs =
            [self.fees, self.advertising, self.postage, self.materials, self.basis, self.losses, self.other];
        self.revenue() + self.other_income - costs.into_iter().sum::<Money>()
    }

    /// Net for an hour of work, rounded half up; none where no work is recorded.
    #[must_use]
    pub fn net_per_hour(&self) -> Option<Money> {
        let minutes = i128::from(self.minutes);
        (minutes > 0)
            .then(|| Money::from_cents(i64_of(divide_half_up(i128::from(self.net().cents()) * 60, minutes))))
    }

    pub(crate) fn add(&mut self, account: Account, debit: Money) {
        match account {
            Account::Sales => self.items += -debit,
            Account::ShippingCharged => self.shipping += -debit,
            Account::Refunds => self.refunds += debit,
            Account::ClaimsIncome | Account::OtherIncome => self.other_income += -debit,
            Account::Fees => self.fees += debit,
            Account::Advertising => self.advertising += debit,
            Account::Postage => self.postage += debit,
            Account::SuppliesUsed => self.materials += debit,
            Account::CostOfGoods => self.basis += debit,
            Account::DamageLoss | Account::GivenAway => self.losses += debit,
            Account::Insurance
            | Account::ParkingAndTolls
            | Account::OfficeExpense
            | Account::TaxesAndLicences
            | Account::OtherExpense => self.other += debit,
            Account::Cash
            | Account::PlatformBalance
            | Account::Card
            | Account::Goods
            | Account::SuppliesOnHand
            | Account::Equipment
            | Account::SalesTaxHeld
            | Account::OwnerPutIn
            | Account::OwnerTookOut
            | Account::PersonalWithdrawals => {}
        }
    }
}

/// Groups what was earned from `from` to `to`, both days counted.
///
/// What belongs to an order and to none of its lots (shipping, fees, postage, packing) is shared over the lots by
/// item price, to the cent; so the rows of every grouping add up to the same total.
///
/// # Errors
/// When an entry names a find or haul that isn't in the books.
pub fn report(
    books: &Books,
    work: &[Work],
    by: By,
    from: Date,
    to: Date,
) -> Result<BTreeMap<Key, Earned>, BooksError> {
    let mut rows: BTreeMap<Key, Earned> = BTreeMap::new();
    let counts = |date: Date| (from..=to).contains(&date);
    let shares = match by {
        By::Order | By::Month | By::Year => OrderShares::default(),
        By::Lot | By::Find | By::Haul | By::Place => {
            let entries = books.entries().iter().filter(|entry| counts(entry.date()));
            let works = work.iter().filter(|work| counts(work.date)).filter_map(|work| work.order);
            OrderShares::of(books, &entries.filter_map(|entry| entry.about().order).chain(works).collect())
        }
    };
    for entry in books.entries().iter().filter(|entry| counts(entry.date())) {
        for line in entry.lines() {
            let place = Place { date: entry.date(), order: entry.about().order, haul: entry.about().haul };
            for (key, amount) in spread_line(books, &shares, by, place, line)? {
                rows.entry(key).or_default().add(line.account, amount);
            }
        }
        for step in entry.moves() {
            let key = key_of_move(books, by, entry, step)?;
            rows.entry(key).or_default().pieces += pieces_sent(step);
        }
    }
    for work in work.iter().filter(|work| counts(work.date)) {
        let minutes = Money::from_cents(i64::from(work.minutes));
        let place = Place { date: work.date, order: work.order, haul: work.haul };
        for (key, share) in spread(books, &shares, by, place, work.part, minutes)? {
            let minutes = u64::try_from(share.cents()).unwrap_or(0);
            let row = rows.entry(key).or_default();
            row.minutes = row.minutes.saturating_add(minutes);
        }
    }
    rows.retain(|_, row| *row != Earned::default());
    Ok(rows)
}

/// What one order came to, all days counted: the row that [`report`] has for it. `minutes` of work are told.
#[must_use]
pub fn of_order(books: &Books, order: OrderId, minutes: u64) -> Earned {
    let mut earned = Earned { minutes, ..Earned::default() };
    for entry in books.entries().iter().filter(|entry| entry.about().order == Some(order)) {
        for line in entry.lines() {
            earned.add(line.account, line.signed());
        }
        earned.pieces += entry.moves().iter().map(pieces_sent).sum::<i64>();
    }
    earned
}

#[derive(Clone, Copy)]
struct Place {
    date: Date,
    order: Option<OrderId>,
    haul: Option<HaulId>,
}

/// The lots of orders with their item prices.
#[derive(Default)]
struct OrderShares(BTreeMap<OrderId, BTreeMap<Part, i64>>);

impl OrderShares {
    /// Those of some orders: an order is often paid on other days than those that are looked at.
    fn of(books: &Books, wanted: &BTreeSet<OrderId>) -> Self {
        let mut orders: BTreeMap<OrderId, BTreeMap<Part, i64>> = BTreeMap::new();
        for entry in books.entries() {
            let Some(order) = entry.about().order.filter(|order| wanted.contains(order)) else { continue };
            let parts = orders.entry(order).or_default();
            for line in entry.lines().iter().filter(|line| line.account == Account::Sales) {
                let price = parts.entry(line.part).or_default();
                *price = price.saturating_sub(line.signed().cents());
            }
        }
        Self(orders)
    }

    /// Shares an amount over the lots of an order; the parts add up to it.
    fn share(&self, order: Option<OrderId>, amount: Money) -> Result<Vec<(Part, Money)>, BooksError> {
        let whole = vec![(Part::default(), amount)];
        let Some(parts) = order.and_then(|order| self.0.get(&order)) else { return Ok(whole) };
        let weights: Vec<i64> = parts.values().map(|&price| price.max(0)).collect();
        if weights.iter().all(|&weight| weight == 0) {
            return Ok(whole);
        }
        let size = if amount < Money::ZERO { -amount } else { amount };
        let shared = allocate(size, &weights)?;
        let signed = |share: Money| if amount < Money::ZERO { -share } else { share };
        Ok(parts.keys().copied().zip(shared.into_iter().map(signed)).collect())
    }
}

fn spread_line(
    books: &Books,
    shares: &OrderShares,
    by: By,
    place: Place,
    line: &Line,
) -> Result<Vec<(Key, Money)>, BooksError> {
    spread(books, shares, by, place, line.part, line.signed())
}

/// The rows that an amount goes to, with the share of each.
fn spread(
    books: &Books,
    shares: &OrderShares,
    by: By,
    place: Place,
    part: Part,
    amount: Money,
) -> Result<Vec<(Key, Money)>, BooksError> {
    let lacks_part = match by {
        By::Order | By::Month | By::Year => false,
        By::Lot => part.lot.is_none(),
        By::Find => part.find.is_none(),
        By::Haul | By::Place => part.find.is_none() && place.haul.is_none(),
    };
    let parts = if lacks_part { shares.share(place.order, amount)? } else { vec![(part, amount)] };
    parts.into_iter().map(|(part, share)| Ok((key(books, by, place, part)?, share))).collect()
}

fn key(books: &Books, by: By, place: Place, part: Part) -> Result<Key, BooksError> {
    let haul = || match part.find {
        Some(find) => books.haul_of(find).map(|haul| Some(haul.id())),
        None => Ok(place.haul),
    };
    let found = match by {
        By::Order => place.order.map(Key::Order),
        By::Lot => part.lot.map(Key::Lot),
        By::Find => part.find.map(Key::Find),
        By::Haul => haul()?.map(Key::Haul),
        By::Place => match haul()? {
            Some(haul) => Some(Key::Place(books.haul(haul)?.record().place.clone())),
            None => None,
        },
        By::Month => Some(Key::Month(place.date.year(), place.date.month())),
        By::Year => Some(Key::Year(place.date.year())),
    };
    Ok(found.unwrap_or(Key::Rest))
}

fn key_of_move(books: &Books, by: By, entry: &Entry, step: &Move) -> Result<Key, BooksError> {
    let place = Place { date: entry.date(), order: entry.about().order, haul: None };
    key(books, by, place, Part { lot: step.lot, find: Some(step.find) })
}

pub(crate) fn pieces_sent(step: &Move) -> i64 {
    let count = i64::try_from(step.pieces.len()).unwrap_or(i64::MAX);
    let sold = |fate: Fate| i64::from(fate == Fate::Sold);
    count.saturating_mul(sold(step.to) - sold(step.from))
}
