//! What holds for every parcel on every card.

use std::sync::LazyLock;

use jiff::civil::{Date, date};
use measure::{Length, Mass};
use postage::{ParcelFacts, RateCard, Refusal, Zone};
use proptest::prelude::*;

const DAYS: [Date; 2] = [date(2026, 9, 1), date(2026, 11, 25)];

static CARDS: LazyLock<Vec<RateCard>> = LazyLock::new(|| {
    let invented = RateCard::read(
        include_str!("data/invented_carrier.toml"),
        include_str!("data/invented_carrier.csv"),
        None,
    );
    let mut cards = RateCard::published();
    cards.push(invented.expect("invented"));
    cards
});

fn facts(sides: [f64; 3], pounds: f64, rectangular: bool) -> ParcelFacts {
    ParcelFacts { outside: sides.map(Length::from_inches), gross: Mass::from_pounds(pounds), rectangular }
}

fn side() -> impl Strategy<Value = f64> {
    prop_oneof![0.1..40.0_f64, (1_u32..40).prop_map(f64::from), (4_u32..160).prop_map(|n| f64::from(n) / 4.0)]
}

fn weight() -> impl Strategy<Value = f64> {
    prop_oneof![0.01..75.0_f64, (1_u32..72).prop_map(f64::from), 0.9..1.1_f64, 24.0..27.0_f64]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn a_heavier_larger_or_farther_parcel_never_costs_less(
        sides in [side(), side(), side()],
        pounds in weight(),
        rectangular in any::<bool>(),
        zone in 1_u8..=9,
        more_side in prop_oneof![Just(0.0), 0.0..3.0_f64],
        which in 0_usize..3,
        more_pounds in prop_oneof![Just(0.0), 0.0..3.0_f64],
        more_zones in 0_u8..=3,
    ) {
        let mut larger_sides = sides;
        larger_sides[which] += more_side;
        let near = Zone::new(zone).expect("1 to 9");
        let far = Zone::new((zone + more_zones).min(9)).expect("1 to 9");
        for card in CARDS.iter() {
            for day in DAYS {
                let small = card.quote(&facts(sides, pounds, rectangular), near, day);
                let large = card.quote(&facts(larger_sides, pounds + more_pounds, rectangular), far, day);
                if let (Ok(small), Ok(large)) = (small, large) {
                    prop_assert!(large.total >= small.total, "{}: {:?}\n{:?}", card.id(), small, large);
                }
            }
        }
    }

    #[test]
    fn a_quote_adds_up_and_covers_the_parcel(
        sides in [side(), side(), side()], pounds in weight(), rectangular in any::<bool>(), zone in 1_u8..=9,
    ) {
        let parcel = facts(sides, pounds, rectangular);
        for card in CARDS.iter() {
            for day in DAYS {
                let Ok(quote) = card.quote(&parcel, Zone::new(zone).expect("1 to 9"), day) else { continue };
                prop_assert_eq!(quote.total, quote.base + quote.additions.iter().map(|(_, amount)| *amount).sum());
                prop_assert!(quote.billable.pounds() + 1e-5 >= pounds);
                prop_assert!(quote.dimensional.is_none_or(|by_size| by_size.pounds() <= quote.billable.pounds() + 1e-5));
                prop_assert!(quote.length_plus_girth <= card.length_plus_girth_limit().expect("all have one") + Length::from_inches(0.002));
                let mut turned = parcel;
                turned.outside.rotate_left(1);
                prop_assert_eq!(card.quote(&turned, Zone::new(zone).expect("1 to 9"), day).expect("as before").total, quote.total);
            }
        }
    }

    #[test]
    fn a_box_never_costs_less_than_another_shape_of_its_size(
        sides in [side(), side(), side()], pounds in weight(), zone in 1_u8..=9,
    ) {
        let zone = Zone::new(zone).expect("1 to 9");
        for card in CARDS.iter() {
            let shape = card.quote(&facts(sides, pounds, false), zone, DAYS[0]);
            let boxed = card.quote(&facts(sides, pounds, true), zone, DAYS[0]);
            if let (Ok(shape), Ok(boxed)) = (shape, boxed) {
                prop_assert!(boxed.total >= shape.total);
            }
        }
    }

    #[test]
    fn no_number_panics_and_no_measure_is_refused(bits in any::<[u64; 4]>(), special in 0_usize..5, zone in 1_u8..=9) {
        let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, f64::from_bits(bits[3])][special];
        let [a, b, c, _] = bits.map(f64::from_bits);
        let zone = Zone::new(zone).expect("1 to 9");
        for card in CARDS.iter() {
            let _ = card.quote(&facts([a, b, c], odd, false), zone, DAYS[1]);
            for (sides, pounds) in [([odd, 5.0, 5.0], 2.0), ([5.0, 5.0, odd], 2.0), ([5.0, 5.0, 5.0], odd)] {
                let quoted = card.quote(&facts(sides, pounds, true), zone, DAYS[1]);
                if special < 4 {
                    prop_assert!(matches!(quoted, Err(Refusal::NotMeasurable { .. })), "{quoted:?}");
                }
            }
        }
    }
}

#[test]
fn cautions_tell_dates_and_unknown_additions() {
    let card = RateCard::by_id("ground_advantage_commercial").expect("published");
    let zone = Zone::new(5).expect("1 to 9");
    let quote = |pounds, day| card.quote(&facts([10.0; 3], pounds, true), zone, day).expect("priced");
    let said = |pounds, day, words: &str| quote(pounds, day).cautions.iter().any(|line| line.contains(words));
    assert_eq!(quote(25.0, DAYS[1]).cautions, Vec::<String>::new());
    assert!(said(25.1, DAYS[1], "temporary addition for 26 lb is not on this card"));
    let (label, least) = quote(26.0, DAYS[1]).additions[0].clone();
    assert!(label.ends_with("at least") && least.write() == "1.75");
    assert_eq!(quote(26.0, DAYS[0]).additions, vec![]);
    assert!(!said(26.0, DAYS[0], "temporary addition"));
    for (day, additions) in
        [(date(2026, 10, 3), 0), (date(2026, 10, 4), 1), (date(2027, 1, 17), 1), (date(2027, 1, 18), 0)]
    {
        assert_eq!(quote(2.0, day).additions.len(), additions, "{day}");
    }
    assert!(said(2.0, date(2026, 7, 11), "starts on 2026-07-12"));
    assert!(!said(2.0, date(2027, 1, 17), "ended"));
    assert!(said(2.0, date(2027, 1, 18), "ended on 2027-01-17"));
}

#[test]
fn what_a_list_leaves_blank_is_refused() {
    let expedited = RateCard::by_id("expedited_commercial").expect("published");
    let retail = RateCard::by_id("ground_advantage_retail").expect("published");
    let nine = Zone::NINE;
    assert!(expedited.quote(&facts([10.0; 3], 20.0, true), nine, DAYS[0]).is_ok());
    let refused = expedited.quote(&facts([10.0; 3], 20.1, true), nine, DAYS[0]).expect_err("blank");
    assert!(matches!(refused, Refusal::NoPriceForWeight { .. }));
    assert!(refused.to_string().contains("20 lb"), "{refused}");
    assert!(matches!(
        retail.quote(&facts([10.0; 3], 20.1, true), Zone::NEAREST, DAYS[0]),
        Err(Refusal::NoPriceForWeight { .. })
    ));
    let invented = CARDS.last().expect("the last");
    let refused = invented.quote(&facts([10.0; 3], 2.0, true), nine, DAYS[0]).expect_err("no column");
    assert!(matches!(refused, Refusal::NoPriceForZone { last: 8, .. }));
    assert!(matches!(
        invented.quote(&facts([109.0, 5.0, 5.0], 2.0, true), Zone::NEAREST, DAYS[0]),
        Err(Refusal::TooLong { .. })
    ));
}

#[test]
fn cautions_tell_what_rests_on_one_transcription_and_what_must_be_stated() {
    let said = |id: &str, sides, pounds, zone, words: &str| {
        let card = RateCard::by_id(id).expect("published");
        let zone = Zone::new(zone).expect("1 to 9");
        let quote = card.quote(&facts(sides, pounds, true), zone, DAYS[0]).expect("priced");
        quote.cautions.iter().filter(|line| line.contains(words)).count()
    };
    assert_eq!(said("expedited_commercial", [8.0; 3], 20.0, 8, "above 20 lb"), 0);
    assert_eq!(said("expedited_commercial", [8.0; 3], 20.1, 8, "above 20 lb"), 1);
    assert_eq!(said("ground_advantage_commercial", [8.0; 3], 30.0, 8, "transcription"), 0);
    for card in ["ground_advantage_commercial", "ground_advantage_retail", "expedited_commercial"] {
        assert_eq!(said(card, [8.0; 3], 2.0, 8, "zone 9"), 0);
        assert_eq!(said(card, [8.0; 3], 2.0, 9, "zone 9"), 1);
    }
    assert_eq!(said("ground_advantage_commercial", [12.0; 3], 2.0, 1, "three sides"), 0);
    assert_eq!(said("ground_advantage_commercial", [12.1, 12.0, 12.0], 2.0, 1, "three sides"), 1);
    assert_eq!(said("ground_advantage_commercial", [24.0, 12.0, 12.0], 2.0, 1, "three sides"), 1);
    assert_eq!(said("ground_advantage_retail", [12.1, 12.0, 12.0], 2.0, 1, "three sides"), 0);
}
