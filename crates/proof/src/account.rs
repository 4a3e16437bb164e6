//! Counts, masses, the carton's sides, and who travels with whom.

use std::collections::BTreeMap;

use plan::Parcel;
use shape::{Company, Contents};

use crate::named::Named;
use crate::violation::Violation;

/// Rounding that a stated mass may carry, g.
const MASS_SLACK_G: f64 = 0.5;

/// Share over bundles, carton and fill beyond which a gross mass is an error (judgement: pads, tape and
/// label are less).
const MOST_UNNAMED_SHARE: f64 = 0.25;

/// The pieces in all the parcels are those of the order: none missing, none over.
pub(crate) fn counts<'a>(
    parcels: impl Iterator<Item = &'a Parcel>,
    expected: &[Contents],
    broken: &mut Vec<Violation>,
) {
    // (expected, found) by find and kind; u64 cannot overflow with u32 counts.
    let mut sums: BTreeMap<(&str, &str), (u64, u64)> = BTreeMap::new();
    for row in expected {
        sums.entry((&row.find, &row.what)).or_default().0 += u64::from(row.count);
    }
    for row in parcels.flat_map(|parcel| &parcel.bundles).flat_map(|bundle| &bundle.contents) {
        sums.entry((&row.find, &row.what)).or_default().1 += u64::from(row.count);
    }
    for ((find, what), (expected, found)) in sums {
        if expected != found {
            broken.push(Violation::Count { find: find.to_owned(), what: what.to_owned(), expected, found });
        }
    }
}

/// The gross mass covers what is known, is not far beyond it, and is within the board's limit.
pub(crate) fn masses(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let bundles: f64 = parcel.bundles.iter().map(|bundle| bundle.mass_g).sum();
    let known_g = bundles + parcel.carton.tare_g + parcel.fill.mass_g;
    let gross_g = parcel.gross_g;
    if known_g > gross_g + MASS_SLACK_G {
        broken.push(Violation::GrossTooLow { gross_g, known_g });
    }
    if gross_g > known_g * (1.0 + MOST_UNNAMED_SHARE) + MASS_SLACK_G {
        broken.push(Violation::GrossTooHigh { gross_g, known_g });
    }
    if gross_g > parcel.carton.max_gross_g {
        broken.push(Violation::OverBoard { gross_g, max_g: parcel.carton.max_gross_g });
    }
}

/// The carton is larger outside than inside, and was not lower before it was cut down.
pub(crate) fn carton(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let carton = &parcel.carton;
    let sides = ["length", "width", "height"].into_iter().zip(carton.inside_mm).zip(carton.outside_mm);
    for ((side, inner_mm), outer_mm) in sides {
        if outer_mm <= inner_mm {
            broken.push(Violation::CartonSides { side, inner_mm, outer: "outside", outer_mm });
        }
    }
    let inner_mm = carton.inside_mm[2];
    if let Some(outer_mm) = carton.cut_down_from_mm.filter(|before| *before <= inner_mm) {
        broken.push(Violation::CartonSides {
            side: "height",
            inner_mm,
            outer: "before it was cut down",
            outer_mm,
        });
    }
}

/// No breakables with dense hard goods.
pub(crate) fn company(parcel: &Parcel, broken: &mut Vec<Violation>) {
    let of = |company: Company| parcel.bundles.iter().filter(move |bundle| bundle.company == company);
    for breakable in of(Company::Breakable) {
        for dense in of(Company::Dense) {
            broken.push(Violation::Company { breakable: Named::of(breakable), dense: Named::of(dense) });
        }
    }
}
