//! Text that isn't TOML, said in the words of a job sheet.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::DeTable;

use crate::told::{Problems, Told, quoted};

/// Parses the sheet; what the parser refuses is told, once for each line.
pub(crate) fn parse<'i>(text: &'i str, problems: &mut Problems<'_>) -> Result<DeTable<'i>, Told> {
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut told = None;
    let mut lines = BTreeSet::new();
    for error in errors {
        // A recovering parser finds several faults in one broken line; the first says enough.
        let span = error.span().unwrap_or(text.len()..text.len());
        if lines.insert(problems.line(span.start)) {
            told = Some(tell(text, span, error.message(), problems));
        }
    }
    match told {
        Some(told) => Err(told),
        None => Ok(table.into_inner()),
    }
}

fn tell(text: &str, span: Range<usize>, message: &str, problems: &mut Problems<'_>) -> Told {
    let written = quoted(text.get(span.clone()).unwrap_or_default());
    if message.starts_with("duplicate key") {
        return problems.tell(
            &written,
            span,
            format!("the key `{written}` is written twice in one table"),
            "each key once; several finds, pieces, cartons or orders each begin with their own header, \
             for example [[find]]",
        );
    }
    if message.starts_with("recursion limit") || message.contains("recursion") {
        return problems.tell(
            "",
            span,
            "tables or lists stand too deep inside one another",
            "at most the three levels of a sheet, for example [[find.piece]]",
        );
    }
    let message = format!("this line is not TOML: {message}");
    let right = "key = value, with texts in quotes: name = \"cups\"; figures with a unit are texts: \
                 height = \"3 1/2 in\"";
    problems.tell("", span, message, right)
}
