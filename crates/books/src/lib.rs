//! The books of one person who buys ware by the haul and sells it in lots: what each piece cost, what every money
//! event moved, what was earned, and what goes on which line at the end of the year.
//!
//! Everything here is a value made from values: [`Books`] are replayed from [`Haul`]s and [`Entry`]s, wherever
//! these are kept. Figures for tax returns are no tax advice; see [`NOT_TAX_ADVICE`].
//!
//! ```
//! use books::*;
//! use jiff::civil::date;
//! use measure::Money;
//!
//! let haul = Haul::new(HaulRecord {
//!     id: HaulId(1),
//!     date: date(2026, 3, 7),
//!     place: "parish hall".to_owned(),
//!     paid: Money::from_cents(2000),
//!     tax: PurchaseTax::Exempt,
//!     freight_in: Money::ZERO,
//!     split: SplitRule::ByValue,
//!     flawed: FlawedCarry::Share,
//!     finds: vec![BoughtFind { id: FindId(1), sound: 7, flawed: 0, value: Money::from_cents(6000) }],
//! })?;
//! let mut books = Books::default();
//! let bought = haul_bought(books.next_entry(), &haul, Purse::Cash, Purse::Cash)?;
//! books.add_haul(haul)?;
//! books.post(bought)?;
//!
//! let four = books.pick(FindId(1), 4, Soundness::Sound)?;
//! assert_eq!(four.basis(), Money::from_cents(1143));
//! let sent = SentPart { lot: Some(LotId(1)), pieces: four };
//! let voucher = Voucher { id: books.next_entry(), date: date(2026, 4, 1) };
//! books.post(goods_sent(voucher, OrderId(1), &[sent])?)?;
//! assert!(books.is_frozen(HaulId(1)));
//! assert_eq!(books.net(Account::Goods, |_| true), Money::from_cents(857));
//! # Ok::<(), BooksError>(())
//! ```

mod account;
mod allocate;
mod average;
mod books;
mod business_use;
mod buying;
mod checks;
mod cost_closing;
mod cost_flow;
mod day_book;
mod deduct_year;
mod deposits;
mod entry;
mod error;
mod flag;
mod flow_schedule;
mod form_lines;
mod goods;
mod gross_receipts;
mod haul;
mod id;
mod information_return;
mod kind;
mod list_next;
mod mileage;
mod money_events;
mod picking;
mod piece;
mod quantity;
mod recost;
mod report;
mod selling;
mod stock;
mod stock_report;
mod undo;
mod valuation;
mod worksheet;

pub use account::{Account, Class, Purse, Side};
pub use allocate::{allocate, allocate_by_value, allocate_over_pieces};
pub use average::AveragePool;
pub use books::Books;
pub use business_use::BusinessUse;
pub use buying::{Adjustment, haul_adjusted, haul_bought, supplies_bought, supplies_used};
pub use cost_closing::{CostClosing, GrossProfit};
pub use cost_flow::{CostFlow, CostSystem, FlowCost, UnitMovement, flow_cost};
pub use day_book::DayBook;
pub use deduct_year::deduct_year;
pub use deposits::{Deposits, FormGross, deposits, form_gross};
pub use entry::{About, Entry, EntryDraft, Line, Memo, Part, Voucher};
pub use error::BooksError;
pub use flag::Flag;
pub use flow_schedule::FlowSchedule;
pub use form_lines::{FormLine, FormLines, SheetLine};
pub use goods::{broken_at_home, broken_on_the_way, given_away, taken_for_oneself};
pub use gross_receipts::{GrossReceiptsLimit, GrossReceiptsLimits};
pub use haul::{BoughtFind, FindBasis, FlawedCarry, Haul, HaulRecord, MOST_PIECES, PurchaseTax, SplitRule};
pub use id::{EntryId, FindId, HaulId, LotId, OrderId, SupplyId};
pub use information_return::{InformationLimit, InformationLimits, Payer};
pub use kind::Kind;
pub use list_next::{AGE_DOUBLES_AFTER_DAYS, NextToList, Unlisted, list_next};
pub use mileage::{MileageRate, MileageRates, Miles, Trip, TripUse};
pub use money_events::{
    Expense, expense, mileage, other_income, owner_put_in, owner_took_out, payout, tax_remitted, transfer,
};
pub use picking::SentPart;
pub use piece::{Fate, Move, Pieces, Soundness};
pub use quantity::Quantity;
pub use recost::Recost;
pub use report::{By, Earned, Key, Work, of_order, report};
pub use selling::{
    BuyerTax, Charge, OrderMoney, RefundMoney, SoldPart, claim_paid, fee, fee_returned, goods_sent,
    order_paid, postage_adjusted, postage_bought, refund, returned,
};
pub use stock_report::{
    AGE_LIMITS, AgeBand, Leftover, Listed, StockRow, aged_stock, leftovers, leftovers_among,
    sell_through_among, sell_through_by_place, stock_on,
};
pub use undo::Mark;
pub use valuation::{
    CostAndMarket, CostAndRetail, RetailClosing, RetailPeriod, lower_of_cost_or_market, retail_method,
};
pub use worksheet::{NOT_TAX_ADVICE, OpenQuestion, TaxTables, WorksheetRow, YearWorksheet, year_worksheet};
