//! A coded form in, markup out: the whole check as a phone without a network asks it.

use fields::{Filled, Mistakes, summary};
use jiff::civil::Date;
use maud::{Markup, html};

use crate::{Desk, Usual, asked, not_yet, nothing_yet, worked_out};

/// How far the person is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Still typing: the answer alone.
    Typing,
    /// Pressed the button: the form again, mistakes at their fields, the answer beside it.
    Checked,
}

/// The reply to a form in the coding of a request (`form=diner+mug&count=2`), for a day, over what is usual.
///
/// It is what the page's own server gives: while typing its answer, byte for byte; once checked, what stands in
/// its page of the mistakes and of the form with the answer.
#[must_use]
pub fn reply(desk: &Desk, usual: &Usual, coded: &str, day: Date, way: Way) -> String {
    let pairs = form_urlencoded::parse(coded.as_bytes()).into_owned();
    let filled = Filled::from_pairs(pairs);
    let worked = usual.asks(&filled, day).and_then(|question| worked_out(desk, usual, &question, day));
    let markup = match (way, worked) {
        (Way::Typing, Ok(answer)) => answer,
        (Way::Typing, Err(mistakes)) => not_yet(&filled, &mistakes),
        (Way::Checked, Ok(answer)) => whole_page(desk, &filled, &Mistakes::default(), &answer),
        (Way::Checked, Err(mistakes)) => whole_page(desk, &filled, &mistakes, &nothing_yet()),
    };
    markup.into_string()
}

fn whole_page(desk: &Desk, filled: &Filled, mistakes: &Mistakes, answer: &Markup) -> Markup {
    html! { (summary(mistakes)) (asked(desk, filled, mistakes, answer)) }
}
