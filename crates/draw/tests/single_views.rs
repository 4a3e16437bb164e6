//! Single views say what the whole sheet says, and the turned view shows what is there.

mod made_up;

use draw::{front_svg, layer_svg, parcel_svg, scene};
use made_up::all;
use measure::Units;
use roxmltree::Document;
use std::collections::BTreeSet;

fn numbers(svg: &str, view: &str) -> BTreeSet<String> {
    let document = Document::parse(svg).expect("well-formed");
    let found = document.descendants().find(|node| node.attribute("data-view") == Some(view));
    let found = found.unwrap_or_else(|| panic!("a view named {view}"));
    found.descendants().filter_map(|node| node.attribute("data-bundle")).map(str::to_owned).collect()
}

#[test]
fn every_layer_has_a_drawing_of_its_own_with_the_same_bundles_and_no_other_layer_has() {
    for (name, parcel) in all() {
        let whole = parcel_svg(&parcel, "Order 12", Units::UsCustomary);
        for layer in &parcel.layers {
            let svg = layer_svg(&parcel, layer.number, Units::UsCustomary).expect("the layer is there");
            let view = format!("layer-{}", layer.number);
            assert_eq!(numbers(&svg, &view), numbers(&whole, &view), "{name}");
            assert!(svg.contains(r#"viewBox="0 0 440 "#), "{name}");
        }
        assert_eq!(layer_svg(&parcel, 4_000_000, Units::Metric), None);
        assert!(Document::parse(&front_svg(&parcel, Units::Metric)).is_ok(), "{name}");
    }
}

#[test]
fn every_hard_part_is_a_body_in_space_within_its_own_extent() {
    for (name, parcel) in all() {
        let bodies = scene(&parcel);
        let parts: Vec<_> = parcel.bundles.iter().flat_map(|bundle| &bundle.parts).collect();
        assert_eq!(bodies.len(), parts.len(), "{name}");
        for (body, part) in bodies.iter().zip(parts) {
            for axis in 0..3 {
                let (low, high) = part.placement.extent_mm(part.bare, axis);
                let least = body.corners_mm.iter().map(|corner| corner[axis]).fold(f64::INFINITY, f64::min);
                let most =
                    body.corners_mm.iter().map(|corner| corner[axis]).fold(f64::NEG_INFINITY, f64::max);
                assert!(least > low - 1e-6 && most < high + 1e-6, "{name}: a body outside its part");
                // A rim of twenty corners falls short of the round one by 1.3 % of its radius at most.
                assert!(least - low < 0.013 * (high - low) && high - most < 0.013 * (high - low), "{name}");
            }
        }
    }
}
