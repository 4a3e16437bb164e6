//! What wrapping uses, counted by hand.

mod pieces;

use pieces::{mm, recipe, round, with_arm, wrap};
use protection::WrappedBundle;
use shape::PartKind;

fn used(wrapped: &WrappedBundle, name: &str) -> f64 {
    wrapped.uses.iter().filter(|one| one.material.starts_with(name)).map(|one| one.quantity).sum()
}

#[test]
fn interleaves_lie_between_pieces_only() {
    let mut plate = round(10.25, 0.95, 20.0);
    plate.pitch_mm = Some(mm(0.45));
    for count in 1..=4 {
        let wrapped = &wrap(&plate, &recipe("plate"), count)[0];
        assert_eq!(used(wrapped, "foam"), f64::from(2 * (count - 1)), "{count} plates");
    }
}

#[test]
fn a_nest_has_one_free_hollow_and_other_pieces_have_their_own() {
    let mut bowl = round(6.25, 2.25, 13.5);
    bowl.pitch_mm = Some(mm(0.9));
    // Just under two sheets of newsprint (0.06 lb each) at 2 lb to the cubic foot.
    bowl.hollow_mm3 = measure::Volume::from_cubic_feet(0.059).mm3();
    let nest = wrap(&bowl, &recipe("bowl"), 3);
    assert_eq!(used(&nest[0], "newsprint"), 2.0);
    let mugs = wrap(&bowl, &recipe("mug"), 3);
    assert_eq!(mugs.iter().map(|one| used(one, "newsprint")).sum::<f64>(), 6.0);
}

#[test]
fn a_sleeve_is_as_long_as_the_part_it_goes_on() {
    let plain = round(5.0, 6.0, 30.0);
    assert_eq!(used(&wrap(&plain, &recipe("teapot"), 1)[0], "foam tube"), 0.0);
    // The arm begins at 0.6 of the 2.5 in to the edge and ends 2 in past it: 3 in, as long as it is tall.
    let spouted = with_arm(plain, PartKind::Spout, 2.0, 0.0);
    assert!((used(&wrap(&spouted, &recipe("teapot"), 1)[0], "foam tube") - 3.0).abs() < 1e-9);
}

#[test]
fn rows_of_one_material_are_added_up() {
    let mug = with_arm(round(3.2, 3.75, 12.0), PartKind::Handle, 1.25, 0.0);
    let wrapped = &wrap(&mug, &recipe("mug"), 1)[0];
    let mut names: Vec<&str> = wrapped.uses.iter().map(|one| one.material.as_str()).collect();
    names.sort_unstable();
    assert_eq!(names, ["bubble 3/16 in, 12 x 12 sheet", "foam sheet 1/8 in, 12 x 12 sheet"]);
    // Two turns round a mug with its handle are 29 in of strip: three squares.
    assert_eq!(used(wrapped, "bubble"), 3.0);
}

#[test]
fn a_material_used_twice_has_one_row() {
    let creamer = with_arm(round(3.25, 3.75, 8.0), PartKind::Handle, 1.0, 0.0);
    let creamer = with_arm(creamer, PartKind::Knob, 1.0, std::f64::consts::PI);
    let wrapped = &wrap(&creamer, &recipe("creamer"), 1)[0];
    // Handle and knob are guarded with the same foam by two rules, a sheet each.
    let rows: Vec<_> = wrapped.uses.iter().filter(|one| one.material.starts_with("foam")).collect();
    assert_eq!((rows.len(), rows[0].quantity), (1, 2.0));
}
