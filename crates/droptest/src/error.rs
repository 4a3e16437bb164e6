//! What can be wrong with a test.

use cushion::CushionError;
use impact::ImpactError;

/// Why a parcel was not tested.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DropTestError {
    /// Not one entry per bundle.
    #[error("the plan has {bundles} bundles and {guarded} are described: describe each, in the plan's order")]
    Guarded {
        /// Bundles in the plan.
        bundles: usize,
        /// Entries given.
        guarded: usize,
    },
    /// A bundle without a part that bears anything.
    #[error("nothing is said of what {label} bears: give the deceleration of at least one of its parts")]
    BearsNothing {
        /// The bundle.
        label: String,
    },
    /// A cushion that can't be used.
    #[error(transparent)]
    Cushion(#[from] CushionError),
    /// The model refused the parcel.
    #[error("the drop of this parcel can't be followed: {0}")]
    Impact(#[from] ImpactError),
}
