//! Every mistake is told at its own line and field, with what would be right.

mod cases;
#[path = "../desk/mod.rs"]
mod desk;

use cases::BROKEN;
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
