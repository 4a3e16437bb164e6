//! Cautions: what to think of before a piece is bought, listed or mailed.

use serde::Serialize;

use crate::Flag;

/// A caution that belongs to a form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Its key in the cautions table ("lead_glaze").
    pub key: String,
    /// One plain sentence.
    pub text: String,
    /// Who publishes the rule, or who the advice comes from.
    pub publisher: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

impl Caution {
    /// What holds beside every caution.
    pub const LOCAL_RULES: &'static str = "Local rules go first where they ask for more.";

    /// The sentence with its publisher and the deference to local rules.
    #[must_use]
    pub fn full_text(&self) -> String {
        format!("{} [{}] {}", self.text, self.publisher, Self::LOCAL_RULES)
    }
}
