//! Zones from ZIP codes: charts first, distance else, and a refusal where neither is known.

use postage::{ZoneError, ZoneFinder, ZoneSource};
use proptest::prelude::*;

fn zone(origin: &str, dest: &str) -> u8 {
    ZoneFinder::published().zone(origin, dest).expect("both are known").zone.number()
}

#[test]
fn three_five_and_nine_digits_mean_the_same_area() {
    for dest in ["606", "60614", " 60614 ", "60614-1234"] {
        assert_eq!(zone("453", dest), zone("45301", "606"), "{dest}");
    }
}

#[test]
fn the_same_area_is_zone_1() {
    let found = ZoneFinder::published().zone("45301", "45399").expect("known");
    assert_eq!((found.zone.number(), found.source), (1, ZoneSource::SameArea));
}

#[test]
fn areas_without_a_place_are_refused_by_name() {
    let finder = ZoneFinder::published();
    for area in ["090", "096", "099", "340", "962", "966", "569", "000"] {
        for (origin, dest) in [("453", area), (area, "453"), (area, area)] {
            let error = finder.zone(origin, dest).expect_err(area);
            assert!(matches!(error, ZoneError::NoPosition { .. }));
            let words = error.to_string();
            assert!(words.contains(area) && words.contains("chart"), "{words}");
        }
    }
    assert!(finder.zone("969", "453").is_err());
    assert!(finder.zone("969", "969").is_err());
}

#[test]
fn the_pacific_is_zone_9_but_for_its_exceptions() {
    assert_eq!(zone("453", "969"), 9);
    for (dest, expected) in [
        ("96900", 8),
        ("96938", 8),
        ("96939", 9),
        ("96944", 9),
        ("96945", 8),
        ("96959", 8),
        ("96960", 9),
        ("96961", 8),
        ("96969", 8),
        ("96970", 9),
        ("96971", 8),
        ("96999", 8),
    ] {
        assert_eq!(zone("453", dest), expected, "{dest}");
    }
    let note = ZoneFinder::published().zone("453", "969").expect("known").note.expect("exceptions");
    assert!(note.contains("96961 to 96969"));
}

#[test]
fn what_is_no_zip_code_is_refused() {
    for text in ["", "4", "45", "4530", "453011", "4530a", "453-01", "45301-12", "-45", "４５３"] {
        let error = ZoneFinder::published().zone(text, "606").expect_err(text);
        assert!(matches!(error, ZoneError::BadZip { .. }), "{text}");
    }
}

#[test]
fn a_chart_wins_from_its_origin_only() {
    let chart = "dest_zip3_from,dest_zip3_to,zone\n600,610,5*\n340,340,6+\n453,453,2\n";
    let finder = ZoneFinder::published().with_chart("45301", chart).expect("a chart");
    let found = finder.zone("453", "606").expect("in the chart");
    assert_eq!((found.zone.number(), found.source), (5, ZoneSource::Chart));
    assert!(found.miles.is_some() && found.note.is_some());
    assert_eq!(finder.zone("453", "340").expect("in the chart").zone.number(), 6);
    assert_eq!(finder.zone("453", "453").expect("in the chart").zone.number(), 2);
    let outside = finder.zone("453", "981").expect("by distance");
    assert_eq!(outside.source, ZoneSource::Estimate);
    assert!(outside.note.expect("not in the chart").contains("no row for 981"));
    assert_eq!(finder.zone("454", "606").expect("by distance").source, ZoneSource::Estimate);
}

#[test]
fn a_broken_chart_is_refused_with_its_row() {
    let finder = || ZoneFinder::published();
    for (chart, words) in [
        ("", "dest_zip3,zone"),
        ("zip,zone\n005,3\n", "zip,zone"),
        ("dest_zip3,zone\n", "no rows"),
        ("dest_zip3,zone\n5,3\n", "row 2, column `dest_zip3`: `5`"),
        ("dest_zip3,zone\n005,3\n006,10\n", "row 3, column `zone`: `10`"),
        ("dest_zip3,zone\n005,3\n005,4\n", "row 3: ZIP area 005"),
        ("dest_zip3,zone\n005\n", "row 2"),
        ("dest_zip3_from,dest_zip3_to,zone\n010,005,3\n", "dest_zip3_to"),
    ] {
        let error = finder().with_chart("453", chart).expect_err(chart).to_string();
        assert!(error.contains(words), "{chart:?}: {error}");
    }
}

proptest! {
    #[test]
    fn no_text_panics(origin in any::<String>(), dest in "[0-9]{0,6}", chart in any::<String>()) {
        let finder = ZoneFinder::published();
        let _ = finder.zone(&origin, &dest);
        let _ = finder.zone(&dest, &origin);
        let _ = finder.clone().with_chart(&dest, &chart);
        let _ = finder.with_chart("453", &format!("dest_zip3,zone\n{chart}"));
    }

    #[test]
    fn distance_is_the_same_both_ways(from in 0_u16..1000, to in 0_u16..1000) {
        let finder = ZoneFinder::published();
        let (from, to) = (format!("{from:03}"), format!("{to:03}"));
        if let (Ok(there), Ok(back)) = (finder.zone(&from, &to), finder.zone(&to, &from)) {
            prop_assert_eq!(there.zone, back.zone);
            if let Some(to_edge) = there.to_edge_miles {
                prop_assert!((0.0..=15.0).contains(&to_edge));
                let beyond = there.neighbour.expect("named with the edge");
                prop_assert_eq!(beyond.number().abs_diff(there.zone.number()), 1);
            }
        }
    }
}
