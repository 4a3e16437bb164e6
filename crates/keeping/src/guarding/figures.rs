//! Figures about cushions as they are written.

use measure::{Area, Length, Units};

/// A name up to its first comma ("EPS loose fill" of "EPS loose fill, confined and overfilled").
#[must_use]
pub fn short(name: &str) -> &str {
    name.split_once(", ").map_or(name, |(short, _)| short)
}

/// Names in a row, the last after "or".
#[must_use]
pub fn names<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.collect();
    match names[..] {
        [] => String::new(),
        [one] => one.to_owned(),
        [ref most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// One decimal, left out when it is none.
#[must_use]
pub fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}

/// Square inches in a square foot (exact), and square millimetres in a square centimetre.
const IN2_PER_FT2: f64 = 144.0;
const MM2_PER_CM2: f64 = 100.0;

/// "8 in2", "52 cm2": one decimal below ten.
#[must_use]
pub fn area(area: Area, units: Units) -> String {
    let (figure, unit) = match units {
        Units::UsCustomary => (area.square_feet() * IN2_PER_FT2, "in2"),
        Units::Metric => (area.mm2() / MM2_PER_CM2, "cm2"),
    };
    if figure < 0.1 {
        format!("{figure:.3} {unit}")
    } else if figure < 9.95 {
        format!("{} {unit}", trimmed(figure))
    } else {
        format!("{figure:.0} {unit}")
    }
}

/// "68": whole multiples of gravity, one decimal below ten.
#[must_use]
pub fn shock(g: f64) -> String {
    if g < 9.95 { trimmed(g) } else { format!("{g:.0}") }
}

/// A factor with one decimal ("4.5"), or two where it has them ("1.25").
#[must_use]
pub fn factor(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.strip_suffix('0').unwrap_or(&text);
    text.strip_suffix(".0").unwrap_or(text).to_owned()
}

/// A length to be cut or poured: as it is in inches, up to the next half centimetre in metric.
#[must_use]
pub fn thickness(length: Length, units: Units) -> String {
    match units {
        Units::UsCustomary => length.write(units),
        Units::Metric => {
            // Adding nothing turns a minus nothing round.
            let halves = ((length.mm() - 1e-6) / 5.0).ceil().max(0.0) + 0.0;
            format!("{} cm", trimmed(halves / 2.0))
        }
    }
}

/// "Two inches give" or "5.1 cm give": a rule's thickness as people say it.
#[must_use]
pub fn spoken(length: Length, units: Units) -> String {
    let written = length.write(units);
    match written.as_str() {
        "1 in" => String::from("One inch"),
        "2 in" => String::from("Two inches"),
        "3 in" => String::from("Three inches"),
        "4 in" => String::from("Four inches"),
        _ => written,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_written_as_short_as_they_may_be() {
        let in2 = |figure: f64| area(Area::from_square_feet(figure / 144.0), Units::UsCustomary);
        assert_eq!([0.05, 6.45, 8.04, 10.2].map(in2), ["0.050 in2", "6.5 in2", "8 in2", "10 in2"]);
        assert_eq!([67.6, 9.96, 7.25, 7.0].map(shock), ["68", "10", "7.2", "7"]);
        assert_eq!([4.5, 4.0, 1.25, 6.849].map(factor), ["4.5", "4", "1.25", "6.85"]);
    }

    #[test]
    fn a_thickness_is_never_written_down() {
        let cm = |mm: f64| thickness(Length::from_mm(mm), Units::Metric);
        assert_eq!([57.15, 50.0, 50.1, 0.0].map(cm), ["6 cm", "5 cm", "5.5 cm", "0 cm"]);
        assert_eq!(thickness(Length::from_inches(2.25), Units::UsCustomary), "2 1/4 in");
    }
}
