//! A parcel as it stands on the scale: its size and supplies as typed, and what it costs to post.

use books::{Quantity, SupplyId};
use measure::{Length, LengthUnit, Mass, Money};
use shop::{OutsideSize, PlannedSupply, Shop, Supply};

use crate::{BenchQuestion, Desk, Stop};

/// "12.4 x 12.4 x 8.7 in": a unit after the last side serves all three.
///
/// # Errors
/// What is wrong with it, and an example of what is right.
pub fn three_sides(text: &str) -> Result<[Length; 3], String> {
    let wrong =
        |why: &str| format!("\"{text}\" {why}; right would be, for example, \"12.4 x 12.4 x 8.7 in\"");
    let parts: Vec<&str> = text.split(['x', 'X', '\u{d7}']).map(str::trim).collect();
    let [one, two, three] = parts[..] else { return Err(wrong("is not three sides")) };
    let unit = three.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"').trim();
    let bare = LengthUnit::from_word(unit);
    let mut read = [Length::ZERO; 3];
    for (side, part) in read.iter_mut().zip([one, two, three]) {
        *side = Length::read_positive(part, bare).map_err(|e| wrong(&format!("can't be read ({e})")))?;
    }
    Ok(read)
}

/// The outside of a parcel as typed; bare numbers are inches.
///
/// # Errors
/// As [`three_sides`].
pub fn outside_size(text: &str) -> Result<OutsideSize, String> {
    let has_unit =
        text.chars().any(|c| matches!(c, '"' | '\'') || (c.is_alphabetic() && !matches!(c, 'x' | 'X')));
    let [length, width, height] =
        if has_unit { three_sides(text) } else { three_sides(&format!("{text} in")) }?;
    Ok(OutsideSize { length, width, height })
}

/// A supply by its name.
///
/// # Errors
/// Names like it; `when_none` says where supplies are entered when there are none.
pub fn supply_named(shop: &Shop, name: &str, when_none: &str) -> Result<(SupplyId, Supply), Stop> {
    let known = shop.noted::<Supply>()?;
    let names = || known.iter().map(|(_, one)| one.name.as_str());
    let found = known.iter().find(|(_, one)| measure::plain(&one.name) == measure::plain(name));
    found.map(|(number, one)| (SupplyId(*number), one.clone())).ok_or_else(|| {
        let near = measure::nearest(name, names());
        let right: Vec<String> = if near.is_empty() { names().map(str::to_owned).collect() } else { near };
        let right = if right.is_empty() { when_none.to_owned() } else { right.join(", ") };
        Stop::Input(format!("no supply is called \"{}\"; right would be: {right}", name.trim()))
    })
}

/// A supply that a parcel took, as typed: "14 x 14 x 8=1".
///
/// # Errors
/// What is wrong with it, and an example of what is right.
pub fn supply_used(shop: &Shop, text: &str, when_none: &str) -> Result<PlannedSupply, Stop> {
    let wrong =
        || Stop::Input(format!("\"{text}\" can't be read; right would be, for example: 12 x 12 x 8=1"));
    let (name, units) = text.rsplit_once('=').ok_or_else(wrong)?;
    let units: f64 = units.trim().parse().map_err(|_| wrong())?;
    let (supply, _) = supply_named(shop, name, when_none)?;
    let quantity = Quantity::units(units).map_err(Stop::input)?;
    if quantity.micros() == 0 {
        return Err(wrong());
    }
    Ok(PlannedSupply { supply, quantity, instead_of: None })
}

impl BenchQuestion {
    /// Postage of a box of this size and weight to the order's destination, by the person's own rates.
    ///
    /// # Errors
    /// When the order's pieces or the settings can't be read, or such a box isn't mailed.
    pub fn postage(&self, desk: &Desk, size: &OutsideSize, gross: Mass) -> Result<Money, Stop> {
        let job = self.job(desk)?;
        let postage = trade::posted(&job, [size.length, size.width, size.height], gross);
        let first = postage.map_err(Stop::Input)?.first().copied();
        first.ok_or_else(|| Stop::input("the order goes nowhere; right would be a buyer's postal code"))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)] // A test fails by panicking.
mod tests {
    use measure::Length;

    use super::outside_size;

    #[test]
    fn three_bare_sides_are_inches_and_a_unit_after_the_last_serves_all() {
        let inches = outside_size("12 x 10 x 8").unwrap();
        assert_eq!(inches.width, Length::from_inches(10.0));
        let metric = outside_size("30 x 25 x 20 cm").unwrap();
        assert_eq!(metric.height, Length::from_mm(200.0));
        for wrong in ["", "12 x 10", "12 x 10 x 8 x 6", "12 x ten x 8", "0 x 10 x 8", "-1 x 2 x 3", "x x x"] {
            assert!(outside_size(wrong).unwrap_err().contains("right would be"), "{wrong}");
        }
    }
}
