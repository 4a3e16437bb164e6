//! Figures and counts as words of a page.

pub use measure::counted as count;
use measure::{Length, Money, Units};
use trade::Find;

/// An amount that isn't whole cents, to the cent.
#[must_use]
pub fn amount(currency: f64) -> String {
    let text = Money::from_cents_rounded(currency * 100.0).to_string();
    if text == "-0.00" { String::from("0.00") } else { text }
}

/// Three sides with their unit once ("12.4 x 12.4 x 8.7 in").
#[must_use]
pub fn sides(sides: [Length; 3], units: Units) -> String {
    let (numbers, unit) = match units {
        Units::UsCustomary => (sides.map(|side| tenth(side.inches())), "in"),
        Units::Metric => (sides.map(|side| tenth(side.mm() / 10.0)), "cm"),
    };
    format!("{} {unit}", numbers.join(" x "))
}

/// One decimal, left out when it is none.
#[must_use]
pub fn tenth(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}

/// What of a find's measures was taken from the forms table, one sentence a row.
#[must_use]
pub fn not_measured(find: &Find) -> Vec<String> {
    let said = |guessed: String| format!("from the forms table, not measured: {guessed}");
    find.not_measured().into_iter().map(said).collect()
}

#[cfg(test)]
mod tests {
    use super::{amount, count, tenth};

    #[test]
    fn the_thing_is_counted_and_not_what_is_said_of_it() {
        assert_eq!(count(6, "consomme cup, two-handled"), "6 consomme cups, two-handled");
        assert_eq!((count(1, "mug").as_str(), count(2, "mug").as_str()), ("1 mug", "2 mugs"));
    }

    #[test]
    fn nothing_is_never_less_than_nothing() {
        assert_eq!(
            (amount(-0.001).as_str(), amount(12.345).as_str(), tenth(3.0).as_str()),
            ("0.00", "12.35", "3")
        );
    }
}
