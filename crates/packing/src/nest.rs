//! The smallest rectangle that takes a layer, with continuous turning about the vertical.
//!
//! The rectangle is asked for by the difference of its sides, because a wall clearance takes the same
//! from both: one answer then serves every clearance and every carton with that difference, and a
//! larger clearance can never fit where a smaller does not. The method is told in docs/layer-search.md.

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::Layout;
use crate::search::Search;
use crate::watch::Watch;

/// The smallest rectangle found for a layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Nest {
    /// Its shorter side, counted inside the layer's largest wall distance, mm.
    pub short_mm: f64,
    /// x, y (mm, from its corner) and turn (radians) of each item, in the order given.
    pub places: Vec<[f64; 3]>,
}

/// How long a layer is searched for, in descents and never in seconds: the same effort gives the same
/// answer on every machine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Descents of the search; the last tightening comes on top.
    pub descents: usize,
    /// A shorter side that is good enough: the search ends once it has it, mm. 0 asks for the best.
    pub enough_mm: f64,
    /// Seed of the random starts and kicks.
    pub seed: u64,
}

/// Descents spent on a layer of two pieces or a few; a larger layer, whose descents are longer, gets
/// `DESCENTS_SHARED` over the square of its pieces, but never less than `DESCENTS_LEAST` (judgement).
const DESCENTS_MOST: usize = 400;
const DESCENTS_SHARED: usize = 9_000;
const DESCENTS_LEAST: usize = 250;

impl Effort {
    /// What the packer spends on a layer of so many pieces.
    #[must_use]
    pub fn normal(pieces: usize) -> Self {
        let square = pieces.saturating_mul(pieces).max(1);
        Self {
            descents: (DESCENTS_SHARED / square).clamp(DESCENTS_LEAST, DESCENTS_MOST),
            enough_mm: 0.0,
            seed: 0,
        }
    }
}

/// Finds the smallest rectangle with sides `b` and `b + difference_mm` for `items`, each of which may
/// be moved and turned, with the packer's effort; the same for the same input.
#[must_use]
pub fn smallest_rectangle(items: &[&Standing], difference_mm: f64, crush: plan::Crush) -> Nest {
    smallest_rectangle_with(items, difference_mm, crush, Effort::normal(items.len()))
}

/// [`smallest_rectangle`] with an effort of the caller's choice.
#[must_use]
pub fn smallest_rectangle_with(
    items: &[&Standing],
    difference_mm: f64,
    crush: plan::Crush,
    effort: Effort,
) -> Nest {
    smallest_rectangle_watched(items, difference_mm, crush, effort, &Watch::default())
}

/// [`smallest_rectangle_with`] with somebody looking on; told to stop, what was found so far.
pub(crate) fn smallest_rectangle_watched(
    items: &[&Standing],
    difference_mm: f64,
    crush: plan::Crush,
    effort: Effort,
    watch: &Watch,
) -> Nest {
    let layout = Layout::new(items.to_vec(), crush);
    let floor = Bounds::of(&layout, difference_mm).proved;
    let mut search = Search::new(&layout, difference_mm, floor, effort, watch.clone());
    search.run();
    search.nest()
}
