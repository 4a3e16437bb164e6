//! The whole trade of one person in one file on their own machine: what happened, what is on the shelf, who ordered
//! what, which supplies are left, and the books.
//!
//! [`Shop`] is the one door. What happened is appended to a log of events and never changed; every other table is
//! what those events add up to, written in the same transaction ([`Shop::rebuild_agrees`] proves it). Nothing here
//! looks at a clock: every write carries a [`Stamp`].
//!
//! ```
//! use jiff::Timestamp;
//! use shop::{Place, Shop, Stamp};
//!
//! let now: Timestamp = "2026-03-07T10:00:00Z".parse()?;
//! let mut shop = Shop::in_memory()?;
//! let hall = Place { name: "parish hall".to_owned(), note: String::new() };
//! let number = shop.note(&Stamp::at(now), &hall)?;
//! assert_eq!(shop.noted::<Place>()?, [(number, hall)]);
//! assert!(shop.check()?.is_sound());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod attaching;
mod attachment;
mod back;
mod backup;
mod bench;
mod cancelling;
mod candidates;
mod check;
mod claim;
mod coming_back;
mod comp;
mod cost_flow;
mod earnings;
mod error;
mod event;
mod export;
mod file_folder;
mod find;
mod flaw;
mod fold;
mod haul;
mod history;
mod id;
mod kept_files;
mod ledger;
mod listing;
mod listing_list;
mod measurement;
mod movement;
mod noted;
mod order;
mod order_list;
mod parcel;
mod part_sent;
mod piece;
mod place;
mod post;
mod rate_card;
mod rebuild;
mod record;
mod reorder;
mod repricing;
mod restore;
mod rows;
mod schema;
mod setting;
mod shelf;
mod shipping;
mod shop;
mod shrunk;
mod split;
mod staging;
mod stamp;
mod standing_parcel;
mod stock;
mod stored;
mod supply;
mod swap;
mod take_back;
mod together;
mod tuning;
mod venue;

pub use attaching::AttachedFile;
pub use attachment::{About, Attachment, AttachmentRole};
pub use back::{Back, BackEntered};
pub use backup::BackedUp;
pub use bench::{BenchRow, PullRow};
pub use cancelling::Cancelled;
pub use candidates::{Candidates, MINUTES_A_PIECE, SELLING_SHARE};
pub use check::{Findings, Flawed};
pub use claim::{Claim, ClaimState};
pub use coming_back::{CameBack, ComingBack, PieceRef, SentPiece};
pub use comp::Comp;
pub use cost_flow::COST_FLOW;
pub use error::ShopError;
pub use file_folder::files_folder;
pub use find::FindText;
pub use flaw::Flaw;
pub use haul::{BoughtHaul, HaulIn, NewFind};
pub use history::HistoryRow;
pub use id::EventId;
pub use kept_files::{FileFlaw, FileWrong, KeptFiles, erase_files};
pub use listing::{ListingIn, ListingName, ListingPart, ListingState, Which};
pub use listing_list::Listings;
pub use measurement::{Measured, Measurement};
pub use movement::{MoneyMoved, Movement};
pub use noted::{Noted, OfFind};
pub use order::{OrderIn, OrderLine, OrderState, Payment, StandingOrder};
pub use order_list::OrderRow;
pub use parcel::{OutsideSize, ParcelPlan, PlannedSupply};
pub use part_sent::PartSent;
pub use piece::PieceRow;
pub use place::Place;
pub use rate_card::RateCardText;
pub use record::Record;
pub use reorder::SupplyState;
pub use repricing::{OrderRepriced, PriceOfLine};
pub use schema::{APPLICATION_ID, VERSION};
pub use setting::Setting;
pub use shelf::{FromShelf, Leaving};
pub use shipping::{ParcelActual, Shipped};
pub use shop::Shop;
pub use shrunk::{WEIGHT_OF_A_BREAKAGE, WEIGHT_OF_A_PREDICTION, shrunk_ratio, shrunk_share};
pub use split::Split;
pub use staging::{ImportContent, ImportItem, Rejected, Staged};
pub use stamp::Stamp;
pub use standing_parcel::StandingParcel;
pub use stock::StockLine;
pub use supply::{LEAD_DAYS, SAFETY_DAYS, Supply};
pub use swap::Swap;
pub use tuning::{Tuned, Tuning};
pub use venue::Venue;
