//! Check values from packaging handbooks, standards bodies and postal publications. Each test names its
//! source and how well the figure is known.

use measure::{Length, Mass, Volume};
use protection::{
    BoardRefusal, Grades, LimitRule, LoadClass, Materials, Profiles, Stock, blank_area, compression_strength,
    fill_needed, max_gross, outside, strength_left, tape_h_seal, tape_one_strip,
};

fn inches(value: f64) -> Length {
    Length::from_inches(value)
}

fn cube(side: f64) -> [Length; 3] {
    [inches(side); 3]
}

/// NMFC Item 222 / UFC Rule 41 (published).
#[test]
fn freight_classification_limits_by_edge_crush() {
    let grades = Grades::published();
    for (name, pounds, united) in [("32 ECT", 65.0, 75.0), ("44 ECT", 95.0, 95.0), ("48 ECT", 100.0, 95.0)] {
        let grade = grades.find(name).expect(name);
        assert_eq!((grade.nmfc_lb.value, grade.nmfc_united_in.value), (pounds, united), "{name}");
    }
    let grade = grades.find("32 ECT").expect("grade");
    assert!(max_gross(grade, cube(25.0), LoadClass::Easy).is_ok(), "75 in are allowed");
    assert_eq!(
        max_gross(grade, cube(25.1), LoadClass::Easy)
            .map_err(|refusal| matches!(refusal, BoardRefusal::TooLarge { .. })),
        Err(true)
    );
}

/// A shipping agent's box strength guidelines (published, medium).
#[test]
fn parcel_practice_binds_before_the_classification_does() {
    let grades = Grades::published();
    let grade = grades.find("32 ECT").expect("grade");
    let limit = max_gross(grade, cube(12.4), LoadClass::Difficult).expect("limit");
    assert!(35.0 > limit.mass.pounds() && 35.0 < grade.nmfc_lb.value);
    assert_eq!((limit.mass.pounds().round(), limit.rule), (30.0, LimitRule::ParcelPractice));
}

/// USPS Publication 2, Exhibit 2-3.1.3 (published; the heading of the second column is inferred).
#[test]
fn postal_limits_for_fragile_loads_by_bursting_test() {
    let grades = Grades::published();
    let of_burst = |psi: u32| {
        let wall = protection::Wall::Single;
        grades.iter().find(|grade| grade.burst_psi == psi && grade.wall == wall).expect("grade")
    };
    for (psi, limit) in [(125, None), (175, Some(20.0)), (200, Some(45.0)), (275, Some(65.0))] {
        assert_eq!(of_burst(psi).postal_difficult_lb.as_ref().map(|figure| figure.value), limit, "{psi} psi");
    }
    let refused = max_gross(of_burst(125), cube(8.0), LoadClass::Difficult);
    assert_eq!(refused, Err(BoardRefusal::NoDifficultLoad));
    let binding = max_gross(of_burst(175), cube(12.0), LoadClass::Difficult).expect("limit");
    assert_eq!((binding.mass.pounds().round(), binding.rule), (20.0, LimitRule::PostalDifficult));
    let easy = max_gross(of_burst(125), cube(8.0), LoadClass::Easy).expect("limit");
    assert_eq!(easy.rule, LimitRule::ParcelPractice);
}

/// A worked example of the simplified McKee formula, and a box maker's worksheet (published).
#[test]
fn compression_strength_of_a_common_carton() {
    let strength = compression_strength(32.0, inches(0.16), inches(56.0));
    assert!((strength - 562.0).abs() < 1.0, "{strength}");
    let left = strength * strength_left(30.0, 80.0);
    assert!((left - 229.0).abs() < 1.0, "{left}");
}

/// Fibre Box Handbook formula (worked out here), and a tape maker's rule (published).
#[test]
fn blank_tare_and_tape_of_a_twelve_inch_cube() {
    let area = blank_area(inches(12.0), inches(12.0), inches(12.0), inches(1.5));
    assert!((area.square_feet() - 8.25).abs() < 0.01, "{}", area.square_feet());
    let pounds = area.square_feet() * 121.0 / 1000.0;
    assert!((pounds - 0.998).abs() < 0.01, "{pounds}");
    let larger = blank_area(inches(16.0), inches(12.0), inches(12.0), inches(1.5));
    assert!((larger.square_feet() - 9.58).abs() < 0.01);
    assert!((tape_one_strip(inches(12.0)).inches() - 35.0).abs() < 1e-9);
    assert!((tape_h_seal(inches(12.0), inches(12.0)).inches() - 105.0).abs() < 1e-9);
}

/// Fibre Box Handbook, from memory: C flute adds about 5/16, 5/16 and 5/8 in before any bulge.
#[test]
fn board_adds_its_flaps_to_the_outside() {
    let grades = Grades::published();
    let rules = grades.rules();
    for (name, sides, height) in [("32 ECT", 0.3125, 0.625), ("48 ECT", 0.55, 1.1)] {
        let out = outside(cube(12.0), grades.find(name).expect(name), rules, false);
        let board = |at: usize, allowance: f64| out[at].inches() - 12.0 - allowance;
        assert!((board(0, rules.bulge_in.value) - sides).abs() < 0.03, "{name}");
        assert!((board(2, rules.closing_in.value) - height).abs() < 0.03, "{name}");
    }
}

/// Encyclopedia article on foam peanuts (published, medium-high).
#[test]
fn three_cubic_feet_of_loose_fill() {
    let materials = Materials::published();
    let fill = materials.find("EPS loose fill").expect("fill");
    let poured = fill.poured(Volume::from_cubic_feet(3.0)).expect("poured");
    assert!((Mass::from_grams(poured.mass_g).pounds() - 0.60).abs() < 0.005, "counted at the high end");
    let Stock::Fill { density_lb_ft3, .. } = &fill.stock else { panic!("a fill") };
    assert!((density_lb_ft3.low.expect("low") * 3.0 - 0.51).abs() < 0.005);
}

/// Fill is inside less wrapped pieces, and a share more (formula published, share judgement).
#[test]
fn fill_is_what_the_wrapped_pieces_leave_and_never_less_than_nothing() {
    let foot = Volume::from_cubic_feet(1.0);
    let overfill = Profiles::published().overfill().value;
    let fill = fill_needed(foot, [foot * 0.25, foot * 0.25], overfill);
    assert!((fill.cubic_feet() - 0.55).abs() < 1e-9);
    assert_eq!(fill_needed(foot, [foot * 2.0], 0.1), Volume::ZERO);
}
