//! What is typed at options: money, lengths, weights, pieces, purses.

use books::{FindId, Purse, Quantity};
use clap::ValueEnum;
use measure::{Length, LengthUnit, Mass, MassUnit, Money};
use shop::OutsideSize;

use crate::problems::Stop;

/// An amount, 0.00 or more.
pub fn money(option: &str, text: &str) -> Result<Money, Stop> {
    let amount = Money::read(text).map_err(|e| Stop::Input(format!("{option}: {e}")))?;
    if amount < Money::ZERO {
        return Err(Stop::Input(format!("{option}: {amount} is below zero; right would be 0.00 or more")));
    }
    Ok(amount)
}

/// An amount that may be left out.
pub fn money_opt(option: &str, text: Option<&String>) -> Result<Option<Money>, Stop> {
    text.map(|text| money(option, text)).transpose()
}

/// A weight; a bare number is ounces.
pub fn mass(option: &str, text: &str) -> Result<Mass, Stop> {
    Mass::read_positive(text, Some(MassUnit::Ounces)).map_err(|e| Stop::Input(format!("{option}: {e}")))
}

/// A length; a bare number is inches.
pub fn length(option: &str, text: &str) -> Result<Length, Stop> {
    Length::read_positive(text, Some(LengthUnit::Inches)).map_err(|e| Stop::Input(format!("{option}: {e}")))
}

/// Three sides; a unit after the last serves all three, and bare numbers are inches.
pub fn outside(option: &str, text: &str) -> Result<OutsideSize, Stop> {
    keeping::outside_size(text).map_err(|why| Stop::Input(format!("{option}: {why}")))
}

/// Units of a supply: a figure above 0.
pub fn quantity(option: &str, units: f64) -> Result<Quantity, Stop> {
    Quantity::units(units).map_err(|e| Stop::Input(format!("{option}: {e}")))
}

/// Miles in hundredths.
pub fn miles(option: &str, miles: f64) -> Result<u32, Stop> {
    books::Miles::new(miles).map(books::Miles::hundredths).map_err(|e| Stop::Input(format!("{option}: {e}")))
}

/// Pieces of a find, such as "3:1,2" (pieces 1 and 2 of find 3) or "3:4-6".
pub fn pieces(option: &str, text: &str) -> Result<(FindId, Vec<u32>), Stop> {
    keeping::pieces_told(text).map_err(|why| Stop::Input(format!("{option}: {why}")))
}

/// "2 of 3": a count and the number of a record. "3" alone is one of it.
pub fn count_of(option: &str, text: &str, what: &str) -> Result<(u32, u64), Stop> {
    let (count, number) = text.split_once(" of ").unwrap_or(("1", text));
    let number = number.trim().trim_start_matches("find ").trim_start_matches("listing ");
    match (count.trim().parse(), number.trim().parse()) {
        (Ok(count), Ok(number)) if count > 0 => Ok((count, number)),
        (Ok(_) | Err(_), Ok(_) | Err(_)) => Err(Stop::Input(format!(
            "{option}: \"{text}\" can't be read; right would be \"2 of 3\", so many of {what} 3"
        ))),
    }
}

/// What pays or receives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PurseWord {
    /// Cash or the bank account of the business
    Cash,
    /// The balance a venue holds
    Balance,
    /// The card
    Card,
    /// Your private money
    OwnPocket,
}

impl PurseWord {
    /// The purse of the books.
    pub const fn purse(self) -> Purse {
        match self {
            Self::Cash => Purse::Cash,
            Self::Balance => Purse::Platform,
            Self::Card => Purse::Card,
            Self::OwnPocket => Purse::OwnPocket,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_of_a_record_is_read_with_and_without_its_word() {
        assert_eq!(count_of("--holds", "4 of 1", "find").unwrap(), (4, 1));
        assert_eq!(count_of("--holds", "4 of find 1", "find").unwrap(), (4, 1));
        assert_eq!(count_of("--lots", "7", "listing").unwrap(), (1, 7));
        for wrong in ["", "0 of 1", "of 1", "-1 of 2", "1 of x"] {
            assert!(count_of("--lots", wrong, "listing").is_err(), "{wrong}");
        }
    }
}
