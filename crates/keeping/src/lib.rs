//! What a shopkeeper does with the shop file, for the terminal and the pages alike.
//!
//! - **The bench.** [`BenchQuestion`] makes a job sheet out of an order's records, has it packed with the cartons and
//!   fill that are there, looks for substitutes, and says what the plan takes of the supplies.
//! - **Lots.** [`FindQuestion`] makes a job sheet out of a find's records, so that its worth and its split are
//!   reckoned as any other; [`CardQuestion`] does so for a listing and its card.
//! - **What came back.** [`settle_back`] enters pieces, breakage and refund of an order together.
//! - **The scale.** [`outside_size`] and [`supply_used`] read what is typed of a parcel; [`BenchQuestion::postage`]
//!   says what it costs to post.
//! - **Settings.** [`put_setting`], [`setting`], [`put_settings`]: the person's own defaults, as keys of a job sheet.
//! - **Cost flow.** [`put_cost_flow`]: whose cost goes when goods go, and from which day on.
//! - **Own cards.** [`OwnCards`], [`put_card`]: rate cards of the person's own, for plans.
//! - **Tuning.** [`apply_tuning`], [`take_back_tuning`]: plans go by what parcels taught, or no longer.
//! - **A year out.** [`year_book`] writes a year as a spreadsheet; [`question`] says what is left to the preparer.
//! - **A table in.** [`Cells`] are read from bytes, [`look`] tries each row and says what is left out and why; what was
//!   looked at is what [`shop::Shop::confirm`] stores.
//! - **A demo.** [`fill_demo`] makes up a year of a shop, the same one for the same seed.
//!
//! Nothing here looks at a clock, and no file is touched but the shop's own.

mod bench_plan;
mod came_back;
mod card_question;
mod cost_flow;
mod demo_wares;
mod demo_year;
mod earned_by;
mod fetching;
mod find_charts;
mod find_question;
mod find_records;
mod intake;
mod listing_entry;
mod on_hand;
mod own_card;
mod scale_says;
mod setting;
mod sheet_path;
mod stop;
mod tuning;
mod year_book;
mod year_words;

pub use bench_plan::{BenchAsked, BenchPlan, BenchQuestion, Substitute, learnt};
pub use came_back::{Back, GivenBack, settle_back};
pub use card_question::CardQuestion;
pub use cost_flow::{FLOW_CAUTION, flow_words, put_cost_flow};
pub use demo_year::{Counted, fill_demo};
pub use earned_by::named;
pub use fetching::{Fetch, fetching};
pub use find_charts::{cost_of, ladder_steps, lots_in_words, plans_compared, price_chart, split_bars};
pub use find_question::FindQuestion;
pub use find_records::{FindRecords, RecordJob, waits};
pub use intake::{
    Cells, Column, DateOrder, IntakeError, IntakeOf, LeftOut, Looked, MOST_BYTES, Reading, Remembered, Row,
    guessed, look, remember, remembered,
};
pub use listing_entry::{known_venue, listing_title, note_venue, pieces_suffice};
pub use on_hand::{DAYS_OF_USE, OnHand, Taken, counted, supplies_on_hand, taken};
pub use own_card::{OwnCards, card_of, put_card};
pub use scale_says::{outside_size, supply_named, supply_used, three_sides};
pub use setting::{DEMO_MARK, demo_of, fitted, is_own, put_setting, put_settings, setting};
pub use sheet::Desk;
pub use sheet_path::{literal, set};
pub use stop::Stop;
pub use tuning::{
    AppliedTuning, USUAL_BREAKAGE, apply_tuning, overall_breakage, take_back_tuning, tuning_of,
};
pub use year_book::year_book;
pub use year_words::question;
