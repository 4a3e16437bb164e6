//! Void fill.

use measure::Volume;

/// Fill to pour: what the wrapped pieces leave of the inside, and a share more for settling.
///
/// `overfill` is a share of the void, 0 or more (see [`crate::Profile::overfill`]); pads are not taken
/// off, so that fill is not hoped away. Never less than nothing.
///
/// Source: fill volume is inside less wrapped pieces; 10 to 15 % further is judgement.
#[must_use]
pub fn fill_needed(inside: Volume, wrapped: impl IntoIterator<Item = Volume>, overfill: f64) -> Volume {
    let void = inside - wrapped.into_iter().sum::<Volume>();
    void.max(Volume::ZERO) * (1.0 + overfill.max(0.0))
}
