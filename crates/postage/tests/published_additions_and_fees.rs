//! All fees and temporary additions of the shipped cards, cell by cell.
//!
//! Sources: US Postal Service, Notice 123 effective 2026-07-12 (nonstandard fees); news release of
//! 2026-08-25 (additions from 2026-10-04 to 2027-01-17).

use jiff::civil::date;
use measure::{Length, Mass, Money};
use postage::{ParcelFacts, RateCard, Zone};

fn parcel(sides: [f64; 3], pounds: f64) -> ParcelFacts {
    ParcelFacts {
        outside: sides.map(Length::from_inches),
        gross: Mass::from_pounds(pounds),
        rectangular: true,
    }
}

fn added(card: &str, facts: &ParcelFacts, zone: u8, in_season: bool) -> String {
    let card = RateCard::by_id(card).expect("published");
    let day = if in_season { date(2026, 11, 25) } else { date(2026, 9, 1) };
    let quote = card.quote(facts, Zone::new(zone).expect("1 to 9"), day).expect("priced");
    quote.additions.iter().map(|(_, amount)| *amount).sum::<Money>().write()
}

#[test]
fn additions_by_card_weight_and_zone() {
    // Weights are the first and last of each band; the 20 lb end stands for 25 lb on the retail card.
    for (card, bands) in [
        ("ground_advantage_commercial", [("0.40", "0.55"), ("0.65", "1.05"), ("1.05", "1.75")]),
        ("ground_advantage_retail", [("0.50", "0.75"), ("0.80", "1.40"), ("1.25", "2.75")]),
        ("expedited_commercial", [("0.40", "0.85"), ("0.65", "1.75"), ("1.05", "3.85")]),
    ] {
        let last = if card == "ground_advantage_retail" { 20.0 } else { 25.0 };
        for ((near, far), ends) in bands.into_iter().zip([[0.5, 3.0], [3.1, 10.0], [10.1, last]]) {
            for pounds in ends {
                let facts = parcel([8.0; 3], pounds);
                for (zone, expected) in [(1, near), (4, near), (5, far), (8, far)] {
                    assert_eq!(added(card, &facts, zone, true), expected, "{card}, {pounds} lb, zone {zone}");
                    assert_eq!(added(card, &facts, zone, false), "0.00");
                }
            }
        }
    }
}

#[test]
fn fees_by_card() {
    for (card, long, longer, bulky) in [
        ("ground_advantage_commercial", "4.50", "10.00", "21.00"),
        ("ground_advantage_retail", "4.50", "10.00", "21.00"),
        ("expedited_commercial", "4.50", "21.00", "35.00"),
    ] {
        for (sides, fee) in [
            ([22.0, 8.0, 8.0], "0.00"),
            ([22.1, 8.0, 8.0], long),
            ([30.0, 8.0, 8.0], long),
            ([30.1, 8.0, 6.0], longer),
        ] {
            assert_eq!(added(card, &parcel(sides, 2.0), 1, false), fee, "{card}, {sides:?}");
        }
        // 3,600 in3 is 26 lb by size, past the rows of the retail card.
        if card != "ground_advantage_retail" {
            assert_eq!(added(card, &parcel([16.0, 15.0, 15.0], 2.0), 1, false), bulky);
        }
    }
}

#[test]
fn every_shipped_card_has_the_rules_of_2026_07_12() {
    for card in RateCard::published() {
        let weighed = card.billable_weight(&parcel([16.25, 14.5, 9.75], 2.0)).expect("weighed");
        assert_eq!(weighed.rounded_sides_in, [17.0, 15.0, 10.0]);
        for (sides, pounds, why) in [
            ([17.0, 15.0, 10.0], 19.0, "2,550 / 139 = 18.3"),
            ([25.0, 10.0, 10.0], 18.0, "2,500 / 139 = 17.99; a smaller divisor gives 19"),
            ([19.0, 11.0, 10.0], 16.0, "2,090 / 139 = 15.04; a larger divisor gives 15"),
        ] {
            let weighed = card.billable_weight(&parcel(sides, 2.0)).expect("weighed");
            assert!((weighed.greater.pounds() - pounds).abs() < 1e-9, "{}: {why}", card.id());
        }
        assert!(card.billable_weight(&parcel([12.0; 3], 2.0)).expect("weighed").dimensional.is_none());
        assert!((card.weight_limit().pounds() - 70.0).abs() < 1e-9);
    }
}
