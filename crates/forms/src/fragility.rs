//! Working fragility classes for household goods.

use crate::Flag;
use crate::vocabulary::vocabulary;

vocabulary! {
    /// How hard a shock a piece stands, as a named class.
    ///
    /// No handbook lists household china and glass, so the classes and their limits are judgement,
    /// placed between the published steps for instruments and machines.
    Fragility {
        /// Thin stems, thin projections, lamps.
        Thin = "thin",
        /// Bone china, thin porcelain, spouts; anything cracked or mended.
        Fine = "fine",
        /// Drinking glasses, earthenware and porcelain plates, hollow figurines.
        Ordinary = "ordinary",
        /// Stoneware mugs, pressed glass, small solid figures.
        Compact = "compact",
        /// Restaurant ware, heavy ovenproof glass.
        Vitrified = "vitrified",
        /// Not limited by shock: books, discs in stiff sleeves, iron, cutlery.
        Rugged = "rugged",
    }
}

impl Fragility {
    /// Largest deceleration the bare piece is taken to stand, in multiples of gravity (35 to 115).
    ///
    /// Source: judgement; see [`Fragility::flag`].
    #[must_use]
    pub const fn g_item(self) -> f64 {
        match self {
            Self::Thin => 35.0,
            Self::Fine => 45.0,
            Self::Ordinary => 55.0,
            Self::Compact => 75.0,
            Self::Vitrified => 95.0,
            Self::Rugged => 115.0,
        }
    }

    /// Where [`Fragility::g_item`] comes from: always judgement.
    #[must_use]
    pub const fn flag(self) -> Flag {
        Flag::Judgement
    }
}
