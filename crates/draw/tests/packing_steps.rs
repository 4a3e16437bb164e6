//! What the steps promise to the hands that follow them.

mod made_up;

use draw::steps;
use measure::Units;

#[test]
fn every_bundle_is_placed_once_and_in_the_order_of_loading() {
    for (name, parcel) in made_up::all() {
        let steps = steps(&parcel, Units::UsCustomary);
        let placed: Vec<String> = steps
            .iter()
            .filter(|step| step.contains("from the left wall"))
            .filter_map(|step| step.split_whitespace().nth(1).map(str::to_owned))
            .collect();
        let numbers: Vec<String> = parcel.bundles.iter().map(|bundle| bundle.number.to_string()).collect();
        assert_eq!(placed, numbers, "{name}");
    }
}

#[test]
fn places_and_turns_are_those_of_the_parcel() {
    let steps = steps(&made_up::cups_and_saucers(), Units::UsCustomary);
    let said = |step: &str| assert!(steps.iter().any(|other| other == step), "{step:?} in {steps:#?}");
    // 85 mm is 3.35 in: 3 3/8 in to the eighth.
    said(
        "Stand 1 (consomme cup, upright) 3 3/8 in from the left wall and 3 3/8 in from the front, handles to 1 and 7 o'clock.",
    );
    said(
        "Stand 5 (4 saucers on edge) 4 3/8 in from the left wall and 3 3/4 in from the front, faces to front and back.",
    );
    said(
        "Stand 6 (3 saucers on edge) 8 5/8 in from the left wall and 7 1/2 in from the front, faces to left and right.",
    );
    said(
        "Stand 7 (consomme cup, rim down) 3 7/8 in from the left wall and 8 5/8 in from the front, handles to 2 and 8 o'clock.",
    );
}

#[test]
fn a_piece_on_its_side_is_laid_and_its_top_pointed() {
    let steps = steps(&made_up::long_carton(), Units::Metric);
    // The goblet spans 146 mm from its foot to its rim; the middle of all of it is where it was put.
    assert!(
        steps.iter().any(|step| step
            == "Lay 2 (goblet, on its side) 270 mm from the left wall and 80 mm from the front, top to 9 o'clock."),
        "{steps:#?}"
    );
}

#[test]
fn the_bed_comes_first_pads_between_and_the_shake_test_after_the_fill() {
    let steps = steps(&made_up::cups_and_saucers(), Units::UsCustomary);
    let place = |word: &str| steps.iter().position(|step| step.contains(word)).expect(word);
    let order = [
        place("Make up carton"),
        place("Pour a bed of loose fill 2 in deep"),
        place("Layer 1 takes"),
        place("Stand 4 "),
        place("Lay pad 1 (1/4 in thick) on layer 1"),
        place("Layer 2 takes"),
        place("Stand 7 "),
        place("Fill to the top"),
        place("Close the flaps"),
        place("Shake test"),
        place("Weigh it"),
    ];
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
}

#[test]
fn a_pad_on_the_bed_is_laid_before_the_first_layer() {
    let steps = steps(&made_up::small_carton(), Units::Metric);
    let place = |word: &str| steps.iter().position(|step| step.contains(word)).expect(word);
    assert!(place("Lay pad 1 (6 mm thick) on the bed") < place("Layer 1 takes"));
}

#[test]
fn front_is_a_long_side_only_where_there_is_one() {
    let front = |parcel| steps(&parcel, Units::Metric).first().cloned().unwrap_or_default();
    assert!(front(made_up::long_carton()).contains("FRONT on one long side"));
    assert!(front(made_up::twelve_mugs()).contains("FRONT on one side"));
}

#[test]
fn a_carton_is_cut_down_before_anything_goes_in() {
    let steps = steps(&made_up::twelve_mugs(), Units::UsCustomary);
    assert_eq!(
        steps[1],
        "Cut the four corners down by 3 in, score and fold, so that the inside is 13 in high (it was 16 in)."
    );
}

#[test]
fn places_are_measured_to_the_cup_and_not_to_its_handle() {
    let steps = steps(&made_up::small_carton(), Units::Metric);
    let said = "Stand 1 (demitasse cup, upright) 68 mm from the left wall and 60 mm from the front, handle to 2 o'clock.";
    assert!(steps.iter().any(|step| step == said), "{steps:#?}");
}

#[test]
fn what_rests_on_others_says_on_which_and_their_tops_are_kept_clear() {
    let steps = steps(&made_up::books(), Units::Metric);
    let place = |said: &str| {
        steps.iter().position(|step| step == said).unwrap_or_else(|| panic!("{said:?} in {steps:#?}"))
    };
    let order = [
        place(
            "Lay 2 (cookery book, right way up) 257 mm from the left wall and 127 mm from the front, long way front to back.",
        ),
        place(
            "Work loose fill in between and around layer 1, up to its tops, until nothing shifts. Keep the tops clear: the next rest on them.",
        ),
        place(
            "Lay 3 (atlas, right way up) on the two cookery books, numbers 1 and 2, 177 mm from the left wall and 127 mm from the front, long way left to right.",
        ),
        place(
            "Lay 4 (slim volume, right way up) on number 3 (atlas), 160 mm from the left wall and 120 mm from the front, long way left to right.",
        ),
        place("Work loose fill in between and around layer 3, up to its tops, until nothing shifts."),
    ];
    assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
}
