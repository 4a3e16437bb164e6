//! Where on a piece a flaw is.

use measure::{nearest, plain};

/// The word for a place, and how a sentence says it.
macro_rules! places {
    ($($(#[$doc:meta])* $variant:ident = $word:literal, $phrase:literal;)+) => {
        /// A place on a piece.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Place { $($(#[$doc])* $variant),+ }

        impl Place {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word a person types ("rim").
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// As a condition line says it ("at the rim").
            #[must_use]
            pub const fn phrase(self) -> &'static str {
                match self { $(Self::$variant => $phrase),+ }
            }
        }
    };
}

places! {
    /// The upper edge.
    Rim = "rim", "at the rim";
    /// The lower edge it stands on.
    Foot = "foot", "on the foot";
    /// The underside.
    Base = "base", "on the base";
    /// The flat middle of a plate or saucer.
    Well = "well", "in the well";
    /// A handle.
    Handle = "handle", "on the handle";
    /// The spout.
    Spout = "spout", "at the spout";
    /// The pouring lip.
    Lip = "lip", "at the lip";
    /// The lid or stopper.
    Lid = "lid", "on the lid";
    /// Where the lid sits.
    Seat = "seat", "on the lid seat";
    /// The knob of a lid.
    Knob = "knob", "on the knob";
    /// The stem.
    Stem = "stem", "on the stem";
    /// The bowl of a stemmed piece.
    Bowl = "bowl", "on the bowl";
    /// The body.
    Body = "body", "on the body";
    /// The inner surface.
    Inside = "inside", "inside";
    /// The outer surface.
    Outside = "outside", "outside";
    /// The neck of a bottle or vase.
    Neck = "neck", "on the neck";
    /// The shoulder of a jar or vase.
    Shoulder = "shoulder", "on the shoulder";
    /// An edge.
    Edge = "edge", "at the edge";
    /// A corner.
    Corner = "corner", "at a corner";
    /// A side.
    Side = "side", "on the side";
    /// The front or face.
    Front = "front", "on the front";
    /// The back.
    Back = "back", "on the back";
    /// A finger, ear, tail or other thin projection.
    Tip = "tip", "at a projecting tip";
    /// The painted or printed decoration.
    Decoration = "decoration", "in the decoration";
    /// The cover of a book.
    Cover = "cover", "on the cover";
    /// The spine of a book.
    Spine = "spine", "on the spine";
    /// The pages of a book.
    Pages = "pages", "on the pages";
    /// Everywhere.
    AllOver = "all over", "all over";
}

/// Words that people put before a place.
const LEADS: &[&str] = &["at", "on", "in", "to", "near", "the", "a", "its"];

impl Place {
    /// The place a person typed ("rim", "on the foot"); `None` when it is none of them.
    #[must_use]
    pub fn from_words(words: &str) -> Option<Self> {
        let wanted: String = words
            .split_whitespace()
            .skip_while(|word| LEADS.contains(&plain(word).as_str()))
            .map(plain)
            .collect();
        let same = |place: &Self| {
            let word = plain(place.word());
            !wanted.is_empty() && (word == wanted || format!("{word}s") == wanted)
        };
        Self::ALL.iter().copied().find(same).or(match wanted.as_str() {
            "throughout" | "everywhere" | "overall" => Some(Self::AllOver),
            "underside" | "bottom" => Some(Self::Base),
            "face" => Some(Self::Front),
            "interior" => Some(Self::Inside),
            "exterior" => Some(Self::Outside),
            "finial" => Some(Self::Knob),
            _ => None,
        })
    }

    /// Words that may have been meant.
    pub(crate) fn near(words: &str) -> Vec<String> {
        nearest(words, Self::ALL.iter().map(|place| place.word()))
    }
}
