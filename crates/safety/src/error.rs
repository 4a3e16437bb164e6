//! What this room refuses.

/// Everything this room refuses, each with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SafetyError {
    /// The text isn't TOML.
    #[error("the {file} can't be read: {reason}")]
    NotToml {
        /// Which file.
        file: &'static str,
        /// What the parser says, with the line.
        reason: String,
    },
    /// A key that nothing reads.
    #[error("{place}: \"{key}\" is not known here; right would be {}", right.join(" or "))]
    UnknownKey {
        /// The row.
        place: String,
        /// The key as written.
        key: String,
        /// What may have been meant, or all that is allowed.
        right: Vec<String>,
    },
    /// A key that must be there is absent.
    #[error("{place}: {key} is missing; right would be, for example, {example}")]
    Missing {
        /// The row.
        place: String,
        /// The absent key.
        key: String,
        /// A right line.
        example: String,
    },
    /// A key holds something that can't be used.
    #[error("{place}: {key} can't be {found}; right would be {right}")]
    Wrong {
        /// The row.
        place: String,
        /// The key.
        key: String,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A figure of a lift that the equation is not for.
    #[error("a lift's {what} can't be {found}; right would be {right}")]
    Lift {
        /// Which figure.
        what: &'static str,
        /// What was given.
        found: String,
        /// What would be right.
        right: &'static str,
    },
}
