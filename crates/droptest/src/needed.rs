//! How far from the carton one piece must lie, by the closed forms.

use cushion::{Fall, Hits, Layer, needed_behind};
use measure::{Area, Length, Mass};
use shape::Bundle;

use crate::{DropTestError, Filling, Guarded};

/// Distance of hard parts to the carton at which the fill behind the wrap keeps the shock to what the weakest
/// part bears.
///
/// The wrap counts as layers before the fill. The bearing area is the least that the largest part shows to any
/// side, since a parcel may land on each.
///
/// # Errors
/// When a cushion is unknown, or no thickness of this fill is enough for so light a piece.
pub fn needed_clearance(
    bundle: &Bundle,
    guarded: &Guarded,
    filling: &Filling<'_>,
    height: Length,
) -> Result<Length, DropTestError> {
    let (_, bears) =
        guarded.weakest().ok_or_else(|| DropTestError::BearsNothing { label: bundle.label.clone() })?;
    let area = bearing_area(bundle);
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

/// The least area that the largest part of a bundle shows to a side, as it stands.
#[must_use]
pub(crate) fn bearing_area(bundle: &Bundle) -> Area {
    let largest = bundle.parts.iter().max_by(|a, b| a.solid.volume_mm3().total_cmp(&b.solid.volume_mm3()));
    let Some(part) = largest else { return Area::ZERO };
    let side = [0, 1, 2].map(|axis| {
        let (low, high) = part.placement.extent_mm(part.solid, axis);
        high - low
    });
    // A round part shows a disc to its ends, and to the side about three fifths of its outline bear.
    const ROUND_SHARE: f64 = 0.6;
    let shown = match part.solid {
        shape::Solid::Cylinder { .. } | shape::Solid::Frustum { .. } => [
            ROUND_SHARE * side[1] * side[2],
            ROUND_SHARE * side[0] * side[2],
            std::f64::consts::FRAC_PI_4 * side[0] * side[1],
        ],
        shape::Solid::Block { .. } => [side[1] * side[2], side[0] * side[2], side[0] * side[1]],
    };
    Area::from_mm2(shown.into_iter().fold(f64::INFINITY, f64::min))
}
