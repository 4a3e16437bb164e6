//! Rows found by name, or what may have been meant.

use std::collections::BTreeMap;

use measure::plain;

use crate::CushionError;

/// The row with this key or spoken name, whatever its case and punctuation.
pub(crate) fn find<'a, T>(
    rows: &'a BTreeMap<String, T>,
    kind: &'static str,
    name: &str,
    spoken: fn(&T) -> &str,
) -> Result<&'a T, CushionError> {
    let wanted = plain(name);
    let fits = |(key, row): &(&String, &T)| plain(key) == wanted || plain(spoken(row)) == wanted;
    rows.get(name).or_else(|| rows.iter().find(fits).map(|(_, row)| row)).ok_or_else(|| {
        CushionError::UnknownName {
            kind,
            name: name.to_owned(),
            nearest: measure::nearest(name, rows.keys().map(String::as_str)),
        }
    })
}
