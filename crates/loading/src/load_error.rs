use crate::{LONGEST_SIDE, MOST_BOXES};

/// A question that can't be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LoadError {
    /// A side of the container is nothing or beyond all measure.
    #[error("the container is {inside:?} inside; each side has to be from 1 to {LONGEST_SIDE}")]
    Container {
        /// Inside length, width and height as given.
        inside: [u32; 3],
    },
    /// A side of some goods is nothing or beyond all measure.
    #[error("goods {kind} measure {size:?}; each side has to be from 1 to {LONGEST_SIDE}")]
    Size {
        /// Place in the list of goods, from 0.
        kind: usize,
        /// Sizes as given.
        size: [u32; 3],
    },
    /// Goods with no size that may stand vertically.
    #[error("goods {kind} may stand on no side; at least one size has to be allowed upright")]
    NoWayUp {
        /// Place in the list of goods, from 0.
        kind: usize,
    },
    /// A box that fits the container in none of its ways.
    #[error("goods {kind} measure {size:?} and fit no container of {inside:?} inside in any way allowed")]
    TooLarge {
        /// Place in the list of goods, from 0.
        kind: usize,
        /// Sizes as given.
        size: [u32; 3],
        /// Inside length, width and height of the container.
        inside: [u32; 3],
    },
    /// More boxes than one question takes.
    #[error("{boxes} boxes are more than the {MOST_BOXES} that one question takes")]
    TooMany {
        /// Boxes in all.
        boxes: u64,
    },
}
