//! What is known of layers: which kinds fit side by side, and how tightly.
//!
//! A question is answered by the first of these that can: a proved bound, a layout that is known, rows,
//! a few descents, the search. Each depends on the layer and the base alone.

use std::collections::BTreeMap;
use std::sync::Arc;

use plan::Crush;

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::Layout;
use crate::minimise::Work;
use crate::nest::{Effort, Nest, smallest_rectangle_watched};
use crate::quick::Quick;
use crate::tally::Reason;
use crate::watch::Watch;

/// Kinds of a layer in order, and the difference of the rectangle's sides in whole micrometres: cartons
/// given in inches must not miss each other's answers by rounding.
type Key = (Vec<u32>, i64);

/// Most by which the search makes a cheap layout smaller, as a share of the side: what is further from
/// fitting is not searched for (judgement; see the figures in docs/layer-search.md).
const SEARCH_GAINS: f64 = 0.08;
/// Pieces from which on a layer is given up after so many cheap layouts when the smallest of them is so
/// much too large, as a share of the side (judgement).
const EARLY_FROM: usize = 12;
const EARLY_STARTS: usize = 2;
const EARLY: f64 = 0.12;
/// Pieces up to which a layer is asked for with one piece fewer first.
const IN_STEP: usize = 14;
/// Distance by which an answer may pass the base, mm.
const ROUNDING_MM: f64 = 1e-6;

/// How far a question may be followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Depth {
    /// Bounds and what is known.
    Known,
    /// Cheap layouts too.
    Quick,
    /// The search too.
    Search,
}

/// Whether a layer goes into a base.
#[derive(Debug, Clone)]
pub(crate) enum Fit {
    /// It does, in this layout.
    Yes(Arc<Nest>),
    /// It does not.
    No,
    /// It may, but was not followed far enough to tell.
    Unsure,
}

/// What is known of one layer.
struct Known {
    bounds: Bounds,
    /// Cheap layouts in the order in which they are found, each smaller than the one before.
    found: Vec<Arc<Nest>>,
    quick: Option<Quick>,
    /// The smallest after `EARLY_STARTS` of them, mm.
    early: Option<f64>,
    /// The search's layouts, by the side asked for in micrometres.
    searched: BTreeMap<i64, Arc<Nest>>,
    /// The smallest the search leads to, once it was let run to its end.
    least: Option<f64>,
}

/// Every layer that was asked for.
pub(crate) struct Layers {
    crush: Crush,
    /// Times the usual descents of a layer; 0 stops at the cheap layouts.
    effort: u32,
    known: BTreeMap<Key, Known>,
    watch: Watch,
}

impl Layers {
    pub(crate) fn new(crush: Crush, effort: u32, watch: Watch) -> Self {
        Self { crush, effort, known: BTreeMap::new(), watch }
    }

    /// Whether it was told to stop.
    pub(crate) fn is_stopped(&self) -> bool {
        self.watch.is_stopped()
    }

    /// The least inside width of a carton, its sides differing by `difference` micrometres, that these
    /// kinds may fit into: what is proved, and what is worth trying, mm.
    pub(crate) fn least_width<'a>(
        &mut self,
        kinds: &[u32],
        standing: &dyn Fn(u32) -> &'a Standing,
        difference: i64,
    ) -> [f64; 2] {
        let items: Vec<&Standing> = kinds.iter().map(|&kind| standing(kind)).collect();
        let walls = 2.0 * items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        let known = self.known(kinds, &items, difference);
        [known.bounds.proved + walls, known.bounds.worth_trying + walls]
    }

    fn known(&mut self, kinds: &[u32], items: &[&Standing], difference: i64) -> &mut Known {
        let crush = self.crush;
        self.known.entry((kinds.to_vec(), difference)).or_insert_with(|| Known {
            bounds: Bounds::of_items(items, crush, difference as f64 / 1000.0),
            found: Vec::new(),
            quick: None,
            early: None,
            searched: BTreeMap::new(),
            least: None,
        })
    }

    /// Whether these kinds (in order) fit into a base, and what decided it.
    pub(crate) fn ask<'a>(
        &mut self,
        kinds: &[u32],
        standing: &dyn Fn(u32) -> &'a Standing,
        base: [f64; 2],
        depth: Depth,
    ) -> (Fit, Reason) {
        // Told to stop, nothing more is looked for; the answer is dropped.
        if self.watch.is_stopped() {
            return (Fit::No, Reason::Hopeless);
        }
        let [_, width] = base;
        let items: Vec<&Standing> = kinds.iter().map(|&kind| standing(kind)).collect();
        let reference = items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        let short = width - 2.0 * reference;
        if short <= 0.0 || short.is_nan() {
            return (Fit::No, Reason::Bound);
        }
        let micrometres = difference(base);
        let difference = micrometres as f64 / 1000.0;
        let (crush, watch) = (self.crush, self.watch.clone());
        let known = self.known(kinds, &items, micrometres);
        if known.bounds.proved > short + ROUNDING_MM {
            return (Fit::No, Reason::Bound);
        }
        if known.given_up(items.len(), short) {
            return (Fit::No, Reason::Hopeless);
        }
        let fits = |nest: &Arc<Nest>| nest.short_mm <= short + ROUNDING_MM;
        if let Some(nest) = known.found.iter().find(|nest| fits(nest)) {
            return (Fit::Yes(nest.clone()), Reason::Memory);
        }
        if known.bounds.worth_trying > short + ROUNDING_MM {
            return (Fit::No, Reason::Hopeless);
        }
        if let Some(answer) = known.remembered(short) {
            return (answer, Reason::Memory);
        }
        if depth == Depth::Known {
            return (Fit::Unsure, Reason::Memory);
        }
        if let [alone] = items.as_slice() {
            // One piece is turned through every angle, so that its answer is the last one.
            let nest =
                Arc::new(smallest_rectangle_watched(&[alone], difference, crush, Effort::normal(1), &watch));
            known.least = Some(nest.short_mm);
            known.found.push(nest.clone());
            return (if fits(&nest) { Fit::Yes(nest) } else { Fit::No }, Reason::Quick);
        }
        if let Some(nest) = known.lay_out(&items, crush, difference, short, &watch) {
            return (Fit::Yes(nest), Reason::Quick);
        }
        let nearest = known.found.last().map_or(f64::INFINITY, |nest| nest.short_mm);
        if nearest * (1.0 - SEARCH_GAINS) > short {
            return (Fit::No, Reason::Hopeless);
        }
        if depth == Depth::Quick || self.effort == 0 {
            return (Fit::Unsure, Reason::Quick);
        }
        // What does not fit without one of its pieces does not fit with it. Asking for the smaller set
        // first is cheap, and keeps the answers for more and for fewer pieces in step.
        if let Some((_, fewer)) = kinds.split_last()
            && kinds.len() <= IN_STEP
            && !matches!(self.ask(fewer, standing, base, depth).0, Fit::Yes(_))
        {
            return (Fit::No, Reason::Search);
        }
        let effort = self.effort.max(1);
        let known = self.known(kinds, &items, micrometres);
        (known.search(&items, crush, difference, short, effort, &watch), Reason::Search)
    }
}

impl Known {
    /// Whether the first cheap layouts are so far from this side that no more are made. Asked before what
    /// is known, so that the answer is the same whatever was asked before.
    fn given_up(&self, pieces: usize, short: f64) -> bool {
        pieces >= EARLY_FROM && self.early.is_some_and(|early| early * (1.0 - EARLY) > short)
    }

    /// What the search has said of this side.
    fn remembered(&self, short: f64) -> Option<Fit> {
        let same = self.searched.get(&micrometres(short));
        if let Some(nest) = same.filter(|nest| nest.short_mm <= short + ROUNDING_MM) {
            return Some(Fit::Yes(nest.clone()));
        }
        if self.least.is_some_and(|least| least > short + ROUNDING_MM) {
            return Some(Fit::No);
        }
        // A search for a smaller side passes by every layout that a search for this one would end at.
        let smaller = self.searched.values().find(|nest| nest.short_mm <= short + ROUNDING_MM);
        smaller.map(|nest| Fit::Yes(nest.clone()))
    }

    /// The first cheap layout that fits, worked off no further than needed.
    fn lay_out(
        &mut self,
        items: &[&Standing],
        crush: Crush,
        difference: f64,
        short: f64,
        watch: &Watch,
    ) -> Option<Arc<Nest>> {
        if self.quick.as_ref().is_some_and(Quick::done) {
            return None;
        }
        let layout = Layout::new(items.to_vec(), crush);
        let mut quick = match self.quick.take() {
            Some(quick) => quick,
            None => {
                let (quick, rows) = Quick::new(&layout, difference, self.bounds.proved);
                self.found.extend(rows.map(Arc::new));
                quick
            }
        };
        let fits = |nest: &&Arc<Nest>| nest.short_mm <= short + ROUNDING_MM;
        let mut work = Work::new(&layout);
        let mut answer = self.found.last().filter(fits).cloned();
        while answer.is_none() && !quick.done() && !self.given_up(items.len(), short) && !watch.is_stopped() {
            watch.tick();
            if let Some(nest) = quick.step(&layout, difference, &mut work) {
                self.found.push(Arc::new(nest));
                answer = self.found.last().filter(fits).cloned();
            }
            if quick.worked_off() == EARLY_STARTS {
                self.early = self.found.last().map(|nest| nest.short_mm);
            }
        }
        self.quick = Some(quick);
        answer
    }

    /// The search for this side: with the usual effort first, so that more effort never loses a layout.
    fn search(
        &mut self,
        items: &[&Standing],
        crush: Crush,
        difference: f64,
        short: f64,
        effort: u32,
        watch: &Watch,
    ) -> Fit {
        let usual = Effort::normal(items.len());
        let mut least = f64::INFINITY;
        for times in [1, effort] {
            let descents = usual.descents.saturating_mul(times as usize);
            let wanted = Effort { descents, enough_mm: short, ..usual };
            let nest = Arc::new(smallest_rectangle_watched(items, difference, crush, wanted, watch));
            if nest.short_mm <= short + ROUNDING_MM {
                self.searched.insert(micrometres(short), nest.clone());
                return Fit::Yes(nest);
            }
            least = least.min(nest.short_mm);
            if effort == 1 {
                break;
            }
        }
        self.least = Some(self.least.map_or(least, |known| known.min(least)));
        Fit::No
    }
}

/// By how much the sides of a base differ, micrometres.
pub(crate) fn difference(base: [f64; 2]) -> i64 {
    micrometres(base[0] - base[1])
}

fn micrometres(mm: f64) -> i64 {
    (mm * 1000.0).round() as i64
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::sync::Arc;

    use super::{Fit, Known};
    use crate::bounds::Bounds;
    use crate::nest::Nest;

    #[test]
    fn a_search_that_failed_says_nothing_of_a_base_larger_than_it_led_to() {
        let nest = |short_mm| Arc::new(Nest { short_mm, places: Vec::new() });
        let known = Known {
            bounds: Bounds { proved: 150.0, worth_trying: 150.0 },
            found: Vec::new(),
            quick: None,
            early: None,
            searched: BTreeMap::from([(220_000, nest(219.0))]),
            least: Some(200.0),
        };
        assert!(matches!(known.remembered(199.0), Some(Fit::No)));
        assert!(known.remembered(210.0).is_none(), "neither met nor failed");
        assert!(matches!(known.remembered(220.0), Some(Fit::Yes(_))));
        assert!(matches!(known.remembered(230.0), Some(Fit::Yes(_))), "met by a search for a smaller one");
    }
}
