//! Every mistake is told at its own line and field, with what would be right.

mod case;
mod cases;
#[path = "../desk/mod.rs"]
mod desk;
mod priced;
mod selling;

use case::Broken;
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

fn told(text: &str) -> Vec<Problem> {
    read(text).err().unwrap_or_default()
}

fn plainly(problems: &[Problem]) -> String {
    problems.iter().map(|problem| problem.plain("sheet") + "\n").collect()
}

/// The right sheets, each with its mistakes.
const SHEETS: [(&str, &[Broken]); 3] =
    [(RIGHT, cases::BROKEN), (priced::PRICED, priced::BROKEN), (selling::SOLD, selling::BROKEN)];

#[test]
fn the_right_sheets_are_right() {
    for (right, _) in SHEETS {
        assert_eq!(plainly(&told(right)), "");
    }
}

#[test]
fn each_mistake_is_told_once_at_its_place_with_what_would_be_right() {
    let mut failures = String::new();
    for (right, cases) in SHEETS {
        for case in cases {
            failures += &failure(right, case);
        }
    }
    assert!(failures.is_empty(), "{failures}");
}

/// What is told of a sheet with a mistake, if that isn't what the case wants.
fn failure(right: &str, case: &Broken) -> String {
    let mut text = right.to_owned();
    for (was, is) in std::iter::once((case.was, case.is)).chain(case.also) {
        assert!(text.contains(was), "{was} is not in the right sheet");
        text = text.replacen(was, is, 1);
    }
    let problems = told(&text);
    let at = text.find(case.at).unwrap_or_else(|| panic!("{} names no place of its own sheet", case.at));
    let line = text[..at].matches('\n').count() + 1;
    let place = if case.at.is_empty() { (0, 1) } else { (at, line) };
    let holds = problems.iter().any(|problem| {
        problem.field == case.field
            && (problem.span.start, problem.line) == place
            && problem.message.contains(case.says)
            && problem.right.contains(case.right)
    });
    if holds && problems.len() == case.problems {
        return String::new();
    }
    format!("{:?} -> {:?} (line {line}, at {at}):\n{}\n", case.was, case.is, plainly(&problems))
}
