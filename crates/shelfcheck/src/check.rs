//! From a question to its answer.

use fields::Mistakes;
use jiff::civil::Date;
use maud::Markup;
use measure::Money;

use crate::{Desk, Question, Usual, answer};

/// Works a question out for a day: the answer, or what is wrong with what was typed. `usual` is what it was asked over.
///
/// # Errors
/// The mistakes, each at its field, when the sheet's reader or the reckoning refuses what was told.
pub fn worked_out(desk: &Desk, usual: &Usual, question: &Question, day: Date) -> Result<Markup, Mistakes> {
    let own = |name: &str| usual.text(name);
    let job = desk.read_with(question.sheet(), day, &own).map_err(|problems| question.told(&problems))?;
    let refused = |e: trade::TradeError| whole(&e.to_string());
    let worth = trade::appraise(&job, &desk.library, 0, &|_| {}).map_err(refused)?;
    let asking = question.asking();
    let purchase = trade::purchase(&job, &worth, asking.unwrap_or(Money::ZERO)).map_err(refused)?;
    Ok(answer::answer(&job, &worth, asking, purchase.as_ref(), question, day))
}

/// A mistake of the whole form.
#[must_use]
pub fn whole(message: &str) -> Mistakes {
    let mut mistakes = Mistakes::default();
    mistakes.add("", message);
    mistakes
}
