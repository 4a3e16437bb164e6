//! Promises about an order at the bench, and about what comes back of it.

mod desk;

use books::{BuyerTax, Entry, OrderId, Purse};
use desk::{DAY, measure, order, refused, shop, stamp, supply};
use keeping::{Back, BenchAsked, BenchQuestion, Desk, GivenBack, learnt, put_setting, settle_back};
use measure::Money;
use shop::{Cancelled, PieceRef, Shipped, Shop, Tuned};

/// An order of two mugs with these cartons on hand, and fill.
fn waiting(cartons: &[(&str, u32)]) -> (Shop, OrderId) {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    for (size, count) in cartons {
        supply(&mut shop, size, "carton", *count);
    }
    if !cartons.is_empty() {
        supply(&mut shop, "loose fill", "fill", 3);
    }
    let order = order(&mut shop, 1);
    (shop, order)
}

fn read(shop: &mut Shop, order: OrderId, asked: BenchAsked) -> Result<BenchQuestion, keeping::Stop> {
    BenchQuestion::read(shop, &Desk::published(), order, asked, DAY)
}

fn planned(shop: &mut Shop, order: OrderId, asked: BenchAsked) -> Result<keeping::BenchPlan, keeping::Stop> {
    read(shop, order, asked)?.plan(&Desk::published())
}

#[test]
fn a_plan_takes_a_carton_that_is_there_and_stores_nothing_by_itself() {
    let (mut shop, order) = waiting(&[("12 x 12 x 8", 2), ("16 x 16 x 16", 2)]);
    let before = shop.log(None, None, 1).expect("read");
    let plan = planned(&mut shop, order, BenchAsked::default()).expect("planned");
    assert_eq!(plan.plan.parcels.len(), plan.parcels.len());
    assert!(plan.substitutes.is_empty() && plan.ideal.is_none());
    assert_eq!((plan.costs_more(), plan.parcels[0].form.as_str()), (Money::ZERO, "diner_mug"));
    assert!(plan.parcels[0].postage.is_some_and(|postage| postage > Money::ZERO));
    assert_eq!(shop.log(None, None, 1).expect("read"), before);
    shop.plan_order(&stamp(), order, &plan.parcels).expect("it fits the file");
    assert!(shop.check().expect("read").is_sound());
}

#[test]
fn where_the_best_carton_is_out_another_stands_in_and_says_what_it_costs_more() {
    let (mut shop, order) = waiting(&[("12 x 12 x 8", 2), ("16 x 16 x 16", 2)]);
    let best = planned(&mut shop, order, BenchAsked::default()).expect("planned").plan;
    let best = best.parcels[0].plan.carton.name.clone();
    let cartons: Vec<(&str, u32)> =
        ["12 x 12 x 8", "16 x 16 x 16"].map(|name| (name, if name == best { 0 } else { 2 })).to_vec();
    let (mut shop, order) = waiting(&cartons);
    let plan = planned(&mut shop, order, BenchAsked::default()).expect("planned");
    assert_ne!(plan.plan.parcels[0].plan.carton.name, best);
    let [one] = &plan.substitutes[..] else { panic!("{:?}", plan.substitutes) };
    assert_eq!(
        (one.missing.as_str(), one.carton.as_str()),
        (best.as_str(), plan.plan.parcels[0].plan.carton.name.as_str())
    );
    assert!(plan.ideal.is_some() && plan.costs_more() > Money::ZERO, "{}", plan.costs_more());
    let instead = plan.parcels[0].supplies.iter().find_map(|one| one.instead_of).expect("it is stored");
    let question = read(&mut shop, order, BenchAsked::default()).expect("read");
    assert_eq!(question.supply(instead).expect("known").supply.name, best);
}

#[test]
fn an_order_that_cannot_be_planned_is_refused_with_what_would_be_right() {
    let (mut shop, order) = waiting(&[]);
    let ask = |without: &[&str], any_carton| BenchAsked {
        without: without.iter().map(|name| (*name).to_owned()).collect(),
        any_carton,
    };
    assert!(
        refused(planned(&mut shop, order, ask(&[], false)).map(|_| ()))
            .contains("right would be to add those")
    );
    assert!(planned(&mut shop, order, ask(&[], true)).is_ok(), "any carton of a stock size");
    assert!(refused(read(&mut shop, OrderId(9), ask(&[], true)).map(|_| ())).contains("no order 9"));
    let (mut shop, order) = waiting(&[("12 x 12 x 8", 0)]);
    assert!(refused(planned(&mut shop, order, ask(&[], false)).map(|_| ())).contains("every carton is out"));
    assert!(
        refused(read(&mut shop, order, ask(&["12 x 12 x 9"], false)).map(|_| ())).contains("12 x 12 x 8")
    );
    let (mut tiny, order) = waiting(&[("3 x 3 x 3", 5)]);
    assert!(refused(planned(&mut tiny, order, ask(&[], false)).map(|_| ())).contains("can't be packed"));
    let cancelled = Cancelled { order, date: DAY, from: Purse::Platform };
    tiny.cancel_order(&stamp(), &cancelled).expect("cancelled");
    assert!(
        refused(read(&mut tiny, order, ask(&[], true)).map(|_| ())).contains("right would be one that waits")
    );
}

#[test]
fn a_supply_that_is_short_is_named_and_the_plan_goes_without_it_when_told() {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    supply(&mut shop, "12 x 12 x 8", "carton", 2);
    supply(&mut shop, "loose fill", "fill", 0);
    let order = order(&mut shop, 1);
    let why = refused(planned(&mut shop, order, BenchAsked::default()).map(|_| ()));
    assert!(
        why.contains("short of loose fill") && why.contains("0 free") && why.contains("without"),
        "{why}"
    );
    let without = BenchAsked { without: vec!["Loose  Fill".into()], any_carton: false };
    let plan = planned(&mut shop, order, without).expect("planned");
    let fill = shop.noted::<shop::Supply>().expect("read")[1].0;
    assert!(plan.parcels[0].supplies.iter().all(|one| one.supply.0 != fill), "none of it is set aside");
}

#[test]
fn what_was_learnt_raises_the_parcel_and_never_the_figures_that_are_stored() {
    let (mut shop, order) = waiting(&[("12 x 12 x 8", 2)]);
    let plain = planned(&mut shop, order, BenchAsked::default()).expect("planned");
    let recipe = plain.parcels[0].recipe.clone();
    put_setting(&mut shop, &stamp(), &format!("tuned.weight.diner_mug.{recipe}"), "1.5", "").expect("put");
    let question = read(&mut shop, order, BenchAsked::default()).expect("read");
    assert_eq!(question.learnt().weight(), 1.5);
    let heavier = question.plan(&Desk::published()).expect("planned");
    assert!(heavier.plan.parcels[0].gross > plain.plan.parcels[0].gross);
    assert_eq!(heavier.parcels[0].mass, plain.parcels[0].mass, "else a factor would count twice");
}

#[test]
fn what_parcels_taught_is_told_beside_a_plan_of_the_same_form_and_recipe_alone() {
    let (mut shop, order) = waiting(&[("12 x 12 x 8", 2)]);
    let parcel = planned(&mut shop, order, BenchAsked::default()).expect("planned").parcels.remove(0);
    let row = Tuned {
        form: parcel.form.clone(),
        recipe: parcel.recipe.clone(),
        parcels: 5,
        weighed: 5,
        predicted_milligrams: 100,
        actual_milligrams: 120,
        timed: 5,
        predicted_minutes: 10,
        actual_minutes: 20,
        posted: 0,
        predicted_cents: 0,
        actual_cents: 0,
        broken_orders: 0,
    };
    let (count, mass, minutes) = learnt(std::slice::from_ref(&row), &parcel).expect("told");
    let planned = (parcel.mass.expect("weighed").grams(), f64::from(parcel.minutes.expect("timed")));
    assert_eq!(count, 5);
    assert!((mass.grams() - 1.1 * planned.0).abs() < 1e-6 && (minutes - 1.5 * planned.1).abs() < 1e-9);
    for other in [
        Tuned { form: "bowl".into(), ..row.clone() },
        Tuned { recipe: "another".into(), ..row.clone() },
        Tuned { weighed: 0, ..row },
    ] {
        assert_eq!(learnt(&[other], &parcel), None);
    }
}

/// The order of two mugs, sent.
fn sent() -> (Shop, OrderId, Vec<PieceRef>) {
    let (mut shop, order) = waiting(&[]);
    let shipped = Shipped { order, date: DAY, postage_from: Purse::Platform, parcels: Vec::new() };
    shop.ship_order(&stamp(), &shipped).expect("sent");
    let pieces = shop
        .sent_pieces(order)
        .expect("read")
        .into_iter()
        .map(|one| PieceRef { find: one.find, number: one.number })
        .collect();
    (shop, order, pieces)
}

fn back(order: OrderId) -> Back {
    Back { order, date: DAY, returned: Vec::new(), broken: Vec::new(), refund: None, note: String::new() }
}

fn given(cents: i64) -> GivenBack {
    GivenBack {
        amount: Money::from_cents(cents),
        tax: Some(Money::from_cents(100)),
        listing: None,
        find: None,
        from: Purse::Platform,
    }
}

fn entries(shop: &mut Shop) -> Vec<Entry> {
    shop.books().expect("read").entries().to_vec()
}

#[test]
fn pieces_breakage_and_refund_come_back_together() {
    let (mut shop, order, pieces) = sent();
    let [first, second] = pieces[..] else { panic!("{pieces:?}") };
    let all = Back { returned: vec![first], broken: vec![second], refund: Some(given(2000)), ..back(order) };
    settle_back(&mut shop, &stamp(), &all).expect("entered");
    let fates: Vec<String> =
        shop.pieces(first.find).expect("read").iter().take(2).map(|piece| piece.fate.to_string()).collect();
    assert_eq!(fates, ["on hand", "broken or lost"]);
    assert!(shop.check().expect("read").is_sound());
    let earned = shop.order_earned(order).expect("read");
    assert_eq!(earned.refunds, Money::from_cents(2000));
}

#[test]
fn one_part_that_is_refused_leaves_nothing_of_the_others() {
    let (mut shop, order, pieces) = sent();
    let before = (entries(&mut shop).len(), shop.log(None, None, 1).expect("read"));
    let foreign = PieceRef { find: books::FindId(2), number: 1 };
    for wrong in [
        back(order),
        Back { returned: vec![pieces[0]], broken: vec![foreign], ..back(order) },
        Back { returned: vec![pieces[0]], broken: vec![pieces[0]], ..back(order) },
        Back { returned: vec![pieces[0]], refund: Some(given(99_999_999)), ..back(order) },
        Back { returned: vec![pieces[0]], refund: Some(given(-5)), ..back(order) },
        Back { refund: Some(given(5)), ..back(OrderId(77)) },
    ] {
        let why = refused(settle_back(&mut shop, &stamp(), &wrong));
        assert!(!why.is_empty(), "{wrong:?}");
        assert_eq!((entries(&mut shop).len(), shop.log(None, None, 1).expect("read")), before, "{wrong:?}");
    }
    assert!(refused(settle_back(&mut shop, &stamp(), &back(order))).contains("right would be pieces"));
}

#[test]
fn tax_goes_back_by_the_way_it_came() {
    let (mut shop, order, _) = sent();
    assert!(matches!(shop.order(order).expect("read").tax, BuyerTax::ByVenue(_)));
    settle_back(&mut shop, &stamp(), &Back { refund: Some(given(500)), ..back(order) }).expect("entered");
    let words = format!("{:?}", entries(&mut shop).last().expect("one"));
    let logged =
        shop.logged(shop.log(None, None, 1).expect("read")[0].event).expect("read").expect("there").1;
    assert!(
        logged.to_string().to_lowercase().contains("by_venue") || logged.to_string().contains("venue"),
        "{logged} {words}"
    );
}
