//! Reading and writing money.

use std::fmt;

use crate::read::quoted;
use crate::{Money, ReadError};

/// The largest amount that is read, either way from zero: ten million.
pub const LARGEST_MONEY: Money = Money::from_cents(1_000_000_000);

const WHAT: &str = "amount of money";
const EXAMPLE: &str = "7.00";

impl Money {
    /// Reads an amount: `$7`, `7.00`, `7`, `1,234.50`, `-2.00`.
    ///
    /// Commas may part thousands; there are at most two decimals.
    ///
    /// # Errors
    /// When the text is empty, malformed, finer than a cent, or past [`LARGEST_MONEY`].
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let wrong = |reason| ReadError::Figure { what: WHAT, text: quoted(text), reason, example: EXAMPLE };
        let body = text.trim();
        if body.is_empty() {
            return Err(ReadError::Empty { what: WHAT, example: EXAMPLE });
        }
        let (negative, body) = take_sign(body);
        let body = body.strip_prefix('$').map_or(body, str::trim_start);
        let (negative, body) = if negative { (true, body) } else { take_sign(body) };
        let (whole, decimals) = body.split_once('.').unwrap_or((body, ""));
        if whole.is_empty() && decimals.is_empty() {
            return Err(wrong("a number was expected"));
        }
        if !decimals.bytes().all(|b| b.is_ascii_digit()) {
            return Err(wrong("only digits may follow the decimal point"));
        }
        if decimals.len() > 2 {
            return Err(wrong("money is counted in whole cents, so there are at most two decimals"));
        }
        let digits = without_commas(whole).ok_or_else(|| {
            wrong("only digits may stand before the decimal point, with commas parting groups of three")
        })?;
        let cents = cents_of(&digits, decimals).filter(|&cents| cents <= LARGEST_MONEY.cents()).ok_or(
            ReadError::TooLarge { what: WHAT, text: quoted(text), limit: "ten million", example: EXAMPLE },
        )?;
        Ok(Self::from_cents(if negative { -cents } else { cents }))
    }

    /// The amount as written in a column of figures: `7.00`, `-1,234.50`.
    #[must_use]
    pub fn write(self) -> String {
        let cents = self.cents().unsigned_abs();
        let whole = (cents / 100).to_string();
        let mut grouped = String::new();
        if self.cents() < 0 {
            grouped.push('-');
        }
        for (place, digit) in whole.chars().enumerate() {
            if place > 0 && (whole.len() - place).is_multiple_of(3) {
                grouped.push(',');
            }
            grouped.push(digit);
        }
        format!("{grouped}.{:02}", cents % 100)
    }
}

impl fmt::Display for Money {
    /// As [`Money::write`]; width and alignment are honoured.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.write())
    }
}

fn take_sign(text: &str) -> (bool, &str) {
    text.strip_prefix(['-', '−']).map_or((false, text), |rest| (true, rest.trim_start()))
}

/// The digits of a whole number whose commas, if any, part groups of three.
fn without_commas(whole: &str) -> Option<String> {
    if !whole.bytes().all(|b| b.is_ascii_digit() || b == b',') {
        return None;
    }
    if whole.contains(',') {
        let mut groups = whole.split(',');
        let first = groups.next()?;
        if !(1..=3).contains(&first.len()) || groups.any(|group| group.len() != 3) {
            return None;
        }
    }
    Some(whole.replace(',', ""))
}

fn cents_of(digits: &str, decimals: &str) -> Option<i64> {
    let dollars: i64 = if digits.is_empty() { 0 } else { digits.parse().ok()? };
    let cents: i64 = format!("{decimals:0<2}").parse().ok()?;
    dollars.checked_mul(100)?.checked_add(cents)
}
