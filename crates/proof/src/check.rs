//! The rules, one after another.

use plan::Parcel;
use shape::Contents;

use crate::violation::Violation;
use crate::{account, figures, inner, lowering, neighbours, order, pads, scene, support, walls, wraps};

/// Proves one parcel, or lists what breaks the rules; empty means proved.
///
/// `expected` is the order's contents, in any order of rows; rows of the same find and kind add up.
/// When a figure is not one that geometry can be done with, the geometric rules are left out and
/// the list says which figure it was. The same parcel gives the same list, in the same order.
#[must_use]
pub fn check(parcel: &Parcel, expected: &[Contents]) -> Vec<Violation> {
    let mut broken = within(parcel);
    account::counts(std::iter::once(parcel), expected, &mut broken);
    broken
}

/// Proves an order that travels in several parcels: each by itself, their contents together.
///
/// What is wrong in one parcel comes as [`Violation::InParcel`]; an order without parcels holds nothing.
#[must_use]
pub fn check_all(parcels: &[Parcel], expected: &[Contents]) -> Vec<Violation> {
    let mut broken = Vec::new();
    for (index, parcel) in parcels.iter().enumerate() {
        broken.extend(
            within(parcel)
                .into_iter()
                .map(|violation| Violation::InParcel { parcel: index + 1, violation: Box::new(violation) }),
        );
    }
    account::counts(parcels.iter(), expected, &mut broken);
    broken
}

/// Every rule but the count.
fn within(parcel: &Parcel) -> Vec<Violation> {
    let mut broken = Vec::new();
    order::check(parcel, &mut broken);
    account::company(parcel, &mut broken);
    let before = broken.len();
    figures::check(parcel, &mut broken);
    if broken.len() > before {
        return broken;
    }
    account::carton(parcel, &mut broken);
    account::masses(parcel, &mut broken);
    let scene = scene::rebuild(parcel);
    wraps::grown(&scene, &mut broken);
    wraps::turns(&scene, &mut broken);
    neighbours::check(parcel, &scene, &mut broken);
    neighbours::stated(parcel, &scene, &mut broken);
    walls::check(parcel, &scene, &mut broken);
    pads::slabs(parcel, &mut broken);
    pads::pierced(parcel, &scene, &mut broken);
    support::rests(parcel, &scene, &mut broken);
    support::pads(parcel, &scene, &mut broken);
    order::heights(parcel, &scene, &mut broken);
    lowering::check(parcel, &scene, &mut broken);
    if let Some(own) = &parcel.inner {
        inner::check(parcel, own, &mut broken);
        let within = within(own);
        broken.extend(
            within.into_iter().map(|violation| Violation::InInner { violation: Box::new(violation) }),
        );
    }
    broken
}
