//! The app in a browser: pages, forms, who may come in, and the door they come in by.
//!
//! - **The edge.** [`serve`] takes connections in on a listener that the binary bound, plain or with the owner's
//!   own [`Tls`]; [`router`] puts around every page what keeps it safe: headers, names, foreign forms, sizes,
//!   sessions. Nothing here connects to anywhere.
//! - **Who may come in.** [`Access`] knows devices by the hash of their session; a one-time key or the passphrase
//!   lets a browser in.
//! - **Pages** are functions from values to markup. A page module has a `routes()`; its step in `way` has a path.
//! - **Forms** ([`form`]) keep what was typed, say what is wrong beside the field, and are read by the same types
//!   that read the terminal and the job sheet.
//!
//! Time, secrets and keeping are handed in as [`Outside`]; no clock, disk or source of randomness is read here.

mod access;
mod app;
mod assets;
mod begin;
mod bench;
mod cards;
mod cost_flow_page;
mod day_and_purse;
mod devices;
mod door;
mod enter;
mod error;
mod file_page;
mod finds;
pub mod form;
mod guard;
mod hauls;
mod headers;
mod help;
mod history_page;
mod hosts;
mod intake;
mod layout;
mod listings;
mod lots;
mod measure_page;
mod money;
mod offline;
mod orders;
mod outside;
mod pack;
mod papers_page;
mod passphrase;
mod patience;
mod plain_settings;
mod quantities;
mod recent;
mod record_page;
mod refusal;
mod session;
mod settings_page;
mod shelf;
mod shopdoor;
mod spelled;
mod square_code;
mod stock_page;
mod supplies;
mod tags;
mod tls;
mod today;
mod venues;
mod way;

/// What every question is answered with.
mod desk {
    pub(crate) use shelfcheck::Desk;
}
use shelfcheck::{said, told};

pub use access::Access;
pub use app::{App, Reach, router};
pub use door::{Peer, serve};
pub use error::WebError;
pub use hosts::Hosts;
pub use layout::Page;
pub use offline::Module;
pub use outside::{Clock, Keeper, Moment, Outside, Secret, Secrets};
pub use shelf::KeptChecks;
pub use shopdoor::ShopFiles;
pub use tls::Tls;
