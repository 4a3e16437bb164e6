//! A text cut into numbers, words and marks.

use std::ops::Range;

use measure::plain;

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kind {
    /// A number in digits.
    Number {
        value: f64,
        /// Written without decimals or a fraction.
        whole: bool,
    },
    /// Letters, small and without accents.
    Word(String),
    /// Anything else that is not a blank.
    Mark(char),
}

/// A token with its place in the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Token {
    pub(crate) kind: Kind,
    /// Bytes of the text.
    pub(crate) span: Range<usize>,
    /// No blank stands before it.
    pub(crate) glued: bool,
}

impl Token {
    pub(crate) fn word(&self) -> Option<&str> {
        match &self.kind {
            Kind::Word(word) => Some(word),
            Kind::Number { .. } | Kind::Mark(_) => None,
        }
    }

    pub(crate) fn mark(&self) -> Option<char> {
        match self.kind {
            Kind::Mark(mark) => Some(mark),
            Kind::Number { .. } | Kind::Word(_) => None,
        }
    }

    pub(crate) fn number(&self) -> Option<(f64, bool)> {
        match self.kind {
            Kind::Number { value, whole } => Some((value, whole)),
            Kind::Word(_) | Kind::Mark(_) => None,
        }
    }
}

/// Cuts a text.
pub(crate) fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        let Some(first) = rest.chars().next() else { break };
        if first.is_whitespace() {
            at += first.len_utf8();
            continue;
        }
        let (kind, length) = if first.is_ascii_digit() {
            digits(rest)
        } else if let Some(value) = measure::vulgar_fraction(first) {
            (Kind::Number { value, whole: false }, first.len_utf8())
        } else if first.is_alphabetic() {
            let end = rest
                .find(|c: char| !(c.is_alphabetic() || matches!(c, '\'' | '’' | '\u{300}'..='\u{36F}')))
                .unwrap_or(rest.len());
            // The feet and inch marks after a word belong to no word.
            let word = rest.get(..end).unwrap_or("").trim_end_matches(['\'', '’']);
            (Kind::Word(plain(word)), word.len().max(first.len_utf8()))
        } else {
            let mark = if matches!(first, '–' | '‐' | '‑') { '-' } else { first };
            (Kind::Mark(mark), first.len_utf8())
        };
        let glued = tokens.last().is_some_and(|token| token.span.end == at);
        tokens.push(Token { kind, span: at..at + length, glued });
        at += length;
    }
    tokens
}

/// A number at the front: thousands with commas, decimals, a fraction with a stroke.
fn digits(text: &str) -> (Kind, usize) {
    let run = |from: usize| {
        let rest = text.get(from..).unwrap_or("");
        from + rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())
    };
    let follows = |at: usize, mark: &str| {
        text.get(at..)
            .and_then(|rest| rest.strip_prefix(mark))
            .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    let parsed =
        |range: Range<usize>| text.get(range).and_then(|part| part.parse::<f64>().ok()).unwrap_or(0.0);
    let end = run(0);
    if follows(end, ".") {
        let decimals = run(end + 1);
        return (Kind::Number { value: parsed(0..decimals), whole: false }, decimals);
    }
    for stroke in ["/", "⁄"] {
        if follows(end, stroke) {
            let below = run(end + stroke.len());
            let value = parsed(0..end) / parsed(end + stroke.len()..below).max(1.0);
            return (Kind::Number { value, whole: false }, below);
        }
    }
    if follows(end, ",") && run(end + 1) == end + 4 && end <= 3 {
        let value = parsed(0..end) * 1000.0 + parsed(end + 1..end + 4);
        return (Kind::Number { value, whole: true }, end + 4);
    }
    (Kind::Number { value: parsed(0..end), whole: true }, end)
}
