//! A caution as it is said about a job.

use forms::Flag;

use crate::vocabulary::vocabulary;

vocabulary! {
    /// How much a caution presses.
    Urgency {
        /// Before anything else.
        Strong = "strong",
        /// To act on.
        Warn = "warn",
        /// To bear in mind.
        Notice = "notice",
    }
}

/// A caution that a job calls for.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Its key ("lift").
    pub key: String,
    /// What to do or to mind.
    pub text: String,
    /// Figures that go with it, in a sentence.
    pub detail: Option<String>,
    /// What in the job calls for it.
    pub because: String,
    /// How much it presses.
    pub urgency: Urgency,
    /// Who publishes the rule, or where the advice comes from.
    pub publisher: String,
    /// How far it can be trusted.
    pub flag: Flag,
}

impl Caution {
    /// What holds beside every caution.
    pub const LOCAL_RULES: &'static str = "Defer to local rules and licensed practice.";

    /// The caution with its figures, its publisher and the deference to local rules.
    #[must_use]
    pub fn full_text(&self) -> String {
        let detail = self.detail.as_ref().map(|detail| format!(" {detail}")).unwrap_or_default();
        format!("{}{detail} [{}, {}] {}", self.text, self.publisher, self.flag.word(), Self::LOCAL_RULES)
    }
}
