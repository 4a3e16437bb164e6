//! Every mistake is told at its own line and field, with what would be right.

mod desk;

use desk::read;
use sheet::Problem;

const RIGHT: &str = r#"title = "Right"
units = "in"

[post]
from = "45300"
to = ["100", "606", "981"]
card = "ground_advantage_commercial"
date = "2026-11-25"

[charge]
policy = "flat plus"
first = 9.50
further = 4.00

[packing]
profile = "rule_of_two"
clearance = "1.5 in"
wage = 15

[[carton]]
size = "12 x 12 x 8"
on_hand = 3
cost = 1.10
cut_to = [6, 4]

[[find]]
name = "cups"
price = 24.00

[[find.piece]]
form = "consomme_cup"
count = 14
flawed = 1
per_lot = 2
height = 2.5
handle_reach = 0.9

[[find.piece]]
form = "consomme_saucer"
count = 11
per_lot = 2

[[find]]
name = "mug"
form = "diner_mug"
count = 3
per_lot = 1

[[order]]
name = "both"
lots = { "cups" = 2, "mug" = 1 }
"#;

/// What is broken, by what, and what must then be told.
struct Broken {
    /// Text of the right sheet that is replaced, once.
    was: &'static str,
    is: &'static str,
    field: &'static str,
    /// Text at which the problem begins.
    at: &'static str,
    /// Words of the message.
    says: &'static str,
    /// Words of what would be right.
    right: &'static str,
    /// How many problems are told in all.
    problems: usize,
}

impl Broken {
    const fn problems(self, problems: usize) -> Self {
        Self { problems, ..self }
    }
}

const fn broken(
    was: &'static str,
    is: &'static str,
    field: &'static str,
    at: &'static str,
    says: &'static str,
    right: &'static str,
) -> Broken {
    Broken { was, is, field, at, says, right, problems: 1 }
}

const BROKEN: &[Broken] = &[
    // The sheet itself.
    broken("title = \"Right\"", "", "title", "", "`title` is missing", "title = "),
    broken("title = \"Right\"", "title = 5", "title", "5\n", "a number stands", "title = "),
    broken("title = \"Right\"", "title = \" \"", "title", "\" \"", "empty", "title = "),
    broken("title =", "titel =", "titel", "titel", "no key is called `titel`", "`title`"),
    broken("units = \"in\"", "units = \"inch\"", "units", "\"inch\"", "`inch`", "units = \"in\""),
    broken("units = \"in\"\n", "", "carton[1].size", "\"12 x 12 x 8\"", "no unit", "units = \"in\"").problems(3),
    broken("[post]", "[posts]", "posts", "posts", "no key is called `posts`", "`post`"),
    // Post.
    broken("from = \"45300\"", "", "post.from", "[post]", "`from` is missing", "from = \"45300\""),
    broken("\"45300\"", "\"4530\"", "post.from", "\"4530\"", "three or five digits", "45300"),
    broken("\"45300\"", "45300", "post.from", "45300", "in quotes", "\"45300\""),
    broken("\"45300\"", "\"00100\"", "post.from", "\"00100\"", "001", "chart"),
    broken("\"606\"", "\"60x\"", "post.to[2]", "\"60x\"", "three or five digits", "606"),
    broken("\"606\"", "\"100\"", "post.to[2]", "\"100\", \"981\"", "written twice", "once"),
    broken("[\"100\", \"606\", \"981\"]", "[]", "post.to", "[]", "empty", "to = "),
    broken("[\"100\", \"606\", \"981\"]", "\"100\"", "post.to", "\"100\"", "a list", "to = "),
    broken(
        "[\"100\", \"606\", \"981\"]",
        "[{ zip = \"100\", share = 0.4 }, { zip = \"606\", share = 0.5 }]",
        "post.to",
        "[{ zip",
        "add up to 0.9",
        "add up to 1",
    ),
    broken(
        "[\"100\", \"606\", \"981\"]",
        "[{ zip = \"100\", share = 0.4 }, \"606\"]",
        "post.to",
        "[{ zip",
        "1 of 2 buyers",
        "every buyer",
    ),
    broken(
        "[\"100\", \"606\", \"981\"]",
        "[{ zip = \"100\", share = -1.0 }]",
        "post.to[1].share",
        "-1.0",
        "more than 0",
        "0.4",
    ),
    broken(
        "[\"100\", \"606\", \"981\"]",
        "[{ zip = \"100\", shares = 1 }]",
        "post.to[1].shares",
        "shares",
        "no key",
        "`share`",
    ),
    broken(
        "_advantage_commercial",
        "_advantage_comercial",
        "post.card",
        "\"ground_advantage_comercial\"",
        "no rate card",
        "\"ground_advantage_commercial\"",
    ),
    broken("date = \"2026-11-25\"", "date = \"2026-02-30\"", "post.date", "\"2026-02", "no", "2026-11-25"),
    broken("date = \"2026-11-25\"", "date = \"tomorrow\"", "post.date", "\"tomo", "`tomorrow`", "2026-11-25"),
    broken("date = \"2026-11-25\"", "date = 1026-11-25", "post.date", "1026", "1026", "2000 to 2099"),
    broken("date = \"2026-11-25\"", "date = 2026-11-25T10:00:00", "post.date", "2026", "day", "2026-11-25"),
    broken("date =", "day =", "post.day", "day", "no key is called `day`", "date"),
    broken("date = \"2026-11-25\"", "units = \"in\"", "post.units", "units = \"in\"\n\n[ch", "not read here", "top"),
    // Charge.
    broken("\"flat plus\"", "\"flat pluss\"", "charge.policy", "\"flat pl", "no policy", "\"flat plus\""),
    broken("\"flat plus\"", "\"flat\"", "charge.amount", "[charge]", "`amount` is missing", "amount = ").problems(3),
    broken("\"flat plus\"", "\"combined\"", "charge.first", "first", "not read here", "\"flat plus\"").problems(2),
    broken("first = 9.50", "first = 9.505", "charge.first", "9.505", "whole cents", "first = 9.50"),
    broken("first = 9.50", "first = -9.50", "charge.first", "-9.50", "0 or more", "first = 9.50"),
    broken("first = 9.50", "first = true", "charge.first", "true", "true or false", "first = 9.50"),
    broken("further = ", "furhter = ", "charge.furhter", "furhter", "no key", "`further`"),
    // Packing.
    broken("\"rule_of_two\"", "\"rule_of_tow\"", "packing.profile", "\"rule_of_tow", "no profile", "rule_of_two"),
    broken("\"1.5 in\"", "0", "packing.clearance", "0\nwage", "more than zero", "1 1/2 in"),
    broken("\"1.5 in\"", "\"1.5\\u0007\"", "packing.clearance", "\"1.5\\u0007", "unit", "1 1/2 in"),
    broken("\"1.5 in\"", "13", "packing.clearance", "13\n", "wider", "at most 12 in"),
    broken("wage = 15", "wages = 15", "packing.wages", "wages", "no key", "`wage`"),
    // Cartons.
    broken("\"12 x 12 x 8\"", "\"12 x 12\"", "carton[1].size", "\"12 x 12\"", "three sides", "12 x 12 x 8"),
    broken("\"12 x 12 x 8\"", "\"12 x 0 x 8\"", "carton[1].size", "\"12 x 0", "more than zero", "12 x 12 x 8"),
    broken("\"12 x 12 x 8\"", "[12, -12, 8]", "carton[1].size[2]", "-12", "negative", "12 x 12 x 8"),
    broken("\"12 x 12 x 8\"", "\"12 x 12 x 800\"", "carton[1].size", "\"12 x 12", "longer", "at most 108 in"),
    broken("on_hand = 3", "on_hand = 2.5", "carton[1].on_hand", "2.5", "whole number", "on_hand = 3"),
    broken("on_hand = 3", "on_hnad = 3", "carton[1].on_hnad", "on_hnad", "no key", "`on_hand`"),
    broken("cost = 1.10", "grade = \"32 ETC\"", "carton[1].grade", "\"32 ETC", "no grade", "\"32 ECT\""),
    broken("[6, 4]", "[6, 8]", "carton[1].cut_to[2]", "8]", "own height", "less than"),
    broken("[[carton]]", "[carton]", "carton", "[carton]", "single brackets", "[[carton]]"),
    broken("units = \"in\"", "units = \"in\"\ncartons = \"all\"", "cartons", "\"all\"", "stock", "cartons = \"stock\""),
    // Finds.
    broken("name = \"mug\"", "", "find[2].name", "[[find]]\n\nform", "`name` is missing", "name = "),
    broken("name = \"mug\"", "name = \"Cups\"", "find[2].name", "\"Cups\"", "two finds", "of its own"),
    broken("price = 24.00", "prize = 24.00", "find[1].prize", "prize", "no key", "`price`"),
    broken("price = 24.00", "price = 0", "find[1].price", "0\n\n[[find.piece]]", "more than 0", "price = 24.00"),
    broken("price = 24.00", "count = 14", "find[1].count", "count = 14\n\n", "not read here", "[[find.piece]]"),
    broken("form = \"diner_mug\"\ncount = 3\nper_lot = 1\n", "", "find[2]", "[[find]]\nname = \"mug\"", "no pieces", "[[find.piece]]"),
    broken("form = \"diner_mug\"", "", "find[2].form", "[[find]]\nname = \"mug\"", "`form` is missing", "form = "),
    // Pieces.
    broken("\"diner_mug\"", "\"dinner mug\"", "find[2].form", "\"dinner mug\"", "no form", "diner mug"),
    broken("\"diner_mug\"", "\"xyzzy\"", "find[2].form", "\"xyzzy\"", "no form", "list of forms"),
    broken("count = 14", "count = 1_000_000", "find[1].piece[1].count", "1_000_000", "1000000", "from 1 to 1000"),
    broken("count = 14", "count = 0", "find[1].piece[1].count", "0\nflawed", "0 is not", "from 1 to 1000"),
    broken("count = 14", "count = -3", "find[1].piece[1].count", "-3", "-3 is not", "from 1 to 1000"),
    broken("count = 14", "count = \"14\"", "find[1].piece[1].count", "\"14\"", "a text", "count = 14"),
    broken("count = 14", "cuont = 14", "find[1].piece[1].cuont", "cuont", "no key", "`count`"),
    broken("flawed = 1", "flawed = 15", "find[1].piece[1].flawed", "15\nper", "only 14", "at most the count, 14"),
    broken("flawed = 1", "flawed = 13", "find[1].piece[1].per_lot", "2\nheight", "makes no lot", "at most 1"),
    broken("per_lot = 2\nheight", "height", "find[1].piece[1].per_lot", "[[find.piece]]", "`per_lot` is missing", "per_lot = 2"),
    broken("per_lot = 2\nheight", "per_lot = 15\nheight", "find[1].piece[1].per_lot", "15\nheight", "only 14", "at most the count, 14"),
    broken("count = 3\nper_lot = 1", "count = 3\nper_lot = 0", "find[2].per_lot", "0\n\n[[order]]", "goes into a lot", "1 or more"),
    broken("height = 2.5", "height = 0", "find[1].piece[1].height", "0\nhandle", "more than zero", "height = "),
    broken("height = 2.5", "height = \"-2.5 in\"", "find[1].piece[1].height", "\"-2.5 in\"", "negative", "height = "),
    broken("height = 2.5", "height = \"2.5 oz\"", "find[1].piece[1].height", "\"2.5 oz\"", "`oz`", "height = "),
    broken("height = 2.5", "height = [2.5]", "find[1].piece[1].height", "[2.5]", "a list", "height = "),
    broken("height = 2.5", "height = nan", "find[1].piece[1].height", "nan", "number was expected", "height = "),
    broken("height = 2.5", "spout_reach = 2", "find[1].piece[1].spout_reach", "spout_reach", "has no spout_reach", "height"),
    broken("height = 2.5", "hieght = 2.5", "find[1].piece[1].hieght", "hieght", "no key", "`height`"),
    broken("handle_reach = 0.9", "handle_reach = 0.0", "find[1].piece[1].handle_reach", "0.0\n", "handle_reach must be more than 0", "handle_reach = \"0.9 in\""),
    broken("handle_reach = 0.9", "handle_height = 9", "find[1].piece[1].handle_height", "9\n\n", "at most", "in"),
    broken("handle_reach = 0.9", "handles = 9", "find[1].piece[1].handles", "9\n\n", "9 is not", "from 0 to 8"),
    broken("handle_reach = 0.9", "recipe = \"cupp\"", "find[1].piece[1].recipe", "\"cupp\"", "no recipe", "\"cup\""),
    // Orders.
    broken("\"mug\" = 1", "\"mgu\" = 1", "order[1].lots.mgu", "\"mgu\"", "no find is called \"mgu\"", "\"mug\""),
    broken("\"mug\" = 1", "\"mug\" = 4", "order[1].lots.mug", "4 }", "only 3", "at most 3"),
    broken("\"mug\" = 1", "\"mug\" = 0", "order[1].lots.mug", "0 }", "0 is not", "from 1"),
    broken("{ \"cups\" = 2, \"mug\" = 1 }", "{}", "order[1].lots", "{}", "takes nothing", "lots = "),
    broken("{ \"cups\" = 2, \"mug\" = 1 }", "27", "order[1].lots", "27", "a table", "lots = "),
    broken("lots = {", "lot = {", "order[1].lot", "lot = {", "no key", "`lots`"),
    // TOML.
    broken("first = 9.50", "first = 9.50\nfirst = 9.60", "first", "first = 9.60", "written twice", "each key once"),
    broken("first = 9.50", "first = ", "", "\nfurther", "not TOML", "key = value"),
    broken("height = 2.5", "height = 2 1/2 in", "", "2 1/2 in\nhandle", "not TOML", "with a unit are texts"),
    broken("\"cups\"\nprice", "\"cups\nprice", "", "\nprice", "not TOML", "in quotes"),
];

fn told(text: &str) -> Vec<Problem> {
    read(text).err().unwrap_or_default()
}

fn plainly(problems: &[Problem]) -> String {
    problems.iter().map(|problem| problem.plain("sheet") + "\n").collect()
}

#[test]
fn the_right_sheet_is_right() {
    assert_eq!(plainly(&told(RIGHT)), "");
}

#[test]
fn each_mistake_is_told_at_its_place_with_what_would_be_right() {
    let mut failures = String::new();
    for case in BROKEN {
        assert!(RIGHT.contains(case.was), "{} is not in the right sheet", case.was);
        let text = RIGHT.replacen(case.was, case.is, 1);
        let problems = told(&text);
        let at = text.find(case.at).expect("the case names a place of its own sheet");
        let line = text[..at].matches('\n').count() + 1;
        let place = if case.at.is_empty() { (0, 1) } else { (at, line) };
        let holds = problems.iter().any(|problem| {
            problem.field == case.field
                && (problem.span.start, problem.line) == place
                && problem.message.contains(case.says)
                && problem.right.contains(case.right)
        });
        let holds = holds && problems.len() == case.problems;
        if !holds {
            let said = plainly(&problems);
            failures += &format!("{:?} -> {:?} (line {line}, at {at}):\n{said}\n", case.was, case.is);
        }
    }
    assert!(failures.is_empty(), "{failures}");
}
