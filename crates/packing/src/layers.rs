//! What is known of layers: which kinds fit side by side, and how tightly.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use plan::Crush;

use crate::Standing;
use crate::bounds::Bounds;
use crate::energy::Layout;
use crate::nest::{Effort, Nest, smallest_rectangle_with};

/// Kinds of a layer in order, and the difference of the rectangle's sides in whole micrometres: cartons
/// given in inches must not miss each other's answers by rounding.
type Key = (Vec<u32>, i64);

/// Bound of a layer and, once asked for, its smallest rectangle.
#[derive(Clone)]
struct Known {
    worth_trying: f64,
    nest: Option<Arc<Nest>>,
}

/// Every layer that was asked for. An answer depends on the layer alone, never on what was asked before.
pub(crate) struct Layers {
    crush: Crush,
    /// Times the usual descents of a layer.
    effort: u32,
    known: Mutex<BTreeMap<Key, Known>>,
}

impl Layers {
    pub(crate) fn new(crush: Crush, effort: u32) -> Self {
        Self { crush, effort, known: Mutex::new(BTreeMap::new()) }
    }

    fn held(&self) -> MutexGuard<'_, BTreeMap<Key, Known>> {
        // A panic elsewhere leaves whole answers behind, so that they are still good.
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How tightly these kinds (in order) fit into a base; `None` when they don't.
    pub(crate) fn fits<'a>(
        &self,
        kinds: &[u32],
        standing: &dyn Fn(u32) -> &'a Standing,
        length: f64,
        width: f64,
    ) -> Option<Arc<Nest>> {
        let items: Vec<&Standing> = kinds.iter().map(|&kind| standing(kind)).collect();
        let reference = items.iter().map(|item| item.wall()).fold(0.0, f64::max);
        let short = width - 2.0 * reference;
        if short <= 0.0 {
            return None;
        }
        let key = (kinds.to_vec(), ((length - width) * 1000.0).round() as i64);
        let difference = key.1 as f64 / 1000.0;
        let found = self.held().get(&key).cloned();
        let known = found.unwrap_or_else(|| {
            let bounds = Bounds::of(&Layout::new(items.clone(), self.crush), difference);
            let known = Known { worth_trying: bounds.worth_trying, nest: None };
            self.held().insert(key.clone(), known.clone());
            known
        });
        if known.worth_trying > short {
            return None;
        }
        let nest = match known.nest {
            Some(nest) => nest,
            None => {
                // What does not fit without one of its pieces does not fit with it. Asking for the smaller
                // set first is cheap, and keeps the answers for more and for fewer pieces in step.
                if kinds.len() > 1 {
                    self.fits(&kinds[..kinds.len() - 1], standing, length, width)?;
                }
                let usual = Effort::normal(items.len());
                let descents = usual.descents.saturating_mul(self.effort as usize);
                let effort = Effort { descents, ..usual };
                let nest = Arc::new(smallest_rectangle_with(&items, difference, self.crush, effort));
                self.held().insert(key, Known { nest: Some(nest.clone()), ..known });
                nest
            }
        };
        (nest.short_mm <= short + 1e-6).then_some(nest)
    }
}
