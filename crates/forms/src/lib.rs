//! Forms: families of household pieces with default measures, cautions and the name of their recipe.
//!
//! A [`Form`] is a row of the forms table ("diner mug", "saucer", "skillet No. 8"). It knows what such
//! a piece usually measures and weighs, where each figure comes from, and how to turn a person's own
//! [`Measures`] into a [`shape::Piece`]: measured figures win part by part, the rest are the form's
//! defaults and are reported as estimates.
//!
//! ```
//! use forms::{Catalogue, Measures};
//! use measure::Length;
//!
//! let catalogue = Catalogue::published();
//! let mug = catalogue.find("Diner Mug")?;
//! let built = mug.piece(&Measures { diameter: Some(Length::from_inches(3.4)), ..Measures::default() })?;
//! assert_eq!(built.piece.parts.len(), 2); // body and handle
//! assert!(built.used.iter().any(|figure| figure.name == "diameter" && figure.measured));
//! assert!(built.used.iter().any(|figure| figure.name == "handle_reach" && !figure.measured));
//! # Ok::<(), forms::FormsError>(())
//! ```

mod catalogue;
mod caution;
mod error;
mod field;
mod form;
mod fragility;
mod keys;
mod measures;
mod piece;
mod read;
mod settle;
mod value;
mod vocabulary;

pub use catalogue::Catalogue;
pub use caution::Caution;
pub use error::FormsError;
pub use field::{Field, Quantity};
pub use form::{Fact, Figure, Form};
pub use fragility::Fragility;
pub use measures::Measures;
pub use piece::BuiltPiece;
pub use settle::{MAX_HANDLES, MAX_LENGTH, MAX_WEIGHT, UsedFigure};
pub use value::Value;
pub use vocabulary::{BodyKind, Flag, Material};
