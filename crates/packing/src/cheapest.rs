//! The cheapest carton for a set of bundles.
//!
//! A draft without pads costs no more than the parcel it becomes, so cartons are taken in the order of
//! that bound and the first pass stops when the bound passes the best parcel found by cheap layouts. The
//! second asks the search for what may still be cheaper, and for nothing else.

use plan::{Carton, Parcel};
use shape::Bundle;

use crate::boxed::{Boxed, Wish, boxed};
use crate::build::parcel;
use crate::candidate::{Draft, Finish};
use crate::layers::Depth;
use crate::packer::{Packed, Refused};
use crate::question::{Attempt, FEW, Question};
use crate::stack::Stack;
use crate::stacking::{Standable, Tried};
use crate::tend::Found;

/// Stacks of many bundles that are searched for, of those that may be cheaper: their layers are large and
/// each takes long.
const SEARCHED: usize = 6;

/// What goes into a carton: layers with pads between them, or boxes on boxes.
enum Laid<'a> {
    Layers(Box<Standable<'a>>),
    Boxes(Boxed),
}

/// The best parcel so far.
struct Best<'a> {
    cost_cents: i64,
    carton: usize,
    laid: Laid<'a>,
    finish: Finish,
}

impl Best<'_> {
    /// Whether it has pads, which boxes on boxes do without.
    fn has_pads(&self) -> bool {
        matches!(&self.laid, Laid::Layers(standable) if !standable.stack.pads.is_empty())
    }
}

/// A stack in a carton with what it costs.
struct Priced {
    cost_cents: i64,
    /// What the carton costs at least.
    bound: i64,
    carton: usize,
    attempt: Attempt,
    finish: Finish,
}

type Finisher<'f> = &'f (dyn Fn(&Draft) -> Result<Finish, String> + Sync);
type Prover<'f> = &'f (dyn Fn(&Parcel) -> bool + Sync);

impl<'a> Question<'a> {
    /// The cheapest parcel.
    pub(crate) fn pack(mut self, finish: Finisher, prove: Prover, tending: bool) -> Result<Packed, Refused> {
        let mut reason = String::from("none is large enough");
        let mut candidates: Vec<(i64, usize)> = Vec::new();
        for carton in 0..self.cartons.len() {
            match finish(&self.draft(carton, 0.0, &[])) {
                Ok(finish) => candidates.push((finish.cost_cents, carton)),
                Err(why) => reason = why,
            }
        }
        candidates.sort_unstable();
        let none_sendable = candidates.is_empty();
        // What is proved too small stays too small, and every bound is needed for the answer's own.
        let small: Vec<bool> = self.cartons.iter().map(|carton| self.too_small(carton)).collect();
        candidates.retain(|&(_, carton)| !small[carton]);
        let mut best: Option<Best<'a>> = None;
        let mut unsure: Vec<Priced> = Vec::new();
        let mut refused: Vec<[f64; 3]> = Vec::new();
        for &(bound, carton) in &candidates {
            if self.layers.is_stopped() {
                return Err(Refused::Stopped);
            }
            if best.as_ref().is_some_and(|best| bound >= best.cost_cents) {
                break;
            }
            let inside = self.cartons[carton].inside_mm;
            if refused.iter().any(|other| within(inside, *other)) {
                continue;
            }
            let mut sure = true;
            for priced in self.priced(carton, bound, finish) {
                if best.as_ref().is_some_and(|best| priced.cost_cents >= best.cost_cents) {
                    sure = false;
                    break;
                }
                match self.attempt(&priced.attempt, carton, Depth::Quick) {
                    Tried::Stands(standable, _) => {
                        sure = false;
                        let better = self.better(&priced, standable, finish, prove, best.as_ref());
                        if better.is_some() {
                            best = better;
                            break;
                        }
                    }
                    Tried::Missing { sure: true, .. } => sure &= !priced.attempt.loose,
                    Tried::Missing { sure: false, .. } => {
                        sure = false;
                        unsure.push(priced);
                    }
                    Tried::Falls => sure = false,
                }
            }
            // Boxes on boxes need no pads; a layer that is there without any has nothing to gain.
            let laid_here = best.as_ref().filter(|best| best.carton == carton);
            if laid_here.is_none_or(Best::has_pads)
                && let Some(boxes) = boxed(inside, self.bundles, &self.rules, Wish::Any)
            {
                sure = false;
                let stacked = self.stacked(boxes, carton, bound, finish, prove, best.as_ref());
                best = stacked.or(best);
            }
            if sure {
                refused.push(inside);
            }
        }
        if self.effort > 0 {
            unsure.sort_by_key(|priced| (priced.cost_cents, priced.carton));
            let most = self.searched();
            for priced in unsure.into_iter().take(most) {
                if self.layers.is_stopped() {
                    return Err(Refused::Stopped);
                }
                if best.as_ref().is_some_and(|best| priced.cost_cents >= best.cost_cents) {
                    break;
                }
                let tried = self.attempt(&priced.attempt, priced.carton, Depth::Search);
                if let Tried::Stands(standable, _) = tried
                    && let Some(better) = self.better(&priced, standable, finish, prove, best.as_ref())
                {
                    best = Some(better);
                    break;
                }
            }
        }
        match best {
            Some(best) => Ok(Packed {
                parcel: if tending {
                    self.handed(&self.cartons[best.carton], &best.laid, &best.finish, prove)
                } else {
                    self.record(&self.cartons[best.carton], &best.laid, &best.finish)
                },
                cost_cents: best.cost_cents,
                carton: best.carton,
                bound_cents: candidates
                    .iter()
                    .map(|(bound, _)| *bound)
                    .chain([best.cost_cents])
                    .min()
                    .unwrap_or(best.cost_cents),
            }),
            None => Err(self.refusal(none_sendable, reason)),
        }
    }

    /// How many stacks that may fit are searched for.
    pub(crate) fn searched(&self) -> usize {
        if self.bundles.len() > FEW { SEARCHED.saturating_mul(self.effort as usize) } else { usize::MAX }
    }

    fn draft(&self, carton: usize, bed_mm: f64, pads: &[f64]) -> Draft {
        let wrapped: f64 = self.bundles.iter().map(|bundle| bundle.wrapped_volume_mm3).sum();
        Draft {
            carton,
            bundles_g: self.bundles.iter().map(|bundle| bundle.mass_g).sum(),
            void_mm3: (self.cartons[carton].inside_mm.iter().product::<f64>() - wrapped).max(0.0),
            bed_mm,
            pads: pads.len() as u32,
            pads_mm: pads.iter().sum(),
        }
    }

    fn draft_of(&self, carton: usize, stack: &Stack) -> Draft {
        self.draft(carton, stack.bed, &stack.pads)
    }

    /// What is worth trying in a carton with what each costs, the cheapest and then the lowest first.
    fn priced(&mut self, carton: usize, bound: i64, finish: Finisher) -> Vec<Priced> {
        let attempts = self.attempts(carton);
        let mut found: Vec<Priced> = attempts
            .list
            .into_iter()
            .filter_map(|attempt| {
                let finish = finish(&self.draft_of(carton, &attempt.stack)).ok()?;
                Some(Priced { cost_cents: finish.cost_cents.max(bound), bound, carton, attempt, finish })
            })
            .collect();
        // A stable sort: the preferred ways up come first among equals.
        found.sort_by(|a, b| {
            let cost = a.cost_cents.cmp(&b.cost_cents);
            cost.then(a.attempt.stack.height.total_cmp(&b.attempt.stack.height))
        });
        found
    }

    /// A stack that stands, if it is cheaper than the best and passes: one that was changed on the way is
    /// priced again.
    fn better(
        &self,
        priced: &Priced,
        standable: Box<Standable<'a>>,
        finish: Finisher,
        prove: Prover,
        best: Option<&Best<'a>>,
    ) -> Option<Best<'a>> {
        let carton = priced.carton;
        let (cost_cents, finish) = if standable.stack == priced.attempt.stack {
            (priced.cost_cents, priced.finish.clone())
        } else {
            let finish = finish(&self.draft_of(carton, &standable.stack)).ok()?;
            (finish.cost_cents.max(priced.bound), finish)
        };
        let cheaper = best.is_none_or(|best| cost_cents < best.cost_cents);
        let better = Best { cost_cents, carton, laid: Laid::Layers(standable), finish };
        let plan = || self.record(&self.cartons[carton], &better.laid, &better.finish);
        (cheaper && prove(&plan())).then_some(better)
    }

    /// Boxes on boxes, if they are cheaper than the best and pass.
    fn stacked(
        &self,
        boxes: Boxed,
        carton: usize,
        bound: i64,
        finish: Finisher,
        prove: Prover,
        best: Option<&Best<'a>>,
    ) -> Option<Best<'a>> {
        let finish = finish(&self.draft(carton, boxes.bed, &[])).ok()?;
        let cost_cents = finish.cost_cents.max(bound);
        let cheaper = best.is_none_or(|best| cost_cents < best.cost_cents);
        let better = Best { cost_cents, carton, laid: Laid::Boxes(boxes), finish };
        let plan = || self.record(&self.cartons[carton], &better.laid, &better.finish);
        (cheaper && prove(&plan())).then_some(better)
    }

    fn record(&self, carton: &Carton, laid: &Laid<'a>, finish: &Finish) -> Parcel {
        let bundles: &[&Bundle] = self.bundles;
        match laid {
            Laid::Layers(standable) => {
                let Standable { stack, items, laid_out } = &**standable;
                parcel(carton, stack, laid_out, items, bundles, finish, &self.rules)
            }
            Laid::Boxes(boxes) => boxes.parcel(carton, bundles, finish, &self.rules),
        }
    }

    /// The chosen parcel as hands like it best, proved again.
    fn handed(&self, carton: &Carton, laid: &Laid<'a>, finish: &Finish, prove: Prover) -> Parcel {
        let (bundles, rules): (&[&Bundle], _) = (self.bundles, &self.rules);
        let nicer = match laid {
            Laid::Layers(standable) => {
                let Standable { stack, items, laid_out } = &**standable;
                let found = Found { carton, stack, items, bundles, finish, rules };
                let tended = found.tended(laid_out).into_iter();
                tended
                    .map(|laid_out| parcel(carton, stack, &laid_out, items, bundles, finish, rules))
                    .find(|parcel| prove(parcel))
            }
            Laid::Boxes(_) => boxed(carton.inside_mm, bundles, rules, Wish::Lowest)
                .map(|lower| self.record(carton, &Laid::Boxes(lower), finish))
                .filter(|parcel| prove(parcel)),
        };
        nicer.unwrap_or_else(|| self.record(carton, laid, finish))
    }
}

/// Whether one inside goes into another as it stands, one way round or the other.
pub(crate) fn within(inside: [f64; 3], other: [f64; 3]) -> bool {
    let holds = |a: [f64; 2], b: [f64; 2]| a[0] <= b[0] && a[1] <= b[1];
    let base = [inside[0], inside[1]];
    inside[2] <= other[2] && (holds(base, [other[0], other[1]]) || holds(base, [other[1], other[0]]))
}
