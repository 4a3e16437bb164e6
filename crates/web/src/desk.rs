//! What every question here is answered with: the published tables, and the names that forms suggest.

pub(crate) use keeping::Desk;

/// Names and synonyms of all forms, for suggestions.
pub(crate) fn form_names(desk: &Desk) -> Vec<String> {
    let names = desk.forms.forms().flat_map(|form| std::iter::once(&form.name).chain(&form.synonyms));
    let names: std::collections::BTreeSet<&String> = names.collect();
    names.into_iter().cloned().collect()
}
