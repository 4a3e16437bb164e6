//! What rests on the tops of other bundles, in words.

use measure::plural;
use plan::{Parcel, PlacedBundle, Rest};

/// Counts that are written as words.
const COUNTS: [&str; 11] =
    ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// Numbers of the bundles that this one rests on; none when it rests on the bed or a pad.
pub(crate) fn carriers(bundle: &PlacedBundle) -> &[u32] {
    match &bundle.rests {
        Rest::Bed | Rest::Pad(_) => &[],
        Rest::On(numbers) => numbers,
    }
}

/// Whether something rests on the tops of bundles of this layer.
pub(crate) fn is_rested_on(parcel: &Parcel, layer: u32) -> bool {
    let mut named = parcel.bundles.iter().flat_map(carriers);
    named.any(|number| parcel.bundles.iter().any(|other| other.number == *number && other.layer == layer))
}

/// "1", "1 and 2", "1, 2 and 3"; `None` for no number at all.
pub(crate) fn listed(numbers: &[u32]) -> Option<String> {
    let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
    match words.as_slice() {
        [] => None,
        [only] => Some(only.clone()),
        [rest @ .., last] => Some(format!("{} and {last}", rest.join(", "))),
    }
}

/// What a bundle rests on: "on number 3 (atlas)", "on the two books, numbers 1 and 2"; `None` when that
/// is the bed or a pad, which the steps before it have said.
pub(crate) fn words(parcel: &Parcel, bundle: &PlacedBundle) -> Option<String> {
    let numbers = carriers(bundle);
    let list = listed(numbers)?;
    let label = |number: &u32| {
        let other = parcel.bundles.iter().find(|other| other.number == *number);
        other.map_or("", |other| other.label.trim())
    };
    let mut labels: Vec<&str> = Vec::new();
    for label in numbers.iter().map(label).filter(|label| !label.is_empty()) {
        if !labels.contains(&label) {
            labels.push(label);
        }
    }
    Some(match (numbers.len(), labels.as_slice()) {
        (1, [label]) => format!("on number {list} ({label})"),
        (1, _) => format!("on number {list}"),
        (count, [label]) => match COUNTS.get(count.wrapping_sub(2)) {
            Some(count) => format!("on the {count} {}, numbers {list}", plural(label)),
            None => format!("on the {count} {}, numbers {list}", plural(label)),
        },
        (_, []) => format!("on numbers {list}"),
        (_, labels) => format!("on numbers {list} ({})", labels.join(", ")),
    })
}
