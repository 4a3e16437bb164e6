//! Which bundles lie in which layer, and whether the layers stand on one another.

use std::collections::{BTreeMap, BTreeSet};

use crate::Standing;
use crate::packer::Rules;

/// A bundle of the order in the way up that is being tried.
#[derive(Clone, Copy)]
pub(crate) struct Item<'a> {
    pub standing: &'a Standing,
    /// Number of its kind and way up; equal numbers are interchangeable.
    pub kind: u32,
    pub mass_g: f64,
    pub bears_load: bool,
}

/// Layers from the bottom up, each a list of item numbers, with the heights they need.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stack {
    pub layers: Vec<Vec<usize>>,
    /// Depth of the bed, mm.
    pub bed: f64,
    /// Height of each layer's base, mm.
    pub bases: Vec<f64>,
    /// Thickness of the pad under each layer but the first, mm.
    pub pads: Vec<f64>,
    /// Inside height needed, mm.
    pub height: f64,
}

/// All splits of a list in at most this many ways are tried; longer lists are split by area.
const ALL_SPLITS: usize = 60;

/// Assignments worth trying, whatever the carton and whatever the clearance, fewest layers first.
pub(crate) fn stacks(items: &[Item], rules: &Rules) -> Vec<Stack> {
    let mut found = Vec::new();
    let mut seen: BTreeSet<Vec<Vec<u32>>> = BTreeSet::new();
    let n = items.len();
    let by_height = ordered(items, |a, b| b.standing.height.total_cmp(&a.standing.height));
    let by_bearing = ordered(items, |a, b| {
        b.bears_load.cmp(&a.bears_load).then(b.standing.height.total_cmp(&a.standing.height))
    });
    let by_area = ordered(items, |a, b| b.standing.area.total_cmp(&a.standing.area));
    for count in 1..=n.min(rules.most_layers) {
        let mut tries: Vec<Vec<Vec<usize>>> = Vec::new();
        for order in [&by_height, &by_bearing] {
            tries.extend(contiguous(order, items, count));
        }
        tries.push(dealt(&by_height, count));
        tries.push(dealt(&by_area, count));
        tries.push(by_kind(&by_height, items, count));
        for layers in tries {
            if layers.iter().any(Vec::is_empty) {
                continue;
            }
            let mut key: Vec<Vec<u32>> = layers
                .iter()
                .map(|layer| {
                    let mut kinds: Vec<u32> = layer.iter().map(|&i| items[i].kind).collect();
                    kinds.sort_unstable();
                    kinds
                })
                .collect();
            key.sort();
            if seen.insert(key)
                && let Some(stack) = stand(layers, items, rules)
            {
                found.push(stack);
            }
        }
    }
    found.sort_by(|a, b| a.height.total_cmp(&b.height).then(a.layers.len().cmp(&b.layers.len())));
    found
}

fn ordered(items: &[Item], by: impl Fn(&Item, &Item) -> std::cmp::Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by(|&a, &b| by(&items[a], &items[b]).then(items[a].kind.cmp(&items[b].kind)).then(a.cmp(&b)));
    order
}

/// Splits of `order` into `count` runs: all of them when they are few, else balanced by area.
fn contiguous(order: &[usize], items: &[Item], count: usize) -> Vec<Vec<Vec<usize>>> {
    let n = order.len();
    let ways = (1..count).fold(1usize, |ways, k| ways.saturating_mul(n - k) / k);
    if count == 1 {
        return vec![vec![order.to_vec()]];
    }
    if ways <= ALL_SPLITS {
        let mut found = Vec::new();
        let mut cuts: Vec<usize> = (1..count).collect();
        loop {
            let mut layers = Vec::with_capacity(count);
            let mut from = 0;
            for &cut in cuts.iter().chain([&n]) {
                layers.push(order[from..cut].to_vec());
                from = cut;
            }
            found.push(layers);
            // Next combination of cuts.
            let Some(k) = (0..cuts.len()).rev().find(|&k| cuts[k] < n - (cuts.len() - k)) else { break };
            cuts[k] += 1;
            for j in k + 1..cuts.len() {
                cuts[j] = cuts[j - 1] + 1;
            }
        }
        return found;
    }
    let total: f64 = order.iter().map(|&i| items[i].standing.area).sum();
    let mut layers = vec![Vec::new(); count];
    let mut sum = 0.0;
    for &i in order {
        let middle = sum + 0.5 * items[i].standing.area;
        let layer = ((middle / total * count as f64) as usize).min(count - 1);
        layers[layer].push(i);
        sum += items[i].standing.area;
    }
    vec![layers]
}

/// One item to each layer in turn.
fn dealt(order: &[usize], count: usize) -> Vec<Vec<usize>> {
    let mut layers = vec![Vec::new(); count];
    for (k, &i) in order.iter().enumerate() {
        layers[k % count].push(i);
    }
    layers
}

/// Kinds kept together where there are as many layers as kinds.
fn by_kind(order: &[usize], items: &[Item], count: usize) -> Vec<Vec<usize>> {
    let kinds: BTreeSet<u32> = order.iter().map(|&i| items[i].kind).collect();
    let mut layers = vec![Vec::new(); count];
    for (k, kind) in kinds.iter().enumerate() {
        layers[k % count].extend(order.iter().copied().filter(|&i| items[i].kind == *kind));
    }
    layers
}

/// Puts the layers in order (what bears nothing on top, the rest heavy low) and adds up heights;
/// `None` when two layers would have to be on top.
pub(crate) fn stand(mut layers: Vec<Vec<usize>>, items: &[Item], rules: &Rules) -> Option<Stack> {
    let bears = |layer: &Vec<usize>| layer.iter().all(|&i| items[i].bears_load);
    if layers.iter().filter(|layer| !bears(layer)).count() > 1 {
        return None;
    }
    let mass = |layer: &Vec<usize>| layer.iter().map(|&i| items[i].mass_g).sum::<f64>();
    layers.sort_by(|a, b| bears(b).cmp(&bears(a)).then(mass(b).total_cmp(&mass(a))).then(a.cmp(b)));
    let bed = layers[0].iter().map(|&i| items[i].standing.bed()).fold(0.0, f64::max);
    let mut bases = vec![bed];
    let mut pads = Vec::new();
    let mut height: f64 = 0.0;
    for (k, layer) in layers.iter().enumerate() {
        let base = bases[k];
        let top = base + tallest(layer, items);
        height = layer.iter().map(|&i| base + items[i].standing.headroom()).fold(height, f64::max);
        if let Some(next) = layers.get(k + 1) {
            let pad = pad_between(layer, next, items, rules);
            pads.push(pad);
            bases.push(top + pad);
        }
    }
    // What stands higher up may ask for more of the floor than the low layers under it give.
    let lift = layers
        .iter()
        .zip(&bases)
        .flat_map(|(layer, base)| layer.iter().map(move |&i| items[i].standing.bed() - base))
        .fold(0.0, f64::max);
    bases.iter_mut().for_each(|base| *base += lift);
    Some(Stack { layers, bed: bed + lift, bases, pads, height: height + lift })
}

pub(crate) fn tallest(layer: &[usize], items: &[Item]) -> f64 {
    layer.iter().map(|&i| items[i].standing.height).fold(0.0, f64::max)
}

/// Pads enough that hard parts above keep the distance asked for from those below.
fn pad_between(below: &[usize], above: &[usize], items: &[Item], rules: &Rules) -> f64 {
    let top = tallest(below, items);
    let mut missing: f64 = 0.0;
    let (below, above) = (one_of_each(below, items), one_of_each(above, items));
    for a in &below {
        for b in &above {
            let asked = a.separation.max(b.separation);
            let under = a.parts.iter().map(|part| top - part.high).fold(f64::INFINITY, f64::min);
            let over = b.parts.iter().map(|part| part.low).fold(f64::INFINITY, f64::min);
            missing = missing.max(asked - under - over);
        }
    }
    (missing / rules.pad_mm).ceil().max(1.0) * rules.pad_mm
}

/// The standings in a layer, equal kinds once.
fn one_of_each<'a>(layer: &[usize], items: &[Item<'a>]) -> Vec<&'a Standing> {
    let kinds: BTreeMap<u32, &Standing> = layer.iter().map(|&i| (items[i].kind, items[i].standing)).collect();
    kinds.into_values().collect()
}

/// Whether `point` lies in the convex hull of `points` (Andrew's monotone chain), to within 0.5 mm.
pub(crate) fn in_hull(points: &[[f64; 2]], point: [f64; 2]) -> bool {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let cross =
        |o: [f64; 2], a: [f64; 2], b: [f64; 2]| (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
    let mut hull: Vec<[f64; 2]> = Vec::new();
    for pass in 0..2 {
        let start = hull.len();
        let run: Vec<[f64; 2]> =
            if pass == 0 { sorted.clone() } else { sorted.iter().rev().copied().collect() };
        for p in run {
            while hull.len() >= start + 2 && cross(hull[hull.len() - 2], hull[hull.len() - 1], p) <= 0.0 {
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
    }
    hull.len() >= 3
        && (0..hull.len()).all(|k| {
            let (a, b) = (hull[k], hull[(k + 1) % hull.len()]);
            let length = (b[0] - a[0]).hypot(b[1] - a[1]).max(1e-9);
            cross(a, b, point) / length >= -0.5
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use plan::Crush;
    use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

    /// A disc 100 mm across that keeps this far from the walls.
    fn disc(height_mm: f64, wall_mm: f64) -> Standing {
        let solid = Solid::Cylinder { radius_mm: 50.0, height_mm };
        let placement = Placement::at(0.0, 0.0, 0.5 * height_mm);
        let bundle = Bundle {
            label: String::from("disc"),
            contents: Vec::new(),
            parts: vec![Part { kind: PartKind::Body, solid, placement, wrap_mm: 0.0 }],
            mass_g: 100.0,
            ways_up: vec![WayUp::Upright],
            wall_clearance_mm: wall_mm,
            separation_mm: 0.0,
            bears_load: true,
            company: Company::Breakable,
            wrapped_volume_mm3: 1.0,
        };
        Standing::new(&bundle, WayUp::Upright, Crush { sideways: 0.0 })
    }

    #[test]
    fn a_low_layer_is_raised_until_what_stands_on_it_keeps_its_distance_to_the_floor() {
        let (flat, shy) = (disc(20.0, 10.0), disc(60.0, 80.0));
        let item = |standing, kind, mass_g| Item { standing, kind, mass_g, bears_load: true };
        let items = [item(&flat, 0, 500.0), item(&shy, 1, 100.0)];
        let rules = Rules { crush: Crush { sideways: 0.0 }, pad_mm: 5.0, most_layers: 2 };
        let stack = stand(vec![vec![0], vec![1]], &items, &rules).expect("both bear");
        // Bed 55 mm, disc 20 mm, pad 5 mm: the upper disc stands at its 80 mm and needs 60 + 80 above.
        assert_eq!((stack.bed, stack.bases), (55.0, vec![55.0, 80.0]));
        assert_eq!(stack.height, 220.0);
    }

    #[test]
    fn the_bed_is_no_deeper_than_the_lowest_layer_asks_for_where_that_is_enough() {
        let (tall, flat) = (disc(90.0, 10.0), disc(20.0, 80.0));
        let item = |standing, kind, mass_g| Item { standing, kind, mass_g, bears_load: true };
        let items = [item(&tall, 0, 500.0), item(&flat, 1, 100.0)];
        let rules = Rules { crush: Crush { sideways: 0.0 }, pad_mm: 5.0, most_layers: 2 };
        let stack = stand(vec![vec![0], vec![1]], &items, &rules).expect("both bear");
        assert_eq!((stack.bed, stack.bases), (10.0, vec![10.0, 105.0]));
    }
}
