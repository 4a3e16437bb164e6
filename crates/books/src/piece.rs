//! Pieces and what became of them.

use std::fmt;

use measure::Money;

use crate::{Account, FindId, LotId};

/// Where a piece is, or what became of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// On the shelf, listed or not, paid for or not.
    OnHand,
    /// With a buyer.
    Sold,
    /// Broken or lost.
    Broken,
    /// Given away.
    GivenAway,
    /// Taken for oneself.
    Personal,
}

impl Fate {
    /// Every fate.
    pub const ALL: [Self; 5] = [Self::OnHand, Self::Sold, Self::Broken, Self::GivenAway, Self::Personal];

    /// Its name in a listing, and the word a store keeps.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::OnHand => "on hand",
            Self::Sold => "sold",
            Self::Broken => "broken or lost",
            Self::GivenAway => "given away",
            Self::Personal => "taken for oneself",
        }
    }

    /// The fate of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fate| fate.name() == name)
    }

    /// The account that carries the basis of such pieces.
    #[must_use]
    pub const fn account(self) -> Account {
        match self {
            Self::OnHand => Account::Goods,
            Self::Sold => Account::CostOfGoods,
            Self::Broken => Account::DamageLoss,
            Self::GivenAway => Account::GivenAway,
            Self::Personal => Account::PersonalWithdrawals,
        }
    }
}

impl fmt::Display for Fate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Which pieces of a find are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Soundness {
    /// The sound ones.
    Sound,
    /// The flawed ones.
    Flawed,
    /// Any, the sound ones first.
    Any,
}

/// Certain pieces of one find, with what they carry. The books hand them out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pieces {
    pub(crate) find: FindId,
    pub(crate) numbers: Vec<u32>,
    pub(crate) basis: Money,
}

impl Pieces {
    /// Their find.
    #[must_use]
    pub fn find(&self) -> FindId {
        self.find
    }

    /// Their numbers, from 1, rising.
    #[must_use]
    pub fn numbers(&self) -> &[u32] {
        &self.numbers
    }

    /// What they carry together.
    #[must_use]
    pub fn basis(&self) -> Money {
        self.basis
    }
}

/// Pieces that go from one fate to another with an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// Their find.
    pub find: FindId,
    /// The lot they belong to, if any.
    pub lot: Option<LotId>,
    /// Their numbers, from 1.
    pub pieces: Vec<u32>,
    /// Where they were.
    pub from: Fate,
    /// Where they are now.
    pub to: Fate,
}

impl Move {
    pub(crate) fn reversed(&self) -> Self {
        Self { from: self.to, to: self.from, ..self.clone() }
    }
}
