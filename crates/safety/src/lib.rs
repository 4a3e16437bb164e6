//! Safety: cautions where a job calls for them, each with who publishes the rule behind it.
//!
//! What is said about a kind of piece whatever becomes of it belongs to `forms`, what a buyer is told to
//! `listing`. This room speaks where the facts of a job call for it: what the parcel weighs and measures, what
//! was cut, reused or broken, how old the ware is, what may not be mailed. It repeats no sentence of the
//! forms: their cautions are carried over in their own words, less those that a measured fact has answered.
//!
//! ```
//! use measure::{Length, Mass};
//! use safety::{Facts, Safety, Situation};
//!
//! let facts = Facts {
//!     gross: Some(Mass::from_pounds(33.0)),
//!     outside: Some([18.0, 18.0, 16.0].map(Length::from_inches)),
//!     situations: [Situation::CutDown].into(),
//!     ..Facts::default()
//! };
//! let said = Safety::published().cautions(&facts);
//! let keys: Vec<&str> = said.iter().map(|one| one.key.as_str()).collect();
//! assert_eq!(keys, ["lift", "knife"]);
//! ```

mod carry;
mod caution;
mod error;
mod facts;
mod frequency;
mod hazard;
mod keys;
mod leach;
mod lifting;
mod rule;
mod safe;
mod vocabulary;

pub use carry::{Carry, LiftFrom, carry, hand_distance};
pub use caution::{Caution, Urgency};
pub use error::SafetyError;
pub use facts::{Facts, Situation};
pub use frequency::{Work, frequency_multiplier};
pub use hazard::{Hazard, Hazards, Mailing};
pub use leach::{LeachLimit, LeachLimits, LeachMetal, Ware, WareClass, WareUse};
pub use lifting::{Coupling, Lift, Lifting, LiftingBand, Multipliers, lifting, multipliers};
pub use rule::Rule;
pub use safe::Safety;
