//! Figures as people write them: `3`, `3.25`, `1/4`, `3 1/4`, `3-1/4`, `3¼`.

/// A figure without its unit; never negative, possibly past every limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Amount {
    pub(crate) value: f64,
    /// Written without a fraction or decimals.
    pub(crate) whole: bool,
}

const NO_NUMBER: &str = "a number was expected";
const NOTHING_BETWEEN: &str = "two numbers stand side by side with no unit between them";
const BOTH_KINDS: &str = "a decimal and a fraction stand together; write one of them";
const RANGE: &str = "it looks like a range; write one figure";
const COMMA: &str = "a comma is not understood here; write a decimal point";
const ZERO_BELOW: &str = "a fraction has nothing under its stroke but zero";
const IMPROPER: &str = "the fraction after a whole number must be less than one";
const NO_LOWER: &str = "a fraction has no number under its stroke";

/// Takes one figure from the front; what follows it comes back with leading blanks removed.
pub(crate) fn take_amount(text: &str) -> Result<(Amount, &str), &'static str> {
    let text = text.trim_start();
    if let Some((value, rest)) = take_vulgar(text) {
        return Ok((Amount { value, whole: false }, end_of_figure(rest)?));
    }
    let (digits, rest) = take_digits(text);
    if let Some(after_point) = rest.strip_prefix('.') {
        let (decimals, rest) = take_digits(after_point);
        if digits.is_empty() && decimals.is_empty() {
            return Err(NO_NUMBER);
        }
        let written = &text[..text.len() - rest.len()];
        let value = written.parse().map_err(|_| NO_NUMBER)?;
        let rest = rest.trim_start();
        if take_fraction(rest)?.is_some() {
            return Err(BOTH_KINDS);
        }
        return Ok((Amount { value, whole: decimals.is_empty() }, end_of_figure(rest)?));
    }
    if digits.is_empty() {
        return Err(NO_NUMBER);
    }
    if let Some((value, rest)) = take_fraction(text)? {
        return Ok((Amount { value, whole: false }, end_of_figure(rest)?));
    }
    let whole: f64 = digits.parse().map_err(|_| NO_NUMBER)?;
    let (hyphen, after) = match rest.strip_prefix(['-', '–', '‐']) {
        Some(after) => (true, after),
        None => (false, rest.trim_start()),
    };
    match take_fraction(after)? {
        Some((part, rest)) if part < 1.0 => {
            Ok((Amount { value: whole + part, whole: false }, end_of_figure(rest)?))
        }
        Some(_) => Err(IMPROPER),
        None if hyphen => Err(RANGE),
        None => Ok((Amount { value: whole, whole: true }, end_of_figure(rest)?)),
    }
}

/// What may follow a figure: anything that is not more of a figure.
fn end_of_figure(rest: &str) -> Result<&str, &'static str> {
    let rest = rest.trim_start();
    match rest.chars().next() {
        Some(',') => Err(COMMA),
        Some('-' | '–' | '‐' | '−') => Err(RANGE),
        Some(c) if c.is_ascii_digit() || c == '.' || vulgar_fraction(c).is_some() => Err(NOTHING_BETWEEN),
        _ => Ok(rest),
    }
}

fn take_digits(text: &str) -> (&str, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    text.split_at(end)
}

/// Takes `1/4` or `¼`, if the text begins with one.
fn take_fraction(text: &str) -> Result<Option<(f64, &str)>, &'static str> {
    if let Some(found) = take_vulgar(text) {
        return Ok(Some(found));
    }
    let (above, rest) = take_digits(text);
    let Some(rest) = rest.strip_prefix(['/', '⁄']) else { return Ok(None) };
    if above.is_empty() {
        return Err(NO_NUMBER);
    }
    let (below, rest) = take_digits(rest);
    if below.is_empty() {
        return Err(NO_LOWER);
    }
    let above: f64 = above.parse().map_err(|_| NO_NUMBER)?;
    let below: f64 = below.parse().map_err(|_| NO_NUMBER)?;
    if below == 0.0 {
        return Err(ZERO_BELOW);
    }
    Ok(Some((above / below, rest)))
}

fn take_vulgar(text: &str) -> Option<(f64, &str)> {
    let mut chars = text.chars();
    let value = vulgar_fraction(chars.next()?)?;
    Some((value, chars.as_str()))
}

/// The value of a fraction that is one character (`¼`), if it is one that people type.
///
/// ```
/// assert_eq!(measure::vulgar_fraction('¾'), Some(0.75));
/// assert_eq!(measure::vulgar_fraction('3'), None);
/// ```
#[must_use]
pub fn vulgar_fraction(c: char) -> Option<f64> {
    match c {
        '¼' => Some(0.25),
        '½' => Some(0.5),
        '¾' => Some(0.75),
        '⅛' => Some(0.125),
        '⅜' => Some(0.375),
        '⅝' => Some(0.625),
        '⅞' => Some(0.875),
        '⅓' => Some(1.0 / 3.0),
        '⅔' => Some(2.0 / 3.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::take_amount;

    #[test]
    fn figures_are_taken_in_every_spelling() {
        for (text, value, rest) in [
            ("3 1/4 in", 3.25, "in"),
            ("3-1/4\"", 3.25, "\""),
            ("3¼in", 3.25, "in"),
            ("3 ⅞", 3.875, ""),
            ("3-½", 3.5, ""),
            ("3⁄4", 0.75, ""),
            (".5 oz", 0.5, "oz"),
            ("5. oz", 5.0, "oz"),
            ("5/4", 1.25, ""),
        ] {
            let (amount, left) = take_amount(text).expect(text);
            assert_eq!((amount.value, left), (value, rest), "{text}");
        }
    }

    #[test]
    fn half_written_figures_are_refused() {
        for text in [
            "", ".", "in", "3 1/", "/4", "3/0", "3-4", "3 4", "3.5 1/4", "3 5/4", "8,3", "1/2 1/4", "1.2.3",
            "½½",
        ] {
            assert!(take_amount(text).is_err(), "{text}");
        }
    }
}
