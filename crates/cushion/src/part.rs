//! Parts of a piece, as far as they break differently.

/// A part of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// The main mass.
    Body,
    /// A handle, ear or tab.
    Handle,
    /// A spout or pouring lip.
    Spout,
    /// The stem of a glass.
    Stem,
    /// The foot of a glass or stand.
    Foot,
    /// A knob or finial.
    Knob,
    /// A lid or cover packed apart from its body.
    Lid,
    /// A thin projection: a finger, a wing, a branch.
    Projection,
}

impl Part {
    /// Every part.
    pub const ALL: [Self; 8] = [
        Self::Body,
        Self::Handle,
        Self::Spout,
        Self::Stem,
        Self::Foot,
        Self::Knob,
        Self::Lid,
        Self::Projection,
    ];

    /// The word in data files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Body => "body",
            Self::Handle => "handle",
            Self::Spout => "spout",
            Self::Stem => "stem",
            Self::Foot => "foot",
            Self::Knob => "knob",
            Self::Lid => "lid",
            Self::Projection => "projection",
        }
    }

    /// The part with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.word() == word.trim())
    }
}
