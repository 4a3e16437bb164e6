//! Cushion: how far a parcel falls, what its pieces stand, and what a cushion makes of the fall.
//!
//! Everything here is a closed form or a bisection over one: design drops by gross weight from published
//! schedules ([`Drops`]), fragility by class and part ([`Fragilities`]), and the peak shock behind a
//! cushion ([`peak_g`], [`needed_thickness`], [`series_g`]). Figures are data with their sources, and all
//! of them may be overridden. A method outside its validity says so and names the one taken instead.
//!
//! ```
//! use cushion::{Cushions, Drops, Fragilities, Hits, Impact, needed_thickness};
//! use measure::{Area, Length, Mass};
//!
//! let (drops, fragilities, cushions) = (Drops::published(), Fragilities::published(), Cushions::published());
//! let drop = drops.design(drops.profile("usual")?, Mass::from_pounds(9.0), None)?;
//! assert_eq!(drop.design_height().inches(), 30.0);
//!
//! let allowed = fragilities.find("compact")?.design_g(fragilities.safety().value)?;
//! let mug = Impact::new(Mass::from_pounds(0.8), Area::from_square_feet(8.0 / 144.0), drop.design_height())?;
//! let needed = needed_thickness(&mug, allowed, cushions.find("eps_fill")?, Hits::Repeated)?;
//! assert!((2.0..3.0).contains(&needed.thickness.inches()));
//! println!("{}", needed.working);
//! # Ok::<(), cushion::CushionError>(())
//! ```

mod boundary;
mod bounds;
mod caution;
mod cushion_factor;
mod drop;
mod drops;
mod error;
mod fall;
mod fragilities;
mod fragility;
mod law;
mod material;
mod materials;
mod mechanics;
mod nearest;
mod needed;
mod package;
mod part;
mod predict;
mod profile;
mod rows;
mod schedule;
mod series;
mod spring;
mod stress_energy;
mod tuned;
mod validity;
mod working;

pub use boundary::DamageBoundary;
pub use caution::{Caution, buckling_area};
pub use cushion_factor::{bearing_area, factor_g, factor_thickness, peak_stress};
pub use drop::{Drop, DropOnto, ExtraDrop, PlannedDrop};
pub use drops::Drops;
pub use error::CushionError;
pub use fall::{Fall, Impact, Rebound};
pub use fragilities::{ClassicStep, Fragilities};
pub use fragility::Fragility;
pub use law::{Shape, StressLaw, TANGENT_FACTOR};
pub use material::{Hits, Material};
pub use materials::Cushions;
pub use mechanics::{GRAVITY_IN_S2, Speed, Stiffness, Stress};
pub use needed::{Needed, needed_thickness};
pub use package::PackageType;
pub use part::Part;
pub use predict::{Prediction, peak_g};
pub use profile::DropProfile;
pub use schedule::Schedule;
pub use series::{Layer, LayerShare, SeriesPrediction, needed_behind, series_g};
pub use spring::Spring;
pub use stress_energy::StressEnergy;
pub use tuned::{Packed, Tuned, Tuning};
pub use validity::{Method, Outside};
pub use working::{Step, Working};
