//! What a shopkeeper does with the shop file, for the terminal and the pages alike.
//!
//! - **The bench.** [`BenchQuestion`] makes a job sheet out of an order's records, has it packed with the cartons and
//!   fill that are there, looks for substitutes, and says what the plan takes of the supplies.
//! - **Settings.** [`put_setting`], [`setting`], [`put_settings`]: the person's own defaults, as keys of a job sheet.
//! - **A year out.** [`year_book`] writes a year as a spreadsheet; [`question`] says what is left to the preparer.
//! - **A table in.** [`Cells`] are read from bytes, [`look`] tries each row and says what is left out and why; what was
//!   looked at is what [`shop::Shop::confirm`] stores.
//! - **A demo.** [`fill_demo`] makes up a year of a shop, the same one for the same seed.
//!
//! Nothing here looks at a clock, and no file is touched but the shop's own.

mod bench_plan;
mod demo_wares;
mod demo_year;
mod desk;
mod earned_by;
mod intake;
mod on_hand;
mod setting;
mod sheet_path;
mod stop;
mod year_book;
mod year_words;

pub use bench_plan::{BenchAsked, BenchPlan, BenchQuestion, Substitute, learnt};
pub use demo_year::{Counted, fill_demo};
pub use desk::Desk;
pub use earned_by::named;
pub use intake::{
    Cells, Column, DateOrder, IntakeError, IntakeOf, LeftOut, Looked, MOST_BYTES, Reading, Remembered, Row,
    guessed, look, remember, remembered,
};
pub use on_hand::{DAYS_OF_USE, OnHand, Taken, supplies_on_hand, taken};
pub use setting::{DEMO_MARK, demo_of, is_own, put_setting, put_settings, setting};
pub use sheet_path::{literal, set};
pub use stop::Stop;
pub use year_book::year_book;
pub use year_words::question;
