//! How figures are written in explanations.

use measure::Mass;

/// A figure with thousands parted and at most `places` decimals, trailing zeros dropped.
pub(crate) fn figure(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let (whole, decimals) = text.split_once('.').unwrap_or((&text, ""));
    let digits = whole.trim_start_matches('-');
    let mut shown = String::from(if whole.starts_with('-') { "-" } else { "" });
    let parted = digits.bytes().all(|b| b.is_ascii_digit());
    for (place, digit) in digits.chars().enumerate() {
        if parted && place > 0 && (digits.len() - place).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    let decimals = decimals.trim_end_matches('0');
    if !decimals.is_empty() {
        shown.push('.');
        shown.push_str(decimals);
    }
    shown
}

/// A weight in pounds, fine enough to tell apart what a card tells apart.
pub(crate) fn pounds(mass: Mass) -> String {
    format!("{} lb", figure(mass.pounds(), 5))
}

/// Three sides, "12 x 10 x 8 in".
pub(crate) fn sides(sides_in: [f64; 3]) -> String {
    format!("{} in", sides_in.map(|side| figure(side, 3)).join(" x "))
}
