//! The rest of a job when only a find is told.

/// A sheet without finds: where parcels go, in what, on which card, when nobody says so. All judgement.
#[must_use]
pub const fn usual() -> &'static str {
    include_str!("../data/usual.toml")
}
