//! Money as whole cents.

use std::ops::{Add, AddAssign, Mul, Neg, Sub};

/// An amount of money in whole cents; negative amounts are losses or debts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Money(i64);

impl Money {
    /// No money.
    pub const ZERO: Self = Self(0);

    /// From whole cents.
    #[must_use]
    pub const fn from_cents(cents: i64) -> Self {
        Self(cents)
    }

    /// In whole cents.
    #[must_use]
    pub const fn cents(self) -> i64 {
        self.0
    }

    /// In whole units of currency and their fractions, for expectations and statistics, which are not money.
    #[must_use]
    pub fn currency(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// An amount computed from a rate, rounded half away from zero to the nearest cent.
    ///
    /// `cents` is in cents and must be finite; amounts past the range of `i64` saturate.
    #[must_use]
    pub fn from_cents_rounded(cents: f64) -> Self {
        // `as` saturates, which is the documented behaviour.
        Self(cents.round() as i64)
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}
impl Mul<i64> for Money {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count))
    }
}
impl std::iter::Sum for Money {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::ZERO, Add::add)
    }
}
