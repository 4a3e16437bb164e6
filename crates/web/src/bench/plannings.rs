//! Plannings of orders: waiting, worked on, stored or refused. What is planned itself lies in the shop file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use trade::Watch;

/// Plannings remembered, for what is said of them beside the stored plan.
const KEPT: usize = 30;
/// Plannings that may wait or be worked on at once.
const UNFINISHED: usize = 6;

/// What is said of a plan beside its figures; gone when the program ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Said {
    /// The parcels it became.
    pub parcels: Vec<u64>,
    /// One sentence each: substitutes, what they cost, what isn't among the supplies, what was learnt.
    pub lines: Vec<String>,
}

/// How far a planning is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Stage {
    /// Others are worked on first.
    Waiting,
    /// Cartons are tried.
    Working,
    /// The plan is being stored; it can't be stopped any more.
    Storing,
    /// It is stored.
    Done(Arc<Said>),
    /// There is no plan, for this reason.
    Refused(String),
    /// It was stopped; what was planned before stands.
    Stopped,
}

/// The planning of an order; cloning shares it.
#[derive(Debug, Clone)]
pub(crate) struct Planning(Arc<(Mutex<Stage>, Watch)>);

/// Too much is planned at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TooMany;

/// The latest planning of each order, by shop file and order.
#[derive(Debug, Default)]
pub(crate) struct Plannings {
    all: Mutex<BTreeMap<(PathBuf, u64), Planning>>,
}

impl Plannings {
    /// Begins to plan an order; `None` where that is going on already.
    pub(crate) fn begin(&self, shop: &Path, order: u64) -> Result<Option<Planning>, TooMany> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (shop.to_owned(), order);
        if all.get(&key).is_some_and(|before| !before.is_done()) {
            return Ok(None);
        }
        if all.values().filter(|one| !one.is_done()).count() >= UNFINISHED {
            return Err(TooMany);
        }
        all.remove(&key);
        if all.len() >= KEPT {
            let done = all.iter().find(|(_, one)| one.is_done()).map(|(key, _)| key.clone());
            if let Some(done) = done {
                all.remove(&done);
            }
        }
        let planning = Planning(Arc::new((Mutex::new(Stage::Waiting), Watch::default())));
        all.insert(key, planning.clone());
        Ok(Some(planning))
    }

    /// Forgets those that are done: what they stored is no longer there.
    pub(crate) fn forget(&self) {
        self.all.lock().unwrap_or_else(PoisonError::into_inner).retain(|_, one| !one.is_done());
    }

    /// The latest planning of an order.
    pub(crate) fn find(&self, shop: &Path, order: u64) -> Option<Planning> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(&(shop.to_owned(), order)).cloned()
    }
}

impl Planning {
    /// How far it is.
    pub(crate) fn stage(&self) -> Stage {
        self.state().clone()
    }

    /// Whether there is nothing more to wait for.
    pub(crate) fn is_done(&self) -> bool {
        match *self.state() {
            Stage::Waiting | Stage::Working | Stage::Storing => false,
            Stage::Done(_) | Stage::Refused(_) | Stage::Stopped => true,
        }
    }

    /// How far it is, in words.
    pub(crate) fn how_far(&self) -> String {
        let words = match *self.state() {
            Stage::Waiting => "Waiting for another plan to be done.",
            Stage::Working => {
                let tried = crate::pack::jobs::tried(&self.0.1);
                return format!("Trying the cartons on hand and laying the pieces out in them.{tried}");
            }
            Stage::Storing => "Setting the supplies aside.",
            Stage::Done(_) => "Done.",
            Stage::Refused(_) => "There is no plan.",
            Stage::Stopped => "Stopped.",
        };
        words.to_owned()
    }

    /// Who looks on while it is packed.
    pub(crate) fn watch(&self) -> &Watch {
        &self.0.1
    }

    /// Takes the work up; false where it was stopped before.
    pub(crate) fn work(&self) -> bool {
        self.goes_on(&Stage::Waiting, Stage::Working)
    }

    /// Takes up storing what was found; false where it was stopped meanwhile.
    pub(crate) fn store(&self) -> bool {
        self.goes_on(&Stage::Working, Stage::Storing)
    }

    /// Ends it, unless it was stopped.
    pub(crate) fn end(&self, stage: Stage) {
        let mut state = self.state();
        match *state {
            Stage::Waiting | Stage::Working | Stage::Storing => *state = stage,
            Stage::Done(_) | Stage::Refused(_) | Stage::Stopped => {}
        }
    }

    /// Stops it, as long as nothing is being stored.
    pub(crate) fn stop(&self) {
        let mut state = self.state();
        match *state {
            Stage::Waiting | Stage::Working => {
                self.0.1.stop();
                *state = Stage::Stopped;
            }
            Stage::Storing | Stage::Done(_) | Stage::Refused(_) | Stage::Stopped => {}
        }
    }

    fn goes_on(&self, from: &Stage, to: Stage) -> bool {
        let mut state = self.state();
        let goes_on = *state == *from;
        if goes_on {
            *state = to;
        }
        goes_on
    }

    fn state(&self) -> MutexGuard<'_, Stage> {
        self.0.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::{Plannings, Stage, UNFINISHED};

    #[test]
    fn what_was_stopped_is_never_stored_and_what_is_being_stored_is_not_stopped() {
        let plannings = Plannings::default();
        let shop = Path::new("own.shop");
        let first = plannings.begin(shop, 1).expect("room").expect("new");
        assert!(first.work());
        first.stop();
        assert!(!first.store() && first.stage() == Stage::Stopped && first.watch().is_stopped());
        first.end(Stage::Refused(String::from("late")));
        assert_eq!(first.stage(), Stage::Stopped);
        let again = plannings.begin(shop, 1).expect("room").expect("the first is over");
        assert!(again.work() && again.store());
        again.stop();
        assert!(again.stage() == Stage::Storing && !again.watch().is_stopped());
    }

    #[test]
    fn an_order_is_planned_once_at_a_time_and_only_so_many_are() {
        let plannings = Plannings::default();
        let shop = Path::new("own.shop");
        for order in 1..=UNFINISHED as u64 {
            assert!(plannings.begin(shop, order).expect("room").is_some());
        }
        assert!(plannings.begin(shop, 1).expect("it goes on").is_none());
        assert!(plannings.begin(Path::new("demo.shop"), 1).is_err(), "another file, another order");
    }
}
