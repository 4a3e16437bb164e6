//! Why an order can't be planned.

/// Everything this room refuses.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TradeError {
    /// A piece can't be built from its form and measures.
    #[error("find \"{find}\": {reason}")]
    Piece {
        /// The find.
        find: String,
        /// What the forms room says.
        reason: String,
    },
    /// A recipe, material or profile can't be used.
    #[error("find \"{find}\": {reason}")]
    Protection {
        /// The find.
        find: String,
        /// What the protection room says.
        reason: String,
    },
    /// A carton on the sheet can't be used.
    #[error("carton \"{carton}\": {reason}")]
    Carton {
        /// The carton.
        carton: String,
        /// What is wrong.
        reason: String,
    },
    /// A figure of the market can't be used.
    #[error("find \"{find}\": {reason}")]
    Market {
        /// The find.
        find: String,
        /// What the pricing or selling room says.
        reason: String,
    },
    /// A title that a person wrote doesn't agree with its lot or its venue.
    #[error("{0}")]
    Title(String),
    /// No zone for a destination.
    #[error("{0}")]
    Zone(String),
    /// No parcel or parcels can be planned.
    #[error("{0}")]
    NotPacked(String),
    /// It was told to stop before there was a plan.
    #[error("it was stopped before a plan was found")]
    Stopped,
    /// More pieces than one order may have.
    #[error(
        "an order of {pieces} pieces is more than the {most} that one order may have; sell larger lots in several orders"
    )]
    TooMany {
        /// Pieces asked for.
        pieces: u32,
        /// The most.
        most: u32,
    },
}
