//! The lifting equation against its published examples.
//!
//! Source: T. R. Waters, V. Putz-Anderson and A. Garg, Applications Manual for the Revised NIOSH Lifting
//! Equation, DHHS (NIOSH) Publication 94-110. Each test says how well its figures are known.

use measure::{Length, Mass};
use safety::{
    Coupling, Lift, LiftingBand, Multipliers, Work, carry, frequency_multiplier, hand_distance, lifting,
};

fn lift(horizontal: f64, vertical: f64, travel: f64) -> Lift {
    Lift {
        horizontal: Length::from_inches(horizontal),
        vertical: Length::from_inches(vertical),
        travel: Length::from_inches(travel),
        asymmetry_deg: 0.0,
        per_minute: 0.2,
        work: Work::Short,
        coupling: Coupling::Good,
    }
}

fn limit(lift: &Lift) -> f64 {
    lifting(lift, Mass::ZERO).expect("a lift").limit.pounds()
}

/// Equation (published, high): 51.0 lb at its best, 34.0 lb with the hands 15 in away.
#[test]
fn the_best_lift_is_the_load_constant_and_reach_takes_from_it() {
    assert!((limit(&lift(10.0, 30.0, 10.0)) - 51.0).abs() < 0.05);
    assert!((limit(&lift(15.0, 30.0, 10.0)) - 34.0).abs() < 0.05);
}

/// Punch-press supply example (from memory, medium): H 23, V 15, D 49 in, FM 1, CM 0.95, 44 lb. Multipliers as
/// printed give 16.3 lb and an index of 2.7; unrounded ones give 16.0 lb.
#[test]
fn supplying_a_punch_press() {
    let printed = Multipliers {
        horizontal: 0.44,
        vertical: 0.89,
        distance: 0.86,
        asymmetry: 1.0,
        frequency: 1.0,
        coupling: 0.95,
    };
    assert!((printed.weight_limit().pounds() - 16.3).abs() < 0.05);
    let lift = Lift { coupling: Coupling::Fair, ..lift(23.0, 15.0, 49.0) };
    let found = lifting(&lift, Mass::from_pounds(44.0)).expect("a lift");
    assert!((found.limit.pounds() - 16.0).abs() < 0.05, "{}", found.limit.pounds());
    assert!(found.index.is_some_and(|index| (index - 2.7).abs() < 0.05), "{:?}", found.index);
    assert_eq!(found.band, LiftingBand::Raised);
}

/// Hand distance 8 + W/2 (from memory, high): 17 in for a box 18 in wide, and 30 lb at the waist (worked out).
#[test]
fn an_eighteen_inch_box_at_the_waist_is_thirty_pounds() {
    let away = hand_distance(Length::from_inches(18.0), Length::from_inches(30.0));
    assert!((away.inches() - 17.0).abs() < 1e-9);
    assert!((limit(&lift(away.inches(), 30.0, 10.0)) - 30.0).abs() < 0.05);
    let low = hand_distance(Length::from_inches(18.0), Length::from_inches(9.0));
    assert!((low.inches() - 19.0).abs() < 1e-9, "2 in farther with the hands under 10 in");
}

/// Vertical, distance, asymmetry and coupling multipliers (tables of the manual, from memory, high).
#[test]
fn multipliers_of_the_tables() {
    let base = lift(10.0, 30.0, 10.0);
    let share = |lift: &Lift| limit(lift) / 51.0;
    for (vertical, vm) in [(0.0, 0.78), (5.0, 0.81), (15.0, 0.89), (40.0, 0.93), (60.0, 0.78), (70.0, 0.70)] {
        assert!((share(&lift(10.0, vertical, 10.0)) - vm).abs() <= 0.005 + 1e-9, "{vertical}");
    }
    assert_eq!(share(&lift(10.0, 70.1, 10.0)), 0.0);
    for (travel, dm) in [(10.0, 1.00), (15.0, 0.94), (20.0, 0.91), (25.0, 0.89), (40.0, 0.87), (70.0, 0.85)] {
        assert!((share(&lift(10.0, 30.0, travel)) - dm).abs() <= 0.006, "{travel}");
    }
    assert_eq!(share(&lift(10.0, 30.0, 70.1)), 0.0);
    for (horizontal, hm) in [(8.0, 1.0), (12.0, 0.83), (16.0, 0.63), (20.0, 0.50), (25.0, 0.40), (25.1, 0.0)]
    {
        assert!((share(&lift(horizontal, 30.0, 10.0)) - hm).abs() <= 0.005 + 1e-9, "{horizontal}");
    }
    for (degrees, am) in [(0.0, 1.0), (45.0, 0.86), (90.0, 0.71), (135.0, 0.57), (136.0, 0.0)] {
        assert!((share(&Lift { asymmetry_deg: degrees, ..base }) - am).abs() <= 0.005 + 1e-9, "{degrees}");
    }
    for (coupling, low, high) in
        [(Coupling::Good, 1.0, 1.0), (Coupling::Fair, 0.95, 1.0), (Coupling::Poor, 0.90, 0.90)]
    {
        let cm = |vertical| {
            share(&Lift { coupling, ..lift(10.0, vertical, 10.0) }) / share(&lift(10.0, vertical, 10.0))
        };
        assert!((cm(29.9) - low).abs() < 1e-9 && (cm(30.0) - high).abs() < 1e-9, "{coupling:?}");
    }
}

/// Frequency multiplier table (from memory, high).
#[test]
fn frequency_multipliers_of_the_table() {
    for (per_minute, work, vertical, fm) in [
        (0.0, Work::Short, 10.0, 1.0),
        (0.2, Work::Long, 30.0, 0.85),
        (1.0, Work::Short, 30.0, 0.94),
        (5.0, Work::Moderate, 10.0, 0.60),
        (5.5, Work::Moderate, 10.0, 0.50),
        (9.0, Work::Long, 29.0, 0.0),
        (9.0, Work::Long, 30.0, 0.15),
        (15.0, Work::Short, 30.0, 0.28),
        (15.0, Work::Short, 29.0, 0.0),
        (15.1, Work::Short, 30.0, 0.0),
    ] {
        let found =
            frequency_multiplier(per_minute, work, Length::from_inches(vertical)).expect("a frequency");
        assert!((found - fm).abs() < 1e-12, "{per_minute} {work:?} {vertical}: {found}");
    }
}

/// Bands of the index (published, high): over 1 raised, over 3 high.
#[test]
fn bands_of_the_index() {
    let base = lift(10.0, 30.0, 10.0);
    let band = |pounds| lifting(&base, Mass::from_pounds(pounds)).expect("a lift").band;
    assert_eq!((band(50.9), band(51.1)), (LiftingBand::Within, LiftingBand::Raised));
    assert_eq!((band(152.9), band(153.1)), (LiftingBand::Raised, LiftingBand::High));
    let far = lifting(&lift(25.1, 30.0, 10.0), Mass::from_pounds(1.0)).expect("a lift");
    assert_eq!((far.index, far.band), (None, LiftingBand::High));
}

/// A parcel goes with its narrow side to the body and its hold by size (from memory; heights judgement).
#[test]
fn a_parcel_is_lifted_narrow_side_to_the_body() {
    let sides = |sides: [f64; 3]| sides.map(Length::from_inches);
    let limits = |outside| {
        let carry = carry(sides(outside), Mass::from_pounds(10.0)).expect("a parcel");
        (carry.table.limit.pounds(), carry.floor.limit.pounds())
    };
    assert_eq!(limits([24.0, 12.0, 12.0]), limits([12.0, 24.0, 12.0]));
    let (table, floor) = limits([16.0, 12.0, 12.0]);
    assert!((table - 51.0 * 10.0 / 14.0).abs() < 1e-9, "handy: nothing lost by the hold at the waist");
    assert!((floor - 51.0 * 10.0 / 16.0 * 0.775 * 0.88 * 0.95).abs() < 1e-9);
    let (large, _) = limits([16.1, 12.0, 12.0]);
    assert!((large / table - 0.90).abs() < 1e-9, "too long to be handy");
}
