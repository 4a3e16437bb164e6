//! What stands on what, and whether it is carried.

use parry3d_f64::glamx::DVec3;
use plan::{Pad, Parcel, Rest};

use crate::footprint::Outline;
use crate::scene::Standing;
use crate::stacked;
use crate::violation::Violation;

/// How far apart two things may be and still touch, mm (judgement: fill and foam give that much).
pub(crate) const TOUCH_MM: f64 = 0.5;

/// How far the load's centre may lie outside what carries it, mm.
const HULL_SLACK_MM: f64 = 1.0;

/// Each bundle's lowest wrapped point is on the bed, the pad or the bundles it names, and they may carry it.
pub(crate) fn rests(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for bundle in scene {
        let layer = bundle.stated.layer;
        let (rest, found) = match &bundle.stated.rests {
            Rest::Bed => ("the bed".to_owned(), (layer == 1).then_some(parcel.fill.bed_mm)),
            Rest::Pad(number) => {
                let pad = parcel.pads.iter().find(|pad| pad.number == *number);
                let carries = pad.filter(|pad| pad.above_layer.checked_add(1) == Some(layer));
                (format!("pad {number}"), carries.map(|pad| pad.bottom_mm + pad.thickness_mm))
            }
            Rest::On(numbers) => {
                stacked::check(bundle, numbers, scene, broken);
                continue;
            }
        };
        let Some(rest_mm) = found else {
            broken.push(Violation::WrongRest { bundle: bundle.named(), layer, rest });
            continue;
        };
        let bottom_mm = bundle.bottom();
        if (bottom_mm - rest_mm).abs() > TOUCH_MM {
            broken.push(Violation::NotResting { bundle: bundle.named(), rest, bottom_mm, rest_mm });
        }
    }
}

/// Each pad lies on the bed, on the pad beneath it, or on load-bearing bundles that hold its weight.
pub(crate) fn pads(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for (index, pad) in parcel.pads.iter().enumerate() {
        // A pad that lies on another of the same layer is carried wherever that one is.
        let beneath = index.checked_sub(1).and_then(|lower| parcel.pads.get(lower));
        let stacked = beneath.is_some_and(|lower| {
            lower.above_layer == pad.above_layer
                && (lower.bottom_mm + lower.thickness_mm - pad.bottom_mm).abs() <= TOUCH_MM
        });
        let known = pad.above_layer == 0 || parcel.layers.iter().any(|layer| layer.number == pad.above_layer);
        if stacked || !known {
            continue;
        }
        if pad.above_layer == 0 {
            if (pad.bottom_mm - parcel.fill.bed_mm).abs() > TOUCH_MM {
                broken.push(Violation::PadNotCarried {
                    pad: pad.number,
                    bottom_mm: pad.bottom_mm,
                    top_mm: parcel.fill.bed_mm,
                });
            }
        } else {
            on_bundles(pad, scene, broken);
        }
    }
}

fn on_bundles(pad: &Pad, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    let mut highest = f64::NEG_INFINITY;
    let mut carriers = Vec::new();
    for bundle in scene.iter().filter(|bundle| bundle.stated.layer <= pad.above_layer) {
        let top_mm = bundle.top();
        highest = highest.max(top_mm);
        if top_mm > pad.bottom_mm + TOUCH_MM {
            broken.push(Violation::AbovePad {
                bundle: bundle.named(),
                pad: pad.number,
                top_mm,
                bottom_mm: pad.bottom_mm,
            });
        } else if bundle.stated.layer == pad.above_layer && top_mm >= pad.bottom_mm - TOUCH_MM {
            carriers.push(bundle);
        }
    }
    if carriers.is_empty() {
        // When something reaches through the pad, that has been said and is the better sentence.
        if highest <= pad.bottom_mm + TOUCH_MM {
            broken.push(Violation::PadNotCarried {
                pad: pad.number,
                bottom_mm: pad.bottom_mm,
                top_mm: highest,
            });
        }
        return;
    }
    for bundle in carriers.iter().filter(|bundle| !bundle.stated.bears_load) {
        broken.push(Violation::BearsNoLoad { pad: pad.number, bundle: bundle.named() });
    }
    let Some(centre) = load_centre(pad, scene) else { return };
    let bearing = carriers
        .iter()
        .flat_map(|bundle| &bundle.parts)
        .filter(|part| part.wrapped.top() >= pad.bottom_mm - TOUCH_MM)
        .flat_map(|part| part.wrapped.bearing_outline())
        .map(|point| [point.x, point.y])
        .collect();
    let outside_mm = Outline::around(bearing).outside_mm([centre.x, centre.y]);
    if outside_mm > HULL_SLACK_MM {
        broken.push(Violation::LoadOffSupport {
            pad: pad.number,
            x_mm: centre.x,
            y_mm: centre.y,
            outside_mm,
        });
    }
}

/// Centre of mass of all bundles in layers above a pad; `None` when nothing of weight is there.
fn load_centre(pad: &Pad, scene: &[Standing<'_>]) -> Option<DVec3> {
    let above = || scene.iter().filter(|bundle| bundle.stated.layer > pad.above_layer);
    let mass: f64 = above().map(|bundle| bundle.stated.mass_g).sum();
    let moment: DVec3 = above().map(|bundle| bundle.centre() * bundle.stated.mass_g).sum();
    (mass > 0.0).then(|| moment / mass)
}
