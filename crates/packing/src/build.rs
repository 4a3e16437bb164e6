//! A stack laid out in a carton's base, and the public record made of it.

use plan::{Carton, Layer, Pad, PairClearance, Parcel, PlacedBundle, PlacedPart, Rest, WallClearance};
use shape::{Bundle, Placement};

use crate::Standing;
use crate::candidate::Finish;
use crate::distance::{PlacedFoot, gap};
use crate::packer::Rules;
use crate::stack::{Item, Stack, in_hull, tallest};

/// Neighbours closer than this beyond what is asked are written into the plan, mm.
const NEIGHBOUR_MM: f64 = 25.0;

/// Where every item lies: x, y (mm in the carton) and turn (radians).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaidOut {
    pub places: Vec<[f64; 3]>,
    /// Item numbers in the order of loading, layer by layer.
    pub order: Vec<Vec<usize>>,
}

pub(crate) fn feet(standing: &Standing, at: [f64; 3]) -> Vec<PlacedFoot> {
    let (sin, cos) = if standing.round { (0.0, 1.0) } else { at[2].sin_cos() };
    standing.parts.iter().map(|part| PlacedFoot::new(part.foot, at[0], at[1], cos, sin)).collect()
}

/// The loading order of a layer: what lies lower where two pass over each other, else from the back
/// to the front and from left to right, so that nobody reaches over what is already in; `None` when
/// two pieces lock each other in.
pub(crate) fn loading_order(layer: &[usize], items: &[Item], places: &[[f64; 3]]) -> Option<Vec<usize>> {
    let mut waiting = layer.to_vec();
    waiting.sort_by(|&a, &b| {
        let row = |i: usize| (places[i][1] / 20.0).round();
        row(b).total_cmp(&row(a)).then(places[a][0].total_cmp(&places[b][0])).then(a.cmp(&b))
    });
    let under = |a: usize, b: usize| {
        let (sa, sb) = (items[a].standing, items[b].standing);
        let (fa, fb) = (feet(sa, places[a]), feet(sb, places[b]));
        sa.parts.iter().enumerate().any(|(i, part)| {
            sb.parts
                .iter()
                .enumerate()
                .any(|(j, other)| part.high <= other.low && gap(&fa[i], &fb[j]).distance < 0.0)
        })
    };
    let mut order = Vec::with_capacity(waiting.len());
    while !waiting.is_empty() {
        let next = (0..waiting.len())
            .find(|&k| waiting.iter().all(|&other| other == waiting[k] || !under(other, waiting[k])))?;
        order.push(waiting.remove(next));
    }
    Some(order)
}

/// Whether every pad is carried: the weight above it stands over what holds it up.
pub(crate) fn carried(stack: &Stack, items: &[Item], places: &[[f64; 3]]) -> bool {
    (0..stack.layers.len().saturating_sub(1)).all(|k| {
        let top = tallest(&stack.layers[k], items);
        let mut points = Vec::new();
        for &i in &stack.layers[k] {
            let standing = items[i].standing;
            for (part, foot) in standing.parts.iter().zip(feet(standing, places[i])) {
                if top - part.high - part.wrap < 0.4 {
                    match foot {
                        PlacedFoot::Disc { c, r } => points.extend((0..24).map(|s| {
                            let angle = s as f64 * std::f64::consts::TAU / 24.0;
                            [c[0] + r * angle.cos(), c[1] + r * angle.sin()]
                        })),
                        PlacedFoot::Rect { c, u, h } => {
                            points.extend([(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)].map(
                                |(s, t)| {
                                    [
                                        c[0] + s * h[0] * u[0] - t * h[1] * u[1],
                                        c[1] + s * h[0] * u[1] + t * h[1] * u[0],
                                    ]
                                },
                            ));
                        }
                    }
                }
            }
        }
        let above: Vec<usize> = stack.layers[k + 1..].iter().flatten().copied().collect();
        let mass: f64 = above.iter().map(|&i| items[i].mass_g).sum();
        let middle =
            [0, 1].map(|axis| above.iter().map(|&i| items[i].mass_g * places[i][axis]).sum::<f64>() / mass);
        in_hull(&points, middle)
    })
}

/// The public record of a stack in a carton.
pub(crate) fn parcel(
    carton: &Carton,
    stack: &Stack,
    laid_out: &LaidOut,
    items: &[Item],
    bundles: &[&Bundle],
    finish: &Finish,
    rules: &Rules,
) -> Parcel {
    let mut placed = Vec::new();
    let mut layers = Vec::new();
    let mut clearances = Vec::new();
    let mut number = 0;
    for (k, order) in laid_out.order.iter().enumerate() {
        let base = stack.bases[k];
        let mut numbers = Vec::new();
        let rests = if k == 0 { Rest::Bed } else { Rest::Pad(k as u32) };
        let mut level = Vec::new();
        for &i in order {
            number += 1;
            numbers.push(number);
            level.push((number, items[i].standing, laid_out.places[i]));
            let seat = Seat { number, layer: k as u32 + 1, base_mm: base, rests: rests.clone() };
            placed.push(place(seat, carton, laid_out.places[i], items[i].standing, bundles[i]));
        }
        clearances.extend(neighbours(&level, rules));
        layers.push(Layer {
            number: k as u32 + 1,
            bottom_mm: base,
            top_mm: base + tallest(&stack.layers[k], items),
            bundles: numbers,
        });
    }
    sort_by_room(&mut clearances);
    let pads = stack
        .pads
        .iter()
        .enumerate()
        .map(|(k, &thickness_mm)| Pad {
            number: k as u32 + 1,
            bottom_mm: stack.bases[k + 1] - thickness_mm,
            thickness_mm,
            above_layer: k as u32 + 1,
        })
        .collect();
    Parcel {
        carton: carton.clone(),
        crush: rules.crush,
        layers,
        pads,
        bundles: placed,
        clearances,
        fill: finish.fill.clone(),
        materials: finish.materials.clone(),
        minutes: finish.minutes,
        gross_g: finish.gross_g,
        inner: None,
    }
}

/// Nearest pairs first, by what they have beyond what is asked.
pub(crate) fn sort_by_room(clearances: &mut [PairClearance]) {
    clearances.sort_by(|p, q| {
        (p.actual_mm - p.required_mm)
            .total_cmp(&(q.actual_mm - q.required_mm))
            .then(p.a.cmp(&q.a))
            .then(p.b.cmp(&q.b))
    });
}

/// Distances between those of one layer that are near each other, given by number, standing and place.
pub(crate) fn neighbours(level: &[(u32, &Standing, [f64; 3])], rules: &Rules) -> Vec<PairClearance> {
    let mut found = Vec::new();
    for (k, (a, standing, at)) in level.iter().enumerate() {
        for (b, other, other_at) in &level[k + 1..] {
            let (required_mm, actual_mm) = clearance(standing, *at, other, *other_at, rules);
            if actual_mm - required_mm < NEIGHBOUR_MM {
                found.push(PairClearance { a: *a, b: *b, required_mm, actual_mm });
            }
        }
    }
    found
}

/// A bundle's number, layer and what it rests on, its lowest wrapped point at `base_mm`.
pub(crate) struct Seat {
    pub number: u32,
    pub layer: u32,
    pub base_mm: f64,
    pub rests: Rest,
}

pub(crate) fn place(
    seat: Seat,
    carton: &Carton,
    at: [f64; 3],
    standing: &Standing,
    bundle: &Bundle,
) -> PlacedBundle {
    let yaw = if standing.round { 0.0 } else { at[2].rem_euclid(std::f64::consts::TAU) };
    let placement = Placement::yawed(yaw, [at[0], at[1], seat.base_mm]).after(standing.base);
    let parts: Vec<PlacedPart> = bundle.parts.iter().map(|part| PlacedPart::new(part, placement)).collect();
    let mut walls = WallClearance {
        required_mm: bundle.wall_clearance_mm,
        sides_mm: f64::INFINITY,
        floor_mm: f64::INFINITY,
        top_mm: f64::INFINITY,
    };
    for part in &parts {
        for axis in 0..2 {
            let (low, high) = part.placement.extent_mm(part.bare, axis);
            walls.sides_mm = walls.sides_mm.min(low).min(carton.inside_mm[axis] - high);
        }
        let (low, high) = part.placement.extent_mm(part.bare, 2);
        walls.floor_mm = walls.floor_mm.min(low);
        walls.top_mm = walls.top_mm.min(carton.inside_mm[2] - high);
    }
    PlacedBundle {
        number: seat.number,
        label: bundle.label.clone(),
        contents: bundle.contents.clone(),
        layer: seat.layer,
        way_up: standing.way_up,
        yaw_deg: yaw.to_degrees(),
        placement,
        mass_g: bundle.mass_g,
        rests: seat.rests,
        walls,
        separation_mm: bundle.separation_mm,
        bears_load: bundle.bears_load,
        company: bundle.company,
        parts,
    }
}

/// What two neighbours ask of each other and what they have, at the parts where least is left, mm.
fn clearance(a: &Standing, at_a: [f64; 3], b: &Standing, at_b: [f64; 3], rules: &Rules) -> (f64, f64) {
    let (fa, fb) = (feet(a, at_a), feet(b, at_b));
    let separation = a.separation.max(b.separation);
    let mut tightest = (0.0, f64::INFINITY);
    for (i, p) in a.parts.iter().enumerate() {
        for (j, q) in b.parts.iter().enumerate() {
            let asked = rules.crush.pair_mm(p.wrap, q.wrap, separation);
            let over = (p.low - q.high).max(q.low - p.high).max(0.0);
            let across = gap(&fa[i], &fb[j]).distance;
            let actual = if across > 0.0 || over > 0.0 { over.hypot(across.max(0.0)) } else { across };
            if actual - asked < tightest.1 - tightest.0 {
                tightest = (asked, actual);
            }
        }
    }
    tightest
}
