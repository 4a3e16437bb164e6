//! Rules that need a parcel of their own: loading, bearing, counting, and the sentences.

mod parcels;

use parcels::{block, frustum, kinds, mug, names, order, restate, shift, stand, two_layers, wish};
use shape::Contents;

#[test]
fn what_lies_under_a_rim_must_be_loaded_before_it() {
    let bowl = || frustum(15.0, 70.0, 120.0, 0.0);
    let under = || block(30.0, 30.0, 30.0, 0.0);
    let inside = [300.0, 200.0, 200.0];
    let right =
        stand(inside, &[wish("brick", under(), [149.0, 100.0], 1), wish("bowl", bowl(), [90.0, 100.0], 1)]);
    assert_eq!(proof::check(&right, &order(&right)), vec![]);
    // The place in the list does not matter, only the number.
    let mut listed = right;
    listed.bundles.swap(0, 1);
    assert_eq!(kinds(&listed), ["Numbering"]);
    let wrong =
        stand(inside, &[wish("bowl", bowl(), [90.0, 100.0], 1), wish("brick", under(), [149.0, 100.0], 1)]);
    let broken = proof::check(&wrong, &order(&wrong));
    assert_eq!(names(&broken), ["LoweringBlocked"]);
    assert_eq!(
        broken[0].to_string(),
        "bundle 2 (brick) cannot be lowered to its place: bundle 1 (bowl) is already in its way"
    );
}

#[test]
fn a_load_stands_where_its_centre_is_at_most_a_millimetre_off_the_tops_that_carry_it() {
    // The mug's handle ends below its rim, so it carries nothing; the mug's own weight is no load.
    let carried_at = |x: f64| {
        stand(
            [400.0, 200.0, 300.0],
            &[
                wish("mug", mug(40.0, 60.0, 20.0, 100.0, 2.0), [100.0, 100.0], 1),
                wish("brick", block(60.0, 60.0, 60.0, 2.0), [x, 100.0], 2),
            ],
        )
    };
    assert!(kinds(&carried_at(142.9)).is_empty());
    assert_eq!(kinds(&carried_at(143.1)), ["LoadOffSupport"]);
}

#[test]
fn a_piece_too_few_too_many_or_of_another_kind_is_a_violation() {
    let parcel = two_layers();
    let mut fewer = order(&parcel);
    fewer[0].count += 1;
    assert_eq!(names(&proof::check(&parcel, &fewer)), ["Count"]);
    assert_eq!(proof::check(&parcel, &[]).len(), 6);
    let mut other = order(&parcel);
    other.push(Contents { find: "attic".into(), what: "book".into(), count: 1 });
    assert_eq!(
        proof::check(&parcel, &other).iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["0 x book of attic are packed; the order has 1"]
    );
}

#[test]
fn the_counts_of_several_parcels_are_added_up_and_their_faults_are_told_apart() {
    let parcels = [two_layers(), two_layers()];
    let both: Vec<Contents> = order(&parcels[0]).into_iter().chain(order(&parcels[1])).collect();
    assert_eq!(proof::check_all(&parcels, &both), vec![]);
    assert_eq!(names(&proof::check_all(&parcels, &order(&parcels[0]))), ["Count"]);
    let mut heavy = parcels;
    heavy[1].gross_g = 3000.0;
    heavy[1].carton.max_gross_g = 2500.0;
    heavy[1].bundles.iter_mut().for_each(|bundle| bundle.mass_g = 420.0);
    assert_eq!(
        proof::check_all(&heavy, &both).iter().map(ToString::to_string).collect::<Vec<_>>(),
        ["parcel 2: the gross mass is 3000.0 g; the carton's board may carry 2500.0 g"]
    );
}

#[test]
fn a_sentence_names_both_bundles_and_both_distances() {
    let mut parcel = two_layers();
    shift(&mut parcel.bundles[1], [-8.1, 0.0, 0.0]);
    restate(&mut parcel);
    assert_eq!(
        proof::check(&parcel, &order(&parcel))[0].to_string(),
        "bundle 1 (tumbler) and bundle 2 (second tumbler) are 11.900 mm apart, hard part to hard part; \
         12.000 mm are required"
    );
}
