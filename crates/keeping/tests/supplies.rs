//! Promises about supplies on hand, and about a parcel as it stands on the scale.

mod desk;

use books::Quantity;
use desk::{DAY, measure, moved, order, refused, shop, stamp, supply};
use keeping::{
    BenchAsked, BenchQuestion, Desk, counted, outside_size, supplies_on_hand, supply_named, supply_used,
    taken, three_sides,
};
use measure::{Length, Mass, Money};
use proptest::prelude::*;
use shop::{Movement, Shop};

#[test]
fn a_supply_is_known_by_what_it_is_and_how_much_a_unit_holds() {
    let mut shop = Shop::in_memory().expect("a shop");
    let desk = Desk::published();
    let carton = supply(&mut shop, "12 x 12 x 8", "carton", 3);
    let fill = supply(&mut shop, "loose fill", "fill", 2);
    supply(&mut shop, "string of its own", "other", 0);
    let found = supplies_on_hand(&mut shop, &desk.library.materials, &[], DAY).expect("read");
    let one = |id| found.iter().find(|one| one.id == id).expect("there");
    assert!(one(carton).is_carton() && one(carton).material().is_none() && one(carton).whole() == 3);
    assert_eq!(
        one(fill).material(),
        Some(desk.library.materials.find("eps_fill").expect("known").name.as_str())
    );
    assert_eq!((one(fill).whole(), one(carton).size(), one(carton).cut_to().len()), (2, None, 0));
    assert_eq!(found.iter().filter(|one| one.material().is_none()).count(), 2, "string is no known material");
}

#[test]
fn what_the_order_s_own_plan_set_aside_is_free_for_its_new_plan_and_for_no_other() {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    let desk = Desk::published();
    let carton = supply(&mut shop, "12 x 12 x 8", "carton", 1);
    supply(&mut shop, "loose fill", "fill", 3);
    let first = order(&mut shop, 1);
    let question = BenchQuestion::read(&mut shop, &desk, first, BenchAsked::default(), DAY).expect("read");
    let plan = question.plan(&desk).expect("planned");
    shop.plan_order(&stamp(), first, &plan.parcels).expect("stored");
    let own = shop.parcels(first).expect("read");
    let free = |shop: &mut Shop, own: &[shop::StandingParcel]| {
        let found = supplies_on_hand(shop, &desk.library.materials, own, DAY).expect("read");
        found.iter().find(|one| one.id == carton).expect("there").whole()
    };
    assert_eq!((free(&mut shop, &own), free(&mut shop, &[])), (1, 0));
}

#[test]
fn what_a_plan_takes_is_one_row_for_a_supply_and_what_is_missing_is_told() {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    let desk = Desk::published();
    let carton = supply(&mut shop, "12 x 12 x 8", "carton", 1);
    let fill = supply(&mut shop, "loose fill", "fill", 3);
    let order = order(&mut shop, 1);
    let question = BenchQuestion::read(&mut shop, &desk, order, BenchAsked::default(), DAY).expect("read");
    let plan = question.plan(&desk).expect("planned");
    let parcel = &plan.plan.parcels[0].plan;
    let one = taken(&[parcel], &question.stock, &[]).expect("counted");
    let of = |list: &[shop::PlannedSupply], id| -> Vec<u64> {
        list.iter().filter(|one| one.supply == id).map(|one| one.quantity.micros()).collect()
    };
    assert_eq!(of(&one.parcels[0], carton), [1_000_000]);
    let used: f64 = parcel
        .materials
        .iter()
        .filter(|used| used.material.contains("loose") || used.material.contains("fill"))
        .map(|used| used.quantity)
        .sum();
    let bags = of(&one.parcels[0], fill);
    assert_eq!(bags.len(), 1);
    assert!((bags[0] as f64 / 1e6 - used / 3.5).abs() < 2e-6, "a bag holds 3.5: {bags:?} of {used}");
    assert!(one.short.is_empty() && !one.unknown.is_empty(), "wrap and tape are among no supplies");
    // The same plan twice takes two cartons, and there is one.
    let two = taken(&[parcel, parcel], &question.stock, &[]).expect("counted");
    assert_eq!(two.short.get(&carton), Some(&2.0));
    for (material, (quantity, _)) in &two.unknown {
        assert!((quantity - 2.0 * one.unknown[material].0).abs() < 1e-9, "{material}");
    }
    // What is left out isn't set aside, and so is never short.
    let out = taken(&[parcel, parcel], &question.stock, &["12X12x8".to_owned()]).expect("counted");
    assert!(of(&out.parcels[0], carton).is_empty() && out.short.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn after_what_a_count_calls_for_the_file_says_what_was_counted(bought in 0_u32..50, there in 0_u64..50_000_000) {
        let mut shop = Shop::in_memory().expect("a shop");
        let id = supply(&mut shop, "tape", "tape", bought);
        let there = Quantity::from_micros(there).expect("a quantity");
        if let Some(movement) = counted(&mut shop, id, there, DAY).expect("read") {
            if let Movement::SuppliesBought { cost, .. } = &movement {
                prop_assert_eq!(*cost, Money::ZERO);
            }
            moved(&mut shop, movement);
        }
        let state = shop.supplies(DAY, 90).expect("read").remove(0);
        prop_assert_eq!(state.on_hand, there);
        prop_assert_eq!(counted(&mut shop, id, there, DAY).expect("read"), None);
    }
}

proptest! {
    #[test]
    fn sides_are_read_in_any_unit_and_any_text_is_read_or_refused_with_what_is_right(
        sides in prop::array::uniform3(1_u32..400), text in "\\PC{0,40}"
    ) {
        let [a, b, c] = sides;
        for (typed, unit) in [
            (format!("{a} x {b} x {c} mm"), 1.0),
            (format!("{a}mm X {b}mm X {c}mm"), 1.0),
            (format!("{a}\u{d7}{b}\u{d7}{c} cm"), 10.0),
        ] {
            let read = three_sides(&typed).expect("three sides");
            for (length, side) in read.into_iter().zip(sides) {
                prop_assert!((length.mm() - unit * f64::from(side)).abs() < 1e-6, "{}", typed);
            }
        }
        let outside = outside_size(&format!("{a} x {b} x {c}")).expect("bare inches");
        prop_assert_eq!(outside.height, Length::from_inches(f64::from(c)));
        for read in [three_sides(&text).map(|_| ()), outside_size(&text).map(|_| ())] {
            if let Err(why) = read {
                prop_assert!(why.contains("right would be"), "{}", why);
            }
        }
    }

    #[test]
    fn a_supply_used_is_a_known_one_and_more_than_nothing(units in any::<f64>(), text in "\\PC{0,20}") {
        let mut shop = Shop::in_memory().expect("a shop");
        let id = supply(&mut shop, "12 x 12 x 8", "carton", 0);
        match supply_used(&shop, &format!("12X12 x8 = {units}"), "") {
            Ok(used) => {
                prop_assert_eq!(used.supply, id);
                prop_assert!(units > 0.0 && (used.quantity.in_units() - units).abs() <= 1e-6 * units.max(1.0));
            }
            Err(_) => prop_assert!(!(1e-6..=1e6).contains(&units), "{} is a quantity", units),
        }
        prop_assert!(supply_used(&shop, &text, "").is_err() || text.contains('='));
    }
}

#[test]
fn a_supply_that_is_not_known_is_refused_with_those_like_it_or_with_where_to_enter_one() {
    let mut shop = Shop::in_memory().expect("a shop");
    assert!(refused(supply_named(&shop, "tape", "add one here")).contains("right would be: add one here"));
    supply(&mut shop, "12 x 12 x 8", "carton", 0);
    supply(&mut shop, "14 x 14 x 8", "carton", 0);
    assert!(refused(supply_named(&shop, "12 x 12 x 9", "")).contains("12 x 12 x 8"));
    let why = refused(supply_named(&shop, "quite another", ""));
    assert!(why.contains("12 x 12 x 8") && why.contains("14 x 14 x 8"), "{why}");
    for text in [
        "12 x 12 x 8",
        "12 x 12 x 8=",
        "12 x 12 x 8=one",
        "12 x 12 x 8=0",
        "12 x 12 x 8=-1",
        "12 x 12 x 8=NaN",
    ] {
        refused(supply_used(&shop, text, ""));
    }
}

#[test]
fn a_heavier_or_larger_box_never_costs_less_to_post_and_one_too_large_is_refused() {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    let desk = Desk::published();
    let order = order(&mut shop, 1);
    let question = BenchQuestion::read(&mut shop, &desk, order, BenchAsked::default(), DAY).expect("read");
    let size = |inches: f64| outside_size(&format!("{inches} x {inches} x {inches}")).expect("a size");
    let mut last = Money::ZERO;
    for ounces in [12.0, 16.0, 40.0, 160.0, 600.0] {
        let postage = question.postage(&desk, &size(12.0), Mass::from_ounces(ounces)).expect("it is mailed");
        assert!(postage >= last, "{ounces} oz: {postage} after {last}");
        last = postage;
    }
    let small = question.postage(&desk, &size(10.0), Mass::from_ounces(40.0)).expect("it is mailed");
    let large = question.postage(&desk, &size(18.0), Mass::from_ounces(40.0)).expect("it is mailed");
    assert!(large > small, "dimensional weight");
    assert!(!refused(question.postage(&desk, &size(120.0), Mass::from_ounces(40.0))).is_empty());
}
