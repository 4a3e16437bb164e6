//! A box in a box: the inner one moves as one mass, and what is in it feels less.

mod made_up;

use cushion::Cushions;
use droptest::{Detail, Filling, Guarded, Landing, assess};
use made_up::{block, mug, parcel};
use measure::Length;
use plan::Parcel;
use shape::PartKind;

fn bare() -> Guarded {
    Guarded { wrap: vec![], guard: None, bears: vec![(PartKind::Body, 60.0)] }
}

fn single(gap: f64) -> Parcel {
    let inside = [80.0, 80.0, 90.0].map(|side| side + 2.0 * gap);
    parcel(inside, vec![mug(40.0, 90.0, inside.map(|side| side / 2.0), 400.0)])
}

fn doubled(inner_gap: f64, outer_gap: f64) -> Parcel {
    let inner = single(inner_gap);
    let outside = inner.carton.outside_mm;
    let inside = outside.map(|side| side + 2.0 * outer_gap);
    let mut outer = parcel(inside, vec![block(outside, inside.map(|side| side / 2.0), inner.gross_g)]);
    outer.inner = Some(Box::new(inner));
    outer
}

#[test]
fn a_second_box_softens_the_blow_and_does_not_take_it_away() {
    let cushions = Cushions::published();
    let filling = Filling { cushions: &cushions, fill: "eps_fill", pad_g_mm2: 3e-4 };
    let worst = |parcel: &Parcel| {
        let tested =
            assess(parcel, &[bare()], &filling, Length::from_inches(30.0), Detail::Full).expect("tested");
        let faces = tested.landings.iter().filter(|landed| landed.landing() == Landing::Face);
        faces.map(|landed| landed.felt[0].peak_g).fold(0.0, f64::max)
    };
    let one = worst(&single(25.4));
    let two = worst(&doubled(25.4, 76.2));
    assert!(two < 0.8 * one, "{two} against {one}");
    // Energy is not lost: the way that is left to stop in bounds the shock from below, G >= h / D.
    let least = 30.0 * 25.4 / (25.4 + 76.2);
    assert!(two > least, "{two} under {least}");
}
