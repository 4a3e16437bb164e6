//! The way through, step by step: the order of the pages in every page's navigation.

/// A step of the trade and where its page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Step {
    /// What the person calls it.
    pub word: &'static str,
    /// Where it is; `None` while there is no page, and then nothing links to it.
    pub path: Option<&'static str>,
}

const fn there(word: &'static str, path: &'static str) -> Step {
    Step { word, path: Some(path) }
}

const fn to_come(word: &'static str) -> Step {
    Step { word, path: None }
}

/// All steps, in the order in which a piece goes through them, and the help.
pub(crate) const STEPS: [Step; 11] = [
    there("Shelf check", "/shelf"),
    to_come("Hauls"),
    there("Measure", "/measure"),
    to_come("Stock"),
    to_come("Listings"),
    there("Pack", "/pack"),
    there("Orders", "/orders"),
    there("Bench", "/bench"),
    to_come("Supplies"),
    to_come("Books"),
    there("Help", "/help"),
];
