//! The rule of two inches, held against the thickness that a cushion factor asks for.
//!
//! Sources: t = J h / G (Janssen's factor, in packaging texts), worked out for 30 in; packages commonly use 50 to 75
//! mm of cushion (a packaging course sheet; published), which the table gives for goods of 40 to 60 G. Carriers'
//! two inches: a parcel carrier's help centre (published).

#![allow(clippy::unwrap_used)] // A test whose data is missing has failed.

use cushion::{Cushions, Fragilities, Hits, Material};
use measure::{Area, Length, Mass};
use protection::CushionRules;
use trade::{Bearing, GuardQuestion, RulesAbout, Way, guard};

/// Thickness in inches that a piece of 0.75 lb needs from 30 in, under a load of `load` psi.
fn needed(material: &Material, allowed_g: f64, load: f64) -> f64 {
    let area = Area::from_square_feet(0.75 / load / 144.0);
    let question = GuardQuestion {
        weight: Mass::from_pounds(0.75),
        bearings: &[Bearing { way: Way::Told, area }],
        allowed_g,
        height: Length::from_inches(30.0),
        wrap: &[],
        materials: &[material],
        thicknesses: &[Length::from_inches(2.0)],
        hits: Hits::Repeated,
    };
    guard(&question).unwrap()[0].needed[0].as_ref().unwrap().exact.inches()
}

#[test]
fn the_table_of_thicknesses_is_reproduced() {
    let cushions = Cushions::published();
    // A factor of 4 at every load.
    let columns = cushions.find("air_column").unwrap();
    for (g, inches) in [(25.0, 4.80), (40.0, 3.00), (50.0, 2.40), (60.0, 2.00), (85.0, 1.41), (115.0, 1.04)] {
        let found = needed(columns, g, 0.07);
        assert!((found - inches).abs() < 0.006, "{g} G: {found} and not {inches}");
    }
    // A factor of 4.5 where the load is at its best.
    let fill = cushions.find("eps_fill").unwrap();
    for (g, inches) in [(40.0, 3.38), (50.0, 2.70), (60.0, 2.25), (85.0, 1.59)] {
        let best = 0.15 * inches / 30.0 * 12.0;
        let found = needed(fill, g, best);
        assert!((found - inches).abs() < 0.006, "{g} G: {found} and not {inches}");
    }
}

#[test]
fn goods_of_40_to_60_g_ask_for_two_to_three_inches() {
    let cushions = Cushions::published();
    for g in [40.0, 45.0, 50.0, 55.0, 60.0] {
        let found = needed(cushions.find("air_column").unwrap(), g, 0.075);
        assert!((2.0 - 1e-9..=3.0 + 1e-9).contains(&found), "{g} G: {found}");
    }
}

#[test]
fn two_inches_decide_for_sturdy_goods_and_the_computation_for_fragile_ones() {
    let (cushions, fragilities, rules) =
        (Cushions::published(), Fragilities::published(), CushionRules::published());
    let about = RulesAbout::of(75.0, false, &rules, &fragilities, None).unwrap();
    let binds = |g: f64| {
        let inches = needed(cushions.find("air_column").unwrap(), g, 0.075);
        about.beside(Length::from_inches(inches)).rule_binds
    };
    assert_eq!([40.0, 50.0, 59.9, 60.1, 80.0, 115.0].map(binds), [false, false, false, true, true, true]);
}
