//! What happened to a venue, in words.

use serde_json::{Map, Value};
use shop::HistoryRow;

/// Keys of terms as they are told.
const TOLD: [(&str, &str); 12] = [
    ("name", "name"),
    ("fee_on_item_percent", "percent of the price"),
    ("fee_on_shipping_percent", "percent of the shipping"),
    ("fee_on_tax_percent", "percent of the sales tax"),
    ("fixed_fee_per_order", "fee an order"),
    ("title_limit", "longest title"),
    ("description_limit", "longest description"),
    ("photo_limit", "most pictures"),
    ("offers", "offers"),
    ("sales_tax_by", "sales tax by"),
    ("source", "source"),
    ("flag", "how sure"),
];

/// One line for each event, the oldest first: when, and what changed.
pub(super) fn told(history: &[HistoryRow]) -> Vec<(String, String)> {
    let mut before: Option<Map<String, Value>> = None;
    let mut out = Vec::new();
    for row in history {
        let when: String = row.at.chars().take(10).collect();
        let now = entered(&row.entered);
        let words = match (&before, &now) {
            (None, Some(_)) => String::from("entered"),
            (Some(then), Some(now)) => changes(then, now),
            (_, None) => String::from("struck out"),
        };
        before = now;
        out.push((when, words));
    }
    out
}

/// What an event entered: the venue's name and terms in one table.
fn entered(event: &Value) -> Option<Map<String, Value>> {
    let fields = event.get("entered").filter(|fields| fields.is_object())?;
    let terms = match fields.get("terms") {
        Some(Value::String(text)) => serde_json::from_str(text).unwrap_or_default(),
        Some(Value::Object(terms)) => terms.clone(),
        Some(_) | None => Map::new(),
    };
    let mut all: Map<String, Value> = terms;
    if let Some(name) = fields.get("name") {
        all.insert("name".to_owned(), name.clone());
    }
    Some(all)
}

fn changes(then: &Map<String, Value>, now: &Map<String, Value>) -> String {
    let parts: Vec<String> = TOLD
        .iter()
        .filter(|(key, _)| number(then.get(*key)) != number(now.get(*key)))
        .map(|(key, word)| format!("{word} {}, before {}", said(now.get(*key)), said(then.get(*key))))
        .collect();
    if parts.is_empty() { String::from("entered again as it was") } else { parts.join("; ") }
}

/// A value so that 12 and 12.0 are the same.
fn number(value: Option<&Value>) -> Option<Value> {
    value.map(|value| value.as_f64().map_or_else(|| value.clone(), Value::from))
}

fn said(value: Option<&Value>) -> String {
    match value {
        None | Some(Value::Null) => String::from("none"),
        Some(Value::Bool(true)) => String::from("yes"),
        Some(Value::Bool(false)) => String::from("no"),
        Some(Value::String(text)) => format!("\"{text}\""),
        Some(other) => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::{changes, entered};
    use serde_json::json;

    #[test]
    fn only_what_changed_is_told_in_words() {
        let of = |terms: serde_json::Value| {
            entered(&json!({ "entered": { "name": "barn", "terms": terms } })).expect("entered")
        };
        let then = of(json!({ "fee_on_item_percent": 12, "offers": true }));
        let now = of(json!({ "fee_on_item_percent": 12.5, "offers": false, "title_limit": 65 }));
        assert_eq!(
            changes(&then, &now),
            "percent of the price 12.5, before 12; longest title 65, before none; offers no, before yes"
        );
        assert_eq!(
            changes(&then, &of(json!({ "fee_on_item_percent": 12.0, "offers": true }))),
            "entered again as it was"
        );
        assert!(entered(&json!({ "entered": null })).is_none());
    }
}
