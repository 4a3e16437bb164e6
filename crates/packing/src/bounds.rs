//! Sides below which a layer cannot fit, or is not worth trying.

use std::f64::consts::PI;

use crate::energy::Layout;
use crate::{FlatPart, Foot};

/// Share of a rectangle that mostly round pieces are taken to cover at best. The published best layouts
/// of equal discs in a square cover at most 0.82 for up to 50 discs (E. Specht's table, Packomania; 0.8112
/// at 39 among the half of it that was checked). Judgement for unlike discs.
const COVERED: f64 = 0.85;
/// Fewest pieces for which that is said, and the share of them that must be round.
const COVERED_FROM: usize = 4;
const MOSTLY_ROUND: f64 = 0.75;

/// Lower bounds on the shorter side of a layer's rectangle, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    /// Proved: every hard part is at least as wide as its own least width, and outlines grown by half the
    /// least gap are disjoint inside a rectangle grown by as much.
    pub proved: f64,
    /// The same with the gaps that round pieces leave: judgement, so that only the search goes by it.
    pub worth_trying: f64,
}

impl Bounds {
    /// Bounds for `layout` in a rectangle whose sides differ by `difference`, mm.
    pub(crate) fn of(layout: &Layout, difference: f64) -> Self {
        let reference = layout.reference();
        let parts = || layout.items.iter().flat_map(|item| &item.parts);
        let width = parts().map(|part| least_width(part) + 2.0 * (part.wall - reference)).fold(0.0, f64::max);
        let Some(gap) = least_gap(layout) else { return Self { proved: width, worth_trying: width } };
        let reach_in = parts().map(|part| reference - part.wall).fold(0.0, f64::max);
        let half = 0.5 * gap;
        let area: f64 = layout
            .items
            .iter()
            .filter_map(|item| item.parts.get(main(&item.parts)))
            .map(|part| area(part) + around(part) * half + PI * half * half)
            .sum();
        // (b + e)(b + d + e) >= area, with e the growth of the rectangle.
        let side = |area: f64| {
            0.5 * ((difference * difference + 4.0 * area).sqrt() - difference) - 2.0 * reach_in - gap
        };
        let round = layout
            .items
            .iter()
            .filter(|item| item.parts.first().is_some_and(|part| matches!(part.foot, Foot::Disc { .. })))
            .count();
        let pieces = layout.items.len();
        let gappy = pieces >= COVERED_FROM && round as f64 >= MOSTLY_ROUND * pieces as f64;
        let proved = width.max(side(area));
        Self { proved, worth_trying: if gappy { width.max(side(area / COVERED)) } else { proved } }
    }
}

/// Least distance asked for between the largest parts of any two pieces; `None` for a lone piece, or
/// where two of them may pass over one another.
fn least_gap(layout: &Layout) -> Option<f64> {
    let mut least: Option<f64> = None;
    for (i, a) in layout.items.iter().enumerate() {
        for b in layout.items.iter().skip(i + 1) {
            let mains = (main(&a.parts), main(&b.parts));
            let gap = a.gaps(b, layout.crush).into_iter().find(|gap| (gap.0, gap.1) == mains)?.2;
            least = Some(least.map_or(gap, |least| least.min(gap)));
        }
    }
    least
}

/// Which part has the largest outline.
fn main(parts: &[FlatPart]) -> usize {
    (0..parts.len()).max_by(|&a, &b| area(&parts[a]).total_cmp(&area(&parts[b]))).unwrap_or(0)
}

fn least_width(part: &FlatPart) -> f64 {
    match part.foot {
        Foot::Disc { radius, .. } => 2.0 * radius,
        Foot::Rect { half, .. } => 2.0 * half[0].min(half[1]),
    }
}

fn area(part: &FlatPart) -> f64 {
    match part.foot {
        Foot::Disc { radius, .. } => PI * radius * radius,
        Foot::Rect { half, .. } => 4.0 * half[0] * half[1],
    }
}

fn around(part: &FlatPart) -> f64 {
    match part.foot {
        Foot::Disc { radius, .. } => 2.0 * PI * radius,
        Foot::Rect { half, .. } => 4.0 * (half[0] + half[1]),
    }
}
