//! Figures as they stand on the drawing: sixteenths of an inch, or whole millimetres.

use measure::{Length, Mass, Units, Volume};
use plan::TOLERANCE_MM;

/// Parts of an inch on a common tape measure.
const TAPE: f64 = 16.0;
/// Parts of an inch to which a hand can set the middle of a wrapped bundle (judgement).
const HAND: f64 = 8.0;
/// Pulls exact halves off the rounding edge, so that noise in the last bits never shows.
const TIE_NUDGE: f64 = 1e-6;

fn in_parts(mm: f64, units: Units, parts: f64, round: fn(f64) -> f64) -> String {
    match units {
        Units::UsCustomary => {
            let inches = round(Length::from_mm(mm).inches() * parts) / parts;
            Length::from_inches(inches).write(Units::UsCustomary)
        }
        Units::Metric if mm.is_finite() => {
            let whole = round(mm);
            format!("{:.0} mm", if whole == 0.0 { 0.0 } else { whole })
        }
        Units::Metric => "unknown".to_owned(),
    }
}

fn nearest(value: f64) -> f64 {
    (value + TIE_NUDGE).round()
}

/// A size: the nearest sixteenth or millimetre.
pub(crate) fn size(mm: f64, units: Units) -> String {
    in_parts(mm, units, TAPE, nearest)
}

/// A distance that must not be overstated: the sixteenth or millimetre at or below it.
pub(crate) fn clearance(mm: f64, units: Units) -> String {
    in_parts(mm + TOLERANCE_MM, units, TAPE, f64::floor)
}

/// Where to put the middle of something: the nearest eighth or millimetre.
pub(crate) fn position(mm: f64, units: Units) -> String {
    in_parts(mm, units, HAND, nearest)
}

/// Three sides with their unit once ("12 x 9 1/4 x 8 in").
pub(crate) fn sides(sides_mm: [f64; 3], units: Units) -> String {
    let unit = match units {
        Units::UsCustomary => " in",
        Units::Metric => " mm",
    };
    let [length, width, height] =
        sides_mm.map(|side| size(side, units)).map(|side| side.trim_end_matches(unit).to_owned());
    format!("{length} x {width} x {height}{unit}")
}

/// A mass in pounds and ounces, or grams and kilograms.
pub(crate) fn mass(grams: f64, units: Units) -> String {
    Mass::from_grams(grams).write(units)
}

/// A volume in cubic feet, or litres.
pub(crate) fn volume(mm3: f64, units: Units) -> String {
    Volume::from_mm3(mm3).write(units)
}

#[cfg(test)]
mod tests {
    use super::{clearance, position, sides, size};
    use measure::Units::{Metric, UsCustomary};

    #[test]
    fn sizes_are_sixteenths_or_whole_millimetres() {
        assert_eq!(size(82.55, UsCustomary), "3 1/4 in");
        assert_eq!(size(83.0, UsCustomary), "3 1/4 in");
        assert_eq!(size(85.0, UsCustomary), "3 3/8 in");
        assert_eq!(size(82.55, Metric), "83 mm");
        assert_eq!(size(-0.2, Metric), "0 mm");
        assert_eq!(size(f64::NAN, Metric), size(f64::NAN, UsCustomary));
        assert_eq!(sides([304.8, 234.95, 203.2], UsCustomary), "12 x 9 1/4 x 8 in");
        assert_eq!(sides([300.0, 200.0, 150.4], Metric), "300 x 200 x 150 mm");
    }

    #[test]
    fn a_clearance_is_never_overstated() {
        assert_eq!(clearance(50.8, UsCustomary), "2 in");
        assert_eq!(clearance(50.799, UsCustomary), "2 in");
        assert_eq!(clearance(50.7, UsCustomary), "1 15/16 in");
        assert_eq!(clearance(19.9, Metric), "19 mm");
    }

    #[test]
    fn positions_are_what_a_hand_can_set() {
        assert_eq!(position(84.0, UsCustomary), "3 1/4 in");
        assert_eq!(position(84.0, Metric), "84 mm");
    }
}
