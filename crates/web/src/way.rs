//! The way through, step by step: the order of the pages in every page's navigation.

/// A step of the trade and where its page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Step {
    /// What the person calls it.
    pub word: &'static str,
    /// Where it is.
    pub path: &'static str,
}

const fn there(word: &'static str, path: &'static str) -> Step {
    Step { word, path }
}

/// All steps, in the order in which a piece goes through them, and the help.
pub(crate) const STEPS: [Step; 11] = [
    there("Shelf check", "/shelf"),
    there("Hauls", "/hauls"),
    there("Measure", "/measure"),
    there("Stock", "/stock"),
    there("Listings", "/listings"),
    there("Orders", "/orders"),
    there("Bench", "/bench"),
    there("Pack", "/pack"),
    there("Supplies", "/supplies"),
    there("Books", "/books"),
    there("Help", "/help"),
];
