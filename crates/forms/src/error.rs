//! What can be wrong with a forms file or with a person's measures.

/// Everything this room refuses, each with where it was and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FormsError {
    /// No form, name or synonym is spelt like this.
    #[error("no form is called \"{name}\"; {}", nearest_form(nearest))]
    UnknownForm {
        /// What was asked for.
        name: String,
        /// Up to three names that may have been meant.
        nearest: Vec<String>,
    },
    /// The text isn't TOML.
    #[error("the forms file can't be read: {reason}; right would be, for example, [forms.my_mug]")]
    NotToml {
        /// What the parser says, with the line.
        reason: String,
    },
    /// A key that nothing reads.
    #[error("{place}: \"{key}\" is not known here; {}", did_you_mean(nearest))]
    UnknownKey {
        /// The form or table.
        place: String,
        /// The key as written.
        key: String,
        /// What may have been meant, or all that is allowed.
        nearest: Vec<String>,
    },
    /// A key that must be there is absent.
    #[error("{place}: {key} is missing; right would be, for example, {example}")]
    Missing {
        /// The form or table.
        place: String,
        /// The absent key.
        key: String,
        /// A right line.
        example: String,
    },
    /// A key holds something that can't be used.
    #[error("{place}: {key} can't be {found}; right would be {right}")]
    Wrong {
        /// The form or table.
        place: String,
        /// The key.
        key: String,
        /// What was found.
        found: String,
        /// What would be right.
        right: String,
    },
    /// Two forms answer to one name.
    #[error(
        "{place}: the name \"{name}\" already means {taken_by}; leave it out here, or replace {taken_by}"
    )]
    NameTaken {
        /// The form that asks for the name.
        place: String,
        /// The name.
        name: String,
        /// The id of the form that has it.
        taken_by: String,
    },
    /// A measure of zero, less than zero, or no number at all.
    #[error("{form}: {field} must be more than 0, not {found}; right would be, for example, {example}")]
    NotPositive {
        /// The form's id.
        form: String,
        /// The measure.
        field: &'static str,
        /// What was given.
        found: String,
        /// A right value.
        example: String,
    },
    /// A measure no mailed household piece has.
    #[error(
        "{form}: {field} of {found} is past the limit of {limit}; right would be, for example, {example}"
    )]
    TooLarge {
        /// The form's id.
        form: String,
        /// The measure.
        field: &'static str,
        /// What was given.
        found: String,
        /// The largest allowed.
        limit: String,
        /// A right value.
        example: String,
    },
    /// A measure of a part that this form doesn't have.
    #[error("{form} has no {field}; it has {}; right would be, for example, {example}", has.join(", "))]
    NoSuchMeasure {
        /// The form's id.
        form: String,
        /// The measure that was given.
        field: &'static str,
        /// The measures the form has.
        has: Vec<&'static str>,
        /// A right measure of this form.
        example: String,
    },
    /// Handles that don't stand out.
    #[error(
        "{form}: it has handles, so handle_reach must be more than 0; right would be, for example, {example}"
    )]
    HandleWithoutReach {
        /// The form's id.
        form: String,
        /// A right value.
        example: String,
    },
    /// A measure of handles on a piece without any.
    #[error("{form}: {field} is given but handles is 0; right would be handles 1 or more, or no {field}")]
    NoHandles {
        /// The form's id.
        form: String,
        /// The measure that was given.
        field: &'static str,
    },
    /// A part that doesn't fit into what it belongs to.
    #[error("{form}: {field} of {found} must be {limit}; right would be, for example, {example}")]
    DoesNotFit {
        /// The form's id.
        form: String,
        /// The measure.
        field: &'static str,
        /// What was given.
        found: String,
        /// The limit and what sets it ("at most 3.75 in, the height of the body").
        limit: String,
        /// A right value.
        example: String,
    },
}

fn nearest_form(nearest: &[String]) -> String {
    match nearest {
        [] => {
            "right would be the form nearest in shape, such as mug, plate, bowl, goblet, pitcher or skillet"
                .to_owned()
        }
        names => did_you_mean(names),
    }
}

fn did_you_mean(nearest: &[String]) -> String {
    match nearest {
        [] => "ask for the list of forms to see all names".to_owned(),
        names => format!("did you mean {}?", names.join(" or ")),
    }
}
