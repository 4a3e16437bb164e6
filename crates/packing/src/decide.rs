//! Which cartons take a set of bundles, one decision answering for many.

use crate::cheapest::within;
use crate::layers::Depth;
use crate::question::Question;
use crate::stacking::Tried;
use crate::tally::{Decision, Reason};

impl Question<'_> {
    /// One decision for each carton, in their order.
    pub(crate) fn decide(mut self) -> Vec<Decision> {
        let mut decisions: Vec<Option<Decision>> = self
            .cartons
            .iter()
            .enumerate()
            .map(|(carton, inside)| {
                self.too_small(inside).then_some(Decision { carton, fits: false, reason: Reason::Bound })
            })
            .collect();
        let volume =
            |carton: usize, question: &Self| question.cartons[carton].inside_mm.iter().product::<f64>();
        loop {
            let mut open: Vec<usize> =
                (0..decisions.len()).filter(|&carton| decisions[carton].is_none()).collect();
            // The middle one of those that are open: its answer decides for many of the rest.
            open.sort_by(|&a, &b| volume(a, &self).total_cmp(&volume(b, &self)).then(a.cmp(&b)));
            let Some(&carton) = open.get(open.len() / 2) else { break };
            let decision = self.decide_one(carton);
            let inside = self.cartons[carton].inside_mm;
            for other in open {
                let theirs = self.cartons[other].inside_mm;
                let follows = if decision.fits { within(inside, theirs) } else { within(theirs, inside) };
                if follows {
                    decisions[other] =
                        Some(Decision { carton: other, fits: decision.fits, reason: Reason::Dominance });
                }
            }
            decisions[carton] = Some(decision);
        }
        decisions.into_iter().flatten().collect()
    }

    fn decide_one(&mut self, carton: usize) -> Decision {
        let attempts = self.attempts(carton);
        let mut reason = if attempts.proved { Reason::Bound } else { Reason::Hopeless };
        let mut unsure = Vec::new();
        for attempt in attempts.list {
            match self.attempt(&attempt, carton, Depth::Quick) {
                Tried::Stands(_, reason) => return Decision { carton, fits: true, reason },
                Tried::Missing { sure: false, .. } => unsure.push(attempt),
                Tried::Missing { reason: why, .. } => reason = reason.max(why),
                Tried::Falls => {}
            }
        }
        if self.effort > 0 {
            let most = self.searched();
            for attempt in unsure.into_iter().take(most) {
                reason = Reason::Search;
                if let Tried::Stands(_, reason) = self.attempt(&attempt, carton, Depth::Search) {
                    return Decision { carton, fits: true, reason };
                }
            }
        }
        Decision { carton, fits: false, reason }
    }
}
