//! Impact: masses on one-sided cushions in a rigid carton that comes down on a floor.
//!
//! A [`Network`] of point masses, links and contacts is dropped; the answer says what deceleration each mass
//! felt, how far each cushion was pressed, how near hard parts came, and where the energy went. SI units
//! throughout. The model, its formulae and its limits are told in `docs/impact.md`.
//!
//! ```
//! use impact::{Axis, Drop, End, Law, Layer, Link, Mass, Model, Network, Settings, attitudes};
//!
//! // One mass of 0.4 kg in a cube, with 5 cm of foam on every side.
//! let foam = Law::StressEnergy { a_pa: 63.7e3, b_per_pa: 1.66e-5 };
//! let layer = Layer { law: foam, area_m2: 0.002, thickness_m: 0.05, restitution: 0.5 };
//! let mut network = Network { masses: vec![Mass::new(0.4).bearing(80.0)], ..Network::default() };
//! for axis in Axis::ALL {
//!     network.links.push(Link::new(End::Wall, End::Mass(0), axis, layer));
//!     network.links.push(Link::new(End::Mass(0), End::Wall, axis, layer));
//! }
//! let model = Model::new(&network)?;
//! for way in attitudes([0.2; 3], [0.1; 3])? {
//!     let response = model.drop(&Drop::new(0.76, way.direction), &Settings::default())?;
//!     assert!(response.masses[0].parts[0].share_of_allowable < 1.0);
//!     assert!(!response.links[0].bottomed);
//! }
//! # Ok::<(), impact::ImpactError>(())
//! ```

mod attitude;
mod curve;
mod drop;
mod error;
mod law;
mod march;
mod model;
mod network;
mod peaks;
mod response;
mod settings;
mod spring;

pub use attitude::{Attitude, attitudes};
pub use drop::{Drop, STANDARD_GRAVITY};
pub use error::ImpactError;
pub use law::{HARD_STIFFNESS_N_PER_M, Law, TOE_STRAIN};
pub use model::{Model, simulate};
pub use network::{Axis, Contact, End, Layer, Link, Mass, Network, Part};
pub use response::{Audit, ContactResponse, Energies, LinkResponse, MassResponse, PartResponse, Response};
pub use settings::Settings;
