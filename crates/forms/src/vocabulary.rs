//! Words with a fixed choice: where a figure comes from, what a piece is made of, how its body is built.

/// An enum whose every variant has exactly one written word.
macro_rules! vocabulary {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$variant_doc])* $variant),+ }

        impl $name {
            /// All of them, in the order of the declaration.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word for it, as data files write it and people read it.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The one with this word; `None` when there is none.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.word() == word)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }
    };
}
pub(crate) use vocabulary;

vocabulary! {
    /// How far a figure can be trusted: where it comes from.
    Flag {
        /// Found on a published page or in a handbook.
        Published = "published",
        /// What the trade does, not one publication.
        CommonPractice = "common practice",
        /// Recalled, not read again.
        FromMemory = "from memory",
        /// Chosen here because nothing better was found.
        Judgement = "judgement",
        /// Taken with a tape or a scale by the person who uses it.
        Measured = "measured",
    }
}

vocabulary! {
    /// What the hard mass of a piece is made of.
    Material {
        /// Blown, pressed or laminated glass.
        Glass = "glass",
        /// Stoneware and vitrified ware.
        Stoneware = "stoneware",
        /// Porcelain and bone china.
        Porcelain = "porcelain",
        /// Earthenware and ironstone.
        Earthenware = "earthenware",
        /// Cast iron.
        Iron = "iron",
        /// Paper and board: books, games.
        Paper = "paper",
        /// Other metals.
        Metal = "metal",
        /// Plastics, vinyl and shellac.
        Plastic = "plastic",
        /// Wood.
        Wood = "wood",
        /// Cloth and stuffed goods.
        Textile = "textile",
    }
}

vocabulary! {
    /// The solid that stands for the body of a piece.
    BodyKind {
        /// A round body: `diameter` and `height`.
        Cylinder = "cylinder",
        /// A rectangular body, or the box round an oval or irregular one: `length`, `width`, `height`
        /// (its thickness when it lies flat).
        Block = "block",
        /// A round bowl or plate on a stem and a foot: `diameter` of the bowl, `height` of it all.
        Stemmed = "stemmed",
    }
}
