//! A stack tried in a base: every layer asked for, then laid out as hands would like it.

use crate::Standing;
use crate::arrange::arrange;
use crate::build::{LaidOut, carried, loading_order};
use crate::layers::{Depth, Fit};
use crate::question::Question;
use crate::stack::{Item, Stack};
use crate::tally::Reason;

/// Pieces from which on a layer is taken as it was found: templates that hands like seldom hold so many,
/// and each costs a long descent.
const MANY: usize = 14;

/// A stack that stands in a base.
#[derive(Clone)]
pub(crate) struct Standable<'a> {
    pub stack: Stack,
    pub items: Vec<Item<'a>>,
    pub laid_out: LaidOut,
}

/// What came of trying a stack.
pub(crate) enum Tried<'a> {
    /// It stands.
    Stands(Box<Standable<'a>>, Reason),
    /// The layer of this number does not fit, or may only after a search (`sure` tells); with the layer
    /// that could not be laid.
    Missing { layer: usize, sure: bool, reason: Reason },
    /// The layers fit, but do not carry one another or cannot be loaded.
    Falls,
}

impl<'a> Question<'a> {
    /// Tries a stack in a base.
    pub(crate) fn stands(
        &mut self,
        items: &[Item<'a>],
        stack: &Stack,
        base: [f64; 2],
        depth: Depth,
    ) -> Tried<'a> {
        let mut nests = Vec::with_capacity(stack.layers.len());
        let mut reason = Reason::Bound;
        // All of them by what is known first: a layer that cannot fit spares the others' descents.
        let depths: &[Depth] = match depth {
            Depth::Known => &[Depth::Known],
            Depth::Quick => &[Depth::Known, Depth::Quick],
            Depth::Search => &[Depth::Known, Depth::Quick, Depth::Search],
        };
        for &depth in depths {
            nests.clear();
            for (number, layer) in stack.layers.iter().enumerate() {
                let mut sorted = layer.clone();
                sorted.sort_by_key(|&i| (items[i].kind, i));
                let (fit, why) = self.ask(&sorted, items, base, depth);
                reason = reason.max(why);
                match fit {
                    Fit::Yes(nest) => nests.push((nest, sorted)),
                    Fit::No => return Tried::Missing { layer: number, sure: true, reason: why },
                    Fit::Unsure if depths.last() == Some(&depth) => {
                        return Tried::Missing { layer: number, sure: false, reason: why };
                    }
                    Fit::Unsure => {}
                }
            }
            if nests.len() == stack.layers.len() {
                break;
            }
        }
        let mut places = vec![[0.0; 3]; items.len()];
        for (nest, sorted) in nests {
            let standings: Vec<&Standing> = sorted.iter().map(|&i| items[i].standing).collect();
            let reference = standings.iter().map(|s| s.wall()).fold(0.0, f64::max);
            let size = base.map(|side| side - 2.0 * reference);
            let arranged = if sorted.len() < MANY {
                arrange(&standings, &nest, size, self.rules.crush)
            } else {
                // The nest's own rectangle in the middle of the room there is.
                let spare = [
                    0.5 * (size[0] - nest.short_mm - crate::layers::difference(base) as f64 / 1000.0),
                    0.5 * (size[1] - nest.short_mm),
                ];
                nest.places.iter().map(|at| [at[0] + spare[0], at[1] + spare[1], at[2]]).collect()
            };
            for (place, &i) in arranged.into_iter().zip(&sorted) {
                places[i] = [place[0] + reference, place[1] + reference, place[2]];
            }
        }
        if !self.balanced(stack, items, &mut places, base) {
            return Tried::Falls;
        }
        let order: Option<Vec<Vec<usize>>> =
            stack.layers.iter().map(|layer| loading_order(layer, items, &places)).collect();
        match order {
            Some(order) => {
                let laid_out = LaidOut { places, order };
                Tried::Stands(
                    Box::new(Standable { stack: stack.clone(), items: items.to_vec(), laid_out }),
                    reason,
                )
            }
            None => Tried::Falls,
        }
    }

    /// Whether every pad is carried, if need be after turning layers half round: the rectangle is the same
    /// then, and what is heavy or high lies at the other side.
    fn balanced(&self, stack: &Stack, items: &[Item], places: &mut [[f64; 3]], base: [f64; 2]) -> bool {
        if carried(stack, items, places) {
            return true;
        }
        let layers = stack.layers.len().min(4);
        (1..1usize << layers).any(|turned| {
            let mut tried = places.to_vec();
            for (k, layer) in stack.layers.iter().enumerate() {
                if turned >> k & 1 == 1 {
                    for &i in layer {
                        tried[i] = half_round(tried[i], base);
                    }
                }
            }
            let stands = carried(stack, items, &tried);
            if stands {
                places.copy_from_slice(&tried);
            }
            stands
        })
    }
}

/// A place after its whole layer was turned half round in its base.
fn half_round(at: [f64; 3], base: [f64; 2]) -> [f64; 3] {
    [base[0] - at[0], base[1] - at[1], at[2] + std::f64::consts::PI]
}

#[cfg(test)]
mod tests {
    use super::half_round;

    #[test]
    fn a_handle_is_turned_with_its_piece() {
        let base = [300.0, 200.0];
        let tip = |at: [f64; 3]| [at[0] + 92.0 * at[2].cos(), at[1] + 92.0 * at[2].sin()];
        let at = [110.0, 70.0, 0.4];
        let (before, after) = (tip(at), tip(half_round(at, base)));
        for axis in 0..2 {
            assert!((before[axis] + after[axis] - base[axis]).abs() < 1e-9);
        }
    }
}
