//! The kinds of records.

use std::fmt;

use serde::{Deserialize, Serialize};

macro_rules! records {
    ($($(#[$doc:meta])* $name:ident = $table:literal, $word:literal;)*) => {
        /// A kind of record.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum Record { $($(#[$doc])* $name,)* }

        impl Record {
            /// Every kind.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The table that holds its current state.
            #[must_use]
            pub const fn table(self) -> &'static str {
                match self { $(Self::$name => $table),* }
            }

            /// Its name in a sentence.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$name => $word),* }
            }
        }
    };
}

records! {
    /// Where goods are bought.
    Place = "place", "place";
    /// One buying occasion.
    Haul = "haul", "haul";
    /// Like pieces from one haul.
    Find = "find", "find";
    /// A length or mass of a find or piece.
    Measurement = "measurement", "measurement";
    /// A flaw of a piece.
    Flaw = "flaw", "flaw";
    /// A comparable sale, as typed.
    Comp = "comp", "comp";
    /// A decision into which lots a find is split.
    Split = "split", "split";
    /// A receipt, photo or evidence file.
    Attachment = "attachment", "attachment";
    /// A listing of one or more like lots.
    Listing = "listing", "listing";
    /// A buyer's order.
    Order = "buyer_order", "order";
    /// A line of an order.
    OrderLine = "order_line", "order line";
    /// A parcel of an order.
    Parcel = "parcel", "parcel";
    /// A kind of supply.
    Supply = "supply", "supply";
    /// Pieces that came back or broke on the way.
    ComingBack = "coming_back", "return";
    /// A piece sent instead of another.
    Swap = "piece_swap", "swap";
    /// A claim for damage or loss.
    Claim = "claim", "claim";
    /// Where lots are sold.
    Venue = "venue", "venue";
    /// A rate card.
    RateCard = "rate_card", "rate card";
    /// A setting.
    Setting = "setting", "setting";
    /// Something predicted against what it was.
    Tuning = "tuning", "tuning observation";
    /// An entry of the books.
    Entry = "entry", "entry";
}

impl Record {
    /// Whether it is a record of plain fields, which is noted, amended and struck out as a whole.
    #[must_use]
    pub const fn is_plain(self) -> bool {
        match self {
            Self::Place
            | Self::Measurement
            | Self::Flaw
            | Self::Comp
            | Self::Split
            | Self::Attachment
            | Self::Supply
            | Self::Claim
            | Self::Venue
            | Self::RateCard
            | Self::Setting
            | Self::Tuning => true,
            Self::Haul
            | Self::Find
            | Self::Listing
            | Self::Order
            | Self::OrderLine
            | Self::Parcel
            | Self::ComingBack
            | Self::Swap
            | Self::Entry => false,
        }
    }

    /// The kind whose table has that name.
    #[must_use]
    pub fn of_table(table: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|record| record.table() == table)
    }
}

impl fmt::Display for Record {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
