//! Loading from above: each bundle comes straight down, in the order of its number.

use plan::{Parcel, Rest, TOLERANCE_MM};

use crate::body::Shaft;
use crate::gap::gap;
use crate::neighbours::overlap;
use crate::scene::{Hard, Standing};
use crate::violation::Violation;

/// No bundle meets one loaded before it on its way down, and none is loaded past a pad.
///
/// What a part sweeps on its way is itself a convex body, so the question is one of distance and
/// shares its certificate. Wraps brush past each other; hard parts may not.
pub(crate) fn check(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    let mut order: Vec<&Standing<'_>> = scene.iter().collect();
    order.sort_by_key(|bundle| bundle.stated.number);
    let ceiling = scene.iter().map(Standing::top).fold(parcel.carton.inside_mm[2], f64::max);
    for (index, bundle) in order.iter().enumerate() {
        for earlier in order.iter().take(index) {
            let met = bundle
                .parts
                .iter()
                .any(|part| earlier.parts.iter().any(|in_way| meets(part, in_way, ceiling)));
            if met {
                broken.push(Violation::LoweringBlocked { bundle: bundle.named(), earlier: earlier.named() });
            }
        }
    }
    past_pads(parcel, scene, broken);
}

/// Whether a part on its way down meets another before it reaches its place.
fn meets(part: &Hard<'_>, in_way: &Hard<'_>, ceiling_mm: f64) -> bool {
    let shrink = -0.5 * TOLERANCE_MM;
    let (body, other) = (part.bare.grown(shrink), in_way.bare.grown(shrink));
    // Nothing that ends below the part can be met.
    if other.top() <= body.bottom() {
        return false;
    }
    let rise_mm = (ceiling_mm - body.bottom()).max(0.0);
    // Parts that overlap where they lie break another rule; the way there is not the trouble.
    gap(&Shaft { body, rise_mm }, &other).least <= 0.0 && !overlap(part, in_way)
}

/// A pad goes in just before the first bundle that rests on it or on a pad over it; a pad that
/// carries nothing goes in last.
fn past_pads(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    let mut loaded_before = u32::MAX;
    for pad in parcel.pads.iter().rev() {
        let resting = scene.iter().filter(|bundle| bundle.stated.rests == Rest::Pad(pad.number));
        loaded_before =
            resting.map(|bundle| bundle.stated.number).min().unwrap_or(u32::MAX).min(loaded_before);
        let middle = pad.bottom_mm + 0.5 * pad.thickness_mm;
        for bundle in scene {
            let after = bundle.stated.number >= loaded_before;
            // Earlier bundles lie wholly under the pad, later ones wholly over it.
            let barred = bundle.parts.iter().any(|part| (part.bare.centroid().z > middle) != after);
            if barred {
                broken.push(Violation::PadBlocked { bundle: bundle.named(), pad: pad.number });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use parry3d_f64::glamx::{DPose3, DVec3};
    use parry3d_f64::query::{self, ShapeCastOptions};
    use parry3d_f64::shape::Cuboid;
    use plan::PlacedPart;
    use proptest::prelude::*;
    use shape::{Part, PartKind, Placement, Solid};

    use super::*;
    use crate::body::Body;

    const CEILING_MM: f64 = 300.0;

    fn block(half: DVec3, at: DVec3) -> PlacedPart {
        let solid = Solid::Block { x_mm: 2.0 * half.x, y_mm: 2.0 * half.y, z_mm: 2.0 * half.z };
        let placement = Placement::at(0.0, 0.0, 0.0);
        let part = Part { kind: PartKind::Body, solid, placement, wrap_mm: 0.0 };
        PlacedPart::new(&part, Placement::at(at.x, at.y, at.z))
    }

    fn hard(stated: &PlacedPart) -> Hard<'_> {
        let bare = Body::new(stated.bare, stated.placement);
        Hard { stated, bare, wrapped: bare }
    }

    fn vector(range: std::ops::Range<f64>) -> impl Strategy<Value = DVec3> {
        prop::array::uniform3(range).prop_map(DVec3::from_array)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2000) })]

        #[test]
        fn a_shaft_is_barred_exactly_when_the_librarys_cast_is_hit_on_the_way(
            half in vector(5.0..60.0), at in vector(60.0..150.0),
            other_half in vector(5.0..60.0), other_at in vector(60.0..150.0),
        ) {
            // Near misses are left out: a cast has no certificate.
            let between = (at - other_at).abs() - half - other_half;
            prop_assume!(between.to_array().iter().all(|gap| gap.abs() > 0.1));
            let (part, other) = (block(half, at), block(other_half, other_at));
            let fall = CEILING_MM + other_half.z;
            let hit = query::cast_shapes(
                &DPose3::from_translation(at + DVec3::Z * fall),
                DVec3::NEG_Z,
                &Cuboid::new(half),
                &DPose3::from_translation(other_at),
                DVec3::ZERO,
                &Cuboid::new(other_half),
                ShapeCastOptions::with_max_time_of_impact(fall),
            )
            .unwrap();
            let overlapping = between.max_element() < 0.0;
            prop_assert_eq!(meets(&hard(&part), &hard(&other), CEILING_MM), hit.is_some() && !overlapping);
        }
    }
}
