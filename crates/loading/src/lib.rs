//! Box-shaped goods in one container or in several: which boxes, where, lying which way.
//!
//! Blocks of equal and unlike boxes are placed into maximal free cuboids; a beam search keeps the partial
//! loads whose greedy completion is best. Sizes are whole numbers of one unit of the caller's choice;
//! budgets count work, so the same question gives the same answer. The method is told in
//! `docs/box-loading.md`.
//!
//! ```
//! use loading::{Budget, Goods, Support, load, lowest};
//!
//! // Millimetres: twelve books lying flat and two boxes that may stand any way up.
//! let goods = [Goods::new([210, 150, 30], 12).standing_on([false, false, true]), Goods::new([150, 100, 90], 2)];
//! let carton = [310, 220, 250];
//! let load = load(carton, &goods, Support::Full, Budget::SMALL)?;
//! assert_eq!(load.placed.len(), 14);
//!
//! let low = lowest([310, 220], 250, &goods, Support::Full, Budget::SMALL)?.expect("it fits");
//! assert!(low.height() <= load.height());
//! # Ok::<(), loading::LoadError>(())
//! ```

mod beam;
mod bins;
mod block;
mod bound;
mod budget;
mod contact;
mod deck;
mod exact;
mod filling;
mod fit;
mod goods;
mod load;
mod load_error;
mod placed;
mod reach;
mod space;
mod yard;

pub use bins::bins;
pub use budget::Budget;
pub use fit::{fits_all, lowest};
pub use goods::{Goods, LONGEST_SIDE, MOST_BOXES};
pub use load::{Support, load, load_while};
pub use load_error::LoadError;
pub use placed::{Load, Placed};
