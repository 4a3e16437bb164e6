//! Sides below which a layer cannot fit, or is not worth trying.
//!
//! Each bound holds for the largest part of each piece alone: what a piece has besides can only ask
//! for more room.

use std::f64::consts::PI;

use plan::Crush;

use crate::crowding::least_side;
use crate::energy::Layout;
use crate::{FlatPart, Foot, Standing};

/// Share of a rectangle that mostly round pieces are taken to cover at best. The published best layouts
/// of equal discs in a square cover at most 0.82 for up to 50 discs (E. Specht's table, Packomania; 0.8112
/// at 39 among the half of it that was checked). Judgement for unlike discs.
const COVERED: f64 = 0.85;
/// Fewest pieces for which that is said, and the share of them that must be round.
const COVERED_FROM: usize = 4;
const MOSTLY_ROUND: f64 = 0.75;
/// Halvings of the range in which the least side for one rectangle is sought.
const HALVINGS: usize = 44;

/// Lower bounds on the shorter side of a layer's rectangle, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    /// Proved, by the widest piece, by area and by the number of discs.
    pub proved: f64,
    /// The same with the gaps that round pieces leave: judgement, so that only the search goes by it.
    pub worth_trying: f64,
}

/// A sort of piece in a layer, and how many of it there are.
struct Sort<'a> {
    standing: &'a Standing,
    count: usize,
    main: FlatPart,
    /// Which of its parts that is.
    number: usize,
}

impl Bounds {
    /// Bounds for `layout` in a rectangle whose sides differ by `difference`, mm.
    pub(crate) fn of(layout: &Layout, difference: f64) -> Self {
        Self::of_items(&layout.items, layout.crush, difference)
    }

    /// Bounds for these pieces, equal ones side by side.
    pub(crate) fn of_items(items: &[&Standing], crush: Crush, difference: f64) -> Self {
        let reference = items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        let sorts = sorts(items);
        let parts = || sorts.iter().flat_map(|sort| &sort.standing.parts);
        let width = parts()
            .map(|part| alone(part.foot, difference) + 2.0 * (part.wall - reference))
            .fold(0.0, f64::max);
        let together = together(&sorts, crush);
        let mut area = 0.0;
        let mut sticks_out: f64 = f64::NEG_INFINITY;
        for &(k, half) in &together {
            let Some(sort) = sorts.get(k) else { continue };
            let part = &sort.main;
            area += sort.count as f64 * (outline(part) + around(part) * half + PI * half * half);
            sticks_out = sticks_out.max(half - (part.wall - reference));
        }
        // Outlines grown by h_i and h_j with h_i + h_j no more than their distance are disjoint, and lie in
        // the rectangle grown by the most that one of them sticks out: (b + e)(b + d + e) >= area.
        let side =
            |area: f64| 0.5 * ((difference * difference + 4.0 * area).sqrt() - difference) - 2.0 * sticks_out;
        let pieces = items.len();
        let (by_area, covered) =
            if sticks_out.is_finite() { (side(area), side(area / COVERED)) } else { (0.0, 0.0) };
        let round = items
            .iter()
            .filter(|item| item.parts.first().is_some_and(|part| matches!(part.foot, Foot::Disc { .. })))
            .count();
        let proved = width.max(by_area).max(crowded(&sorts, crush, reference, difference));
        let gappy = pieces >= COVERED_FROM && round as f64 >= MOSTLY_ROUND * pieces as f64;
        Self { proved, worth_trying: if gappy { proved.max(covered) } else { proved } }
    }
}

/// Equal pieces counted.
fn sorts<'a>(items: &[&'a Standing]) -> Vec<Sort<'a>> {
    let mut found: Vec<Sort<'a>> = Vec::new();
    for &item in items {
        // The same standing is the same place in memory, which is far quicker than comparing its parts.
        if let Some(sort) = found.iter_mut().rev().find(|sort| std::ptr::eq(sort.standing, item)) {
            sort.count += 1;
            continue;
        }
        let main = (0..item.parts.len())
            .max_by(|&a, &b| outline(&item.parts[a]).total_cmp(&outline(&item.parts[b])));
        if let Some((number, &main)) = main.and_then(|number| Some((number, item.parts.get(number)?))) {
            found.push(Sort { standing: item, count: 1, main, number });
        }
    }
    found
}

/// Least distance asked for between the largest parts of two sorts; `None` where they may pass over one
/// another.
fn apart(a: &Sort, b: &Sort, crush: Crush) -> Option<f64> {
    a.standing
        .gaps(b.standing, crush)
        .into_iter()
        .find(|gap| (gap.0, gap.1) == (a.number, b.number))
        .map(|gap| gap.2)
}

/// Sorts whose largest parts all keep distances of one another, with half the least of each one's: the
/// sorts of most area first.
fn together(sorts: &[Sort], crush: Crush) -> Vec<(usize, f64)> {
    let whole = |k: &usize| sorts.get(*k).map_or(0.0, |sort| sort.count as f64 * outline(&sort.main));
    let mut order: Vec<usize> = (0..sorts.len()).collect();
    order.sort_by(|a, b| whole(b).total_cmp(&whole(a)).then(a.cmp(b)));
    let mut found: Vec<(usize, f64)> = Vec::new();
    for k in order {
        let sort = &sorts[k];
        let own = if sort.count > 1 { apart(sort, sort, crush) } else { Some(f64::INFINITY) };
        let others: Option<Vec<f64>> =
            found.iter().map(|&(other, _)| apart(sort, &sorts[other], crush)).collect();
        let (Some(own), Some(others)) = (own, others) else { continue };
        let half = others.iter().fold(own, |least, &gap| least.min(gap)) * 0.5;
        for (at, gap) in found.iter_mut().zip(&others) {
            at.1 = at.1.min(0.5 * gap);
        }
        found.push((k, half));
    }
    // A single piece keeps no distance of anything.
    found.iter_mut().filter(|at| !at.1.is_finite()).for_each(|at| at.1 = 0.0);
    found
}

/// The discs inside the largest parts, the largest first: so many of them keep so much apart.
fn crowded(sorts: &[Sort], crush: Crush, reference: f64, difference: f64) -> f64 {
    let mut order: Vec<&Sort> = sorts.iter().collect();
    order.sort_by(|a, b| inscribed(&b.main).total_cmp(&inscribed(&a.main)));
    let mut bound: f64 = 0.0;
    let mut taken: Vec<&Sort> = Vec::new();
    let (mut points, mut least, mut inset) = (0usize, f64::INFINITY, f64::INFINITY);
    for sort in order {
        let radius = inscribed(&sort.main);
        let own = if sort.count > 1 { apart(sort, sort, crush) } else { Some(f64::INFINITY) };
        let others: Option<Vec<f64>> = taken
            .iter()
            .map(|other| apart(sort, other, crush).map(|gap| gap + radius + inscribed(&other.main)))
            .collect();
        let (Some(own), Some(others)) = (own, others) else { continue };
        least = others.iter().fold(least.min(own + 2.0 * radius), |least, &gap| least.min(gap));
        inset = inset.min(radius + sort.main.wall - reference);
        points += sort.count;
        taken.push(sort);
        if points > 1 && least.is_finite() {
            bound = bound.max(least_side(points, least, difference) + 2.0 * inset);
        }
    }
    bound
}

/// Radius of a disc that lies in a part about its middle, mm.
fn inscribed(part: &FlatPart) -> f64 {
    match part.foot {
        Foot::Disc { radius, .. } => radius,
        Foot::Rect { half, .. } => half[0].min(half[1]),
    }
}

/// The least shorter side of a rectangle that takes one outline, its sides differing by `difference`, mm.
fn alone(foot: Foot, difference: f64) -> f64 {
    match foot {
        Foot::Disc { radius, .. } => 2.0 * radius,
        Foot::Rect { half, .. } => {
            let (p, q) = (2.0 * half[0].max(half[1]), 2.0 * half[0].min(half[1]));
            let (mut low, mut high) = (q, p.max(q));
            if !(difference.is_finite() && p.is_finite()) {
                return q;
            }
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if takes(p, q, middle + difference, middle) { high = middle } else { low = middle }
            }
            low
        }
    }
}

/// Whether a rectangle `p` by `q` (p the longer) goes into one `a` by `b` (Carver 1957, The American
/// Mathematical Monthly 64): straight, or turned until it touches all four sides.
fn takes(p: f64, q: f64, a: f64, b: f64) -> bool {
    let (a, b) = (a.max(b), a.min(b));
    if p <= a {
        return q <= b;
    }
    let diagonal2 = p * p + q * q;
    q <= b && b * diagonal2 >= 2.0 * p * q * a + (p * p - q * q) * (diagonal2 - a * a).max(0.0).sqrt()
}

fn outline(part: &FlatPart) -> f64 {
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

#[cfg(test)]
mod tests {
    use plan::Crush;
    use proptest::prelude::*;
    use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

    use super::{Bounds, takes};
    use crate::Standing;
    use crate::energy::Layout;
    use crate::minimise::Work;
    use crate::nest::{Effort, smallest_rectangle_with};
    use crate::quick::Quick;

    const CRUSH: Crush = Crush { sideways: 0.25 };

    #[test]
    fn a_long_rectangle_goes_across_the_corner_of_a_square_only_when_it_is_thin() {
        // In a unit square the turned rectangle p x q needs p + q <= sqrt 2.
        assert!(takes(1.3, 0.1, 1.0, 1.0));
        assert!(!takes(1.3, 0.12, 1.0, 1.0));
        assert!(!takes(1.5, 0.001, 1.0, 1.0));
    }

    /// A disc with or without a handle, a block, or a low plate that others pass over.
    fn piece(sort: u8, across: f64, other: f64, wrap: f64, wall: f64, apart: f64) -> Standing {
        let part = |kind, solid, at: [f64; 3]| Part {
            kind,
            solid,
            placement: Placement::at(at[0], at[1], at[2]),
            wrap_mm: wrap,
        };
        let cylinder = |height_mm| Solid::Cylinder { radius_mm: across, height_mm };
        let parts = match sort {
            0 => vec![part(PartKind::Body, cylinder(80.0), [0.0, 0.0, 40.0])],
            1 => vec![
                part(PartKind::Body, cylinder(80.0), [0.0, 0.0, 40.0]),
                part(
                    PartKind::Handle,
                    Solid::Block { x_mm: across + other, y_mm: 25.0, z_mm: 50.0 },
                    [0.5 * (across + other), 0.0, 40.0],
                ),
            ],
            2 => vec![part(
                PartKind::Body,
                Solid::Block { x_mm: 2.0 * across, y_mm: 2.0 * other, z_mm: 60.0 },
                [0.0, 0.0, 30.0],
            )],
            _ => vec![
                part(
                    PartKind::Body,
                    Solid::Frustum { bottom_radius_mm: 20.0, top_radius_mm: across, height_mm: 60.0 },
                    [0.0, 0.0, 110.0],
                ),
                part(PartKind::Foot, Solid::Cylinder { radius_mm: 25.0, height_mm: 5.0 }, [0.0, 0.0, 2.5]),
            ],
        };
        let bundle = Bundle {
            label: String::from("piece"),
            contents: Vec::new(),
            parts,
            mass_g: 300.0,
            ways_up: vec![WayUp::Upright],
            wall_clearance_mm: wall,
            separation_mm: apart,
            bears_load: true,
            company: Company::Breakable,
            wrapped_volume_mm3: 1.0,
        };
        Standing::new(&bundle, WayUp::Upright, CRUSH)
    }

    #[test]
    fn a_grid_of_blocks_with_wide_gaps_is_within_every_bound() {
        for side in [10.0, 30.0, 60.0] {
            let block = piece(2, side, side, 0.0, 5.0, 40.0);
            for n in 2..6usize {
                let grid = 2.0 * side * n as f64 + 40.0 * (n - 1) as f64;
                let proved = Bounds::of_items(&vec![&block; n * n], CRUSH, 0.0).proved;
                assert!(proved <= grid + 1e-6, "{n} x {n} of {side}: {proved} over {grid}");
                // Only the corners between the blocks are not counted.
                assert!(proved >= 0.85 * grid, "{n} x {n} of {side}: {proved} of {grid}");
            }
        }
    }

    fn sort() -> impl Strategy<Value = (Standing, usize)> {
        let piece = (0u8..4, 25.0..80.0f64, 10.0..50.0f64, 0.0..10.0f64, 0.0..30.0f64, 0.0..12.0f64)
            .prop_map(|(sort, across, other, wrap, wall, apart)| {
                piece(sort, across, other, wrap, wall, apart)
            });
        (piece, 1usize..6)
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            cases: 150,
            failure_persistence: None,
            rng_seed: proptest::test_runner::RngSeed::Fixed(5),
            ..ProptestConfig::default()
        })]

        #[test]
        fn no_bound_passes_a_layout_that_is_found(
            sorts in prop::collection::vec(sort(), 1..4),
            difference in prop::sample::select(vec![0.0, 40.0, 150.0, 500.0]),
        ) {
            let items: Vec<&Standing> = sorts
                .iter()
                .flat_map(|(standing, count)| std::iter::repeat_n(standing, *count))
                .collect();
            let bounds = Bounds::of_items(&items, CRUSH, difference);
            let effort = Effort { descents: 120, enough_mm: bounds.proved, seed: 1 };
            let nest = smallest_rectangle_with(&items, difference, CRUSH, effort);
            prop_assert!(bounds.proved <= nest.short_mm + 1e-4, "{bounds:?} {}", nest.short_mm);
            prop_assert!(bounds.worth_trying >= bounds.proved);
            let layout = Layout::new(items.clone(), CRUSH);
            let (mut quick, rows) = Quick::new(&layout, difference, bounds.proved);
            let mut least = rows.map_or(f64::INFINITY, |nest| nest.short_mm);
            let mut work = Work::new(&layout);
            while !quick.done() {
                if let Some(nest) = quick.step(&layout, difference, &mut work) {
                    prop_assert!(nest.short_mm < least, "each cheap layout is smaller than those before it");
                    least = nest.short_mm;
                }
            }
            prop_assert!(bounds.proved <= least + 1e-4, "{bounds:?} {least}");
        }
    }
}
