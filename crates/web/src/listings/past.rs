//! What happened to a listing, in words.

use measure::Money;
use serde_json::Value;
use shop::HistoryRow;

/// What is told of a listing beside its contents: the key, and its words.
const TOLD: [(&str, &str); 6] = [
    ("title", "title"),
    ("lots", "lots"),
    ("price", "price"),
    ("floor", "floor"),
    ("venue", "venue"),
    ("ended", "state"),
];

/// One line for each event, the oldest first: when, and what changed.
pub(super) fn told(history: &[HistoryRow]) -> Vec<(String, String)> {
    let mut before: Option<&Value> = None;
    let mut out = Vec::new();
    for row in history {
        let when: String = row.at.chars().take(10).collect();
        let words = match (row.entered.get("entered"), before) {
            (Some(_), None) => String::from("listed"),
            (Some(now), Some(then)) => changes(then, now),
            (None, _) => row.kind.replace('_', " "),
        };
        if let Some(now) = row.entered.get("entered") {
            before = Some(now);
        }
        out.push((when, words));
    }
    out
}

/// What one entry says other than the one before.
fn changes(then: &Value, now: &Value) -> String {
    let mut parts: Vec<String> = TOLD
        .iter()
        .filter(|(key, _)| then.get(key) != now.get(key))
        .map(|(key, word)| format!("{word} {}, before {}", said(key, now), said(key, then)))
        .collect();
    let [was, is] = [then, now].map(grade);
    if was != is {
        let said = |grade: Option<pricing::Grade>| {
            grade.map_or_else(|| String::from("as usual"), |one| format!("{one:?}"))
        };
        parts.push(format!("condition {}, before {}", said(is), said(was)));
    }
    if then.get("parts") != now.get("parts") {
        parts.push(String::from("what a lot holds"));
    }
    if parts.is_empty() { String::from("entered again as it was") } else { parts.join("; ") }
}

/// The condition of an entry's card, which the log may hold as a text.
fn grade(entered: &Value) -> Option<pricing::Grade> {
    match entered.get("card")? {
        Value::String(text) => keeping::grade_of(&serde_json::from_str(text).ok()?),
        card => keeping::grade_of(card),
    }
}

fn said(key: &str, entered: &Value) -> String {
    match (key, entered.get(key)) {
        ("price" | "floor", Some(Value::Number(cents))) => {
            cents.as_i64().map_or_else(String::new, |cents| Money::from_cents(cents).write())
        }
        ("ended", Some(Value::Bool(over))) => String::from(if *over { "over" } else { "up" }),
        ("ended", Some(Value::Number(over))) => {
            String::from(if over.as_i64() == Some(0) { "up" } else { "over" })
        }
        (_, Some(Value::String(text))) => format!("\"{text}\""),
        (_, Some(Value::Number(number))) => number.to_string(),
        (_, _) => String::from("none"),
    }
}

#[cfg(test)]
mod tests {
    use super::changes;
    use serde_json::json;

    #[test]
    fn only_what_changed_is_told_in_words() {
        let then =
            json!({ "title": "Mugs", "lots": 3, "price": 4000, "floor": null, "ended": false, "parts": [] });
        let now =
            json!({ "title": "Mugs", "lots": 2, "price": 3500, "floor": 3000, "ended": true, "parts": [] });
        assert_eq!(
            changes(&then, &now),
            "lots 2, before 3; price 35.00, before 40.00; floor 30.00, before none; state over, before up"
        );
        assert_eq!(changes(&then, &then), "entered again as it was");
    }
}
