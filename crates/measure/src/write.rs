//! Writing figures back in the person's units.

use crate::{Length, Mass, Units, Volume};

/// How far from a sixteenth of an inch a length may lie and still be written as one, in.
const SIXTEENTH_SLACK_IN: f64 = 0.005;
/// Past this many inches (or pounds) whole numbers no longer fit the arithmetic of fractions.
const LARGEST_WRITTEN: f64 = 1e12;
/// What stands for a figure that is not a number.
const UNKNOWN: &str = "unknown";

/// A figure with at most `places` decimals, trailing zeros dropped.
fn decimal(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if places == 0 {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes the size of a figure with its sign before it; a figure that is not finite is unknown.
fn signed(value: f64, write: impl Fn(f64) -> String) -> String {
    if !value.is_finite() {
        return UNKNOWN.to_owned();
    }
    let text = write(value.abs());
    // A figure that rounds to nothing carries no sign.
    let is_nothing = !text.bytes().take_while(|&b| b != b' ').any(|b| (b'1'..=b'9').contains(&b));
    if value < 0.0 && !is_nothing { format!("-{text}") } else { text }
}

fn inches(value: f64) -> String {
    if value > LARGEST_WRITTEN {
        return format!("{value:.0} in");
    }
    let sixteenths = (value * 16.0).round();
    if (value - sixteenths / 16.0).abs() > SIXTEENTH_SLACK_IN {
        return format!("{} in", decimal(value, 2));
    }
    // Whole and far inside the range of u64 by the check above.
    let count = sixteenths as u64;
    let (whole, part) = (count / 16, count % 16);
    if part == 0 {
        return format!("{whole} in");
    }
    let shared = 1 << part.trailing_zeros();
    let fraction = format!("{}/{}", part / shared, 16 / shared);
    if whole == 0 { format!("{fraction} in") } else { format!("{whole} {fraction} in") }
}

fn pounds_and_ounces(ounces: f64) -> String {
    if ounces > LARGEST_WRITTEN {
        return format!("{:.0} lb", ounces / 16.0);
    }
    // Counted in tenths of an ounce so that 15.96 oz carries into the pound.
    let tenths = (ounces * 10.0).round() as u64;
    let (pounds, tenths) = (tenths / 160, tenths % 160);
    let ounces = if tenths % 10 == 0 {
        format!("{} oz", tenths / 10)
    } else {
        format!("{}.{} oz", tenths / 10, tenths % 10)
    };
    match (pounds, tenths) {
        (0, _) => ounces,
        (_, 0) => format!("{pounds} lb"),
        _ => format!("{pounds} lb {ounces}"),
    }
}

impl Length {
    /// The length as a person writes it: `3 1/4 in`, or `83 mm` and from 10 cm up `24.1 cm`.
    ///
    /// In inches: the nearest sixteenth where that is within 0.005 in, else two decimals. In
    /// metric: a tenth of a millimetre below 10 cm, a whole one from there.
    #[must_use]
    pub fn write(self, units: Units) -> String {
        match units {
            Units::UsCustomary => signed(self.inches(), inches),
            Units::Metric => signed(self.mm(), |mm| {
                if mm < 100.0 {
                    format!("{} mm", decimal(mm, 1))
                } else {
                    format!("{} cm", decimal(mm / 10.0, 1))
                }
            }),
        }
    }
}

impl Mass {
    /// The weight as a person writes it: `1 lb 3.5 oz`, or `540 g` and from a kilogram up `1.23 kg`.
    ///
    /// To the nearest tenth of an ounce; in metric a tenth of a gram below 10 g, a gram below a
    /// kilogram, ten grams from there. Not for deciding which postage step a weight falls in.
    #[must_use]
    pub fn write(self, units: Units) -> String {
        match units {
            Units::UsCustomary => signed(self.ounces(), pounds_and_ounces),
            Units::Metric => signed(self.grams(), |grams| {
                if grams < 9.95 {
                    format!("{} g", decimal(grams, 1))
                } else if grams < 999.5 {
                    format!("{grams:.0} g")
                } else {
                    format!("{} kg", decimal(grams / 1000.0, 2))
                }
            }),
        }
    }
}

impl Volume {
    /// The volume as a person writes it: `0.75 ft3`, or `21.2 L`.
    ///
    /// Below a tenth of a cubic foot in cubic inches (`96.5 in3`), below a litre in millilitres.
    #[must_use]
    pub fn write(self, units: Units) -> String {
        match units {
            Units::UsCustomary => signed(self.cubic_inches(), |in3| {
                if in3 < 172.8 {
                    format!("{} in3", decimal(in3, 1))
                } else {
                    format!("{} ft3", decimal(in3 / 1728.0, 2))
                }
            }),
            Units::Metric => signed(self.mm3(), |mm3| {
                if mm3 < 999_500.0 {
                    format!("{:.0} mL", mm3 / 1e3)
                } else {
                    format!("{} L", decimal(mm3 / 1e6, 1))
                }
            }),
        }
    }
}
