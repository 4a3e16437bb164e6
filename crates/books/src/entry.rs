//! A balanced entry, and the draft that becomes one.

use jiff::civil::Date;
use measure::{LARGEST_MONEY, Money};

use crate::{
    Account, BooksError, EntryId, FindId, HaulId, Kind, LotId, Move, OrderId, Quantity, Recost, Side,
    SupplyId, Trip, TripUse,
};

/// The number and date of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Voucher {
    /// Its number, larger than any before.
    pub id: EntryId,
    /// The day money or goods moved.
    pub date: Date,
}

/// The lot and find a line belongs to, as far as it does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Part {
    /// The lot.
    pub lot: Option<LotId>,
    /// The find.
    pub find: Option<FindId>,
}

/// One line of an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// The account.
    pub account: Account,
    /// The side.
    pub side: Side,
    /// The amount, above 0.00.
    pub amount: Money,
    /// What it belongs to.
    pub part: Part,
}

impl Line {
    /// The amount, positive for a debit.
    #[must_use]
    pub fn signed(&self) -> Money {
        match self.side {
            Side::Debit => self.amount,
            Side::Credit => -self.amount,
        }
    }
}

/// What is remembered with an entry and isn't money of the person's, or is a part of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Memo {
    /// Sales tax that the venue collected and remits; never income.
    SalesTax(Money),
    /// The part of a haul's cost that is freight.
    FreightIn(Money),
    /// A trip.
    Trip(Trip),
    /// How much of a supply was bought or used.
    Supply(SupplyId, Quantity),
    /// What like pieces carry, told anew because some of them go.
    Recosted(Vec<Recost>),
}

/// What an entry is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct About {
    /// An order.
    pub order: Option<OrderId>,
    /// A haul.
    pub haul: Option<HaulId>,
}

/// An entry: it balances, each line stands on a side that its kind allows, and it never changes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    draft: EntryDraft,
}

/// An entry in the making; a store reads its rows back through one too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryDraft {
    voucher: Voucher,
    kind: Kind,
    about: About,
    lines: Vec<Line>,
    moves: Vec<Move>,
    memos: Vec<Memo>,
    corrects: Option<EntryId>,
    note: String,
}

impl EntryDraft {
    /// An entry with nothing in it yet.
    #[must_use]
    pub fn new(voucher: Voucher, kind: Kind) -> Self {
        Self {
            voucher,
            kind,
            about: About::default(),
            lines: Vec::new(),
            moves: Vec::new(),
            memos: Vec::new(),
            corrects: None,
            note: String::new(),
        }
    }

    /// What it is about.
    #[must_use]
    pub fn about(mut self, about: About) -> Self {
        self.about = about;
        self
    }

    /// One more line.
    #[must_use]
    pub fn line(mut self, line: Line) -> Self {
        self.lines.push(line);
        self
    }

    /// One more debit.
    #[must_use]
    pub fn debit(self, account: Account, amount: Money) -> Self {
        self.line(Line { account, side: Side::Debit, amount, part: Part::default() })
    }

    /// One more credit.
    #[must_use]
    pub fn credit(self, account: Account, amount: Money) -> Self {
        self.line(Line { account, side: Side::Credit, amount, part: Part::default() })
    }

    /// A line, unless there is no amount.
    pub(crate) fn line_if_any(self, account: Account, side: Side, amount: Money, part: Part) -> Self {
        if amount == Money::ZERO { self } else { self.line(Line { account, side, amount, part }) }
    }

    /// Pieces that move with it.
    #[must_use]
    pub fn moving(mut self, pieces: Move) -> Self {
        self.moves.push(pieces);
        self
    }

    /// One more memo.
    #[must_use]
    pub fn memo(mut self, memo: Memo) -> Self {
        self.memos.push(memo);
        self
    }

    /// A note in one's own words.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// The entry it reverses.
    #[must_use]
    pub fn correcting(mut self, entry: EntryId) -> Self {
        self.corrects = Some(entry);
        self
    }

    /// The entry, if it is one.
    ///
    /// # Errors
    /// When it doesn't balance, a line has no amount or a negative one, stands on a side that its kind doesn't
    /// have, an account stands on both sides, a memo doesn't belong, or there is nothing in it.
    pub fn build(self) -> Result<Entry, BooksError> {
        let kind = self.kind;
        for line in &self.lines {
            if line.amount <= Money::ZERO || line.amount > LARGEST_MONEY {
                return Err(BooksError::Amount { kind, account: line.account, amount: line.amount });
            }
            let side = if self.corrects.is_some() { line.side.other() } else { line.side };
            if !kind.allows(line.account, side) {
                return Err(BooksError::WrongSide { kind, account: line.account, side: line.side });
            }
            if self.lines.iter().any(|other| other.account == line.account && other.side != line.side) {
                return Err(BooksError::BothSides { kind, account: line.account });
            }
        }
        let off: i128 = self.lines.iter().map(|line| i128::from(line.signed().cents())).sum();
        if off != 0 {
            return Err(BooksError::Unbalanced {
                kind,
                off: Money::from_cents(crate::allocate::i64_of(off)),
            });
        }
        for step in &self.moves {
            let (from, to) =
                if self.corrects.is_some() { (step.to, step.from) } else { (step.from, step.to) };
            if !kind.moves(from, to) {
                return Err(BooksError::WrongMove { kind, from: step.from, to: step.to });
            }
        }
        self.check_memos()?;
        let about_haul = matches!(kind, Kind::HaulBought) && self.about.haul.is_some();
        if self.lines.is_empty() && self.moves.is_empty() && self.memos.is_empty() && !about_haul {
            return Err(BooksError::Empty { kind });
        }
        Ok(Entry { draft: self })
    }

    fn check_memos(&self) -> Result<(), BooksError> {
        let kind = self.kind;
        for memo in &self.memos {
            let (belongs, needs) = match memo {
                Memo::SalesTax(tax) => (
                    matches!(kind, Kind::OrderPaid | Kind::Refund)
                        && (Money::ZERO..=LARGEST_MONEY).contains(tax),
                    "a sales tax memo of 0.00 or more only where an order is paid or refunded",
                ),
                Memo::FreightIn(freight) => (
                    matches!(kind, Kind::HaulBought) && (Money::ZERO..=LARGEST_MONEY).contains(freight),
                    "a freight memo of 0.00 or more only where a haul is bought",
                ),
                Memo::Trip(trip) => (
                    matches!(kind, Kind::Mileage)
                        && (self.corrects.is_some() || trip.date == self.voucher.date),
                    "a trip of its own date, and only where it records mileage",
                ),
                Memo::Supply(..) => (
                    matches!(kind, Kind::SuppliesBought | Kind::SuppliesUsed),
                    "a quantity of a supply only where supplies are bought or used",
                ),
                Memo::Recosted(recosts) => (
                    matches!(kind, Kind::GoodsSent | Kind::Damage | Kind::Gift | Kind::PersonalWithdrawal)
                        && recosts.iter().map(|one| i128::from(one.by.cents())).sum::<i128>() == 0,
                    "costs told anew only where goods leave the shelf, and adding up to nothing",
                ),
            };
            if !belongs {
                return Err(BooksError::Lacks { kind, needs });
            }
        }
        let unnamed = |memo: &Memo| match memo {
            Memo::Trip(trip) => trip.counts == TripUse::Business && trip.purpose.trim().is_empty(),
            Memo::SalesTax(_) | Memo::FreightIn(_) | Memo::Supply(..) | Memo::Recosted(_) => false,
        };
        if self.memos.iter().any(unnamed) {
            return Err(BooksError::Lacks { kind, needs: "what the trip was for" });
        }
        let one = self.memos.len() == 1;
        if matches!(kind, Kind::Mileage) && !one {
            return Err(BooksError::Lacks { kind, needs: "one trip" });
        }
        if matches!(kind, Kind::SuppliesBought | Kind::SuppliesUsed) && !one {
            return Err(BooksError::Lacks { kind, needs: "the quantity of one supply" });
        }
        Ok(())
    }
}

impl Entry {
    /// Its number.
    #[must_use]
    pub fn id(&self) -> EntryId {
        self.draft.voucher.id
    }

    /// The day money or goods moved.
    #[must_use]
    pub fn date(&self) -> Date {
        self.draft.voucher.date
    }

    /// What it records.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.draft.kind
    }

    /// What it is about.
    #[must_use]
    pub fn about(&self) -> About {
        self.draft.about
    }

    /// Its lines.
    #[must_use]
    pub fn lines(&self) -> &[Line] {
        &self.draft.lines
    }

    /// Pieces that move with it.
    #[must_use]
    pub fn moves(&self) -> &[Move] {
        &self.draft.moves
    }

    /// Its memos. Those of a correction take back what they say.
    #[must_use]
    pub fn memos(&self) -> &[Memo] {
        &self.draft.memos
    }

    /// The entry it reverses, if it is a correction.
    #[must_use]
    pub fn corrects(&self) -> Option<EntryId> {
        self.draft.corrects
    }

    /// The note.
    #[must_use]
    pub fn note(&self) -> &str {
        &self.draft.note
    }

    /// Debits less credits of one account.
    #[must_use]
    pub fn net(&self, account: Account) -> Money {
        self.lines().iter().filter(|line| line.account == account).map(Line::signed).sum()
    }

    /// Sales tax remitted by the venue, negative in a correction.
    #[must_use]
    pub fn sales_tax(&self) -> Money {
        let tax = |memo: &Memo| match memo {
            Memo::SalesTax(tax) => *tax,
            Memo::FreightIn(_) | Memo::Trip(_) | Memo::Supply(..) | Memo::Recosted(_) => Money::ZERO,
        };
        self.memo_sum(tax)
    }

    /// The part of a haul's cost that is freight, negative in a correction.
    #[must_use]
    pub fn freight_in(&self) -> Money {
        let freight = |memo: &Memo| match memo {
            Memo::FreightIn(freight) => *freight,
            Memo::SalesTax(_) | Memo::Trip(_) | Memo::Supply(..) | Memo::Recosted(_) => Money::ZERO,
        };
        self.memo_sum(freight)
    }

    fn memo_sum(&self, of: impl Fn(&Memo) -> Money) -> Money {
        let sum: Money = self.memos().iter().map(of).sum();
        if self.corrects().is_some() { -sum } else { sum }
    }

    /// The entry that takes this one back. Both stay in the books; what is right is entered anew.
    ///
    /// # Errors
    /// When this is a correction itself, or the date is before it.
    pub fn reversed(&self, voucher: Voucher, note: impl Into<String>) -> Result<Self, BooksError> {
        if self.corrects().is_some() {
            return Err(BooksError::CorrectedAlready { id: self.id() });
        }
        if voucher.date < self.date() {
            return Err(BooksError::NotTheReverse { id: self.id() });
        }
        let mut draft = EntryDraft { voucher, note: note.into(), ..self.draft.clone() };
        draft.corrects = Some(self.id());
        draft.lines.iter_mut().for_each(|line| line.side = line.side.other());
        draft.moves = self.moves().iter().map(Move::reversed).collect();
        draft.build()
    }

    /// The same entry with the costs of like pieces told anew before its pieces go; itself where there are none.
    ///
    /// # Errors
    /// When goods don't leave the shelf with it, or the recosts don't add up to nothing.
    pub fn recosting(self, recosts: Vec<Recost>) -> Result<Self, BooksError> {
        if recosts.is_empty() { Ok(self) } else { self.draft.memo(Memo::Recosted(recosts)).build() }
    }

    /// Whether this takes back the other, line by line and piece by piece.
    #[must_use]
    pub fn takes_back(&self, other: &Self) -> bool {
        let voucher = self.draft.voucher;
        other.reversed(voucher, self.note()).is_ok_and(|reverse| &reverse == self)
    }
}
