//! Laws that hold for every record, however broken.

mod made_up;

use measure::Units;
use proptest::prelude::*;
use shape::{PartKind, Solid};

/// Any number at all, and often a reasonable one.
fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![4 => -50.0..400.0_f64, 1 => any::<f64>(), 1 => Just(f64::NAN), 1 => Just(0.0)]
}

fn solid() -> impl Strategy<Value = Solid> {
    (0..3, figure(), figure(), figure()).prop_map(|(kind, a, b, c)| match kind {
        0 => Solid::Cylinder { radius_mm: a, height_mm: b },
        1 => Solid::Frustum { bottom_radius_mm: a, top_radius_mm: b, height_mm: c },
        _ => Solid::Block { x_mm: a, y_mm: b, z_mm: c },
    })
}

fn kind() -> impl Strategy<Value = PartKind> {
    prop::sample::select(vec![
        PartKind::Body,
        PartKind::Handle,
        PartKind::Spout,
        PartKind::Knob,
        PartKind::Lid,
    ])
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_record_at_all_gives_a_well_formed_drawing_without_broken_figures(
        base in prop::sample::select(made_up::all().to_vec()),
        inside in prop::array::uniform3(figure()),
        outside in prop::array::uniform3(figure()),
        cut in prop::option::of(figure()),
        bed in figure(),
        gap in figure(),
        parts in prop::collection::vec((kind(), solid(), prop::array::uniform3(figure()), prop::array::uniform4(-1.0..1.0_f64)), 3),
        layer in any::<u32>(),
        label in any::<String>(),
        metric in any::<bool>(),
    ) {
        let (_, mut parcel) = base;
        parcel.carton.inside_mm = inside;
        parcel.carton.outside_mm = outside;
        parcel.carton.cut_down_from_mm = cut;
        parcel.fill.bed_mm = bed;
        for pair in parcel.clearances.iter_mut().take(1) {
            pair.actual_mm = gap;
        }
        for bundle in parcel.bundles.iter_mut().take(1) {
            bundle.layer = layer;
            bundle.label = label.clone();
        }
        let broken = parcel.bundles.iter_mut().step_by(4).flat_map(|bundle| &mut bundle.parts);
        for (part, (kind, solid, at_mm, turn)) in broken.zip(parts) {
            part.kind = kind;
            part.bare = solid;
            part.grown = solid.grown(5.0);
            part.placement.at_mm = at_mm;
            part.placement.turn = turn;
        }
        let units = if metric { Units::Metric } else { Units::UsCustomary };
        let svg = draw::parcel_svg(&parcel, &label, units);
        let document = roxmltree::Document::parse(&svg);
        prop_assert!(document.is_ok(), "{:?}", document.err());
        for node in document.iter().flat_map(roxmltree::Document::descendants) {
            for attribute in node.attributes() {
                let value = attribute.value();
                prop_assert!(!value.contains("NaN") && !value.contains("inf"), "{} = {value}", attribute.name());
            }
        }
        prop_assert!(!draw::steps(&parcel, units).is_empty());
    }
}
