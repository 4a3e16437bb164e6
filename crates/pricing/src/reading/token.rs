//! A line cut into figures, dates, words and signs, each with its place.

use std::ops::Range;

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    /// A figure without its sign: `17.50`, `1,234.50`, `$8`; possibly malformed.
    Figure,
    /// Four digits, one or two, one or two, parted by dashes: `2026-10-01`; possibly no day of any year.
    Date,
    /// Letters only.
    Word,
    /// Anything else; every kind of dash is `-`.
    Sign(char),
}

/// One token and its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token<'a> {
    /// As typed.
    pub(super) text: &'a str,
    /// In small letters.
    pub(super) lower: String,
    pub(super) sort: Sort,
    /// Bytes of the line.
    pub(super) span: Range<usize>,
    /// No blank stands between it and the token before.
    pub(super) close: bool,
}

/// Cuts a line; whatever is no figure, date or word becomes a sign of its own, so nothing is lost but blanks.
pub(super) fn tokens(line: &str) -> Vec<Token<'_>> {
    let mut found: Vec<Token<'_>> = Vec::new();
    let mut rest = line;
    while let Some(first) = rest.chars().next() {
        let start = line.len() - rest.len();
        if first.is_whitespace() {
            rest = rest.trim_start();
            continue;
        }
        let (length, sort) = measured(rest, first);
        let (text, after) = rest.split_at(length);
        rest = after;
        let close = found.last().is_some_and(|before| before.span.end == start);
        let (lower, sort) = match sort {
            // The sign of multiplication is typed for the letter.
            Sort::Sign('×') => ("x".to_owned(), Sort::Word),
            Sort::Sign('−' | '–' | '—') => (text.to_owned(), Sort::Sign('-')),
            Sort::Sign(_) | Sort::Figure | Sort::Date | Sort::Word => (text.to_lowercase(), sort),
        };
        found.push(Token { text, lower, sort, span: start..start + length, close });
    }
    found
}

/// How many bytes the token at the front takes, and what it is.
fn measured(text: &str, first: char) -> (usize, Sort) {
    if let Some(length) = date_length(text) {
        return (length, Sort::Date);
    }
    if let Some(length) = figure_length(text) {
        return (length, Sort::Figure);
    }
    if first.is_alphabetic() {
        return (text.find(|c: char| !c.is_alphabetic()).unwrap_or(text.len()), Sort::Word);
    }
    (first.len_utf8(), Sort::Sign(first))
}

fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn date_length(text: &str) -> Option<usize> {
    let (year, after) = text.split_at_checked(4).filter(|(year, _)| digits(year) == 4)?;
    let after = after.strip_prefix('-')?;
    let month = Some(digits(after)).filter(|count| (1..=2).contains(count))?;
    let after = after.get(month..)?.strip_prefix('-')?;
    let day = Some(digits(after)).filter(|count| (1..=2).contains(count))?;
    Some(year.len() + 1 + month + 1 + day)
}

fn figure_length(text: &str) -> Option<usize> {
    let figure = text.strip_prefix('$').map_or(text, str::trim_start);
    let figure = if figure.len() < text.len() { figure.trim_start_matches(['-', '−']) } else { figure };
    let starts = digits(figure) > 0 || figure.strip_prefix('.').is_some_and(|after| digits(after) > 0);
    if !starts {
        return None;
    }
    let mut rest = figure;
    while let Some(first) = rest.chars().next() {
        let after = rest.get(first.len_utf8()..)?;
        let goes_on = match first {
            '0'..='9' | '.' => true,
            // A comma that parts two figures is followed by a blank; one that parts digits isn't.
            ',' => digits(after) > 0,
            // `1e300` is one (wrong) figure and not three tokens.
            'e' | 'E' => digits(after.trim_start_matches(['+', '-'])) > 0,
            _ => false,
        };
        if !goes_on {
            break;
        }
        rest = if matches!(first, 'e' | 'E') { after.trim_start_matches(['+', '-']) } else { after };
    }
    Some(text.len() - rest.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(line: &str) -> Vec<&str> {
        tokens(line).into_iter().map(|token| token.text).collect()
    }

    #[test]
    fn figures_keep_their_commas_and_lists_lose_them() {
        assert_eq!(cut("31, 7 bids"), ["31", ",", "7", "bids"]);
        assert_eq!(cut("$1,234.50,x2"), ["$1,234.50", ",", "x", "2"]);
        assert_eq!(cut("17,50"), ["17,50"]);
        assert_eq!(cut("$ 8 + .5"), ["$ 8", "+", ".5"]);
        assert_eq!(cut("1e300 1e-3 9 each 9each"), ["1e300", "1e-3", "9", "each", "9", "each"]);
    }

    #[test]
    fn dashes_part_ranges_and_hold_dates_together() {
        assert_eq!(cut("7-12 2026-10-01"), ["7", "-", "12", "2026-10-01"]);
        assert_eq!(cut("12345-10-01"), ["12345", "-", "10", "-", "01"]);
        assert_eq!(tokens("–").first().map(|token| token.sort), Some(Sort::Sign('-')));
    }

    #[test]
    fn nothing_but_blanks_is_lost() {
        for line in ["60d ago", "é½ × \u{feff}x2 $", "\u{a0}\t$-5 €", "2026-1", "1234é-"] {
            let kept: String = cut(line).concat();
            let right: String = line.split_whitespace().collect();
            assert_eq!(kept, right, "{line:?}");
        }
    }
}
