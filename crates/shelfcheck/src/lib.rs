//! The shelf check: what to pay for a pile, asked with one thumb and answered in plain words.
//!
//! The same code answers behind the page and, compiled for the browser, on a phone without a network; so both
//! give the same bytes for the same question on the same day.
//!
//! - **The desk** ([`Desk`]) is what questions are answered with: the published tables and the reading of job
//!   sheets. What that reader says is [`told`] at the fields it is about; [`said`] writes figures as words.
//! - **What is usual** ([`Usual`]) is the job sheet beneath: the published one, or one with the person's settings,
//!   rate cards and venues, which a phone takes along.
//! - **The question** ([`Question`]) is read from what was typed and put into a job sheet, so that one reading
//!   serves the terminal, the page and the phone.
//! - **The answer** ([`worked_out`]) is markup: what to do first, then the figures, the method one tap away.
//! - **The page** ([`asked`], [`not_yet`]) is the form with the answer beside it.
//! - **A reply** ([`reply`]) is all of it at once: coded form in, markup out, as a phone asks.
//!
//! ```
//! use jiff::civil::date;
//! use shelfcheck::{Desk, Usual, Way, reply};
//!
//! let desk = Desk::published();
//! let answer = reply(&desk, &Usual::default(), "form=diner+mug&count=2", date(2026, 11, 25), Way::Typing);
//! assert!(answer.contains("Not enough is known to say what to pay."));
//! ```

mod answer;
mod check;
mod page;
mod question;
mod reply;
pub mod said;
pub mod told;
mod usual;

pub use check::{whole, worked_out};
pub use page::{asked, asked_with, not_yet, nothing_yet};
pub use question::Question;
pub use reply::{Way, reply};
pub use sheet::Desk;
pub use usual::{Usual, UsualVenue};
