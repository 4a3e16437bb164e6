//! How far from the carton one piece must lie, by the closed forms.

use cushion::{Fall, Hits, Layer, needed_behind};
use measure::{Area, Length, Mass};
use shape::Bundle;

use crate::{DropTestError, Filling, Guarded};

/// Distance of hard parts to the carton at which the fill behind the wrap keeps the shock to what the weakest
/// part bears.
///
/// The wrap counts as layers before the fill; both bear on `area`.
///
/// # Errors
/// When a cushion is unknown, or no thickness of this fill is enough for so light a piece.
pub fn needed_clearance(
    bundle: &Bundle,
    guarded: &Guarded,
    filling: &Filling<'_>,
    height: Length,
    area: Area,
) -> Result<Length, DropTestError> {
    let (_, bears) =
        guarded.weakest().ok_or_else(|| DropTestError::BearsNothing { label: bundle.label.clone() })?;
    let fall = Fall::new(Mass::from_grams(bundle.mass_g), height)?;
    let wrap_mm = bundle.parts.iter().map(|part| part.wrap_mm).fold(f64::INFINITY, f64::min);
    let mut before = Vec::new();
    for (key, thickness_mm) in guarded.layers(wrap_mm) {
        if thickness_mm > 0.0 {
            let material = filling.cushions.find(key)?;
            before.push(Layer { material, thickness: Length::from_mm(thickness_mm), area });
        }
    }
    let material = filling.cushions.find(filling.fill)?;
    let fill = needed_behind(&fall, bears, &before, material, area, Hits::Repeated)?;
    Ok(fill + before.iter().map(|layer| layer.thickness).sum::<Length>())
}
