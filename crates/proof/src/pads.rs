//! Pads as slabs from wall to wall.

use plan::{Parcel, TOLERANCE_MM};

use crate::scene::Standing;
use crate::violation::Violation;

/// Pads count up from the floor, lie inside, apart from each other, above layers that exist.
pub(crate) fn slabs(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let inside_mm = parcel.carton.inside_mm[2];
    for (index, pad) in parcel.pads.iter().enumerate() {
        let place = index + 1;
        if usize::try_from(pad.number) != Ok(place) {
            broken.push(Violation::PadNumber { place, found: pad.number });
        }
        if pad.above_layer != 0 && parcel.layers.iter().all(|layer| layer.number != pad.above_layer) {
            broken.push(Violation::PadOfNoLayer { pad: pad.number, layer: pad.above_layer });
        }
        let (bottom_mm, top_mm) = (pad.bottom_mm, pad.bottom_mm + pad.thickness_mm);
        if bottom_mm < -TOLERANCE_MM || top_mm > inside_mm + TOLERANCE_MM {
            broken.push(Violation::PadOutside { pad: pad.number, bottom_mm, top_mm, inside_mm });
        }
    }
    for (lower, upper) in parcel.pads.iter().zip(parcel.pads.iter().skip(1)) {
        let top_mm = lower.bottom_mm + lower.thickness_mm;
        if upper.bottom_mm < top_mm - TOLERANCE_MM {
            broken.push(Violation::PadsOverlap {
                lower: lower.number,
                upper: upper.number,
                bottom_mm: upper.bottom_mm,
                top_mm,
            });
        }
    }
}

/// Hard parts stay out of pads by their pressed wrap.
pub(crate) fn pierced(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for bundle in scene {
        for pad in &parcel.pads {
            let worst = bundle
                .parts
                .iter()
                .map(|part| {
                    let over = part.bare.bottom() - (pad.bottom_mm + pad.thickness_mm);
                    let under = pad.bottom_mm - part.bare.top();
                    (over.max(under), parcel.crush.wall_mm(part.stated.wrap_mm, 0.0))
                })
                .min_by(|one, other| (one.0 - one.1).total_cmp(&(other.0 - other.1)));
            if let Some((distance_mm, required_mm)) = worst
                && distance_mm < required_mm - TOLERANCE_MM
            {
                broken.push(Violation::PadPierced {
                    bundle: bundle.named(),
                    pad: pad.number,
                    distance_mm,
                    required_mm,
                });
            }
        }
    }
}
