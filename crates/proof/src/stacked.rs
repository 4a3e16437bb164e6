//! Bundles that rest on the tops of others, wrap on wrap.

use crate::body::End;
use crate::footprint::Outline;
use crate::scene::Standing;
use crate::support::TOUCH_MM;
use crate::violation::Violation;

/// How far the edge of a base may lie beyond the edge of what carries it, mm (judgement: less than the
/// rounding of a book's corner).
const EDGE_MM: f64 = 1.0;

/// Area of a base that may be left open once edges have been given their due, mm2: rounding of the cuts.
const OPEN_MM2: f64 = 1.0;

/// A bundle's whole hard base lies on the wrapped tops of the bundles it names; each of them is loaded
/// before it, may bear a load, lies in a layer beneath and touches it.
pub(crate) fn check(
    bundle: &Standing<'_>,
    numbers: &[u32],
    scene: &[Standing<'_>],
    broken: &mut Vec<Violation>,
) {
    let rest = words(numbers);
    let find = |number: &u32| scene.iter().find(|other| other.stated.number == *number);
    let ascending = numbers.windows(2).all(|pair| pair[0] < pair[1]);
    let carriers: Option<Vec<&Standing<'_>>> = numbers.iter().map(find).collect();
    let own = bundle.stated;
    let Some(carriers) = carriers.filter(|carriers| {
        let apart = carriers.iter().all(|lower| lower.stated.layer < own.layer);
        ascending && !carriers.is_empty() && apart
    }) else {
        broken.push(Violation::WrongRest { bundle: bundle.named(), layer: own.layer, rest });
        return;
    };
    for lower in &carriers {
        if lower.stated.number >= own.number {
            broken.push(Violation::RestsOnLater { bundle: bundle.named(), lower: lower.named() });
        }
        if !lower.stated.bears_load {
            broken.push(Violation::BundleBearsNoLoad { bundle: bundle.named(), lower: lower.named() });
        }
    }
    let bottom_mm = bundle.bottom();
    if let Some(rest_mm) =
        carriers.iter().map(|lower| lower.top()).find(|top_mm| (top_mm - bottom_mm).abs() > TOUCH_MM)
    {
        broken.push(Violation::NotResting { bundle: bundle.named(), rest, bottom_mm, rest_mm });
        return;
    }
    overhang(bundle, &carriers, rest, broken);
    for other in scene.iter().filter(|other| !numbers.contains(&other.stated.number)) {
        if (other.top() - bottom_mm).abs() <= TOUCH_MM
            && met_mm2(&base(bundle), other, bottom_mm, 0.0) > OPEN_MM2
        {
            broken.push(Violation::RestNotNamed { bundle: bundle.named(), lower: other.named() });
        }
    }
}

/// The level faces on which a bundle stands.
fn base(bundle: &Standing<'_>) -> Vec<Outline> {
    let lowest = bundle.parts.iter().filter(|part| part.wrapped.bottom() <= bundle.bottom() + TOUCH_MM);
    lowest.map(|part| Outline::around(part.bare.level_face(End::Bottom))).collect()
}

/// The level wrapped faces of a bundle that end at a height, with `edge_mm` added all round.
fn tops(lower: &Standing<'_>, height_mm: f64, edge_mm: f64) -> Vec<Outline> {
    let there = lower.parts.iter().filter(|part| (part.wrapped.top() - height_mm).abs() <= TOUCH_MM);
    there.map(|part| Outline::around(part.wrapped.level_face(End::Top)).grown(edge_mm)).collect()
}

/// Area, mm2.
fn area(pieces: &[Outline]) -> f64 {
    pieces.iter().map(Outline::area_mm2).sum()
}

/// What is left of `pieces` when `covers` are taken away.
fn uncovered(pieces: &[Outline], covers: &[Outline]) -> Vec<Outline> {
    covers
        .iter()
        .fold(pieces.to_vec(), |left, cover| left.iter().flat_map(|piece| piece.without(cover)).collect())
}

/// Area of a base that lies on a bundle whose top is at that height, mm2.
fn met_mm2(base: &[Outline], lower: &Standing<'_>, height_mm: f64, edge_mm: f64) -> f64 {
    area(base) - area(&uncovered(base, &tops(lower, height_mm, edge_mm)))
}

/// The base less every top leaves nothing open.
fn overhang(bundle: &Standing<'_>, carriers: &[&Standing<'_>], rest: String, broken: &mut Vec<Violation>) {
    let (bottom_mm, base) = (bundle.bottom(), base(bundle));
    let mut open = base.clone();
    for lower in carriers {
        if met_mm2(&base, lower, bottom_mm, EDGE_MM) <= OPEN_MM2 {
            broken.push(Violation::NotBeneath { bundle: bundle.named(), lower: lower.named() });
        }
        open = uncovered(&open, &tops(lower, bottom_mm, EDGE_MM));
    }
    let (open_mm2, base_mm2) = (area(&open), area(&base));
    if open_mm2 > OPEN_MM2 || base_mm2 <= OPEN_MM2 {
        broken.push(Violation::Overhang { bundle: bundle.named(), rest, open_mm2, base_mm2 });
    }
}

fn words(numbers: &[u32]) -> String {
    let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
    match numbers.as_slice() {
        [] => "no bundle at all".to_owned(),
        [only] => format!("bundle {only}"),
        [rest @ .., last] => format!("bundles {} and {last}", rest.join(", ")),
    }
}
