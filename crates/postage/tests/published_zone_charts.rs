//! Zones by distance against official zone charts (US Postal Service, zone charts of origins 394
//! effective 2026-07-01, 320 effective 2026-09-01, 132 undated and seen with prices of 2026).

use postage::{ZoneError, ZoneFinder, ZoneSource};

const CHARTS: &str = include_str!("data/zone_charts_2026.csv");

fn rows() -> impl Iterator<Item = (&'static str, &'static str, u8)> {
    CHARTS.lines().skip(1).map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        (cells[0], cells[2], cells[3].parse().expect("a zone"))
    })
}

/// Measured: 1,839 of 1,840 pairs with reference points at both ends.
#[test]
fn the_estimate_hits_the_charts_and_misses_by_one_zone_at_most() {
    let finder = ZoneFinder::published();
    let (mut pairs, mut exact, mut missed) = (0_u32, 0_u32, Vec::new());
    for (origin, dest, official) in rows() {
        let estimate = match finder.zone(origin, dest) {
            Ok(estimate) if estimate.miles.is_some() || estimate.source == ZoneSource::SameArea => estimate,
            _ => continue,
        };
        pairs += 1;
        if estimate.zone.number() == official {
            exact += 1;
        } else {
            missed.push((official, estimate));
        }
    }
    assert_eq!((pairs, exact), (1840, 1839));
    for (official, estimate) in missed {
        assert_eq!(estimate.zone.number().abs_diff(official), 1, "{estimate:?}");
        let neighbour = estimate.neighbour.expect("a miss lies near the end of its band");
        assert_eq!(neighbour.number(), official);
        assert!(estimate.to_edge_miles.expect("near") < 1.0);
    }
}

#[test]
fn what_has_no_place_is_told_and_the_pacific_is_zone_9() {
    let finder = ZoneFinder::published();
    for (origin, dest, official) in rows() {
        match finder.zone(origin, dest) {
            Ok(estimate) if dest == "969" => assert_eq!(estimate.zone.number(), official),
            Ok(_) => {}
            Err(error) => {
                assert_eq!(dest, "340", "{error}");
                assert!(matches!(error, ZoneError::NoPosition { area: 340, .. }));
            }
        }
    }
}

#[test]
fn a_chart_given_back_is_followed_to_the_last_row() {
    let mut chart = String::from("dest_zip3,zone\n");
    for (_, dest, official) in rows().filter(|(origin, ..)| *origin == "132") {
        chart.push_str(&format!("{dest},{official}\n"));
    }
    let finder = ZoneFinder::published().with_chart("132", &chart).expect("the official chart");
    for (origin, dest, official) in rows().filter(|(origin, ..)| *origin == "132") {
        let zone = finder.zone(origin, dest).expect(dest);
        assert_eq!((zone.zone.number(), zone.source), (official, ZoneSource::Chart));
    }
    let note = finder.zone("132", "647").expect("in the chart").note.expect("they differ");
    assert!(note.contains("zone 6") && note.contains("zone 5"), "{note}");
}
