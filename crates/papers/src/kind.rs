//! What a kept file is.

/// What a kept file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A JPEG picture.
    Jpeg,
    /// A PNG picture.
    Png,
    /// A PDF, kept as it came.
    Pdf,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Self; 3] = [Self::Jpeg, Self::Png, Self::Pdf];

    /// The end of the name of its file, without the dot.
    #[must_use]
    pub const fn extension(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::Pdf => "pdf",
        }
    }

    /// Its media type, as a server tells it.
    #[must_use]
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Pdf => "application/pdf",
        }
    }

    /// Whether a page may show it in place. What was made here may be shown; a PDF is as it came and is handed out
    /// as a download only.
    #[must_use]
    pub const fn shows_in_place(self) -> bool {
        match self {
            Self::Jpeg | Self::Png => true,
            Self::Pdf => false,
        }
    }
}
