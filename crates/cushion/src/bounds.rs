//! The ranges within which anything is reckoned, so that no figure is infinite, zero or no number.

use measure::{Area, Length, Mass};

use crate::CushionError;

/// Lightest and heaviest, lb: from a thousandth of a gram to a lorry load.
const WEIGHT_LB: (f64, f64) = (1e-6, 1e5);
/// Lowest and highest drop, in: from a thousandth of an inch to higher than any parcel falls.
const HEIGHT_IN: (f64, f64) = (1e-3, 1e4);
/// Smallest and largest bearing area, in2.
const AREA_IN2: (f64, f64) = (1e-4, 1e6);
/// Thinnest and thickest cushion, in.
pub(crate) const THICKNESS_IN: (f64, f64) = (1e-6, 100.0);
/// The least that is ever answered for a thickness, in: thinner than tissue, and far enough from the bound
/// above for rounding.
pub(crate) const LEAST_ANSWER_IN: f64 = 1e-3;
/// Least and most shock that is asked for or reckoned, in multiples of gravity. A glass bottle on a hard body
/// sees about 1000 (worked back from Mould, J. American Ceramic Society 1952); ten times that is no cushion.
pub(crate) const SHOCK_G: (f64, f64) = (1.0, 1e4);
/// Square inches in a square foot (exact).
const IN2_PER_FT2: f64 = 144.0;

/// `found` if it lies within the range.
pub(crate) fn within(
    what: &'static str,
    found: f64,
    unit: &'static str,
    (least, most): (f64, f64),
) -> Result<f64, CushionError> {
    if (least..=most).contains(&found) {
        Ok(found)
    } else {
        Err(CushionError::Input { what, found, unit, least, most })
    }
}

/// A weight in pounds.
pub(crate) fn weight_lb(weight: Mass) -> Result<f64, CushionError> {
    within("weight", weight.pounds(), "lb", WEIGHT_LB)
}

/// A drop height in inches.
pub(crate) fn height_in(height: Length) -> Result<f64, CushionError> {
    within("drop height", height.inches(), "in", HEIGHT_IN)
}

/// A bearing area in square inches.
pub(crate) fn area_in2(area: Area) -> Result<f64, CushionError> {
    within("bearing area", square_inches(area), "in2", AREA_IN2)
}

/// A cushion's thickness in inches.
pub(crate) fn thickness_in(thickness: Length) -> Result<f64, CushionError> {
    within("thickness", thickness.inches(), "in", THICKNESS_IN)
}

/// A shock in multiples of gravity.
pub(crate) fn shock_g(allowed: f64) -> Result<f64, CushionError> {
    within("shock", allowed, "G", SHOCK_G)
}

/// An area in square inches.
pub(crate) fn square_inches(area: Area) -> f64 {
    area.square_feet() * IN2_PER_FT2
}

/// An area from square inches.
pub(crate) fn from_square_inches(in2: f64) -> Area {
    Area::from_square_feet(in2 / IN2_PER_FT2)
}
