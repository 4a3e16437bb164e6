//! Any bytes as a job sheet: a job or a list of problems, each with a place in the text; never a panic.
#![allow(dead_code, reason = "tokens are for the seeded mutations, not for the fuzzer")]

use std::sync::LazyLock;

use forms::Catalogue;
use jiff::civil::{Date, date};
use protection::StockCartons;
use sheet::Library;

const TODAY: Date = date(2026, 11, 25);

/// What a careless hand puts in the place of something.
pub const TOKENS: &[&str] = &[
    "[[find]]\n",
    "[find]\n",
    "[[carton]]\n",
    "[market]\n",
    "[buying]\n",
    "[a.b.c]\n",
    "units = \"cm\"\n",
    "\"",
    "'''",
    "\"\"\"",
    "= ",
    "#",
    "{",
    "}",
    "[",
    "]",
    "nan",
    "inf",
    "-1",
    "0",
    "1e400",
    "99999999999999999999",
    "0x1F",
    "1979-05-27",
    "½",
    "\u{feff}",
    "\r",
    "\\u0000",
    "\"1/0 in\"",
    "\"150 %\"",
    "count = 4294967295\n",
    "-0",
    "\"12 x 12 x 8\"",
    "comps = [\"2 for\"]\n",
    "true",
];

struct Tables {
    library: trade::Library,
    forms: Catalogue,
    stock: StockCartons,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables {
    library: trade::Library::published(),
    forms: Catalogue::published(),
    stock: StockCartons::published(),
});

pub fn run(bytes: &[u8]) {
    let tables = &*TABLES;
    // A file that the sheet names holds the sheet itself: strange, and never out of reach.
    let files = |_: &str| Ok(bytes.to_vec());
    let library = Library::of(&tables.library, &tables.forms, &tables.stock, &files);
    let Err(problems) = sheet::read_bytes(bytes, &library, TODAY) else { return };
    assert!(!problems.is_empty(), "refused for nothing");
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for problem in problems {
        assert!(text.get(problem.span.clone()).is_some(), "no place in the text: {problem:?}");
        assert!(!problem.message.is_empty() && !problem.right.is_empty(), "says nothing: {problem:?}");
    }
}
