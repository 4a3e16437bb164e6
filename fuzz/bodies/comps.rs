//! Any text as comps, line by line and as a table: comps or problems, never a panic, and every comp that
//! is read can be written and told back.
#![allow(dead_code, reason = "tokens are for the seeded mutations, not for the fuzzer")]

use jiff::civil::{Date, date};
use pricing::{Comp, read_lines, read_table};

const TODAY: Date = date(2026, 11, 25);

/// Words that lines and tables are made of.
pub const TOKENS: &[&str] = &[
    "2 for ",
    " + 8 ship",
    "offer <",
    "offer under ",
    "unsold ",
    " 35 90d",
    "sold ",
    "auction ",
    " 7 bids",
    "no bids",
    "free ship",
    " ago",
    "yesterday",
    " x2",
    " each",
    "grade B",
    "like 0.5",
    " 70 %",
    "on 2026-10-01",
    "9999-12-31",
    "0000-01-01",
    "99999999999999999999",
    "1e9",
    ".",
    ",",
    "1,234.50",
    "-",
    "$",
    "½",
    "\u{feff}",
    "\r\n",
    "\n",
    "\"",
    "#",
    "kind,price,shipping,pieces,days,age,grade,bids,likeness\n",
    "comp\n",
    "nan",
];

pub fn run(bytes: &[u8]) {
    let _ = read_table(bytes, TODAY).map_err(|problems| problems.to_string());
    let text = String::from_utf8_lossy(bytes);
    let (comps, errors) = read_lines(&text, TODAY);
    for (line, error) in errors {
        assert!(line >= 1 && !error.to_string().is_empty(), "says nothing: {error:?}");
    }
    for (_, comp) in comps {
        assert!(!comp.understood().is_empty());
        let written = comp.write();
        let again = Comp::read(&written, TODAY);
        assert!(again.is_ok(), "{comp:?} is written as {written:?}, which reads as {again:?}");
    }
}
