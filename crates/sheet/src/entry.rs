//! What a key holds, read as the kind of thing that is wanted there.

use std::ops::{Range, RangeInclusive};

use jiff::civil::Date;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Longest name or other text, characters.
const LONGEST_TEXT: usize = 200;

/// A value of the sheet with its place.
#[derive(Clone)]
pub(crate) struct Entry<'t, 'i> {
    path: String,
    key: Option<Range<usize>>,
    value: &'t Spanned<DeValue<'i>>,
}

impl<'t, 'i> Entry<'t, 'i> {
    pub(crate) fn new(path: String, key: Option<Range<usize>>, value: &'t Spanned<DeValue<'i>>) -> Self {
        Self { path, key, value }
    }

    pub(crate) fn path(&self) -> &str {
        &self.path
    }

    /// The bytes of the value.
    pub(crate) fn span(&self) -> Range<usize> {
        self.value.span()
    }

    /// The bytes of the key, or of the value where it has none.
    pub(crate) fn key_span(&self) -> Range<usize> {
        self.key.clone().unwrap_or_else(|| self.span())
    }

    /// Records a problem with the value.
    pub(crate) fn wrong(
        &self,
        problems: &mut Problems<'_>,
        message: impl Into<String>,
        right: impl Into<String>,
    ) -> Told {
        problems.tell(&self.path, self.span(), message, right)
    }

    /// Records a problem with a part of a text, given in bytes of `text` as [`Entry::text`] read it.
    pub(crate) fn wrong_within(
        &self,
        problems: &mut Problems<'_>,
        text: &str,
        part: Range<usize>,
        message: impl Into<String>,
        right: impl Into<String>,
    ) -> Told {
        // Where the text stands in the sheet as it is, its part can be pointed at; escapes move it.
        let span = match problems.find_in(self.span(), text) {
            Some(start) => start + part.start..start + part.end,
            None => self.span(),
        };
        problems.tell(&self.path, span, message, right)
    }

    /// Records that the value is of the wrong kind.
    pub(crate) fn wrong_kind(&self, problems: &mut Problems<'_>, wanted: &str, right: &str) -> Told {
        self.wrong(problems, format!("{} stands where {wanted} was expected", self.kind()), right)
    }

    fn kind(&self) -> &'static str {
        match self.value.get_ref() {
            DeValue::String(_) => "a text in quotes",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        }
    }

    pub(crate) fn is_text(&self) -> bool {
        matches!(self.value.get_ref(), DeValue::String(_))
    }

    pub(crate) fn is_list(&self) -> bool {
        matches!(self.value.get_ref(), DeValue::Array(_))
    }

    pub(crate) fn is_table(&self) -> bool {
        matches!(self.value.get_ref(), DeValue::Table(_))
    }

    /// A text that isn't blank, without the blanks around it.
    pub(crate) fn text(&self, right: &str, problems: &mut Problems<'_>) -> Result<&'t str, Told> {
        let DeValue::String(text) = self.value.get_ref() else {
            return Err(self.wrong_kind(problems, "a text in quotes", right));
        };
        let text = text.trim();
        if text.is_empty() {
            return Err(self.wrong(problems, "the text is empty", right));
        }
        if text.chars().count() > LONGEST_TEXT {
            return Err(self.wrong(
                problems,
                format!("the text is longer than {LONGEST_TEXT} characters"),
                right,
            ));
        }
        if text.chars().any(char::is_control) {
            return Err(self.wrong(
                problems,
                "the text has a line break or another control character",
                right,
            ));
        }
        Ok(text)
    }

    /// A text or a number, as it is written: 7.00 keeps its cents and 3.10 its zero.
    pub(crate) fn written(&self, right: &str, problems: &mut Problems<'_>) -> Result<&'t str, Told> {
        match self.value.get_ref() {
            DeValue::String(text) => Ok(text),
            DeValue::Integer(whole) if whole.radix() == 10 => Ok(unsigned(whole.as_str())),
            DeValue::Float(figure) => Ok(unsigned(figure.as_str())),
            _ => Err(self.wrong_kind(problems, "a figure", right)),
        }
    }

    /// True or false.
    pub(crate) fn yes_or_no(&self, right: &str, problems: &mut Problems<'_>) -> Result<bool, Told> {
        match self.value.get_ref() {
            DeValue::Boolean(yes) => Ok(*yes),
            DeValue::String(_)
            | DeValue::Integer(_)
            | DeValue::Float(_)
            | DeValue::Datetime(_)
            | DeValue::Array(_)
            | DeValue::Table(_) => Err(self.wrong_kind(problems, "true or false", right)),
        }
    }

    /// A whole number within a range.
    pub(crate) fn whole(
        &self,
        range: RangeInclusive<u32>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<u32, Told> {
        let (least, most) = (*range.start(), *range.end());
        let wanted = format!("a whole number from {least} to {most}");
        let DeValue::Integer(digits) = self.value.get_ref() else {
            return Err(self.wrong_kind(problems, &wanted, right));
        };
        // A number past i128 is past every range as well.
        let number = i128::from_str_radix(digits.as_str(), digits.radix()).unwrap_or(i128::MAX);
        match u32::try_from(number) {
            Ok(number) if range.contains(&number) => Ok(number),
            _ => Err(self.wrong(
                problems,
                format!("{} is not {wanted}", quoted(&digits.to_string())),
                format!("{wanted}, for example {right}"),
            )),
        }
    }

    /// A share: more than 0 and at most 1.
    pub(crate) fn share(&self, problems: &mut Problems<'_>) -> Result<f64, Told> {
        const RIGHT: &str = "share = 0.4";
        let figure: Option<f64> = match self.value.get_ref() {
            DeValue::Integer(whole) if whole.radix() == 10 => whole.as_str().parse().ok(),
            DeValue::Float(figure) => figure.as_str().parse().ok(),
            _ => return Err(self.wrong_kind(problems, "a number", RIGHT)),
        };
        match figure {
            Some(share) if share > 0.0 && share <= 1.0 => Ok(share),
            _ => Err(self.wrong(problems, "a share must be more than 0 and at most 1", RIGHT)),
        }
    }

    /// A number within bounds; `right` is a right line.
    pub(crate) fn number(
        &self,
        range: RangeInclusive<f64>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<f64, Told> {
        let text = self.written(right, problems)?.trim();
        self.within(text.parse().ok(), text, "", range, right, problems)
    }

    /// A share, written "6.8 %" or 0.068; `range` is in shares. A bare figure above 1 is refused, since it was
    /// most likely meant as a percentage.
    pub(crate) fn percent(
        &self,
        range: RangeInclusive<f64>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<f64, Told> {
        let text = self.written(right, problems)?.trim();
        match text.strip_suffix('%') {
            Some(figure) => {
                let percent = 100.0 * range.start()..=100.0 * range.end();
                let figure: Option<f64> = figure.trim().parse().ok();
                self.within(figure, text, " %", percent, right, problems).map(|percent| percent / 100.0)
            }
            None => {
                let range = *range.start()..=range.end().min(1.0);
                self.within(text.parse().ok(), text, "", range, right, problems)
            }
        }
    }

    fn within(
        &self,
        figure: Option<f64>,
        text: &str,
        unit: &str,
        range: RangeInclusive<f64>,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<f64, Told> {
        match figure {
            Some(figure) if range.contains(&figure) => Ok(figure),
            _ => Err(self.wrong(
                problems,
                format!(
                    "`{}` is not a number from {}{unit} to {}{unit}",
                    quoted(text),
                    range.start(),
                    range.end()
                ),
                right,
            )),
        }
    }

    /// A day, in quotes or not.
    pub(crate) fn date(&self, right: &str, problems: &mut Problems<'_>) -> Result<Date, Told> {
        let text = match self.value.get_ref() {
            DeValue::String(text) => text.trim().to_owned(),
            DeValue::Datetime(moment) => moment.to_string(),
            _ => return Err(self.wrong_kind(problems, "a date", right)),
        };
        // Other spellings that the date library reads (with a time, without hyphens) are not asked for.
        let is_plain = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        is_plain.then(|| text.parse().ok()).flatten().ok_or_else(|| {
            self.wrong(problems, format!("`{}` is not a day of the calendar", quoted(&text)), right)
        })
    }

    /// The members of a list of at least one and at most `most`.
    pub(crate) fn list(
        &self,
        most: usize,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<Vec<Entry<'t, 'i>>, Told> {
        let DeValue::Array(members) = self.value.get_ref() else {
            return Err(self.wrong_kind(problems, "a list in square brackets", right));
        };
        if members.is_empty() {
            return Err(self.wrong(problems, "the list is empty", right));
        }
        if members.len() > most {
            return Err(self.wrong(
                problems,
                format!("the list has {} members", members.len()),
                format!("at most {most}"),
            ));
        }
        let place = |number: usize| format!("{}[{}]", self.path, number + 1);
        Ok(members.iter().enumerate().map(|(number, value)| Entry::new(place(number), None, value)).collect())
    }

    /// A table.
    pub(crate) fn section(&self, right: &str, problems: &mut Problems<'_>) -> Result<Section<'t, 'i>, Told> {
        match self.value.get_ref() {
            DeValue::Table(table) => Ok(self.section_of(table)),
            DeValue::Array(members)
                if !members.is_empty()
                    && members.iter().all(|member| matches!(member.get_ref(), DeValue::Table(_))) =>
            {
                Err(self.wrong(
                    problems,
                    "a list of tables (double brackets) stands where one table was expected",
                    right,
                ))
            }
            _ => Err(self.wrong_kind(problems, "a table", right)),
        }
    }

    /// The tables written under one double-bracketed header, at least one and at most `most`.
    pub(crate) fn sections(
        &self,
        most: usize,
        right: &str,
        problems: &mut Problems<'_>,
    ) -> Result<Vec<Section<'t, 'i>>, Told> {
        if self.is_table() {
            return Err(self.wrong(problems, "the header stands in single brackets", right));
        }
        let members = self.list(most, right, problems)?;
        let sections: Vec<_> = members.iter().map(|member| member.section(right, problems)).collect();
        sections.into_iter().collect()
    }

    fn section_of(&self, table: &'t DeTable<'i>) -> Section<'t, 'i> {
        Section::new(self.path.clone(), self.span(), table)
    }
}

/// A figure without the plus sign that TOML allows before it.
fn unsigned(figure: &str) -> &str {
    figure.strip_prefix('+').unwrap_or(figure)
}
