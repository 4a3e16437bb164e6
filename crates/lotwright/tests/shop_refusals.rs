//! What the commands of the shop file refuse: with exit code 2, the option, what was wrong and what would be right,
//! and nothing stored.

#![allow(clippy::unwrap_used)] // A test that cannot run its command has failed.

mod till;

use till::Till;

/// What is typed, and words of the refusal.
type Case = (&'static [&'static str], &'static [&'static str]);

const WRONG: &[Case] = &[
    (&["haul", "--place", "hall", "--find", "3 diner_mug"], &["--paid is missing", "right would be"]),
    (&["haul", "--paid", "3", "--find", "3 diner_mug"], &["--place is missing", "right would be"]),
    (&["haul", "--paid", "3", "--place", "hall"], &["--find is missing", "right would be"]),
    (&["haul", "--paid", "three", "--place", "hall", "--find", "3 diner_mug"], &["--paid"]),
    (&["haul", "--paid", "3", "--place", "hall", "--find", "3 dinner_mugg"], &["--find", "diner mug"]),
    (&["haul", "--paid", "3", "--place", "hall", "--find", "mugs"], &["--find", "count", "right would be"]),
    (&["haul", "--paid", "3", "--place", "hall", "--find", "3 diner_mug", "--miles", "NaN"], &["--miles"]),
    (&["haul", "--paid=-3", "--place", "hall", "--find", "3 diner_mug"], &["--paid"]),
    (&["haul", "--paid", "-3", "--place", "hall", "--find", "3 diner_mug"], &["--paid:", "-3", "3.00"]),
    (&["trip", "--miles", "-2", "--for", "the post office"], &["--miles:", "-2"]),
    (
        &["haul", "--paid", "3", "--place", "hall", "--find", "0 diner_mug"],
        &["--find:", "at least one piece"],
    ),
    (&["haul", "--paid", "9999999999", "--place", "hall", "--find", "3 diner_mug"], &["paid"]),
    (
        &["haul", "--paid", "3", "--place", "hall", "--find", "3 diner_mug", "--date", "2026-02-30"],
        &["--date", "2026-03-07"],
    ),
    (&["stock", "--now", "noon"], &["--now", "2026-03-07T10:00:00Z"]),
    (&["find", "99"], &["there is no find 99"]),
    (&["find", "1", "--measure", "diameter"], &["--measure", "right would be"]),
    (&["find", "1", "--measure", "spout=2"], &["--measure", "no measure called spout", "diameter"]),
    (&["find", "1", "--measure", "weight=0"], &["--measure"]),
    (&["find", "1", "--flaw", ""], &["--flaw", "right would be"]),
    (&["find", "1", "--comp", "two for nothing"], &["--comp"]),
    (&["find", "1", "--form", "cupp"], &["--form"]),
    (&["list-up", "--price", "30"], &["--holds is missing", "right would be"]),
    (&["list-up", "--holds", "2 of 1"], &["--price is missing", "right would be"]),
    (&["list-up", "--holds", "two cups", "--price", "3"], &["--holds", "right would be"]),
    (
        &["list-up", "--holds", "2 of 1", "--price", "30", "--lots", "9"],
        &["--lots", "find 1 has 12", "18 are wanted"],
    ),
    (
        &["list-up", "--holds", "2 of 1", "--price", "30", "--floor", "31"],
        &["--floor: 31.00 is over the price", "at most 30.00"],
    ),
    (
        &["list-up", "--holds", "2 of 1", "--price", "30", "--title", " "],
        &["--title is empty", "right would be"],
    ),
    (&["list-up", "9", "--price", "30"], &["there is no listing 9"]),
    (&["order", "take", "--lots", "1 of 9", "--to", "606"], &["--lots", "there is no listing 9"]),
    (&["order", "take", "--lots", "4 of 1", "--to", "606"], &["--lots", "3 lots left", "4 are wanted"]),
    (&["order", "take", "--lots", "1 of 1", "--to", "Ohio"], &["--to", "right would be"]),
    (
        &["order", "take", "--lots", "1 of 1", "--to", "606", "--date", "2026-01-31"],
        &["--date: an order of 2026-01-31", "bought on", "right would be"],
    ),
    (
        &["order", "take", "--lots", "1 of 1", "--to", "606", "--promise", "soon"],
        &["--promise", "right would be"],
    ),
    (
        &["order", "take", "--lots", "1 of 1", "--to", "606", "--price", "1", "--price", "2"],
        &["--price", "right would be"],
    ),
    (&["order", "pay", "9"], &["there is no order 9"]),
    (&["order", "pay", "1"], &["order 1 is", "this needs"]),
    (&["order", "cancel", "9"], &["there is no order 9"]),
    (&["order", "show", "9"], &["there is no order 9"]),
    (&["order", "swap", "--out", "1:1", "--in", "1:14,13"], &["--in", "right would be"]),
    (&["bench", "plan", "9"], &["there is no order 9"]),
    (&["bench", "plan", "1"], &["no cartons", "right would be"]),
    (&["bench", "pull", "9"], &["there is no order 9"]),
    (&["ship", "9"], &["there is no order 9"]),
    (&["ship", "1", "--weight", "heavy"], &["--weight"]),
    (&["ship", "1", "--size", "12 x 12"], &["--size", "right would be"]),
    (
        &["ship", "1", "--weight", "1 lb", "--weight", "1 lb", "--minutes", "3"],
        &["--minutes", "right would be"],
    ),
    (&["ship", "1", "--used", "carton=1"], &["--used", "right would be"]),
    (&["back", "1"], &["right would be"]),
    (&["back", "1", "--returned", "1"], &["--returned", "right would be"]),
    (&["back", "1", "--returned", "1:13"], &["13"]),
    (&["back", "1", "--refund", "999"], &["999"]),
    (&["claim", "open", "--order", "9", "--asked", "3"], &["there is no order 9"]),
    (&["claim", "paid", "9"], &["there is no claim 9"]),
    (&["supply", "add", "--name", "box", "--kind", "carton"], &["--name", "right would be"]),
    (&["supply", "add", "--name", "12 x 12", "--kind", "carton"], &["three sides", "right would be"]),
    (&["supply", "add", "--name", "x", "--kind", "fill", "--material", "feathers"], &["--material"]),
    (&["supply", "add", "--name", "x", "--kind", "fill", "--holds", "0"], &["--holds", "right would be"]),
    (
        &["supply", "add", "--name", "x", "--kind", "fill", "--size", "1 x 1 x 1"],
        &["--size", "right would be"],
    ),
    (&["supply", "buy", "--name", "fil", "--units", "1"], &["--name", "right would be"]),
    (&["supply", "use", "--name", "fill", "--units", "2"], &["--units"]),
    (&["supply", "buy", "--name", "fill", "--units", "NaN"], &["--units"]),
    (&["supply", "buy", "--name", "fill", "--units=-1"], &["--units"]),
    (&["spend", "--amount", "1", "--on", "postage"], &["--order is missing", "right would be"]),
    (&["spend", "--amount", "1", "--on", "haul"], &["--haul is missing", "right would be"]),
    (&["spend", "--amount", "1", "--on", "office", "--order", "1"], &["--order", "right would be"]),
    (&["spend", "--amount", "1", "--on", "office", "--back"], &["--back", "right would be"]),
    (&["spend", "--amount", "0", "--on", "office"], &["amount"]),
    (&["trip", "--miles=-1", "--for", "post"], &["--miles"]),
    (&["income", "--amount", "0", "--as", "payout"], &["amount"]),
    (&["take-back", "99", "--why", "wrong"], &["there is no entry 99"]),
    (&["off-shelf", "--pieces", "1:99", "--as", "broken"], &["99"]),
    (&["off-shelf", "--pieces", "1:1", "--as", "broken"], &["promised to an order"]),
    (&["tune", "--apply"], &["--apply", "right would be"]),
    (&["books", "--from", "2026-03-01", "--to", "2026-02-01"], &["--from", "right would be"]),
    (&["setting", "--name", "post.form", "--value", "453"], &["--name post.form", "right would be"]),
    (&["setting", "--name", "packing.wage", "--value", "much"], &["--value", "right would be"]),
    (&["setting", "--name", "demo", "--value", "x"], &["kept by the program", "right would be"]),
    (&["setting", "--name", "post.from"], &["--value is missing", "right would be"]),
    (&["setting", "--name", "post.from", "--strike"], &["no setting post.from"]),
    (&["export"], &["right would be"]),
    (&["export", "--year", "2026", "--to", "year.txt"], &["--to", ".xlsx"]),
    (&["read", "/nowhere/table.csv", "--rows", "trips"], &["/nowhere/table.csv"]),
    (&["shop", "history", "cup", "1"], &["no kind of record", "right would be"]),
    (&["shop", "history", "order", "9"], &["there is no order 9"]),
    (&["shop", "restore", "/nowhere/copy"], &["no such file"]),
];

#[test]
fn what_is_wrong_is_refused_with_what_would_be_right_and_nothing_is_stored() {
    let till = Till::stocked();
    till.says(&["supply", "add", "--name", "fill", "--kind", "fill"]);
    till.says(&["supply", "buy", "--name", "fill", "--units", "1", "--date", "2026-07-12"]);
    // An order of another listing, so that listing 1 keeps its three lots.
    till.says(&["list-up", "--holds", "1 of 1", "--price", "9", "--date", "2026-07-20"]);
    till.says(&["order", "take", "--lots", "1 of 2", "--to", "606", "--paid", "--date", "2026-08-01"]);
    let all = || till.json(&["export", "--to-json", "-"]);
    let before = all();
    for (args, words) in WRONG {
        let refused = till.refuses(args);
        for word in *words {
            assert!(refused.contains(word), "{args:?}: \"{word}\" missing in: {refused}");
        }
        assert!(all() == before, "{args:?} stored something");
    }
}

#[test]
fn without_a_shop_file_every_command_says_how_to_begin() {
    let till = Till::empty();
    for args in [["stock"].as_slice(), &["bench"], &["order", "list"], &["books"], &["supply"], &["setting"]]
    {
        let refused = till.refuses(args);
        assert!(refused.contains("begin one with: lotwright haul"), "{refused}");
    }
    assert!(!till.path("lotwright").exists(), "looking made a folder");
    let refused = till.refuses(&["stock", "--demo"]);
    assert!(refused.contains("lotwright demo"), "{refused}");
}

#[test]
fn a_file_of_something_else_is_left_as_it_is() {
    let till = Till::empty();
    let path = till.at("notes.txt");
    std::fs::write(&path, "not a shop").unwrap();
    for args in [
        ["stock", "--shop", &path].as_slice(),
        &["demo", "--shop", &path],
        &["demo", "--erase", "--shop", &path],
    ] {
        till.refuses(args);
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "not a shop");
}
