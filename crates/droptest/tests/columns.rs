//! What stands between hard parts is found where it is.

mod made_up;

use droptest::{End, cushions};
use made_up::{block, mug, parcel};

#[test]
fn a_block_in_the_middle_has_its_own_face_on_every_side() {
    let parcel = parcel([300.0, 200.0, 150.0], vec![block([120.0, 60.0, 48.0], [150.0, 100.0, 74.0], 500.0)]);
    for (axis, area, gap) in [(0, 60.0 * 48.0, 90.0), (1, 120.0 * 48.0, 70.0), (2, 120.0 * 60.0, 50.0)] {
        let found = cushions(&parcel, axis);
        assert_eq!(found.len(), 2, "{found:?}");
        for cushion in found {
            assert!((cushion.area_mm2 / area - 1.0).abs() < 0.12, "{cushion:?}");
            assert!((cushion.thickness_mm - gap).abs() < 2.5, "{cushion:?}");
            assert!([cushion.low, cushion.high].contains(&End::Bundle(0)));
        }
    }
}

#[test]
fn a_round_side_counts_the_little_that_is_near_and_the_more_that_is_far() {
    let parcel = parcel([200.0, 200.0, 150.0], vec![mug(40.0, 90.0, [100.0, 100.0, 75.0], 400.0)]);
    let floor: Vec<_> = cushions(&parcel, 2).into_iter().filter(|c| c.low == End::Low).collect();
    assert_eq!(floor.len(), 1);
    let disc = std::f64::consts::PI * 40.0 * 40.0;
    assert!((floor[0].area_mm2 / disc - 1.0).abs() < 0.05, "{floor:?}");
    let left: Vec<_> = cushions(&parcel, 0).into_iter().filter(|c| c.low == End::Low).collect();
    assert!(left.len() > 1, "a round side is not one flat column");
    assert!((left[0].least_mm - 60.0).abs() < 0.5, "{left:?}");
    let whole: f64 = left.iter().map(|c| c.area_mm2).sum();
    assert!((whole / (80.0 * 90.0) - 1.0).abs() < 0.08, "{whole}");
    let mean = left.iter().map(|c| c.area_mm2 * c.thickness_mm).sum::<f64>() / whole;
    // Mean distance of a half circle from its tangent: r (1 - pi/4).
    assert!((mean - (60.0 + 40.0 * (1.0 - std::f64::consts::FRAC_PI_4))).abs() < 1.0, "{mean}");
}

#[test]
fn neighbours_see_each_other_and_not_through_each_other() {
    let at = |x| mug(30.0, 80.0, [x, 60.0, 60.0], 300.0);
    let parcel = parcel([320.0, 120.0, 120.0], vec![at(60.0), at(150.0), at(260.0)]);
    let pairs: Vec<(End, End)> = cushions(&parcel, 0).iter().map(|c| (c.low, c.high)).collect();
    assert!(pairs.contains(&(End::Bundle(0), End::Bundle(1))));
    assert!(pairs.contains(&(End::Bundle(1), End::Bundle(2))));
    assert!(!pairs.contains(&(End::Bundle(0), End::Bundle(2))));
    assert!(!pairs.contains(&(End::Low, End::Bundle(1))));
}
