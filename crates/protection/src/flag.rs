//! Where a figure comes from, and how well it is known.

/// How well a figure is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Flag {
    /// Read in a published source.
    Published,
    /// What the trade commonly does.
    CommonPractice,
    /// Known from memory, not read again.
    FromMemory,
    /// Chosen here because nothing published was found, or worked out from such figures.
    Judgement,
    /// Set by the person who uses it.
    Own,
}

impl Flag {
    /// Every flag.
    pub const ALL: [Self; 5] =
        [Self::Published, Self::CommonPractice, Self::FromMemory, Self::Judgement, Self::Own];

    /// The word in data files and messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Judgement => "judgement",
            Self::Own => "own",
        }
    }
}

/// Where a figure or a rule comes from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// How well it is known.
    pub flag: Flag,
    /// Its source in words ("Fibre Box Handbook").
    pub source: String,
}

/// A figure from a data file with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The figure, in the unit that its field states.
    pub value: f64,
    /// Low end of its range, where one is known.
    pub low: Option<f64>,
    /// High end of its range, where one is known.
    pub high: Option<f64>,
    /// Where it comes from.
    pub origin: Origin,
}

impl Figure {
    /// The end of the range that makes a parcel heavier or dearer.
    #[must_use]
    pub fn against_hope(&self) -> f64 {
        self.high.map_or(self.value, |high| high.max(self.value))
    }
}
