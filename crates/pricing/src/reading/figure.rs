//! Amounts, counts, days, dates and shares.

use std::ops::Range;

use jiff::civil::Date;
use measure::Money;

use super::comp_error::{CompError, CompFault, CompPart};
use super::scan::Scan;
use super::token::Sort;

/// Most pieces in a lot that are believed (judgement).
pub(super) const MOST_PIECES: u32 = 1000;
/// Oldest comp that is believed, in days: a hundred years (judgement).
pub(super) const MOST_DAYS: u32 = 36_525;
/// What an age looks like.
pub(super) const AGE: &str = "60d ago, 2 weeks ago, or on 2026-10-01";
/// What a count of pieces looks like.
pub(super) const PIECES: &str = "2 for 17.50, or 17.50 x2";
/// What a likeness looks like.
pub(super) const LIKENESS: &str = "alike 0.5, or alike 50%";

/// A figure of up to `places` decimals as a whole number of its last decimal; nothing else is understood.
pub(super) fn scaled(figure: &str, places: usize) -> Result<u64, String> {
    let (whole, decimals) = figure.split_once('.').unwrap_or((figure, ""));
    let plain = |digits: &str| digits.bytes().all(|b| b.is_ascii_digit());
    if !plain(whole) || !plain(decimals) || (whole.is_empty() && decimals.is_empty()) {
        return Err("only digits and a decimal point are understood".to_owned());
    }
    if decimals.len() > places {
        return Err(format!("there are at most {places} decimals"));
    }
    format!("{whole}{decimals:0<places$}").parse().map_err(|_| "it is far too large".to_owned())
}

impl Scan<'_> {
    pub(super) fn figure_error(
        &self,
        span: Range<usize>,
        part: CompPart,
        reason: impl Into<String>,
        right: &'static str,
    ) -> CompError {
        let found = self.quoted(&span);
        self.error(span, part, CompFault::Figure { part, found, reason: reason.into() }, right)
    }

    /// Reads an amount of 0 or more that stands next.
    pub(super) fn amount(&mut self, part: CompPart, right: &'static str) -> Result<Money, CompError> {
        let from = self.place();
        let signed = self.is_sign(0, '-') && self.figure(1).is_some();
        let Some(figure) = self.figure(usize::from(signed)) else {
            return Err(self.cut(part, "an amount of money", right));
        };
        self.advance(1 + usize::from(signed));
        let span = self.since(from);
        let amount = Money::read(figure).map_err(|error| {
            let words = error.to_string();
            // What is wrong with it, without the quotation and the example that stand around it.
            let reason = words.split_once(": ").map_or(words.as_str(), |(_, reason)| reason);
            let reason = reason.split("; write for example").next().unwrap_or(reason);
            let reason = match error {
                measure::ReadError::TooLarge { limit, .. } => format!("{limit} is the most that is believed"),
                _ => reason.to_owned(),
            };
            self.figure_error(span.clone(), part, reason, right)
        })?;
        if signed || amount < Money::ZERO {
            return Err(self.figure_error(span, part, "it can't be negative", right));
        }
        Ok(amount)
    }

    /// Reads an amount of more than 0 that stands next.
    pub(super) fn positive(&mut self, part: CompPart, right: &'static str) -> Result<Money, CompError> {
        let from = self.place();
        let amount = self.amount(part, right)?;
        if amount > Money::ZERO {
            return Ok(amount);
        }
        let reason = "nothing is sold or asked for nothing; it must be more than 0";
        Err(self.figure_error(self.since(from), part, reason, right))
    }

    /// Reads a count of pieces that stands next.
    pub(super) fn count(&mut self) -> Result<u32, CompError> {
        let from = self.place();
        let Some(figure) = self.figure(0) else {
            return Err(self.cut(CompPart::Pieces, "a number of pieces", PIECES));
        };
        self.advance(1);
        scaled(figure, 0)
            .ok()
            .and_then(|count| u32::try_from(count).ok())
            .filter(|count| (1..=MOST_PIECES).contains(count))
            .ok_or_else(|| {
                let reason = if figure.contains(',') {
                    "a comma that parts two things has a blank behind it"
                } else {
                    "pieces are counted in whole numbers from 1 to 1000"
                };
                self.figure_error(self.since(from), CompPart::Pieces, reason, PIECES)
            })
    }

    /// Reads a figure and its unit of time, in days; `bare` is the unit where none stands.
    pub(super) fn duration(
        &mut self,
        part: CompPart,
        bare: Option<u32>,
        right: &'static str,
    ) -> Result<f64, CompError> {
        let from = self.place();
        let unit = self.unit(1);
        let (Some(figure), Some(days)) = (self.figure(0), unit.or(bare)) else {
            return Err(self.cut(part, "a time such as `60d` or `2 weeks`", right));
        };
        self.advance(1 + usize::from(unit.is_some()));
        let span = self.since(from);
        let hundredths = scaled(figure, 2)
            .map_err(|reason| self.figure_error(span.clone(), part, reason, right))?
            .saturating_mul(u64::from(days));
        if hundredths > u64::from(MOST_DAYS) * 100 {
            return Err(self.figure_error(span, part, "more than a hundred years are not believed", right));
        }
        // Far inside what an f64 holds exactly, by the check above.
        Ok(hundredths as f64 / 100.0)
    }

    /// Reads a date that stands next, as days before today.
    pub(super) fn date(&mut self) -> Result<f64, CompError> {
        let from = self.place();
        let Some(typed) = self.token(0).filter(|token| token.sort == Sort::Date).map(|token| token.text)
        else {
            return Err(self.cut(CompPart::Age, "a date such as 2026-10-01", AGE));
        };
        self.advance(1);
        let span = self.since(from);
        let Some(date) = date_of(typed) else {
            let reason = "there is no such day; the order is year, month, day";
            return Err(self.figure_error(span, CompPart::Age, reason, AGE));
        };
        let days = date.until(self.today).map_or(0, |between| between.get_days());
        if days < 0 {
            let fault = CompFault::Future { found: self.quoted(&span), today: self.today };
            return Err(self.error(span, CompPart::Age, fault, AGE));
        }
        if i64::from(days) > i64::from(MOST_DAYS) {
            let reason = "more than a hundred years are not believed";
            return Err(self.figure_error(span, CompPart::Age, reason, AGE));
        }
        Ok(f64::from(days))
    }

    /// Reads a likeness that stands next: more than 0 and at most 1, or a share of a hundred.
    pub(super) fn share(&mut self) -> Result<f64, CompError> {
        let from = self.place();
        let Some(figure) = self.figure(0) else {
            return Err(self.cut(CompPart::Likeness, "a figure", LIKENESS));
        };
        self.advance(1);
        let percent = self.take_sign('%');
        let span = self.since(from);
        let places = if percent { 2 } else { 4 };
        let share = scaled(figure, places)
            .map_err(|reason| self.figure_error(span.clone(), CompPart::Likeness, reason, LIKENESS))?;
        if share == 0 || share > 10_000 {
            let reason = "it must be more than 0 and at most 1, or 100 %";
            return Err(self.figure_error(span, CompPart::Likeness, reason, LIKENESS));
        }
        Ok(share as f64 / 10_000.0)
    }
}

fn date_of(text: &str) -> Option<Date> {
    let mut parts = text.split('-');
    let year = parts.next()?.parse().ok()?;
    let month = parts.next()?.parse().ok()?;
    let day = parts.next()?.parse().ok()?;
    Date::new(year, month, day).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scaled_figure_is_exact_or_refused() {
        assert_eq!(scaled("2.5", 2), Ok(250));
        assert_eq!(scaled("0.07", 2), Ok(7));
        assert_eq!(scaled(".5", 4), Ok(5000));
        assert_eq!(scaled("12", 0), Ok(12));
        for bad in ["", ".", "1e3", "1,000", "$2", "-1", "1.2.3", "0.333", "99999999999999999999"] {
            assert!(scaled(bad, 2).is_err(), "{bad}");
        }
    }
}
