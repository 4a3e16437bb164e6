//! What this room refuses.

/// Everything this room refuses, each with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProtectionError {
    /// The text isn't TOML.
    #[error("the {file} file can't be read: {reason}; right would be, for example, {example}")]
    NotToml {
        /// What kind of file it is ("materials").
        file: &'static str,
        /// What the parser says, with the line.
        reason: String,
        /// A right heading.
        example: &'static str,
    },
    /// A key that nothing reads.
    #[error("{place}: \"{key}\" is not known here; {}", did_you_mean(nearest))]
    UnknownKey {
        /// The row or table.
        place: String,
        /// The key as written.
        key: String,
        /// What may have been meant.
        nearest: Vec<String>,
    },
    /// A key that must be there is absent.
    #[error("{place}: {key} is missing; right would be, for example, {example}")]
    Missing {
        /// The row or table.
        place: String,
        /// The absent key.
        key: String,
        /// A right line.
        example: String,
    },
    /// A key holds something that can't be used.
    #[error("{place}: {key} can't be {found}; right would be {right}")]
    Wrong {
        /// The row or table.
        place: String,
        /// The key.
        key: String,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
    /// No material, recipe, profile or grade has this name.
    #[error("no {kind} is called \"{name}\"; {}", did_you_mean(nearest))]
    UnknownName {
        /// What was looked for ("material").
        kind: &'static str,
        /// The name as written.
        name: String,
        /// What may have been meant.
        nearest: Vec<String>,
    },
    /// A material that can't be used for this.
    #[error("{place}: {material} can't be used as {used_as}; right would be {right}")]
    Unsuitable {
        /// The recipe or rule.
        place: String,
        /// The material.
        material: String,
        /// What it was to be.
        used_as: &'static str,
        /// What would be right.
        right: &'static str,
    },
    /// A piece that can't be wrapped as given.
    #[error("{what}: {reason}; right would be {right}")]
    Piece {
        /// The plain word for it.
        what: String,
        /// What is wrong.
        reason: String,
        /// What would be right.
        right: &'static str,
    },
    /// A figure that nothing can be worked out from.
    #[error("{what} can't be {found}; right would be {right}")]
    Unreckonable {
        /// What it is.
        what: String,
        /// What was given.
        found: String,
        /// What would be right.
        right: String,
    },
    /// A carton whose figures can't be used.
    #[error("carton {carton}: {reason}; right would be {right}")]
    Carton {
        /// Its name.
        carton: String,
        /// What is wrong.
        reason: String,
        /// What would be right.
        right: String,
    },
}

fn did_you_mean(nearest: &[String]) -> String {
    match nearest {
        [] => "ask for the list to see all names".to_owned(),
        names => format!("did you mean {}?", names.join(" or ")),
    }
}
