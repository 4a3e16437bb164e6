//! Tables of the person's own, looked at before anything is stored.
//!
//! Bytes become [`Cells`]; a [`Reading`] says what the rows are, which column is which, and how dates are written;
//! [`look`] tries every row on the shop file and says what is ready and what is left out, and why. Nothing is stored
//! before [`shop::Shop::confirm`] is handed what was looked at.

mod cell;
mod cells;
mod columns;
mod error;
mod grouped;
mod hauls;
mod kind;
mod look;
mod orders;
mod plain_rows;
mod remembered;

pub use cell::DateOrder;
pub use cells::{Cells, MOST_BYTES, Row};
pub use columns::guessed;
pub use error::IntakeError;
pub use kind::{Column, IntakeOf};
pub use look::{LeftOut, Looked, Reading, look, look_and_store};
pub use remembered::{Remembered, remember, remembered};
