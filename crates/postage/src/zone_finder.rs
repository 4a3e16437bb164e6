//! Zones between ZIP areas: the person's own chart first, else by distance.

use std::collections::BTreeMap;

use crate::zip::Zip;
use crate::zone_chart::{Chart, read_chart};
use crate::{Zone, ZoneError};

/// One reference point per ZIP area, fitted so that great-circle distance gives published zones.
const REFERENCE_POINTS: &str = include_str!("../data/zip3_reference_points.csv");
/// Radius of the earth that the reference points were fitted with, statute miles.
const EARTH_RADIUS_MI: f64 = 3958.7613;
/// Upper ends of zones 1 to 7, statute miles; each end belongs to its zone (37 Stat. 557 as amended;
/// Domestic Mail Manual 608.9).
const BAND_ENDS_MI: [f64; 7] = [50.0, 150.0, 300.0, 600.0, 1000.0, 1400.0, 1800.0];
/// Within so many miles of a band's end the neighbouring zone is told (judgement).
const NEAR_END_MI: f64 = 15.0;
/// The ZIP area of the Pacific islands, zone 9 but for the codes below.
const PACIFIC: u16 = 969;
/// Codes of the Pacific area that are zone 8, both ends included (official zone charts).
const PACIFIC_ZONE_8: [(u32, u32); 4] = [(96900, 96938), (96945, 96959), (96961, 96969), (96971, 96999)];

/// How a zone was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ZoneSource {
    /// From the official chart that the person gave for the origin.
    Chart,
    /// By distance between reference points, or by the rule for the Pacific area.
    Estimate,
    /// Origin and destination share their first three digits.
    SameArea,
}

/// A zone with the grounds for it.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneEstimate {
    /// The zone.
    pub zone: Zone,
    /// Distance between the reference points, statute miles, where both have one.
    pub miles: Option<f64>,
    /// Miles to the nearest end of the zone's band; only for an estimate within 15 miles of it.
    pub to_edge_miles: Option<f64>,
    /// The zone beyond that end.
    pub neighbour: Option<Zone>,
    /// How it was found.
    pub source: ZoneSource,
    /// What else to know, if anything.
    pub note: Option<String>,
}

/// Finds zones between ZIP areas.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneFinder {
    /// Latitude and longitude in degrees.
    points: BTreeMap<u16, (f64, f64)>,
    charts: BTreeMap<u16, Chart>,
}

impl ZoneFinder {
    /// Zones by distance for all ZIP areas with a reference point.
    #[must_use]
    pub fn published() -> Self {
        let mut points = BTreeMap::new();
        for line in REFERENCE_POINTS.lines().skip(1) {
            let mut cells = line.split(',');
            let mut next = || cells.next().expect("three cells in each compiled-in row");
            let area = next().parse().expect("three digits in each compiled-in row");
            let latitude = next().parse().expect("a latitude in each compiled-in row");
            let longitude = next().parse().expect("a longitude in each compiled-in row");
            points.insert(area, (latitude, longitude));
        }
        Self { points, charts: BTreeMap::new() }
    }

    /// Adds the official chart of one origin, which wins over distance from there.
    ///
    /// `csv` is headed `dest_zip3,zone` or `dest_zip3_from,dest_zip3_to,zone`. A chart given again
    /// for the same origin replaces the former.
    ///
    /// # Errors
    /// When the origin is not a ZIP code, or a row of the chart can't be read.
    pub fn with_chart(mut self, origin: &str, csv: &str) -> Result<Self, ZoneError> {
        let origin = Zip::read(origin)?;
        self.charts.insert(origin.area, read_chart(csv)?);
        Ok(self)
    }

    /// The zone from one ZIP code to another, each of three or five digits.
    ///
    /// # Errors
    /// When a text is not a ZIP code, or an area has neither a chart nor a place on the map.
    pub fn zone(&self, origin: &str, dest: &str) -> Result<ZoneEstimate, ZoneError> {
        let (origin, dest) = (Zip::read(origin)?, Zip::read(dest)?);
        let estimate = self.estimate(origin, dest);
        let Some(chart) = self.charts.get(&origin.area) else { return estimate };
        let Some(&zone) = chart.get(&dest.area) else {
            let mut estimate = estimate?;
            let words = format!("the chart of {:03} has no row for {:03}", origin.area, dest.area);
            estimate.note = Some(match estimate.note {
                Some(note) => format!("{words}; {note}"),
                None => words,
            });
            return Ok(estimate);
        };
        let miles = self.miles(origin.area, dest.area);
        let other = estimate.ok().map(|estimate| estimate.zone).filter(|&other| other != zone);
        let note = other.map(|other| format!("the chart says {zone}; without it this would be {other}"));
        let source = ZoneSource::Chart;
        Ok(ZoneEstimate { zone, miles, to_edge_miles: None, neighbour: None, source, note })
    }

    fn estimate(&self, origin: Zip, dest: Zip) -> Result<ZoneEstimate, ZoneError> {
        let plain = |zone, source, note| ZoneEstimate {
            zone,
            miles: None,
            to_edge_miles: None,
            neighbour: None,
            source,
            note,
        };
        if origin.area == dest.area && self.points.contains_key(&origin.area) {
            return Ok(plain(Zone::NEAREST, ZoneSource::SameArea, None));
        }
        self.point(origin.area)?;
        if dest.area == PACIFIC {
            let (zone, note) = pacific(dest.five);
            return Ok(plain(zone, ZoneSource::Estimate, note));
        }
        self.point(dest.area)?;
        let Some(miles) = self.miles(origin.area, dest.area) else {
            return Err(no_position(dest.area));
        };
        let (zone, edge) = band(miles);
        let near = edge.filter(|(to_edge, _)| *to_edge <= NEAR_END_MI);
        Ok(ZoneEstimate {
            zone,
            miles: Some(miles),
            to_edge_miles: near.map(|(to_edge, _)| to_edge),
            neighbour: near.map(|(_, neighbour)| neighbour),
            source: ZoneSource::Estimate,
            note: None,
        })
    }

    fn point(&self, area: u16) -> Result<(f64, f64), ZoneError> {
        self.points.get(&area).copied().ok_or_else(|| no_position(area))
    }

    /// Great-circle distance between two reference points, statute miles.
    fn miles(&self, from: u16, to: u16) -> Option<f64> {
        let (from, to) = (self.points.get(&from)?, self.points.get(&to)?);
        let (from_lat, to_lat) = (from.0.to_radians(), to.0.to_radians());
        let half_lat = ((to_lat - from_lat) / 2.0).sin();
        let half_lon = ((to.1 - from.1).to_radians() / 2.0).sin();
        let haversine = half_lat * half_lat + from_lat.cos() * to_lat.cos() * half_lon * half_lon;
        Some(2.0 * EARTH_RADIUS_MI * haversine.sqrt().min(1.0).asin())
    }
}

/// The zone of a distance, with the miles to the nearest end of its band and the zone beyond.
fn band(miles: f64) -> (Zone, Option<(f64, Zone)>) {
    let place = BAND_ENDS_MI.iter().take_while(|&&end| miles > end).count();
    let upper = BAND_ENDS_MI.get(place).map(|end| (end - miles, Zone::of_band(place + 1)));
    let lower =
        place.checked_sub(1).and_then(|below| Some((miles - BAND_ENDS_MI.get(below)?, Zone::of_band(below))));
    let nearest = lower.into_iter().chain(upper).min_by(|a, b| a.0.total_cmp(&b.0));
    (Zone::of_band(place), nearest)
}

fn is_military(area: u16) -> bool {
    matches!(area, 90..=99 | 340 | 962..=966)
}

fn no_position(area: u16) -> ZoneError {
    let reason = match area {
        _ if is_military(area) => "military addresses have no place on the map",
        569 => "it is a government area without a place on the map",
        PACIFIC => "zones from the Pacific area are not known here",
        _ => "no such area is known, so check the ZIP code",
    };
    ZoneError::NoPosition { area, reason }
}

/// The zone to the Pacific area, by all five digits if they are known.
fn pacific(five: Option<u32>) -> (Zone, Option<String>) {
    let zone_8 = Zone::of_band(7);
    match five {
        Some(code) if PACIFIC_ZONE_8.iter().any(|&(from, to)| from <= code && code <= to) => {
            (zone_8, Some(format!("{code} is among the codes of area 969 that charts put in zone 8")))
        }
        Some(_) => (Zone::NINE, None),
        None => {
            let codes = PACIFIC_ZONE_8.map(|(from, to)| format!("{from} to {to}")).join(", ");
            (Zone::NINE, Some(format!("area 969 is zone 9, but {codes} are zone 8: give all five digits")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::band;

    /// 37 Stat. 557 as amended; Domestic Mail Manual 608.9.
    #[test]
    fn the_end_of_a_band_belongs_to_its_zone() {
        for (end, zone) in
            [(50.0, 1), (150.0, 2), (300.0, 3), (600.0, 4), (1000.0, 5), (1400.0, 6), (1800.0, 7)]
        {
            let (within, edge) = band(end);
            assert_eq!(within.number(), zone);
            assert_eq!(edge.map(|(miles, beyond)| (miles, beyond.number())), Some((0.0, zone + 1)));
            let (past, edge) = band(end + 0.5);
            assert_eq!(past.number(), zone + 1);
            assert_eq!(edge.map(|(miles, beyond)| (miles, beyond.number())), Some((0.5, zone)));
        }
        assert_eq!(band(0.0).0.number(), 1);
        assert_eq!(band(6000.0).0.number(), 8);
    }
}
