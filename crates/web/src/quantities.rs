//! Quantities of supplies as words of a page.

use books::{Miles, Quantity};
use measure::counted;

/// Units of a supply, to the hundredth; the least there is where it is less.
pub(crate) fn units(quantity: Quantity) -> String {
    let text = format!("{:.2}", quantity.in_units().max(0.01));
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// So much of a supply with its unit ("7 sheets", "0.2 bag").
pub(crate) fn quantity(quantity: Quantity, unit: &str) -> String {
    let whole = quantity.micros() / 1_000_000;
    match u32::try_from(whole) {
        Ok(whole) if quantity.micros().is_multiple_of(1_000_000) => counted(whole, unit),
        Ok(_) | Err(_) => format!("{} {unit}", units(quantity)),
    }
}

/// Miles as they are typed: 12.5, or with their unit, "12.5 miles".
pub(crate) fn miles(text: &str) -> Option<Miles> {
    let text = text.trim().to_ascii_lowercase();
    let ends = ["miles", "mile", "mi"].iter().find_map(|unit| text.strip_suffix(unit));
    let figure = ends.unwrap_or(&text).trim();
    figure.parse::<f64>().ok().and_then(|miles| Miles::new(miles).ok())
}

#[cfg(test)]
mod tests {
    use super::{miles, quantity, units};
    use books::{Miles, Quantity};

    #[test]
    fn miles_are_read_with_their_unit_and_without_and_never_with_another() {
        for right in ["8", " 8.0 ", "8 miles", "8mi", "8 Mile"] {
            assert_eq!(miles(right).map(Miles::hundredths), Some(800), "{right}");
        }
        for wrong in ["", "miles", "8 km", "8,5", "-1", "NaN", "1e9", "8 miles miles"] {
            assert_eq!(miles(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn a_little_of_a_supply_is_never_said_to_be_nothing() {
        let of = |units: f64| Quantity::units(units).expect("a quantity");
        assert_eq!(
            (units(of(0.004)).as_str(), units(of(1.5)).as_str(), units(of(7.0)).as_str()),
            ("0.01", "1.5", "7")
        );
        assert_eq!(
            (quantity(of(7.0), "sheet").as_str(), quantity(of(0.2), "bag").as_str()),
            ("7 sheets", "0.2 bag")
        );
    }
}
