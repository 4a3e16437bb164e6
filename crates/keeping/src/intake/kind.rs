//! What the rows of a table are, and which columns they have.

/// A column that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: &'static str,
    /// Whether it must be there.
    pub needed: bool,
    /// What stands in it.
    pub says: &'static str,
}

const fn needed(name: &'static str, says: &'static str) -> Column {
    Column { name, needed: true, says }
}

const fn may(name: &'static str, says: &'static str) -> Column {
    Column { name, needed: false, says }
}

const REF: Column = may("ref", "its number where it comes from");

/// What the rows of a table are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum IntakeOf {
    /// Places to buy.
    Places,
    /// Comparable sales.
    Comps,
    /// Expenses paid in cash.
    Expenses,
    /// Business trips.
    Trips,
    /// Supplies bought in cash.
    Supplies,
    /// Orders; rows with the same number are lines of one order.
    Orders,
    /// Hauls; rows with the same number are finds of one haul.
    Hauls,
}

impl IntakeOf {
    /// Every kind.
    pub const ALL: [Self; 7] =
        [Self::Orders, Self::Hauls, Self::Expenses, Self::Trips, Self::Supplies, Self::Comps, Self::Places];

    /// Its name, for many rows.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Places => "places",
            Self::Comps => "comps",
            Self::Expenses => "expenses",
            Self::Trips => "trips",
            Self::Supplies => "supplies",
            Self::Orders => "orders",
            Self::Hauls => "hauls",
        }
    }

    /// The kind of that name.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// What several rows with the same number make up, where they do.
    #[must_use]
    pub const fn grouped(self) -> Option<&'static str> {
        match self {
            Self::Orders => Some("order"),
            Self::Hauls => Some("haul"),
            Self::Places | Self::Comps | Self::Expenses | Self::Trips | Self::Supplies => None,
        }
    }

    /// Whether a column holds days.
    #[must_use]
    pub fn has_dates(self) -> bool {
        self.columns().iter().any(|column| column.name == "date")
    }

    /// The columns that are read.
    #[must_use]
    pub const fn columns(self) -> &'static [Column] {
        match self {
            Self::Places => {
                const { &[needed("name", "what it is called"), may("note", "anything to remember"), REF] }
            }
            Self::Comps => {
                const {
                    &[
                        needed("find", "the number of the find"),
                        needed("typed", "the comp as you would type it"),
                        needed("date", "the day it was seen"),
                        REF,
                    ]
                }
            }
            Self::Expenses => {
                const {
                    &[
                        needed("date", "the day it was paid"),
                        needed("amount", "how much"),
                        needed("note", "what for"),
                        REF,
                    ]
                }
            }
            Self::Trips => {
                const {
                    &[
                        needed("date", "the day"),
                        needed("miles", "miles driven"),
                        needed("purpose", "what for"),
                        REF,
                    ]
                }
            }
            Self::Supplies => {
                const {
                    &[
                        needed("date", "the day they were bought"),
                        needed("supply", "the number of the supply"),
                        needed("units", "how many"),
                        needed("cost", "what they cost together"),
                        REF,
                    ]
                }
            }
            Self::Orders => {
                const {
                    &[
                        needed(
                            "ref",
                            "the order's number at the venue; rows with the same one are one order",
                        ),
                        needed("date", "the day of the order"),
                        needed("listing", "the listing's number here, or its exact title"),
                        may("lots", "how many lots; 1 where it is left out"),
                        needed("items", "what was paid for the lots of the row"),
                        may("shipping", "shipping charged"),
                        may("tax", "sales tax the venue keeps"),
                        may("fee", "the venue's fee"),
                        needed("zip", "the buyer's ZIP code, or its first three digits"),
                        may("promise", "the day by which it is to be handed over"),
                        may("venue", "the venue's name here; that of the listing where it is left out"),
                        may(
                            "paid",
                            "the day it was paid; yes for its own day, no or nothing where it isn't paid. Without \
                             this column all are paid on their day",
                        ),
                        may("sent", "the day it was sent; nothing where it is still to be packed"),
                        may("postage", "what the postage cost, of an order that was sent"),
                        may("weight", "what its parcel weighed (ounces without a unit), where it was sent"),
                    ]
                }
            }
            Self::Hauls => {
                const {
                    &[
                        needed("ref", "the haul's number; rows with the same one are one haul"),
                        needed("date", "the day"),
                        needed("place", "where it was bought"),
                        needed("paid", "what the goods cost, without tax"),
                        may("tax", "tax on them; exempt where it is left out"),
                        may("freight", "what it cost to bring them in"),
                        needed("form", "what the pieces of the row are"),
                        may("description", "the same in your words"),
                        needed("count", "how many pieces, the flawed ones too"),
                        may("flawed", "how many of them are flawed"),
                        may("worth", "what they should sell for together"),
                        may("shelf", "where they stand"),
                    ]
                }
            }
        }
    }
}
