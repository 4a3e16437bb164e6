//! What holds for the cushion round one piece, whatever the piece.

#![allow(clippy::unwrap_used)] // A test whose data is missing has failed.

use cushion::{Cushions, Hits, Material};
use measure::{Area, Length, Mass};
use proptest::prelude::*;
use trade::{Bearing, GuardQuestion, NeededThickness, OffLoad, Way, WhyMore, guard, up_to_quarter_inch};

fn square_inches(in2: f64) -> Area {
    Area::from_square_feet(in2 / 144.0)
}

fn asked<'a>(
    pounds: f64,
    bearings: &'a [Bearing],
    allowed_g: f64,
    wrap: &'a [(&'a Material, Length)],
    materials: &'a [&'a Material],
    thicknesses: &'a [Length],
) -> GuardQuestion<'a> {
    GuardQuestion {
        weight: Mass::from_pounds(pounds),
        bearings,
        allowed_g,
        height: Length::from_inches(30.0),
        wrap,
        materials,
        thicknesses,
        hits: Hits::Repeated,
    }
}

fn told(in2: f64) -> [Bearing; 1] {
    [Bearing { way: Way::Told, area: square_inches(in2) }]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn what_is_needed_is_enough_and_less_is_not(
        pounds in 0.1..5.0f64, in2 in 2.0..60.0f64, g in 30.0..120.0f64, which in 0usize..19, wraps in 0u32..3
    ) {
        let cushions = Cushions::published();
        let material = cushions.iter().nth(which).unwrap();
        let bubble = cushions.find("bubble_small").unwrap();
        let wrap = [(bubble, bubble.layers(wraps.max(1)).unwrap())];
        let wrap = if wraps == 0 { &[][..] } else { &wrap[..] };
        let (bearings, materials) = (told(in2), [material]);
        let question = asked(pounds, &bearings, g, wrap, &materials, &[]);
        let rows = guard(&question).unwrap();
        if let Ok(needed) = &rows[0].needed[0] {
            let at = |inches: f64| question.shock(material, Length::from_inches(inches), bearings[0].area);
            let exact = needed.exact.inches();
            prop_assert!(needed.rounded_up.inches() >= exact - 1e-6);
            if exact > 0.01 {
                prop_assert!(at(exact * (1.0 + 1e-6)).is_ok_and(|shock| shock.peak_g <= g * (1.0 + 1e-6)));
                prop_assert!(at(exact * 0.98).map_or(true, |shock| shock.peak_g > g * (1.0 - 1e-6)));
            }
        }
    }

    #[test]
    fn more_thickness_never_hurts_and_a_wrap_never_hurts(
        pounds in 0.1..5.0f64, in2 in 2.0..60.0f64, which in 0usize..19
    ) {
        let cushions = Cushions::published();
        let materials = [cushions.iter().nth(which).unwrap()];
        let bubble = cushions.find("bubble_large").unwrap();
        let thicknesses = [1.0, 1.5, 2.0, 3.0, 6.0].map(Length::from_inches);
        let bearings = told(in2);
        let bare = guard(&asked(pounds, &bearings, 60.0, &[], &materials, &thicknesses)).unwrap();
        let wrap = [(bubble, bubble.layers(2).unwrap())];
        let wrapped = guard(&asked(pounds, &bearings, 60.0, &wrap, &materials, &thicknesses)).unwrap();
        let g = |found: &Result<trade::Shock, _>| found.as_ref().map_or(f64::INFINITY, |shock| shock.peak_g);
        for pair in bare[0].shocks.windows(2) {
            prop_assert!(g(&pair[1]) <= g(&pair[0]) * (1.0 + 1e-9));
        }
        for (bare, wrapped) in bare[0].shocks.iter().zip(&wrapped[0].shocks) {
            prop_assert!(g(wrapped) <= g(bare) * (1.0 + 1e-9), "{} {}", g(wrapped), g(bare));
        }
    }
}

#[test]
fn each_way_of_bearing_needs_its_own_and_the_most_is_told() {
    let cushions = Cushions::published();
    let bearings = [
        Bearing { way: Way::Standing, area: square_inches(10.0) },
        Bearing { way: Way::OnItsSide, area: square_inches(1.5) },
    ];
    let materials = [cushions.find("eps_fill").unwrap()];
    let rows = guard(&asked(0.75, &bearings, 60.0, &[], &materials, &[])).unwrap();
    let needed: Vec<f64> =
        rows[0].needed.iter().map(|one| one.as_ref().unwrap().rounded_up.inches()).collect();
    assert!(needed[1] > needed[0], "{needed:?}");
    assert!((rows[0].most().unwrap().inches() - needed[1]).abs() < 1e-9);
}

#[test]
fn a_material_that_never_suffices_is_an_answer_and_a_wrong_figure_is_not() {
    let cushions = Cushions::published();
    let plank = [cushions.find("pe_plank").unwrap()];
    let bearings = told(10.0);
    let rows = guard(&asked(0.75, &bearings, 60.0, &[], &plank, &[])).unwrap();
    assert!(rows[0].needed[0].is_err() && rows[0].most().is_none());
    for (pounds, in2, g) in [
        (f64::NAN, 10.0, 60.0),
        (0.0, 10.0, 60.0),
        (0.75, -1.0, 60.0),
        (0.75, 1e12, 60.0),
        (0.75, 10.0, f64::NAN),
    ] {
        let bearings = told(in2);
        assert!(guard(&asked(pounds, &bearings, g, &[], &plank, &[])).is_err(), "{pounds} {in2} {g}");
    }
    assert!(guard(&asked(0.75, &[], 60.0, &[], &plank, &[])).is_err());
    let zero = [Length::ZERO];
    assert!(guard(&asked(0.75, &bearings, 60.0, &[], &plank, &zero)).is_err());
}

#[test]
fn a_wrap_that_is_enough_needs_nothing_behind_it() {
    let cushions = Cushions::published();
    let bubble = cushions.find("bubble_large").unwrap();
    let wrap = [(bubble, bubble.layers(20).unwrap())];
    let (bearings, materials) = (told(8.0), [cushions.find("eps_fill").unwrap()]);
    let rows = guard(&asked(0.75, &bearings, 60.0, &wrap, &materials, &[])).unwrap();
    let needed = rows[0].needed[0].as_ref().unwrap();
    assert_eq!((needed.exact, needed.rounded_up), (Length::ZERO, Length::ZERO));
}

#[test]
fn why_two_inches_are_not_enough_is_told_in_factors() {
    let cushions = Cushions::published();
    let fill = cushions.find("eps_fill").unwrap();
    let two = Length::from_inches(2.0);
    let why = |pounds: f64, g: f64| {
        let (bearings, materials) = (told(10.0), [fill]);
        let question = asked(pounds, &bearings, g, &[], &materials, &[]);
        let shock = question.shock(fill, two, bearings[0].area).unwrap();
        WhyMore::of(&question, fill, &shock)
    };
    // 60 G x 2 in / 30 in, against the 4.5 of loose fill: an eighth too much.
    let told = why(1.2, 60.0).unwrap();
    assert!((told.factor_allowed - 4.0).abs() < 1e-9 && (told.factor_here - 4.5).abs() < 1e-9);
    assert!((told.over - 0.125).abs() < 1e-9 && told.off_load.is_none());
    assert!(why(1.2, 67.6).is_none(), "enough needs no reason");
    assert_eq!(why(0.1, 60.0).unwrap().off_load, Some(OffLoad::Light));
    assert_eq!(why(8.0, 60.0).unwrap().off_load, Some(OffLoad::Heavy));
}

#[test]
fn a_curve_passes_through_the_piece_s_own_shock() {
    let cushions = Cushions::published();
    let fill = cushions.find("eps_fill").unwrap();
    let (bearings, materials) = (told(10.0), [fill]);
    let two = [Length::from_inches(2.0)];
    let question = asked(0.75, &bearings, 60.0, &[], &materials, &two);
    let own = guard(&question).unwrap()[0].shocks[0].as_ref().unwrap().peak_g;
    let curve = question.shock_curve(fill, two[0]);
    let middle = curve.iter().find(|point| (point[0] / 0.075 - 1.0).abs() < 1e-9).unwrap();
    assert!((middle[1] / own - 1.0).abs() < 1e-9);
    assert!(curve.windows(2).all(|pair| pair[0][0] < pair[1][0]));
}

#[test]
fn quarters_are_rounded_up_and_never_down() {
    let up = |inches: f64| up_to_quarter_inch(Length::from_inches(inches)).inches();
    for (inches, expected) in [(0.0, 0.0), (0.01, 0.25), (2.0, 2.0), (2.01, 2.25), (2.27, 2.5)] {
        assert!((up(inches) - expected).abs() < 1e-9, "{inches}: {}", up(inches));
    }
    assert!(NeededThickness::ROOM > Length::from_inches(11.9));
}
