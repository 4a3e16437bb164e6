//! Numbers that count up, and layers that list what lies in them.

use plan::Parcel;

use crate::scene::Standing;
use crate::violation::Violation;

/// How far a stated layer height may be from the wrapped bundles, mm (judgement: below what a packer sees).
const HEIGHT_SLACK_MM: f64 = 0.5;

/// Bundles count 1, 2, ... in their list; layers likewise; each layer lists its bundles in order.
pub(crate) fn check(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let bundles = parcel.bundles.iter().map(|bundle| bundle.number);
    let layers = parcel.layers.iter().map(|layer| layer.number);
    for (place, found) in bundles.enumerate() {
        number(format!("bundle in place {} of the order of loading", place + 1), found, place + 1, broken);
    }
    for (place, found) in layers.enumerate() {
        number(format!("layer in place {} from the floor", place + 1), found, place + 1, broken);
    }
    for layer in &parcel.layers {
        let mut lying: Vec<u32> = parcel
            .bundles
            .iter()
            .filter(|bundle| bundle.layer == layer.number)
            .map(|bundle| bundle.number)
            .collect();
        lying.sort_unstable();
        if lying != layer.bundles || lying.is_empty() {
            broken.push(Violation::LayerList { layer: layer.number, listed: layer.bundles.clone(), lying });
        }
    }
    let mut unlisted: Vec<u32> = parcel.bundles.iter().map(|bundle| bundle.layer).collect();
    unlisted.retain(|number| parcel.layers.iter().all(|layer| layer.number != *number));
    unlisted.sort_unstable();
    unlisted.dedup();
    for layer in unlisted {
        let lying = parcel
            .bundles
            .iter()
            .filter(|bundle| bundle.layer == layer)
            .map(|bundle| bundle.number)
            .collect();
        broken.push(Violation::LayerList { layer, listed: Vec::new(), lying });
    }
}

fn number(place: String, found: u32, wanted: usize, broken: &mut Vec<Violation>) {
    if usize::try_from(found) != Ok(wanted) {
        broken.push(Violation::Numbering { place: format!("the {place}"), found, wanted });
    }
}

/// Stated layer heights are those of the wrapped bundles.
pub(crate) fn heights(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for layer in &parcel.layers {
        let lying = || scene.iter().filter(|bundle| bundle.stated.layer == layer.number);
        if lying().next().is_none() {
            continue;
        }
        let bottom = lying().map(Standing::bottom).fold(f64::INFINITY, f64::min);
        let top = lying().map(Standing::top).fold(f64::NEG_INFINITY, f64::max);
        for (end, stated_mm, actual_mm) in [("bottom", layer.bottom_mm, bottom), ("top", layer.top_mm, top)] {
            if (stated_mm - actual_mm).abs() > HEIGHT_SLACK_MM {
                broken.push(Violation::LayerHeight { layer: layer.number, end, stated_mm, actual_mm });
            }
        }
    }
}
