//! The cushion factor: peak stress over the energy that a unit volume takes up.

use measure::{Area, Length, Mass};

use crate::bounds::{area_in2, from_square_inches, height_in, shock_g, thickness_in, weight_lb, within};
use crate::{CushionError, Stress};

/// Least and most cushion factor: 1 is a cushion of constant force, the best there can be.
pub(crate) const FACTOR: (f64, f64) = (1.0, 100.0);
/// Least and most peak stress, psi.
const PEAK_PSI: (f64, f64) = (1e-9, 1e9);

fn factor(value: f64) -> Result<f64, CushionError> {
    within("cushion factor", value, "", FACTOR)
}

/// Thickness that keeps a fall from `height` at `allowed_g`: t = J h / G (a course sheet of cushioning
/// examples, published).
///
/// # Errors
/// When a figure is nothing, negative, no number or out of range (a factor under 1 can't be).
pub fn factor_thickness(cushion_factor: f64, height: Length, allowed_g: f64) -> Result<Length, CushionError> {
    Ok(Length::from_inches(factor(cushion_factor)? * height_in(height)? / shock_g(allowed_g)?))
}

/// Shock behind a thickness: G = J h / t, in multiples of gravity.
///
/// # Errors
/// As [`factor_thickness`].
pub fn factor_g(cushion_factor: f64, height: Length, thickness: Length) -> Result<f64, CushionError> {
    Ok(factor(cushion_factor)? * height_in(height)? / thickness_in(thickness)?)
}

/// Peak stress in a cushion of this area: G W / A (the same sheet).
///
/// # Errors
/// When a figure is nothing, negative, no number or out of range.
pub fn peak_stress(shock: f64, weight: Mass, area: Area) -> Result<Stress, CushionError> {
    Ok(Stress::from_psi(shock_g(shock)? * weight_lb(weight)? / area_in2(area)?))
}

/// Area that brings the peak stress to `peak`: G W / peak (the same sheet). With G = 1 it is the bearing area
/// at a static stress, A = W / s.
///
/// # Errors
/// When a figure is nothing, negative, no number or out of range.
pub fn bearing_area(shock: f64, weight: Mass, peak: Stress) -> Result<Area, CushionError> {
    let peak = within("peak stress", peak.psi(), "psi", PEAK_PSI)?;
    Ok(from_square_inches(shock_g(shock)? * weight_lb(weight)? / peak))
}
