//! Check values from the trade of selling used breakables by mail: tares and outside sizes of stock
//! cartons, approximate prices, and wrapped sizes of common bundles. All worked out there from stated
//! inputs (calculated, medium) unless a test says otherwise.

mod pieces;

use measure::Length;
use pieces::{mm, ounces, recipe, round, sides, with_arm, wrap};
use protection::{Grades, Recipes, StockCartons, cost, outside, tare};
use shape::{PartKind, WayUp};

fn inside(length: f64, width: f64, depth: f64) -> [Length; 3] {
    [length, width, depth].map(Length::from_inches)
}

#[test]
fn a_twelve_inch_cube_measures_more_than_twelve_inches() {
    let grades = Grades::published();
    let out = outside(inside(12.0, 12.0, 12.0), grades.usual(), grades.rules(), false);
    for (side, expected) in out.iter().zip([12.4, 12.4, 12.7]) {
        assert!((side.inches() - expected).abs() < 0.01, "{}", side.inches());
    }
}

#[test]
fn tares_of_stock_cartons() {
    let grades = Grades::published();
    for (size, ounces) in [
        ((4.0, 4.0, 4.0), 1.9),
        ((8.0, 8.0, 8.0), 6.9),
        ((12.0, 12.0, 12.0), 15.0),
        ((20.0, 20.0, 20.0), 40.7),
        ((11.25, 8.75, 6.0), 7.9),
        ((12.0, 12.0, 8.0), 12.6),
        ((16.0, 12.0, 8.0), 14.6),
        ((24.0, 6.0, 6.0), 9.5),
    ] {
        let found = tare(inside(size.0, size.1, size.2), grades.usual(), grades.rules()).ounces();
        assert!((found - ounces).abs() < 0.06, "{size:?}: {found} oz");
    }
}

/// A weighed carton of about 12 x 12 x 6 in (published): 11 oz.
#[test]
fn the_tare_formula_agrees_with_a_weighed_carton() {
    let grades = Grades::published();
    let found = tare(inside(12.0, 12.0, 6.0), grades.usual(), grades.rules()).ounces();
    assert!((10.5..=11.5).contains(&found), "{found}");
}

/// The movers' dish pack, double wall (from memory): about 80 oz.
#[test]
fn the_dish_pack_is_double_wall_and_heavy() {
    let (grades, stock) = (Grades::published(), StockCartons::published());
    let pack = stock.find("18 x 18 x 28, 48 ECT").expect("dish pack");
    let grade = grades.find(pack.grade.as_deref().expect("grade")).expect("grade");
    let found = tare(pack.inside, grade, grades.rules()).ounces();
    assert!((found - 80.0).abs() < 5.0, "{found}");
}

/// Approximate prices in small quantities (from memory, low).
#[test]
fn costs_by_area_come_near_four_known_prices() {
    let grades = Grades::published();
    for (size, name, dollars) in [
        ((8.0, 6.0, 4.0), "32 ECT", 0.50),
        ((12.0, 9.0, 6.0), "32 ECT", 0.95),
        ((12.0, 12.0, 12.0), "32 ECT", 1.50),
        ((16.0, 12.0, 12.0), "48 ECT", 3.50),
    ] {
        let grade = grades.find(name).expect(name);
        let found = cost(inside(size.0, size.1, size.2), grade, grades.rules()).cents() as f64 / 100.0;
        assert!((found - dollars).abs() <= 0.05, "{size:?}: {found}");
    }
}

/// Wrapped mug of 11 fl oz: 5.2 x 4.0 x 4.5 in; four diner mugs two by two: 10.2 x 8.0 x 4.2 in.
#[test]
fn wrapped_mugs() {
    let standard = with_arm(round(3.2, 3.75, 12.0), PartKind::Handle, 1.25, 0.0);
    let found = sides(&wrap(&standard, &recipe("mug"), 1)[0].bundle);
    for (side, expected) in found.iter().zip([5.2, 4.0, 4.5]) {
        assert!((side - expected).abs() < 0.15, "{found:?}");
    }
    let diner = with_arm(round(3.25, 3.5, 15.5), PartKind::Handle, 1.1, 0.0);
    let bundles = wrap(&diner, &recipe("mug"), 4);
    assert_eq!(bundles.len(), 4);
    let found = sides(&bundles[3].bundle);
    for (side, expected) in [2.0 * found[0], 2.0 * found[1], found[2]].iter().zip([10.2, 8.0, 4.2]) {
        assert!((side - expected).abs() < 0.2, "{found:?}");
    }
}

/// Four dinner plates on edge: 11.0 x 11.0 x 3.8 in; eight salad plates: 8.5 x 8.5 x 6.5 in, which here are
/// two bundles of four, side by side.
#[test]
fn wrapped_plates_on_edge() {
    let mut dinner = round(10.25, 0.95, 22.0);
    dinner.pitch_mm = Some(mm(0.45));
    let bundles = wrap(&dinner, &recipe("plate"), 4);
    assert_eq!(bundles.len(), 1);
    assert_eq!(bundles[0].bundle.ways_up, [WayUp::OnEdge]);
    let found = sides(&bundles[0].bundle);
    for (side, expected) in found.iter().zip([11.0, 11.0, 3.8]) {
        assert!((side - expected).abs() < 0.15, "{found:?}");
    }
    let mut salad = round(7.75, 0.8, 12.0);
    salad.pitch_mm = Some(mm(0.35));
    let bundles = wrap(&salad, &recipe("plate"), 8);
    let found: Vec<_> = bundles.iter().map(|wrapped| sides(&wrapped.bundle)).collect();
    let depth: f64 = found.iter().map(|sides| sides[2]).sum();
    assert_eq!(found.len(), 2);
    assert!((found[0][0] - 8.5).abs() < 0.15 && (depth - 6.5).abs() < 0.15, "{found:?}");
}

/// Four cereal bowls in one nest: 7.0 x 7.0 x 6.3 in. The recipe stops at three, so a person who nests four
/// says so.
#[test]
fn wrapped_bowls_nested() {
    let mut bowl = round(6.25, 2.25, 13.5);
    bowl.pitch_mm = Some(mm(0.9));
    let own = "[recipes.bowl]\nbundle = { rule = \"nest\", most = 4, interleaf = { material = \"foam_8\", layers = 2 } }\n";
    let recipes = Recipes::published().with_overrides(own).expect("override");
    let bundles = wrap(&bowl, recipes.find("bowl").expect("bowl"), 4);
    assert_eq!(bundles.len(), 1);
    let found = sides(&bundles[0].bundle);
    for (side, expected) in found.iter().zip([7.0, 7.0, 6.3]) {
        assert!((side - expected).abs() < 0.15, "{found:?}");
    }
    assert_eq!(wrap(&bowl, &recipe("bowl"), 4).len(), 2);
}

/// Wrap adds an ounce or two to a mug: its parcel weighs about 1.4 lb with 12 oz of mug and 8 oz of carton.
#[test]
fn wrap_of_a_mug_weighs_an_ounce_or_two() {
    let mut mug = with_arm(round(3.2, 3.75, 12.0), PartKind::Handle, 1.25, 0.0);
    mug.hollow_mm3 = 0.6 * mug.parts[0].solid.volume_mm3();
    let wrapped = ounces(wrap(&mug, &recipe("mug"), 1)[0].bundle.mass_g) - 12.0;
    assert!((1.0..=2.5).contains(&wrapped), "{wrapped} oz");
}

/// Working times people report for whole parcels (from memory, low), less five minutes for the carton.
#[test]
fn minutes_agree_with_reported_times() {
    let minutes = |name: &str, count: u32| -> f64 {
        let mut piece = round(4.0, 4.0, 10.0);
        piece.pitch_mm = Some(mm(0.5));
        let boxing = protection::boxing_minutes(Grades::published().rules(), false);
        wrap(&piece, &recipe(name), count).iter().map(|wrapped| wrapped.minutes).sum::<f64>() + boxing
    };
    for (name, count, low, high) in [
        ("mug", 1, 6.0, 10.0),
        ("mug", 4, 12.0, 20.0),
        ("plate", 4, 12.0, 20.0),
        ("plate", 8, 20.0, 40.0),
        ("plate", 12, 20.0, 40.0),
        ("stemware", 6, 20.0, 40.0),
        ("teapot", 1, 15.0, 30.0),
        ("figurine", 1, 15.0, 30.0),
    ] {
        let found = minutes(name, count);
        assert!((low..=high).contains(&found), "{count} {name}: {found} min");
    }
}
