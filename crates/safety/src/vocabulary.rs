//! Words with a fixed choice.

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
        }
    };
}
pub(crate) use vocabulary;
