//! The mistakes of a find that is priced by comps and split.

use crate::case::{Broken, broken};

/// Cups and saucers that the split decides on, and mugs in lots of two.
pub const PRICED: &str = r#"title = "Priced"
units = "in"

[post]
from = "45300"
to = ["606"]
card = "ground_advantage_commercial"
date = "2026-11-25"

[[find]]
name = "cups"
grade = "C"
asking = 7.00
largest_lot = 8
comps = ["2 for 34 + 14.50, 20d ago", "unsold 95 x4 for 75d"]
words = { maker = "unmarked", synonyms = ["bouillon"], sold_as = "set" }

[[find.piece]]
form = "consomme_cup"
count = 14
flawed = 1
flawed_grade = "E"
flaws = ["1 hairline 1 1/2 in rim"]
alone = "55 %"
per_set = 1

[[find.piece]]
form = "consomme_saucer"
count = 11

[[find]]
name = "mugs"
price = 30.00
form = "diner_mug"
count = 6
per_lot = 2
"#;

pub const BROKEN: &[Broken] = &[
    // Comps: the mark stands under the word that is wrong.
    broken("2 for 34", "2 fro 34", "find[1].comps[1]", "fro 34", "`fro` is not understood", "2 for 17.50"),
    broken("unsold 95", "unsodl 95", "find[1].comps[2]", "unsodl", "did you mean `unsold`", "2 for 17.50"),
    broken("for 75d", "for 0d", "find[1].comps[2]", "for 0d", "after no time on offer", "unsold 35 for 90d"),
    broken(" for 75d", "", "find[1].comps[2]", "unsold", "for how long", "unsold 35 for 90d"),
    broken("2 for 34", "2 for 0", "find[1].comps[1]", "0 + 14.50", "more than 0", "17.50"),
    broken("2 for 34", "2 for -34", "find[1].comps[1]", "-34", "can't be negative", "17.50"),
    broken("2 for 34", "2 for 1e300", "find[1].comps[1]", "1e300", "1e300", "17.50"),
    broken("2 for 34", "2 for 99999999999", "find[1].comps[1]", "99999999999", "the most", "17.50"),
    broken("2 for 34", "0 for 34", "find[1].comps[1]", "0 for 34", "from 1 to 1000", "2 for 17.50"),
    broken("20d ago", "on 2026-11-26", "find[1].comps[1]", "2026-11-26", "in the future", "60d ago"),
    broken("20d ago", "on 2026-02-30", "find[1].comps[1]", "2026-02-30", "no such day", "60d ago"),
    broken(
        "2 for 34",
        "sold 34 of 30",
        "find[1].comps[1]",
        "of 30",
        "30.00 is less than the price 34.00",
        "of 30",
    ),
    broken("2 for 34", "2 \\u0066ro 34", "find[1].comps[1]", "\"2 \\u0066", "`fro`", "2 for 17.50"),
    broken(
        "\"2 for 34 + 14.50, 20d ago\"",
        "14",
        "find[1].comps[1]",
        "14, \"uns",
        "a number",
        "\"2 for 17.50",
    ),
    broken(
        "\"2 for 34 + 14.50, 20d ago\"",
        "\"\"",
        "find[1].comps[1]",
        "\"\", \"uns",
        "empty",
        "\"2 for 17.50",
    ),
    broken(
        "[\"2 for 34 + 14.50, 20d ago\", \"unsold 95 x4 for 75d\"]",
        "\"2 for 34\"",
        "find[1].comps",
        "\"2 for 34\"",
        "a list",
        "comps = [",
    ),
    broken(
        "[\"2 for 34 + 14.50, 20d ago\", \"unsold 95 x4 for 75d\"]",
        "[]",
        "find[1].comps",
        "[]",
        "the list is empty",
        "comps = [",
    ),
    // A misspelt key isn't told a second time by what hangs on it.
    broken("comps =", "comp =", "find[1].comp", "comp = ", "no key is called `comp`", "`comps`"),
    broken("comps =", "comps_flie =", "find[1].comps_flie", "comps_flie", "no key", "`comps_file`"),
    broken("per_set = 1", "per_ste = 1", "find[1].piece[1].per_ste", "per_ste", "no key", "`per_set`"),
    broken("per_lot = 2", "per_lto = 2", "find[2].per_lto", "per_lto", "no key", "`per_lot`"),
    broken("per_lot = 2", "per_lto = 2", "find[2].per_lto", "per_lto", "no key", "`per_lot`"),
    broken(
        "per_lot = 2",
        "per_lto = 2\ncomps = [\"14\"]",
        "find[2].per_lto",
        "per_lto",
        "no key",
        "`per_lot`",
    ),
    broken("[[find.piece]]", "[[find.pice]]", "find[1].pice", "pice]]", "no key is called `pice`", "`piece`")
        .also("[[find.piece]]", "[[find.pice]]"),
    // Keys in the wrong table.
    broken(
        "form = \"consomme_saucer\"",
        "form = \"consomme_saucer\"\ncomps = [\"2 for 9\"]",
        "find[1].piece[2].comps",
        "comps = [\"2 for 9",
        "`comps` is not read here",
        "`comps` below [[find]]",
    ),
    broken(
        "form = \"consomme_saucer\"",
        "form = \"consomme_saucer\"\npaid = 3.00",
        "find[1].piece[2].paid",
        "paid",
        "not read here",
        "below [[find]]",
    ),
    broken(
        "form = \"consomme_saucer\"",
        "form = \"consomme_saucer\"\ngrade = \"E\"",
        "find[1].piece[2].grade",
        "grade = \"E\"\ncount",
        "not read here",
        "`flawed_grade`",
    ),
    broken(
        "grade = \"C\"",
        "alone = 0.5",
        "find[1].alone",
        "alone = 0.5",
        "not read here",
        "below a [[find.piece]]",
    ),
    broken(
        "grade = \"C\"",
        "maker = \"x\"",
        "find[1].maker",
        "maker = \"x",
        "not read here",
        "words = { maker",
    ),
    broken("grade = \"C\"", "venue = \"x\"", "find[1].venue", "venue", "not read here", "below [market]"),
    broken(
        "units = \"in\"",
        "units = \"in\"\ncomps = [\"14\"]",
        "comps",
        "comps = [\"14\"]",
        "not read here",
        "below [[find]]",
    ),
    // Who decides on the lots.
    broken(
        "per_set = 1",
        "per_lot = 1",
        "find[1].piece[2].per_lot",
        "[[find.piece]]\nform = \"consomme_saucer\"",
        "`per_lot` is missing",
        "per_lot in no piece of the find",
    ),
    broken(
        "per_lot = 2",
        "",
        "find[2].per_lot",
        "[[find]]\nname = \"mugs\"",
        "`per_lot` is missing",
        "comps below [[find]] so that the split decides",
    ),
    broken(
        "count = 11",
        "count = 11\nper_lot = 1",
        "find[1].piece[1].per_set",
        "per_set",
        "only where the split decides",
        "per_lot in every piece",
    ),
    broken(
        "per_lot = 2",
        "per_lot = 2\nper_set = 2",
        "find[2].per_set",
        "per_set = 2\n",
        "only where the split decides",
        "comps below [[find]]",
    ),
    broken(
        "per_lot = 2",
        "per_set = 2",
        "find[2].per_set",
        "per_set = 2\n",
        "only where the split decides",
        "per_lot = 2",
    ),
    broken(
        "per_lot = 2",
        "comps = [\"14\"]",
        "find[2].price",
        "30.00",
        "the split decides on the lots and their prices",
        "per_lot beside it, or no price",
    ),
    broken(
        "per_set = 1",
        "per_set = 15",
        "find[1].piece[1].per_set",
        "15",
        "a set takes 15 pieces, but there are only 14",
        "at most the count, 14",
    ),
    broken(
        "per_set = 1",
        "per_set = 14",
        "find[1].piece[1].per_set",
        "14\n\n[[find.piece]]",
        "the find makes no set",
        "per_set of at most 13",
    ),
    broken("per_set = 1", "per_set = 101", "find[1].piece[1].per_set", "101", "101 is not", "from 0 to 100"),
    broken(
        "count = 11",
        "count = 11\nflawed = 11",
        "find[1].piece[2]",
        "[[find.piece]]\nform = \"consomme_saucer\"",
        "only 0 of the 11",
        "flawed = 0 and grade = \"E\"",
    ),
    broken(
        "per_set = 1",
        "per_set = 0",
        "find[1].piece[1].per_set",
        "0\n\n[[find.piece]]\nform = \"consomme_saucer\"\ncount = 11\nper_set = 0",
        "no piece of this find goes into a set",
        "per_set = 1 or more",
    )
    .also("count = 11", "count = 11\nper_set = 0"),
    broken(
        "per_set = 1",
        "per_set = 4",
        "find[1].piece[1].per_set",
        "4\n\n[[find.piece]]",
        "this set is 2 smaller sets",
        "per_set = 2 here",
    )
    .also("count = 11", "count = 11\nper_set = 2"),
    broken(
        "price = 30.00",
        "comps = [\"14\"]",
        "find[2].per_set",
        "2\n",
        "a set of one kind of piece is one piece",
        "per_set = 1, or per_lot",
    )
    .also("per_lot = 2", "per_set = 2"),
    broken(
        "per_lot = 2",
        "per_lot = 2\nalone = 0.5",
        "find[2].alone",
        "alone = 0.5",
        "a set is one piece here",
        "no `alone`",
    ),
    broken(
        "largest_lot = 8",
        "largest_lot = 0",
        "find[1].largest_lot",
        "0\ncomps",
        "0 is not",
        "from 1 to 100",
    ),
    // What it costs.
    broken(
        "asking = 7.00",
        "asking = 7.00\npaid = 6.50",
        "find[1].paid",
        "6.50",
        "`asking` and `paid` stand together",
        "before it is bought",
    ),
    broken("asking = 7.00", "asking = -7", "find[1].asking", "-7", "0 or more", "asking = 7.00"),
    broken("asking = 7.00", "paid = 7.005", "find[1].paid", "7.005", "whole cents", "paid = 7.00"),
    broken("asking = 7.00", "askin = 7.00", "find[1].askin", "askin", "no key is called `askin`", "`asking`"),
    broken("asking = 7.00", "ask = 7.00", "find[1].ask", "ask = 7", "no key is called `ask`", "`asking`"),
    // Condition.
    broken("grade = \"C\"", "grade = \"f\"", "find[1].grade", "\"f\"", "is called \"f\"", "A (as new) to E"),
    broken("grade = \"C\"", "grade = 3", "find[1].grade", "3\n", "a number", "grade = \"C\""),
    broken(
        "flawed_grade = \"E\"",
        "flawed_grade = \"F\"",
        "find[1].piece[1].flawed_grade",
        "\"F\"",
        "is called \"F\"",
        "flawed_grade = \"E\"",
    ),
    broken(
        "1 hairline 1 1/2",
        "1 harline 1 1/2",
        "find[1].piece[1].flaws[1]",
        "harline",
        "no condition term",
        "hairline",
    ),
    broken("in rim\"]", "in rym\"]", "find[1].piece[1].flaws[1]", "rym", "no place on a piece", "rim"),
    broken(
        "[\"1 hairline",
        "[\"15 hairline",
        "find[1].piece[1].flaws[1]",
        "15 hair",
        "15 of 14 can't have it",
        "from 1 to 14",
    ),
    broken(
        "hairline 1 1/2 in rim",
        "hairline",
        "find[1].piece[1].flaws[1]",
        "\"]\nalone",
        "is missing",
        "hairline 1/2 in rim",
    ),
    // What hangs on a count that can't be read isn't blamed.
    broken("count = 14", "count = 0", "find[1].piece[1].count", "0\nflawed", "0 is not", "from 1 to 1000"),
    broken(
        "alone = \"55 %\"",
        "alone = \"155 %\"",
        "find[1].piece[1].alone",
        "\"155 %\"",
        "from 0 % to 100 %",
        "40 %",
    ),
    broken("alone = \"55 %\"", "alone = 55", "find[1].piece[1].alone", "55\nper", "from 0 to 1", "\"40 %\""),
    broken("alone = \"55 %\"", "alone = nan", "find[1].piece[1].alone", "nan", "`nan`", "\"40 %\""),
    // Words.
    broken(
        "maker = \"unmarked\"",
        "maker = \"A\", attributed_to = \"B\"",
        "find[1].words.attributed_to",
        "\"B\"",
        "`maker` and `attributed_to` stand together",
        "without a mark",
    ),
    broken("maker =", "makr =", "find[1].words.makr", "makr", "no key is called `makr`", "`maker`"),
    broken(
        "maker = \"unmarked\"",
        "period = \"vintage\", proof = \"a bill\"",
        "find[1].words.proof",
        "\"a bill\"",
        "no date that this would prove",
        "period = \"1950s\"",
    ),
    broken("\"set\" }", "\"pair\" }", "find[1].words.sold_as", "\"pair\"", "not sold as \"pair\"", "\"lot\""),
    broken(
        "\"set\" }",
        "\"service for 0\" }",
        "find[1].words.sold_as",
        "\"service",
        "not sold as",
        "\"service for 4\"",
    ),
    broken("[\"bouillon\"]", "[1, 2]", "find[1].words.synonyms[1]", "1, 2", "a number", "[\"bouillon\"]")
        .problems(2),
    broken(
        "[\"bouillon\"]",
        "\"bouillon\"",
        "find[1].words.synonyms",
        "\"bouillon\"",
        "a list",
        "[\"bouillon\"]",
    ),
    broken("{ maker = \"unmarked\", ", "5 # ", "find[1].words", "5 #", "a number stands", "words = {"),
];
