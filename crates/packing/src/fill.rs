//! Layers for one carton when there are many pieces: each filled to a share of the base, tall with tall.

use crate::packer::Rules;
use crate::stack::{Item, Stack, stand};
use crate::{FlatPart, Foot, Standing};

/// Shares of the base that layers are filled to: the lowest that still gives a stack low enough is the
/// likeliest to lie.
const SHARE_LEAST: f64 = 0.40;
const SHARE_MOST: f64 = 0.94;
const SHARE_STEP: f64 = 0.03;
/// Pieces of one height that carry a pad well; fewer go on top.
const CARRY: usize = 3;
/// How much fuller than the layer that does not fit another may become: shares are only an estimate.
const OVERFULL: f64 = 1.15;
/// Heights that count as one, mm.
const LEVEL_MM: f64 = 0.4;
/// How much of a handle's outline counts, since handles lie in the gaps of round bodies (judgement).
const HANDLE_COUNTS: f64 = 0.2;

/// What joins those that bear nothing in the top layer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Top {
    /// The tallest.
    Tall,
    /// What there are few of at one height.
    Odd,
    /// The lowest.
    Low,
}

/// A stack that may stand in a base, and the share of it that its fullest layer may take.
#[derive(Debug, Clone)]
pub(crate) struct Filled {
    pub stack: Stack,
    pub share: f64,
}

/// Stacks of least share whose height is within `inside_mm`, one of each sort; none when even full layers are
/// too high.
pub(crate) fn filled(items: &[Item], rules: &Rules, inside_mm: [f64; 3]) -> Vec<Filled> {
    let area = base_area(items, inside_mm);
    let steps = ((SHARE_MOST - SHARE_LEAST) / SHARE_STEP).round() as usize;
    let shares = || (0..=steps).map(|step| SHARE_LEAST + SHARE_STEP * step as f64);
    let least = |with: Top| {
        shares().find_map(|share| {
            let layers = grouped(items, rules, share * area, with)?;
            let stack = stand(layers, items, rules)?;
            let low = stack.layers.len() <= rules.most_layers && stack.height <= inside_mm[2] + 1e-6;
            low.then_some(Filled { stack, share })
        })
    };
    let mut found: Vec<Filled> = [Top::Tall, Top::Odd, Top::Low].into_iter().filter_map(least).collect();
    found.dedup_by(|a, b| a.stack.layers == b.stack.layers);
    found
}

/// Area of a base in which grown outlines lie, mm2.
fn base_area(items: &[Item], inside_mm: [f64; 3]) -> f64 {
    let least =
        items.iter().map(|item| item.standing.wall() - grown(item.standing)).fold(f64::INFINITY, f64::min);
    let least = if least.is_finite() { least } else { 0.0 };
    (inside_mm[0] - 2.0 * least).max(0.0) * (inside_mm[1] - 2.0 * least).max(0.0)
}

/// How far a piece's outline is grown, mm: half of what two of it keep apart, as near as wraps tell.
fn grown(standing: &Standing) -> f64 {
    let wrap = standing.parts.iter().map(|part| part.wall.min(part.wrap)).fold(f64::INFINITY, f64::min);
    if wrap.is_finite() { wrap.max(0.5 * standing.separation) } else { 0.0 }
}

/// What a piece takes of a base, mm2.
pub(crate) fn takes(standing: &Standing) -> f64 {
    let grown = grown(standing);
    let outline = |part: &FlatPart| match part.foot {
        Foot::Disc { radius, .. } => std::f64::consts::PI * (radius + grown).powi(2),
        Foot::Rect { half, .. } => 4.0 * (half[0] + grown) * (half[1] + grown),
    };
    let main = standing.parts.iter().map(outline).fold(0.0, f64::max);
    // Round parts of a round piece lie over one another; a handle is a block beside its body.
    let blocks = standing.parts.iter().filter(|part| matches!(part.foot, Foot::Rect { .. }));
    let sides: f64 = blocks.map(outline).filter(|area| *area < main).sum();
    main + HANDLE_COUNTS * sides
}

/// Layers no fuller than `most` mm2: what bears nothing on top, the rest from the tallest down.
fn grouped(items: &[Item], rules: &Rules, most: f64, with: Top) -> Option<Vec<Vec<usize>>> {
    let takes: Vec<f64> = items.iter().map(|item| takes(item.standing)).collect();
    let mut order: Vec<usize> = (0..items.len()).filter(|&i| items[i].bears_load).collect();
    order.sort_by(|&a, &b| {
        let (one, other) = (&items[a], &items[b]);
        let height = other.standing.height.total_cmp(&one.standing.height);
        height.then(one.kind.cmp(&other.kind)).then(a.cmp(&b))
    });
    let mut top: Vec<usize> = (0..items.len()).filter(|&i| !items[i].bears_load).collect();
    let mut filled: f64 = top.iter().map(|&i| takes[i]).sum();
    if filled > most {
        return None;
    }
    let level = |i: usize| {
        let same = |&&j: &&usize| (items[j].standing.height - items[i].standing.height).abs() < LEVEL_MM;
        order.iter().filter(same).count()
    };
    let highest = top.iter().map(|&i| items[i].standing.height).fold(0.0, f64::max);
    let first: Vec<usize> = match with {
        // The tallest make no lower layer high then.
        Top::Tall => order.clone(),
        // Too few of a height to carry what would lie on them.
        Top::Odd => order.iter().copied().filter(|&i| level(i) < CARRY).collect(),
        Top::Low => Vec::new(),
    };
    // What is then left of the top layer takes the lowest of the rest, if they are no higher than it.
    let low = order.iter().rev().copied().filter(|&i| items[i].standing.height <= highest);
    for i in first.into_iter().chain(low) {
        if !top.contains(&i) && filled + takes[i] <= most {
            filled += takes[i];
            top.push(i);
        }
    }
    let mut layers: Vec<Vec<usize>> = Vec::new();
    let mut room = 0.0;
    for &i in order.iter().filter(|i| !top.contains(i)) {
        if takes[i] > most {
            return None;
        }
        if takes[i] > room {
            if layers.len() >= rules.most_layers {
                return None;
            }
            layers.push(Vec::new());
            room = most;
        }
        room -= takes[i];
        if let Some(layer) = layers.last_mut() {
            layer.push(i);
        }
    }
    if !top.is_empty() {
        layers.push(top);
    }
    Some(layers)
}

/// The stack with one piece moved out of a layer that does not fit into the emptiest that can take it
/// without growing higher; `None` when there is none.
pub(crate) fn relieved(
    stack: &Stack,
    layer: usize,
    items: &[Item],
    rules: &Rules,
    inside_height: f64,
) -> Option<Stack> {
    let full = stack.layers.get(layer)?;
    let taken = |layer: &Vec<usize>| layer.iter().map(|&i| takes(items[i].standing)).sum::<f64>();
    let mut others: Vec<usize> = (0..stack.layers.len()).filter(|&k| k != layer).collect();
    others.sort_by(|&a, &b| taken(&stack.layers[a]).total_cmp(&taken(&stack.layers[b])).then(a.cmp(&b)));
    let room = taken(full);
    let mut pieces: Vec<usize> = full.iter().copied().filter(|&i| items[i].bears_load).collect();
    pieces.sort_by(|&a, &b| takes(items[a].standing).total_cmp(&takes(items[b].standing)).then(a.cmp(&b)));
    others.into_iter().find_map(|other| {
        let highest = crate::stack::tallest(&stack.layers[other], items);
        let piece = *pieces.iter().find(|&&i| items[i].standing.height <= highest + LEVEL_MM)?;
        // A piece that would make the other much fuller than this one only moves the trouble.
        if taken(&stack.layers[other]) + takes(items[piece].standing) >= OVERFULL * room {
            return None;
        }
        let mut layers = stack.layers.clone();
        layers[layer].retain(|&i| i != piece);
        layers[other].push(piece);
        layers.retain(|layer| !layer.is_empty());
        stand(layers, items, rules).filter(|stack| stack.height <= inside_height + 1e-6)
    })
}
