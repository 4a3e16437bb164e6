//! Numbers by which records are told apart; whoever stores them gives them out.

use std::fmt;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => { $(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u64);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }
    )* };
}

ids! {
    /// An entry in the books; a later entry has a larger number.
    EntryId,
    /// A haul: one buying occasion.
    HaulId,
    /// A find: like pieces from one haul.
    FindId,
    /// A lot as it was listed.
    LotId,
    /// A buyer's order.
    OrderId,
    /// A kind of supply: one size of carton, one kind of wrap.
    SupplyId,
}
