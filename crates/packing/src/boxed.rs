//! Box-shaped bundles stacked directly on one another, without pads.
//!
//! A book or a boxed game may stand wrap on wrap on others of its like, which a layer with its pad from
//! wall to wall cannot say. Such orders are put to the room for boxes (`docs/box-loading.md`) with full
//! support: each bundle is a box with all of its wrap, so neighbours never press each other, and each
//! rests with its whole base on the tops of others.

use loading::{Budget, Goods, LONGEST_SIDE, Support, fits_all, lowest};
use plan::{Carton, Layer, Parcel, Rest};
use shape::{Bundle, Company, Solid, WayUp};

use crate::build::{Seat, neighbours, place, sort_by_room};
use crate::candidate::Finish;
use crate::packer::Rules;
use crate::{Foot, Standing};

/// Boxes are loaded in whole tenths of a millimetre (judgement: below what the checker calls a gap).
const UNITS_PER_MM: f64 = 10.0;
/// Work spent on one carton, in looks (judgement: orders hold tens of boxes, not hundreds).
const LOOKS: u64 = 40_000;
/// Rounding that a side may carry and still be the same side, mm.
const SAME_MM: f64 = 0.01;
/// Area of a base over a top from which it rests on it, mm2 (judgement: a scrape of the edge).
const MET_MM2: f64 = 0.25;
/// Depth of a row from front to back that is loaded from left to right, mm.
const ROW_MM: f64 = 20.0;

/// A load of boxes, in the order of loading.
#[derive(Debug, Clone)]
pub(crate) struct Boxed {
    /// Depth of the bed, mm.
    pub(crate) bed: f64,
    spots: Vec<Spot>,
}

/// A bundle in its place.
#[derive(Debug, Clone)]
struct Spot {
    bundle: usize,
    standing: Standing,
    /// x, y, mm in the carton, and turn, radians.
    at: [f64; 3],
    /// Its wrapped outline: low and high along x and y, mm in the carton.
    sides: [[f64; 2]; 2],
    /// Height of its lowest wrapped point, mm.
    base: f64,
    /// Units above the bed, for comparing.
    low: u32,
    high: u32,
    /// From 1: one more than the highest it rests on.
    level: u32,
    /// Places in the list of what it rests on, ascending.
    on: Vec<usize>,
}

/// How hard to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wish {
    /// Any load that goes in.
    Any,
    /// The lowest load found.
    Lowest,
}

/// What the boxes of an order ask of a carton.
struct Demand {
    /// Least distance from the outside of the wraps to the side walls, mm.
    sides: f64,
    /// The same to the floor, which is the bed, and to the top, mm.
    ends: f64,
}

/// Whether bundles are boxes that may lie directly on each other: robust company, one block each, upright
/// in its own frame, and wrap enough on each that two wraps keep every separation asked for.
fn are_boxes(bundles: &[&Bundle]) -> bool {
    let separation = bundles.iter().map(|bundle| bundle.separation_mm).fold(0.0, f64::max);
    bundles.len() > 1
        && bundles.iter().all(|bundle| {
            let robust = match bundle.company {
                Company::Neutral | Company::Dense => true,
                Company::Breakable => false,
            };
            let boxed = match bundle.parts.as_slice() {
                [part] => {
                    let straight = part.placement.turn[0].abs() > 1.0 - 1e-12;
                    matches!(part.solid, Solid::Block { .. }) && straight && 2.0 * part.wrap_mm >= separation
                }
                [] | [_, _, ..] => false,
            };
            robust && boxed
        })
}

/// A load of all bundles in a carton with these inside measures; `None` when they are not boxes, or no
/// load was found, or one would rest on a bundle that bears nothing.
pub(crate) fn boxed(inside_mm: [f64; 3], bundles: &[&Bundle], rules: &Rules, wish: Wish) -> Option<Boxed> {
    if !are_boxes(bundles) {
        return None;
    }
    let demand = demand(bundles, rules);
    let room = [
        whole_below(inside_mm[0] - 2.0 * demand.sides)?,
        whole_below(inside_mm[1] - 2.0 * demand.sides)?,
        whole_below(inside_mm[2] - 2.0 * demand.ends)?,
    ];
    // Like boxes are one kind of goods, the heavier ones first, so that they come to lie lower.
    let mut order: Vec<usize> = (0..bundles.len()).collect();
    order.sort_by(|&a, &b| bundles[b].mass_g.total_cmp(&bundles[a].mass_g).then(a.cmp(&b)));
    let mut kinds: Vec<(Goods, Vec<usize>)> = Vec::new();
    for i in order {
        let one = goods(bundles[i])?;
        match kinds.iter_mut().find(|(known, _)| Goods { count: 1, ..*known } == one) {
            Some((known, members)) => {
                known.count += 1;
                members.push(i);
            }
            None => kinds.push((one, vec![i])),
        }
    }
    let goods: Vec<Goods> = kinds.iter().map(|(one, _)| *one).collect();
    let budget = Budget::of_looks(LOOKS);
    let load = match wish {
        Wish::Any => fits_all(room, &goods, Support::Full, budget),
        Wish::Lowest => lowest([room[0], room[1]], room[2], &goods, Support::Full, budget),
    }
    .ok()
    .flatten()?;
    // What is left beside the load is shared between opposite walls.
    let beside = [0, 1].map(|axis| {
        let far = load.placed.iter().map(|one| one.far()[axis]).max().unwrap_or(0);
        let used = f64::from(far) / UNITS_PER_MM;
        0.5 * (inside_mm[axis] - used)
    });
    let mut spots = Vec::with_capacity(bundles.len());
    for one in &load.placed {
        let (_, members) = kinds.get_mut(one.kind)?;
        let bundle = if members.is_empty() { return None } else { members.remove(0) };
        let lies = one.lies.map(|side| f64::from(side) / UNITS_PER_MM);
        let (standing, turn) = lying(bundles[bundle], lies, rules)?;
        let low = one.at.map(|at| f64::from(at) / UNITS_PER_MM);
        let centre = [0, 1].map(|axis| beside[axis] + low[axis] + 0.5 * lies[axis]);
        let half = half_sides(&standing, turn);
        let wrap = standing.parts.first()?.wrap;
        spots.push(Spot {
            bundle,
            at: [centre[0], centre[1], turn],
            sides: [0, 1].map(|axis| {
                let reach = half[axis] + wrap;
                [centre[axis] - reach, centre[axis] + reach]
            }),
            base: demand.ends + low[2] + 0.5 * (lies[2] - standing.height),
            low: one.at[2],
            high: one.far()[2],
            standing,
            level: 1,
            on: Vec::new(),
        });
    }
    let spots = settled(spots, bundles)?;
    Some(Boxed { bed: demand.ends, spots })
}

fn demand(bundles: &[&Bundle], rules: &Rules) -> Demand {
    let beyond = |bundle: &&Bundle| {
        bundle
            .parts
            .iter()
            .map(|part| rules.crush.wall_mm(part.wrap_mm, bundle.wall_clearance_mm) - part.wrap_mm)
            .fold(0.0, f64::max)
    };
    let most = bundles.iter().map(beyond).fold(0.0, f64::max);
    Demand { sides: most, ends: most }
}

/// Whole units that surely go into a length; `None` when there are none, or more than a load may have.
fn whole_below(mm: f64) -> Option<u32> {
    let units = (mm * UNITS_PER_MM + 1e-6).floor();
    (units >= 1.0 && units <= f64::from(LONGEST_SIDE)).then_some(units as u32)
}

/// Whole units that surely hold a length.
fn whole_above(mm: f64) -> Option<u32> {
    let units = (mm * UNITS_PER_MM - 1e-6).ceil();
    (units >= 1.0 && units <= f64::from(LONGEST_SIDE)).then_some(units as u32)
}

/// A bundle as one box with all of its wrap, sides along its own x, y and z.
fn goods(bundle: &Bundle) -> Option<Goods> {
    let [part] = bundle.parts.as_slice() else { return None };
    let Solid::Block { x_mm, y_mm, z_mm } = part.solid.grown(part.wrap_mm) else { return None };
    let size = [whole_above(x_mm)?, whole_above(y_mm)?, whole_above(z_mm)?];
    let mut upright = [false; 3];
    for way in &bundle.ways_up {
        match way {
            WayUp::OnEnd => upright[0] = true,
            WayUp::OnEdge => upright[1] = true,
            WayUp::Upright | WayUp::Inverted => upright[2] = true,
        }
    }
    Some(Goods::new(size, 1).standing_on(upright))
}

/// Half of the bare sides along x and y when turned by a multiple of a quarter, mm.
fn half_sides(standing: &Standing, turn: f64) -> [f64; 2] {
    let Some(Foot::Rect { along, half, .. }) = standing.parts.first().map(|part| part.foot) else {
        return [0.0; 2];
    };
    let swapped = (along[0].abs() < 0.5) != (turn.sin().abs() > 0.5);
    if swapped { [half[1], half[0]] } else { half }
}

/// The preferred way up and the turn in which a bundle lies like its box.
fn lying(bundle: &Bundle, lies: [f64; 3], rules: &Rules) -> Option<(Standing, f64)> {
    for &way in &bundle.ways_up {
        let standing = Standing::new(bundle, way, rules.crush);
        let wrap = standing.parts.first()?.wrap;
        for turn in [0.0, std::f64::consts::FRAC_PI_2] {
            let half = half_sides(&standing, turn);
            let sides = [2.0 * (half[0] + wrap), 2.0 * (half[1] + wrap), standing.height];
            // A box is its bundle rounded up by less than a unit on each side.
            let fits = sides
                .iter()
                .zip(lies)
                .all(|(side, cell)| *side <= cell + SAME_MM && cell < side + 1.0 / UNITS_PER_MM + SAME_MM);
            if fits {
                return Some((standing, turn));
            }
        }
    }
    None
}

/// What rests on what, level by level from the back to the front; `None` when something rests on a bundle
/// that bears nothing.
fn settled(mut spots: Vec<Spot>, bundles: &[&Bundle]) -> Option<Vec<Spot>> {
    // The list comes from the bottom up, so what carries is known before what it carries.
    let mut rests: Vec<(u32, Vec<usize>)> = Vec::with_capacity(spots.len());
    for (k, spot) in spots.iter().enumerate() {
        let on: Vec<usize> = (0..k).filter(|&lower| rests_on(spot, &spots[lower])).collect();
        let carried = spot.low == 0 || !on.is_empty();
        if !carried || on.iter().any(|&lower| !bundles[spots[lower].bundle].bears_load) {
            return None;
        }
        let level = 1 + on.iter().filter_map(|&lower| rests.get(lower)).map(|rest| rest.0).max().unwrap_or(0);
        rests.push((level, on));
    }
    for (spot, (level, on)) in spots.iter_mut().zip(rests) {
        (spot.level, spot.on) = (level, on);
    }
    let mut order: Vec<usize> = (0..spots.len()).collect();
    let row = |spot: &Spot| (spot.at[1] / ROW_MM).round();
    order.sort_by(|&a, &b| {
        let (p, q) = (&spots[a], &spots[b]);
        p.level
            .cmp(&q.level)
            .then(row(q).total_cmp(&row(p)))
            .then(p.at[0].total_cmp(&q.at[0]))
            .then(a.cmp(&b))
    });
    let mut now = vec![0; spots.len()];
    for (place, &was) in order.iter().enumerate() {
        now[was] = place;
    }
    Some(
        order
            .iter()
            .map(|&was| {
                let mut on: Vec<usize> = spots[was].on.iter().map(|&lower| now[lower]).collect();
                on.sort_unstable();
                Spot { on, ..spots[was].clone() }
            })
            .collect(),
    )
}

/// Whether the hard base of `upper` lies over the wrapped top of `lower`, which ends where it begins.
fn rests_on(upper: &Spot, lower: &Spot) -> bool {
    let wrap = upper.standing.parts.first().map_or(0.0, |part| part.wrap);
    let shared = [0, 1].map(|axis: usize| {
        let (base, top) = (upper.sides[axis], lower.sides[axis]);
        ((base[1] - wrap).min(top[1]) - (base[0] + wrap).max(top[0])).max(0.0)
    });
    lower.high == upper.low && shared[0] * shared[1] > MET_MM2
}

impl Boxed {
    /// The public record of the load.
    pub(crate) fn parcel(
        &self,
        carton: &Carton,
        bundles: &[&Bundle],
        finish: &Finish,
        rules: &Rules,
    ) -> Parcel {
        let mut placed = Vec::with_capacity(self.spots.len());
        let mut layers: Vec<Layer> = Vec::new();
        let mut clearances = Vec::new();
        for (k, spot) in self.spots.iter().enumerate() {
            let number = k as u32 + 1;
            let rests = if spot.on.is_empty() {
                Rest::Bed
            } else {
                Rest::On(spot.on.iter().map(|&lower| lower as u32 + 1).collect())
            };
            let seat = Seat { number, layer: spot.level, base_mm: spot.base, rests };
            placed.push(place(seat, carton, spot.at, &spot.standing, bundles[spot.bundle]));
            let (bottom_mm, top_mm) = (spot.base, spot.base + spot.standing.height);
            match layers.iter_mut().find(|layer| layer.number == spot.level) {
                Some(layer) => {
                    layer.bottom_mm = layer.bottom_mm.min(bottom_mm);
                    layer.top_mm = layer.top_mm.max(top_mm);
                    layer.bundles.push(number);
                }
                None => {
                    layers.push(Layer { number: spot.level, bottom_mm, top_mm, bundles: vec![number] });
                }
            }
        }
        // Neighbours are those of a level that stand at one height: only there is their distance level too.
        for layer in &layers {
            let mut heights: Vec<u32> = Vec::new();
            let of_layer = || self.spots.iter().enumerate().filter(|(_, spot)| spot.level == layer.number);
            for (_, spot) in of_layer() {
                if !heights.contains(&spot.low) {
                    heights.push(spot.low);
                }
            }
            for height in heights {
                let level: Vec<_> = of_layer()
                    .filter(|(_, spot)| spot.low == height)
                    .map(|(k, spot)| (k as u32 + 1, &spot.standing, spot.at))
                    .collect();
                clearances.extend(neighbours(&level, rules));
            }
        }
        sort_by_room(&mut clearances);
        Parcel {
            carton: carton.clone(),
            crush: rules.crush,
            layers,
            pads: Vec::new(),
            bundles: placed,
            clearances,
            fill: finish.fill.clone(),
            materials: finish.materials.clone(),
            minutes: finish.minutes,
            gross_g: finish.gross_g,
            inner: None,
        }
    }
}
