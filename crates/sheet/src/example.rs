//! The sheet that shows how a sheet is written.

/// The commented job sheet of the demonstration: a closing guest house's dining room.
#[must_use]
pub fn example() -> &'static str {
    include_str!("../data/guest-house.toml")
}
