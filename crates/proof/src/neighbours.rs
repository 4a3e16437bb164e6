//! Bundle against bundle: hard parts keep their separation, wraps are not pressed away.

use plan::{Crush, Parcel, TOLERANCE_MM};

use crate::gap::{Gap, gap};
use crate::scene::{Hard, Standing};
use crate::violation::Violation;

/// How far a stated clearance may be from the recomputed one, mm (judgement: the drawn figure's last digit).
const STATED_SLACK_MM: f64 = 0.05;

/// The distance of one hard part of a bundle to one of another, and what is required there.
struct PartPair {
    gap: Gap,
    separation_mm: f64,
    required_mm: f64,
    overlap: bool,
}

impl PartPair {
    fn of(a: &Hard<'_>, b: &Hard<'_>, separation_mm: f64, crush: Crush) -> Self {
        Self {
            gap: gap(&a.bare, &b.bare),
            separation_mm,
            required_mm: crush.pair_mm(a.stated.wrap_mm, b.stated.wrap_mm, separation_mm),
            overlap: overlap(a, b),
        }
    }

    /// How much is missing, mm; positive when the rule is broken.
    fn short(&self) -> f64 {
        if self.overlap { f64::INFINITY } else { self.required_mm - self.gap.least }
    }
}

/// Whether two hard parts share more than the tolerance: what is left of them inside it still meets.
///
/// A distance cannot tell touching from overlapping, so where little is required this decides.
pub(crate) fn overlap(a: &Hard<'_>, b: &Hard<'_>) -> bool {
    let shrink = -0.5 * TOLERANCE_MM;
    gap(&a.bare.grown(shrink), &b.bare.grown(shrink)).least <= 0.0
}

fn pairs<'s>(a: &'s Standing<'_>, b: &'s Standing<'_>, crush: Crush) -> impl Iterator<Item = PartPair> + 's {
    let separation = a.stated.separation_mm.max(b.stated.separation_mm);
    a.parts
        .iter()
        .flat_map(move |one| b.parts.iter().map(move |other| PartPair::of(one, other, separation, crush)))
}

/// Every pair of bundles, whatever their layers: between layers the same two terms apply, since wrap
/// is not taken to be pressed further downwards than sideways.
pub(crate) fn check(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for (index, a) in scene.iter().enumerate() {
        for b in scene.iter().skip(index + 1) {
            let Some(worst) =
                pairs(a, b, parcel.crush).max_by(|one, other| one.short().total_cmp(&other.short()))
            else {
                continue;
            };
            if worst.short() <= TOLERANCE_MM {
                continue;
            }
            let (distance_mm, required_mm) = (worst.gap.least, worst.required_mm);
            let (a, b) = (a.named(), b.named());
            broken.push(if worst.overlap || distance_mm < worst.separation_mm - TOLERANCE_MM {
                Violation::TooClose { a, b, distance_mm, required_mm }
            } else {
                Violation::WrapPressed { a, b, distance_mm, required_mm }
            });
        }
    }
}

/// Stated clearances are those of some parts of the two, and leave no more than there is.
pub(crate) fn stated(parcel: &Parcel, scene: &[Standing<'_>], broken: &mut Vec<Violation>) {
    for row in &parcel.clearances {
        let find = |number: u32| scene.iter().find(|bundle| bundle.stated.number == number);
        let both =
            find(row.a).zip(find(row.b)).filter(|(a, b)| row.a != row.b && a.stated.layer == b.stated.layer);
        let Some((a, b)) = both else {
            broken.push(Violation::ClearanceOfNone { a: row.a, b: row.b });
            continue;
        };
        let parts: Vec<PartPair> = pairs(a, b, parcel.crush).collect();
        let mut report = |figure, stated_mm, actual_mm| {
            broken.push(Violation::ClearanceFigure {
                a: a.named(),
                b: b.named(),
                figure,
                stated_mm,
                actual_mm,
            });
        };
        // What is left over at the tightest parts may be understated (a search may take a round part for
        // the block around it), never overstated.
        let left = parts.iter().map(|pair| pair.gap.most - pair.required_mm).fold(f64::INFINITY, f64::min);
        if row.actual_mm - row.required_mm > left + STATED_SLACK_MM {
            report("actual", row.actual_mm, row.required_mm + left);
        }
        let off = |pair: &PartPair| (pair.required_mm - row.required_mm).abs();
        if let Some(pair) = parts.iter().min_by(|one, other| off(one).total_cmp(&off(other)))
            && off(pair) > STATED_SLACK_MM
        {
            report("required", row.required_mm, pair.required_mm);
        }
    }
}
