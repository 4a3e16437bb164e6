//! The nearest known name to a misspelt one, to be offered and never to be taken silently.

/// The known name that was most likely meant: few slips of the keyboard for its length.
pub(crate) fn nearest<'a>(written: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Only short names are compared, so that a hostile key costs nothing.
    const LONGEST: usize = 80;
    let written = folded(written);
    if written.is_empty() || written.len() > LONGEST {
        return None;
    }
    let allowed = (written.chars().count() / 3).clamp(1, 4);
    known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(&written, &folded(name)), name))
        .filter(|&(slips, _)| slips <= allowed)
        .min()
        .map(|(_, name)| name)
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

fn folded(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_case_and_hyphens_are_seen_through() {
        let known = ["per_lot", "count", "flawed"];
        assert_eq!(nearest("per-Lot", known), Some("per_lot"));
        assert_eq!(nearest("cuont", known), Some("count"));
        assert_eq!(nearest("price", known), None);
        assert_eq!(nearest("", known), None);
        assert_eq!(nearest(&"c".repeat(5000), known), None);
    }
}
