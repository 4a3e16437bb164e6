//! What a shopkeeper does with the shop file, for the terminal and the pages alike.
//!
//! - **The bench.** [`BenchQuestion`] makes a job sheet out of an order's records, has it packed with the cartons and
//!   fill that are there, looks for substitutes, and says what the plan takes of the supplies.
//! - **A piece instead of another.** [`swap_at_bench`] swaps a piece that proved flawed, broken or missing.
//! - **In parts.** [`sending`] puts together what goes now and what waits; [`DropCheck`] is kept with each plan.
//! - **Lots.** [`FindQuestion`] makes a job sheet out of a find's records, so that its worth and its split are
//!   reckoned as any other; [`SetQuestion`] does so for sets with pieces of other finds, [`CardQuestion`] for a
//!   listing and its card.
//! - **What came back.** [`settle_back`] enters pieces, breakage and refund of an order together.
//! - **The scale.** [`outside_size`] and [`supply_used`] read what is typed of a parcel; [`BenchQuestion::postage`]
//!   says what it costs to post.
//! - **Settings.** [`put_setting`], [`setting`], [`put_settings`]: the person's own defaults, as keys of a job sheet.
//! - **Cost flow.** [`put_cost_flow`]: whose cost goes when goods go, and from which day on.
//! - **Own cards.** [`OwnCards`], [`put_card`], [`use_card`]: rate cards of the person's own, for plans, from a day on.
//! - **Own venues.** [`OwnVenues`], [`put_venues`]: where the person sells, with its terms, for prices and cards.
//! - **Tuning.** [`apply_tuning`], [`take_back_tuning`]: plans go by what parcels taught, or no longer.
//! - **Cushion and cover.** [`guarding`] says how much cushion a piece needs; [`insured`] whether cover is worth it.
//! - **A year out.** [`year_book`] writes a year as a spreadsheet; [`question`] says what is left to the preparer.
//! - **A table in.** [`Cells`] are read from bytes, [`look`] tries each row and says what is left out and why; what was
//!   looked at is what [`shop::Shop::confirm`] stores.
//! - **A demo.** [`fill_demo`] makes up a year of a shop, the same one for the same seed; [`erase_demo`] removes it.
//! - **The file.** [`checkup`] looks it over; [`back_up_now`], [`copies_of`], [`bundle`] and [`Arriving`] are its
//!   copies; [`replacing`] says what one of them would replace, and [`put_back`] does it; [`tables_zipped`] is all of
//!   it as CSV. [`happened_in`] says what an event of its log was.
//!
//! Nothing here looks at a clock, and no file is touched but the shop's own and its copies.

mod bench_plan;
mod came_back;
mod card_days;
mod card_price;
mod card_question;
mod cost_flow;
mod demo_wares;
mod demo_year;
mod drop_check;
mod earned_by;
mod event_words;
mod fetching;
mod find_charts;
mod find_question;
mod find_records;
pub mod guarding;
mod in_parts;
mod insure_records;
mod insuring;
mod intake;
mod listing_entry;
mod lots_asked;
mod on_hand;
mod own_card;
mod own_tables;
mod own_venue;
mod piece_words;
mod plain_settings;
mod scale_says;
mod set_question;
mod sets;
mod setting;
mod sheet_path;
mod shelf_usual;
mod shop_file;
mod stop;
mod supply_detail;
mod swapping;
mod tuning;
mod year_book;
mod year_words;

pub use bench_plan::{BenchAsked, BenchPlan, BenchQuestion, Substitute, learnt};
pub use came_back::{Back, GivenBack, settle_back};
pub use card_days::{CardDay, card_days, card_in_use, card_named, strike_card, unuse_card, use_card};
pub use card_price::{PriceAsked, price_by};
pub use card_question::CardQuestion;
pub use cost_flow::{FLOW_CAUTION, choose_cost_flow, flow_words, put_cost_flow};
pub use demo_year::{Counted, fill_demo};
pub use drop_check::{DropCheck, DropMend, FaceDropped};
pub use earned_by::named;
pub use event_words::{happened, happened_in};
pub use fetching::{Fetch, fetching, flaws_known, pieces_numbered, which_pieces};
pub use find_charts::{cost_of, ladder_steps, lots_in_words, plans_compared, price_chart, split_bars};
pub use find_question::FindQuestion;
pub use find_records::{FindRecords, RecordJob, waits};
pub use in_parts::{AtDoor, PartsGone, Sending, SendingWrong, pieces_by_plan, send, sending};
pub use insuring::{InsureAsked, InsureMistake, Insured, NO_ADVICE, USUAL_PAYOUT, chance, insured};
pub use intake::{
    Cells, Column, DateOrder, IntakeError, IntakeOf, LeftOut, Looked, MOST_BYTES, Reading, Remembered, Row,
    guessed, look, look_and_store, remember, remembered,
};
pub use listing_entry::{known_venue, listing_title, pieces_suffice, put_listing};
pub use lots_asked::{LotsAsked, grade_named, grade_of, grade_words};
pub use on_hand::{DAYS_OF_USE, OnHand, Taken, counted, supplies_on_hand, taken};
pub use own_card::{CardMistake, CardTexts, OwnCards, card_of, card_texts, put_card, read_card};
pub use own_tables::OwnTables;
pub use own_venue::{
    OwnVenues, TermsOf, put_terms, put_venues, read_terms, read_venues, strike_venue, usual_venue,
    venue_file, venue_id, venue_terms,
};
pub use piece_words::{one_piece, pieces_of_finds, pieces_told, pieces_written};
pub use plain_settings::{
    ChangedSetting, SettingWrong, TypedSetting, put_changed, setting_typed, settings_changed, usual_job,
};
pub use postage::RateCard;
pub use scale_says::{outside_size, supply_named, supply_used, three_sides};
pub use set_question::{SetMember, SetQuestion};
pub use sets::{
    Alone, MOST_IN_SET, SetDecision, SetPart, SetTold, alone_told, keep_sets, set_of, set_parts_told,
    sound_and_free,
};
pub use setting::{DEMO_MARK, demo_of, fitted, is_own, put_setting, put_settings, setting};
pub use sheet::Desk;
pub use sheet_path::{literal, set};
pub use shelf_usual::shelf_usual;
pub use shop_file::{
    Arriving, Checkup, Copy, CopyOrigin, MOST_SENT, Replacing, back_up_now, bundle, checkup, copies_folder,
    copies_of, copy_named, demo_in, erase_demo, must_be_demo, put_back, remove_copy, replacing,
    tables_zipped,
};
pub use stop::Stop;
pub use supply_detail::{SUPPLY_KINDS, SupplyPart, SupplyTold, SupplyWrong, no_plan_takes, supply_told};
pub use swapping::{FreePiece, Proved, Swapping, free_pieces, promised, swap_at_bench};
pub use tuning::{
    AppliedTuning, USUAL_BREAKAGE, apply_tuning, overall_breakage, take_back_tuning, tuning_of,
};
pub use year_book::year_book;
pub use year_words::question;
