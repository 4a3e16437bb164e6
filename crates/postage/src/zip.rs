//! ZIP codes as far as zones need them.

use crate::ZoneError;

/// The first three digits of a ZIP code, with all five where they are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Zip {
    pub(crate) area: u16,
    pub(crate) five: Option<u32>,
}

impl Zip {
    /// Reads `453`, `45301` or `45301-1234`.
    pub(crate) fn read(text: &str) -> Result<Self, ZoneError> {
        let wrong = || ZoneError::BadZip { text: crate::table::short(text) };
        let body = text.trim();
        let code = match body.split_once('-') {
            Some((code, plus)) if code.len() == 5 && plus.len() == 4 && digits(plus) => code,
            Some(_) => return Err(wrong()),
            None => body,
        };
        if !digits(code) || !matches!(code.len(), 3 | 5) {
            return Err(wrong());
        }
        let number: u32 = code.parse().map_err(|_| wrong())?;
        let (area, five) = if code.len() == 5 { (number / 100, Some(number)) } else { (number, None) };
        Ok(Self { area: u16::try_from(area).map_err(|_| wrong())?, five })
    }
}

fn digits(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_digit())
}
