//! The table of cases that server and phone answer alike: here natively, in a browser by the module.

use fields::{Filled, Mistakes};
use jiff::civil::{Date, date};
use serde_json::Value;
use shelfcheck::{Desk, Usual, Way, worked_out};

const DAY: Date = date(2026, 11, 25);

fn reply(desk: &Desk, coded: &str, day: Date, way: Way) -> String {
    shelfcheck::reply(desk, &Usual::default(), coded, day, way)
}

struct Case {
    name: String,
    form: Vec<(String, String)>,
    /// How the verdict begins; its figures may change with the tables.
    says: Option<String>,
    /// The field that is wrong; empty for the whole form.
    wrong: Option<String>,
}

fn cases() -> Vec<Case> {
    let table: Value = serde_json::from_str(include_str!("data/cases.json")).expect("a table");
    let text = |value: &Value| value.as_str().map(ToOwned::to_owned);
    let case = |row: &Value| Case {
        name: text(&row["name"]).expect("a name"),
        form: row["form"]
            .as_object()
            .expect("a form")
            .iter()
            .map(|(name, words)| (name.clone(), text(words).expect("words")))
            .collect(),
        says: text(&row["says"]),
        wrong: text(&row["wrong"]),
    };
    table.as_array().expect("rows").iter().map(case).collect()
}

fn coded(form: &[(String, String)]) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(form).finish()
}

fn mistakes(desk: &Desk, form: &[(String, String)]) -> Mistakes {
    let filled = Filled::from_pairs(form.iter().cloned());
    let usual = Usual::default();
    let asked = usual.asks(&filled, DAY);
    asked.and_then(|question| worked_out(desk, &usual, &question, DAY)).expect_err("wrong input")
}

/// Every second case, so that two tests share the work.
fn answered_as_the_table_says(odd: usize) {
    let desk = Desk::published();
    for case in cases().into_iter().skip(odd).step_by(2) {
        let Some(says) = &case.says else { continue };
        let html = reply(&desk, &coded(&case.form), DAY, Way::Typing);
        assert!(html.contains(&format!("data-said=\"{says}")), "{}: {html}", case.name);
        assert!(html.contains("Reckoned for") && html.contains("in force from"), "{}", case.name);
    }
}

#[test]
fn the_even_cases_are_answered_as_the_table_says() {
    answered_as_the_table_says(0);
}

#[test]
fn the_odd_cases_are_answered_as_the_table_says() {
    answered_as_the_table_says(1);
}

#[test]
fn wrong_input_is_told_at_its_field_and_everything_typed_is_kept() {
    let desk = Desk::published();
    for case in cases() {
        let Some(wrong) = &case.wrong else { continue };
        let found = mistakes(&desk, &case.form);
        let (field, message) = found.iter().next().unwrap_or_else(|| panic!("{}: no mistake", case.name));
        assert_eq!(field, wrong, "{}: {message}", case.name);
        let quiet = reply(&desk, &coded(&case.form), DAY, Way::Typing);
        assert!(quiet.contains("data-said=\"Not yet\""), "{}", case.name);
        let page = reply(&desk, &coded(&case.form), DAY, Way::Checked);
        assert!(page.starts_with("<section class=\"problems\""), "{}: {page}", case.name);
        for (name, words) in &case.form {
            let escaped =
                words.replace('&', "&amp;").replace('"', "&quot;").replace('<', "&lt;").replace('>', "&gt;");
            // What is chosen and not typed can only be one of the choices.
            assert!(page.contains(&escaped) || name == "grade", "{}: {name}", case.name);
        }
    }
}

#[test]
fn the_table_is_wide() {
    let cases = cases();
    let of = |test: &dyn Fn(&Case) -> bool| cases.iter().filter(|case| test(case)).count();
    let has =
        |case: &Case, field: &str| case.form.iter().any(|(name, words)| name == field && !words.is_empty());
    assert!(of(&|case| case.says.is_some()) >= 30);
    assert!(of(&|case| case.wrong.is_some()) >= 10);
    for field in ["flawed", "asking", "comps", "grade", "wage", "from"] {
        assert!(of(&|case| case.says.is_some() && has(case, field)) > 0, "with {field}");
        assert!(of(&|case| case.says.is_some() && !has(case, field)) > 0, "without {field}");
    }
    let verdicts = ["Buy it for", "Haggle to", "Leave it", "Pay at most", "Not enough is known"];
    for verdict in verdicts {
        assert!(
            of(&|case| case.says.as_deref().is_some_and(|says| says.starts_with(verdict))) > 0,
            "{verdict}"
        );
    }
    for word in ["unsold", "offer", "auction", "free ship", "like 0.7"] {
        assert!(of(&|case| case.form.iter().any(|(_, words)| words.contains(word))) > 0, "{word}");
    }
}

#[test]
fn while_typing_and_once_checked_the_answer_is_the_same() {
    let desk = Desk::published();
    let question = "form=skillet+No.+8&count=1&asking=12&comps=31+%2B+14%0D%0Aunsold+45+90d";
    let (typing, checked) =
        (reply(&desk, question, DAY, Way::Typing), reply(&desk, question, DAY, Way::Checked));
    assert!(checked.contains(&typing) && checked.contains("value=\"skillet No. 8\""));
    let later = reply(&desk, question, DAY.tomorrow().expect("a day"), Way::Typing);
    assert!(later.contains("Reckoned for <time datetime=\"2026-11-26\">"), "the day is the one that is told");
}
