//! Any bytes as a job sheet: a job or a list of problems, each with a place in the text; never a panic.
#![allow(dead_code, reason = "tokens are for the seeded mutations, not for the fuzzer")]

use std::sync::LazyLock;

use forms::Catalogue;
use jiff::civil::{Date, date};
use protection::{Grades, Materials, Profiles, Recipes, StockCartons};
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
    forms: Catalogue,
    recipes: Recipes,
    materials: Materials,
    profiles: Profiles,
    grades: Grades,
    stock: StockCartons,
    drops: cushion::Drops,
    fragilities: cushion::Fragilities,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables {
    forms: Catalogue::published(),
    recipes: Recipes::published(),
    materials: Materials::published(),
    profiles: Profiles::published(),
    grades: Grades::published(),
    stock: StockCartons::published(),
    drops: cushion::Drops::published(),
    fragilities: cushion::Fragilities::published(),
});

pub fn run(bytes: &[u8]) {
    let tables = &*TABLES;
    // A file that the sheet names holds the sheet itself: strange, and never out of reach.
    let files = |_: &str| Ok(bytes.to_vec());
    let library = Library {
        forms: &tables.forms,
        recipes: &tables.recipes,
        materials: &tables.materials,
        profiles: &tables.profiles,
        grades: &tables.grades,
        stock: &tables.stock,
        drops: &tables.drops,
        fragilities: &tables.fragilities,
        files: &files,
    };
    let Err(problems) = sheet::read_bytes(bytes, &library, TODAY) else { return };
    assert!(!problems.is_empty(), "refused for nothing");
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    for problem in problems {
        assert!(text.get(problem.span.clone()).is_some(), "no place in the text: {problem:?}");
        assert!(!problem.message.is_empty() && !problem.right.is_empty(), "says nothing: {problem:?}");
    }
}
