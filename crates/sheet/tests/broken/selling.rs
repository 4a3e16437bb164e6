//! The mistakes of `[market]` and `[buying]`.

use crate::case::{Broken, broken};

pub const SOLD: &str = r#"title = "Sold"

[post]
from = "45300"
to = ["606"]
card = "ground_advantage_commercial"

[market]
venue = "open market"
buyers_tax = "6.8 %"
takes = ["85 %", "10 %", "5 %"]
damage = 0.02
ask = 1.1
most_sizes = 2
natural_sizes = [1, 2, 4]
sell_through = { sold = 18, days = 90, on_offer = 12 }
grades = { A = 0.2, E = -0.6 }
unstated_shipping = "7.00 - 16.00"
errors = "normal"

[buying]
return = "50 %"
least_profit = 8.00
loss_risk = "10 %"
horizon = 365

[[find]]
name = "mug"
form = "diner_mug"
count = 1
per_lot = 1
"#;

pub const BROKEN: &[Broken] = &[
    broken(
        "\"open market\"",
        "\"opne market\"",
        "market.venue",
        "\"opne",
        "no venue is called",
        "\"open_market\"",
    ),
    broken("\"open market\"", "\"zzzz\"", "market.venue", "\"zzzz\"", "no venue", "one of collectors_hall"),
    broken("venue =", "veneu =", "market.veneu", "veneu", "no key is called `veneu`", "`venue`"),
    broken(
        "\"open market\"",
        "\"open market\"\nvenues = \"mine.toml\"",
        "market.venues",
        "\"mine.toml\"",
        "can't be read: there is no file",
        "venues = ",
    ),
    broken("\"6.8 %\"", "\"150 %\"", "market.buyers_tax", "\"150 %\"", "from 0 % to 50 %", "\"6.8 %\""),
    broken(
        "\"6.8 %\"",
        "6.8",
        "market.buyers_tax",
        "6.8\n",
        "`6.8` is not a number from 0 to 0.5",
        "\"6.8 %\"",
    ),
    broken("\"6.8 %\"", "\"6,8 %\"", "market.buyers_tax", "\"6,8", "`6,8 %`", "\"6.8 %\""),
    broken("\"6.8 %\"", "true", "market.buyers_tax", "true", "true or false", "\"6.8 %\""),
    broken("damage = 0.02", "damage = 2", "market.damage", "2\nask", "from 0 to 0.5", "damage = \"1.5 %\""),
    broken("damage = 0.02", "damage = \"-1 %\"", "market.damage", "\"-1", "`-1 %`", "damage = \"1.5 %\""),
    broken(
        "\"10 %\", \"5 %\"]\ndamage",
        "\"10 %\"]\ndamage",
        "market.takes",
        "[\"85",
        "add up to 95 %",
        "100 %",
    ),
    broken(
        "[\"85 %\"",
        "[\"120 %\"",
        "market.takes[1]",
        "\"120 %\"",
        "from 0 % to 100 %",
        "of one lot, of two",
    ),
    broken("[\"85 %\", \"10 %\"", "[85, 10", "market.takes[1]", "85, 10", "from 0 to 1", "of one lot")
        .problems(2),
    broken(
        "[\"85 %\", \"10 %\"",
        "[0, \"95 %\"",
        "market.takes",
        "[0, \"95",
        "no order takes one lot",
        "of one lot",
    ),
    broken("[\"85 %\", \"10 %\", \"5 %\"]", "\"85 %\"", "market.takes", "\"85 %\"", "a list", "takes = ["),
    broken("ask = 1.1", "ask = 0", "market.ask", "0\nmost", "from 0.1 to 10", "ask = 1.1"),
    broken("ask = 1.1", "holding = 1e300", "market.holding", "1e300", "`1e300`", "holding = 0.01"),
    broken("ask = 1.1", "price_fall = 9", "market.price_fall", "9\nmost", "from -1 to 2", "price_fall = 0.2"),
    broken("ask = 1.1", "wage = 15", "market.wage", "wage", "not read here", "`wage` below [packing]"),
    broken("ask = 1.1", "guard = \"40 %\"", "market.guard", "guard", "not read here", "below [buying]"),
    broken("most_sizes = 2", "most_sizes = 13", "market.most_sizes", "13", "from 1 to 12", "most_sizes = 2"),
    broken("most_sizes = 2", "spare = -1", "market.spare", "-1", "from 0 to 100", "spare = 1"),
    broken("[1, 2, 4]", "[0, 1.5]", "market.natural_sizes[1]", "0, 1.5]", "0 is not", "natural_sizes = [")
        .problems(2),
    broken("sold = 18, ", "", "market.sell_through.sold", "{ days", "`sold` is missing", "sold = 18"),
    broken("days = 90", "days = 0", "market.sell_through.days", "0, on", "from 0.1", "days = 90"),
    broken("on_offer = 12", "offered = 12", "market.sell_through.offered", "offered", "no key", "on_offer")
        .problems(2),
    broken("E = -0.6", "F = -0.6", "market.grades.F", "F =", "no key is called `F`", "A, B, C, D, E"),
    broken("A = 0.2", "A = 20", "market.grades.A", "20,", "from -5 to 5", "A = 0.2"),
    broken(
        "7.00 - 16.00",
        "16.00 - 7.00",
        "market.unstated_shipping",
        "\"16.00",
        "the lower first",
        "\"7.00 - 16.00\"",
    ),
    broken("7.00 - 16.00", "7.00", "market.unstated_shipping", "\"7.00", "two amounts", "\"7.00 - 16.00\""),
    broken(
        "\"normal\"",
        "\"lognormal\"",
        "market.errors",
        "\"lognormal\"",
        "no law of errors",
        "\"student t\"",
    ),
    broken("[market]", "[markt]", "markt", "markt", "no key is called `markt`", "`market`"),
    broken("[market]", "[[market]]", "market", "[[market]]", "double brackets", "[market] with venue"),
    // Buying.
    broken(
        "\"50 %\"",
        "50",
        "buying.return",
        "50\nleast",
        "`50` is not a number from 0 to 1",
        "return = \"50 %\"",
    ),
    broken("\"50 %\"", "\"50\"", "buying.return", "\"50\"", "from 0 to 1", "return = \"50 %\""),
    broken("\"50 %\"", "inf", "buying.return", "inf", "`inf`", "return = \"50 %\""),
    broken("= 8.00", "= \"a lot\"", "buying.least_profit", "\"a lot\"", "a lot", "least_profit = 8.00"),
    broken(
        "\"10 %\"\nhorizon",
        "\"60 %\"\nhorizon",
        "buying.loss_risk",
        "\"60 %\"",
        "from 0.1 % to 50 %",
        "\"10 %\"",
    ),
    broken(
        "horizon = 365",
        "horizon = 0",
        "buying.horizon",
        "0\n\n[[find",
        "from 1 to 10000",
        "horizon = 365",
    ),
    broken("horizon = 365", "gaurd = \"40 %\"", "buying.gaurd", "gaurd", "no key", "`guard`"),
    broken(
        "horizon = 365",
        "damage = \"2 %\"",
        "buying.damage",
        "damage = \"2",
        "not read here",
        "below [market]",
    ),
    broken("horizon = 365", "wage = 12", "buying.wage", "wage", "not read here", "below [packing]"),
    broken("[buying]", "[[buying]]", "buying", "[[buying]]", "double brackets", "[buying] with return"),
];
