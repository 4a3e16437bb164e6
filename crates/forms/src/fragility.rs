//! Working fragility classes for household goods.

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
