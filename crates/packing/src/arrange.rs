//! A layer laid out in the room it really has, in the order a person would like it.

use crate::Standing;
use crate::energy::{Layout, MARGIN_MM};
use crate::minimise::{COARSE, Manner, Work, descend};
use crate::nest::Nest;
use crate::templates::templates;

const ARRANGING: Manner = Manner { margin: MARGIN_MM, iterations: 120, gain: COARSE };

/// Places of the items in a rectangle `size` (counted inside the layer's largest wall distance),
/// mm and radians: a template that hands like if one fits, else the tightest layout, centred.
pub(crate) fn arrange(items: &[&Standing], nest: &Nest, size: [f64; 2], crush: plan::Crush) -> Vec<[f64; 3]> {
    let layout = Layout::new(items.to_vec(), crush);
    let mut work = Work::new(&layout);
    for mut x in templates(&layout, size) {
        if descend(&layout, &mut x, size, ARRANGING, &mut work).solved {
            return centred(&layout, x, size);
        }
    }
    let x: Vec<f64> = nest
        .places
        .iter()
        .enumerate()
        .flat_map(|(i, place)| [place[0], place[1], layout.scaled(i, place[2])])
        .collect();
    centred(&layout, x, size)
}

fn centred(layout: &Layout, mut x: Vec<f64>, size: [f64; 2]) -> Vec<[f64; 3]> {
    let bounds = layout.bounds(&x, MARGIN_MM);
    for at in x.chunks_exact_mut(3) {
        for axis in 0..2 {
            at[axis] += 0.5 * (size[axis] - bounds[axis].0 - bounds[axis].1);
        }
    }
    (0..layout.items.len()).map(|i| [x[3 * i], x[3 * i + 1], layout.angle(&x, i)]).collect()
}
