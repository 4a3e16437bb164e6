//! The nearest known name to a misspelt one, to be offered and never to be taken silently.

/// The known name that was most likely meant.
pub(crate) fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let near = measure::nearest(written, known).into_iter().next()?;
    // Every one-letter name is a slip away from every other.
    let is_letter = written.chars().nth(1).is_none();
    (!is_letter || near.to_lowercase() == written.to_lowercase()).then_some(near)
}

/// What would be right for an unknown name: the nearest one, or all of them when none is near.
pub(crate) fn suggestion<'a>(written: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(written, known.clone()) {
        Some(name) => format!("\"{name}\"; it was most likely meant"),
        None => format!("one of {}", listed(known)),
    }
}

/// Names one after another.
pub(crate) fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    names.into_iter().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_case_and_hyphens_are_seen_through() {
        let known = ["per_lot", "count", "flawed"];
        assert_eq!(nearest("per-Lot", known), Some(String::from("per_lot")));
        assert_eq!(nearest("cuont", known), Some(String::from("count")));
        assert_eq!(nearest("price", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest("F", ["A", "B"]), None);
        assert_eq!(nearest("b", ["A", "B"]), Some(String::from("B")));
        assert_eq!(nearest(&"c".repeat(5000), known), None);
    }
}
