//! What the Enter key does in a form with several buttons.

use maud::{Markup, html};

/// The button that the Enter key presses: a browser takes the first of a form. Where a button for something else,
/// another line, stands before the one that the form is for, this one stands before it, unseen, and does what the
/// form is for.
pub(crate) fn enter_sends() -> Markup {
    html! { button.unseen type="submit" tabindex="-1" aria-hidden="true" {} }
}
