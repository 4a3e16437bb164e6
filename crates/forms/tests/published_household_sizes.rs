//! Overall sizes of household pieces, against a trade table of forms.
//!
//! Source: table of household sizes compiled from published pages (mug weights; cup and saucer sizes by a
//! collector; drinking glass, iron pan, book and disc sizes) and from trade memory. The rows below say
//! which: published, or from memory. "Overall" is what a carton has to clear: body with handles and spout;
//! heights of lidded pieces are with the lid on.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use forms::{BuiltPiece, Catalogue, Measures};
use shape::Part;

/// Inches that the table's own rounding may hide.
const ROUNDING: f64 = 0.051;

fn extent_in(parts: &[Part], axis: usize) -> f64 {
    let ends = parts.iter().map(|part| part.placement.extent_mm(part.solid, axis));
    let (low, high) =
        ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (a, b)| (low.min(a), high.max(b)));
    (high - low) / 25.4
}

fn built(id: &str) -> BuiltPiece {
    Catalogue::published().find(id).unwrap().piece(&Measures::default()).unwrap()
}

#[test]
fn overall_length_is_the_tables() {
    for (id, overall, _source) in [
        ("diner_mug", 4.35, "from memory"),
        ("mug_standard", 4.45, "published"),
        ("mug_stoneware", 5.0, "from memory"),
        ("mug_glass", 4.5, "published"),
        ("tea_cup", 4.4, "published"),
        ("breakfast_cup", 6.1, "published"),
        ("coffee_cup", 3.9, "published"),
        ("espresso_cup", 2.95, "published"),
        ("beer_mug", 5.2, "from memory"),
        ("pitcher_2qt", 8.0, "from memory"),
        ("teapot_4cup", 9.0, "published"),
        ("teapot_8cup", 10.5, "from memory"),
        ("creamer", 4.75, "published"),
        ("sugar_bowl", 6.0, "from memory"),
        ("casserole_2qt", 10.5, "from memory"),
        ("skillet_3", 10.0, "from memory"),
        ("skillet_5", 12.0, "published"),
        ("skillet_8", 15.75, "published"),
        ("skillet_10", 17.5, "published"),
        ("skillet_12", 19.5, "from memory"),
        ("iron_pot_5qt", 12.0, "from memory"),
        ("cookie_jar", 9.0, "from memory"),
        ("book_hardback", 9.5, "published"),
        ("dinner_plate_porcelain", 10.25, "published"),
        ("oval_platter_16", 16.0, "from memory"),
    ] {
        let found = extent_in(&built(id).piece.parts, 0);
        assert!((found - overall).abs() < ROUNDING, "{id}: {found} in, the table says {overall} in");
    }
}

#[test]
fn overall_height_is_the_tables_with_the_lid_on() {
    for (id, height, _source) in [
        ("diner_mug", 3.5, "from memory"),
        ("tumbler", 5.5, "published"),
        ("wine_glass", 7.5, "published"),
        ("pressed_goblet", 6.25, "from memory"),
        ("flute_glass", 8.7, "published"),
        ("nesting_bowl_set", 6.2, "from memory"),
        ("sugar_bowl", 4.25, "from memory"),
        ("casserole_2qt", 5.0, "from memory"),
        ("iron_pot_5qt", 7.0, "from memory"),
        ("butter_dish", 3.0, "from memory"),
        ("refrigerator_dish", 3.0, "from memory"),
        ("cookie_jar", 10.5, "from memory"),
        ("compote", 8.0, "from memory"),
        ("bottle_750ml", 11.8, "published"),
        ("skillet_8", 2.0, "from memory"),
    ] {
        let piece = built(id).piece;
        let lids: f64 = piece.apart.iter().map(|parts| extent_in(parts, 2)).sum();
        let found = extent_in(&piece.parts, 2) + lids;
        assert!((found - height).abs() < ROUNDING, "{id}: {found} in, the table says {height} in");
    }
}

#[test]
fn breadth_of_stemware_is_the_wider_of_bowl_and_foot() {
    for (id, breadth) in
        [("flute_glass", 2.6), ("wine_glass", 3.25), ("candlestick", 4.0), ("coupe_glass", 3.9)]
    {
        let found = extent_in(&built(id).piece.parts, 1);
        assert!((found - breadth).abs() < ROUNDING, "{id}: {found} in");
    }
}

#[test]
fn typical_weight_is_the_tables() {
    for (id, ounces, _source) in [
        ("diner_mug", 15.5, "from memory"),
        ("mug_standard", 12.0, "published"),
        ("tea_saucer", 5.5, "from memory"),
        ("dinner_plate_stoneware", 28.0, "published"),
        ("nesting_bowl_set", 130.0, "from memory"),
        ("skillet_8", 74.0, "published"),
        ("book_hardback", 24.0, "published"),
        ("shellac_disc", 7.8, "published"),
    ] {
        let found = built(id).piece.mass_g / 28.349_523_125;
        assert!((found - ounces).abs() < 1e-9, "{id}: {found} oz");
    }
}
