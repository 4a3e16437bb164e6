//! The form with the answer beside it.

use fields::{Choice, Filled, Mistakes, draw};
use maud::{Markup, html};

use crate::{Desk, question};

/// What stands where the answer will.
const NOTHING_YET: &str = "The answer comes here as soon as it is known what they are and how many.";

/// The sentence that stands where the answer will.
#[must_use]
pub fn nothing_yet() -> Markup {
    html! { p.quiet-words { (NOTHING_YET) } }
}

/// While typing: what is not right yet is said quietly, since nobody has finished.
#[must_use]
pub fn not_yet(filled: &Filled, mistakes: &Mistakes) -> Markup {
    html! {
        p.quiet-words data-said="Not yet" { (NOTHING_YET) }
        @if filled.text("form").is_some() && filled.text("count").is_some() {
            ul.quiet-words { @for (_, message) in mistakes.iter() { li { (message) } } }
        }
    }
}

/// The form as it was filled, with the answer beside it.
#[must_use]
pub fn asked(desk: &Desk, filled: &Filled, mistakes: &Mistakes, answer: &Markup) -> Markup {
    asked_with(desk, &[], filled, mistakes, answer)
}

/// The same with venues to choose from.
#[must_use]
pub fn asked_with(
    desk: &Desk,
    venues: &[Choice],
    filled: &Filled,
    mistakes: &Mistakes,
    answer: &Markup,
) -> Markup {
    let mut fields = question::fields(desk);
    fields.extend(question::venue_field(venues));
    let (first, more) = fields.split_at(question::FIRST.min(fields.len()));
    // What is filled in, or wrong, is never hidden.
    let open =
        more.iter().any(|field| filled.text(&field.name).is_some() || mistakes.of(&field.name).is_some());
    html! {
        div.beside {
        form.shelf method="post" action="/shelf" novalidate data-live="/shelf/answer" data-into="answer" data-draft {
            @for field in first { (draw(field, filled, mistakes, false)) }
            details open[open] {
                summary { "Condition, your hour, your place" }
                @for (k, field) in more.iter().enumerate() {
                    (draw(field, filled, mistakes, k + 1 == more.len()))
                }
            }
            div.actions {
                button type="submit" { "Check it" }
                a.quiet href="/shelf" data-clear { "Start anew" }
            }
        }
        div {
            p.now role="status" #answer-said {}
            // Shown by the script where it is so.
            p.here #answer-here hidden { "Worked out on this phone, without the network." }
            section #answer aria-label="Answer" tabindex="-1" { (answer) }
        }
        }
    }
}
