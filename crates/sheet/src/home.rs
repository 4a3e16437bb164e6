//! Where a key belongs that stands in the wrong table.

use crate::buying::BUYING_KEYS;
use crate::market::MARKET_KEYS;
use crate::words::WORD_KEYS;

/// Keys of the sheet itself, which fall into a table when they are written below its header.
const TOP_KEYS: [&str; 3] = ["title", "units", "cartons"];
/// Keys of a find that no other table has.
const FIND_KEYS: [&str; 6] = ["comps", "comps_file", "asking", "paid", "largest_lot", "words"];
/// Keys of `[packing]` that people look for beside prices and fees.
const PACKING_KEYS: [&str; 1] = ["wage"];
/// Keys of some table that are more likely a misspelt key of the table they stand in, or that several tables read.
const UNCLEAR: [&str; 3] = ["ask", "grades", "size"];

/// The table a key belongs to, in words, for keys that people are likely to write elsewhere.
pub(crate) fn home(key: &str) -> Option<String> {
    if UNCLEAR.contains(&key) {
        return None;
    }
    let in_table = |table: &str| Some(format!("`{key}` below {table}"));
    if TOP_KEYS.contains(&key) {
        return Some(format!("`{key}` at the top of the sheet, above the first header in brackets"));
    }
    if FIND_KEYS.contains(&key) {
        return in_table("[[find]]");
    }
    if PACKING_KEYS.contains(&key) {
        return in_table("[packing]");
    }
    match (MARKET_KEYS.contains(&key), BUYING_KEYS.contains(&key)) {
        (true, true) => return in_table("[market] or [buying]"),
        (true, false) => return in_table("[market]"),
        (false, true) => return in_table("[buying]"),
        (false, false) => {}
    }
    WORD_KEYS.contains(&key).then(|| format!("words = {{ {key} = ... }} below [[find]]"))
}
