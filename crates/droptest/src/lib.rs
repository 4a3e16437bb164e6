//! The drop test, on paper: a packed parcel dropped on every face, edge and corner before anything is wrapped.
//!
//! The door is [`assess`]: it takes a plan and what each bundle is wrapped in and bears, looks through the carton
//! for what stands between hard parts ([`cushions`]), and follows the bundles as masses on those cushions. The
//! method is told in `docs/drop-test.md`. [`needed_clearance`] is the closed form for one piece, which is asked
//! before anything is packed.

mod assess;
mod chord;
mod columns;
mod error;
mod guarded;
mod landing;
mod needed;
mod network;
mod trip;

pub use assess::{Assessment, Detail, Felt, Landed, Nearest, assess};
pub use columns::{Cushioned, End, cushions};
pub use error::DropTestError;
pub use guarded::{Guarded, WrapLayer};
pub use landing::{Landing, Limit};
pub use needed::needed_clearance;
pub use network::Filling;
