//! Lengths, masses, areas, volumes and money: what a person types, and what is written back.
//!
//! Every quantity is stored in one unit (millimetres, grams, square or cubic millimetres, whole
//! cents), so that a figure's unit is in its type and never in a comment.
//!
//! ```
//! use measure::{Length, LengthUnit, Mass, Money, Units};
//!
//! let across = Length::read("3-1/4\"", None)?;
//! assert_eq!(across.write(Units::UsCustomary), "3 1/4 in");
//! assert!(Length::read("3 1/4", None).is_err(), "no unit is ever guessed");
//! assert_eq!(Length::read("3 1/4", Some(LengthUnit::Inches))?, across);
//! assert_eq!(Mass::read("1 lb 3.5 oz", None)?.write(Units::UsCustomary), "1 lb 3.5 oz");
//! assert_eq!(Money::read("$1,234.5")?.write(), "1,234.50");
//! # Ok::<(), measure::ReadError>(())
//! ```

mod amount;
mod girth;
mod money;
mod nearest;
mod plural;
mod quantity;
mod read;
mod read_money;
mod runs;
mod unit;
mod write;

pub use amount::vulgar_fraction;
pub use girth::{girth, length_plus_girth};
pub use money::Money;
pub use nearest::{nearest, plain};
pub use plural::{counted, plural};
pub use quantity::{Area, Length, Mass, Volume};
pub use read::ReadError;
pub use read_money::LARGEST_MONEY;
pub use runs::runs;
pub use unit::{LengthUnit, MassUnit, Units, VolumeUnit};
