//! Leach limits and the classes of ware against what is published.
//!
//! Sources: FDA Food Code 4-101.13, as adopted in WAC 246-215-04110 (lead; published, high); FDA Compliance
//! Policy Guide 545.400 (cadmium and the classes; published, high).

use measure::{Length, Volume};
use safety::{LeachLimits, LeachMetal, Ware, WareClass, WareUse};

fn ware(used_as: WareUse, depth_mm: f64, litres: f64) -> Ware {
    Ware { used_as, depth: Length::from_mm(depth_mm), volume: Volume::from_mm3(litres * 1e6) }
}

#[test]
fn limits_by_form_and_volume() {
    let limits = LeachLimits::published();
    for (piece, lead, cadmium) in [
        (ware(WareUse::Dish, 20.0, 0.3), 3.0, 0.5),
        (ware(WareUse::Dish, 25.0, 2.0), 3.0, 0.5),
        (ware(WareUse::Dish, 25.1, 0.5), 2.0, 0.5),
        (ware(WareUse::Dish, 80.0, 1.099), 2.0, 0.5),
        (ware(WareUse::Dish, 80.0, 1.1), 1.0, 0.25),
        (ware(WareUse::CupOrMug, 90.0, 0.3), 0.5, 0.5),
        (ware(WareUse::Pitcher, 200.0, 1.9), 0.5, 0.25),
        (ware(WareUse::Pitcher, 150.0, 0.9), 0.5, 0.5),
    ] {
        let limit = |metal| limits.limit(metal, piece).map(|limit| limit.mg_per_l);
        assert_eq!(limit(LeachMetal::Lead), Some(lead), "{piece:?}");
        assert_eq!(limit(LeachMetal::Cadmium), Some(cadmium), "{piece:?}");
    }
}

#[test]
fn ware_of_unknown_measure_is_taken_for_the_strictest_class() {
    let unknown = ware(WareUse::Dish, f64::NAN, f64::NAN);
    assert_eq!(unknown.by_shape(), WareClass::LargeHollow);
    assert_eq!(ware(WareUse::CupOrMug, 90.0, 0.3).by_use(), WareClass::CupOrMug);
}

#[test]
fn the_sentence_names_metal_limit_class_and_publisher_and_clears_nothing() {
    let text = LeachLimits::published().text(ware(WareUse::CupOrMug, 90.0, 0.3)).expect("limits");
    assert_eq!(
        text,
        "A laboratory's leach test would hold it to: lead 0.5 mg/L as cup or mug (FDA Food Code 4-101.13); \
         cadmium 0.5 mg/L as small hollow-ware (FDA CPG 545.400)."
    );
}
