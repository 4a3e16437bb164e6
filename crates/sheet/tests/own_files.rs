//! A person's own rate card and zone chart come through the library's files.

mod desk;

use desk::{TODAY, library};
use sheet::Problem;
use trade::Job;

const RULES: &str = r#"
id = "mine"
service = "My service"
class = "account"
source = "my contract"
currency = "USD"
effective_from = "2026-01-01"
[sides]
rounding = "up"
tolerance_in = 0.001
[limits]
weight_lb = 70
length_plus_girth_in = 108
"#;

fn files(name: &str) -> Result<Vec<u8>, String> {
    match name {
        "rules.toml" => Ok(RULES.into()),
        "all.csv" => Ok("weight_not_over,unit,z1,z2,z3,z4,z5,z6,z7,z8\n1,lb,1,2,3,4,5,6,7,8\n".into()),
        "near.csv" => Ok("weight_not_over,unit,z1,z2,z3,z4,z5\n1,lb,1,2,3,4,5\n".into()),
        "torn.csv" => Ok("weight_not_over,unit,z1\n1,lb,cheap\n".into()),
        "chart.csv" => Ok("dest_zip3_from,dest_zip3_to,zone\n001,999,5\n".into()),
        "torn_chart.csv" => Ok("dest_zip3,zone\n981,12\n".into()),
        "latin.csv" => Ok(vec![b'd', 0xff]),
        other => Err(format!("nothing is called {other}")),
    }
}

fn with(card: &str) -> Result<Job, Vec<Problem>> {
    let text = format!(
        "title = \"t\"\n[post]\nfrom = \"453\"\nto = [\"100\", \"981\"]\n{card}\n\
         [[find]]\nname = \"mug\"\nform = \"diner_mug\"\ncount = 1\nper_lot = 1\n"
    );
    sheet::read(&text, &library(&files), TODAY)
}

fn only(read: Result<Job, Vec<Problem>>) -> Problem {
    let mut problems = read.expect_err("the sheet is refused");
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.remove(0)
}

#[test]
fn an_own_card_is_read() {
    let job = with("card = { rules = \"rules.toml\", prices = \"all.csv\" }")
        .unwrap_or_else(|problems| panic!("{}", problems[0]));
    assert_eq!(job.post.card.id(), "mine");
}

#[test]
fn a_card_without_the_zone_of_a_buyer_is_told_at_that_buyer() {
    let problem = only(with("card = { rules = \"rules.toml\", prices = \"near.csv\" }"));
    assert_eq!((problem.field.as_str(), problem.line), ("post.to[2]", 4));
    assert!(problem.message.contains("981 is in zone 8"), "{problem}");
}

#[test]
fn an_own_chart_wins_over_distance() {
    let card = "card = { rules = \"rules.toml\", prices = \"near.csv\" }\nchart = \"chart.csv\"";
    let job = with(card).unwrap_or_else(|problems| panic!("{}", problems[0]));
    let zone = job.post.zones.zone("453", "981").expect("a zone").zone;
    assert_eq!(zone.number(), 5);
}

#[test]
fn files_that_fail_are_told_where_they_are_named() {
    for (card, field, says) in [
        (
            "card = { rules = \"none.toml\", prices = \"all.csv\" }",
            "post.card.rules",
            "nothing is called none.toml",
        ),
        ("card = { rules = \"rules.toml\", prices = \"torn.csv\" }", "post.card", "prices, row 2"),
        ("card = { rules = \"rules.toml\" }", "post.card.prices", "missing"),
        (
            "card = { rules = \"rules.toml\", prices = \"all.csv\", additions = \"\" }",
            "post.card.additions",
            "empty",
        ),
        ("card = { rules = \"rules.toml\", price = \"all.csv\" }", "post.card.price", "no key"),
        ("card = 5", "post.card", "a number"),
        ("card = \"ground_advantage_retail\"\nchart = \"torn_chart.csv\"", "post.chart", "row 2"),
        ("card = \"ground_advantage_retail\"\nchart = \"latin.csv\"", "post.chart", "UTF-8"),
        (
            "card = \"ground_advantage_retail\"\nchart = \"none.csv\"",
            "post.chart",
            "nothing is called none.csv",
        ),
    ] {
        let problem = only(with(card));
        assert_eq!(problem.field, field, "{problem}");
        assert!(problem.message.contains(says), "{problem}");
        assert!(!problem.right.is_empty());
    }
}
