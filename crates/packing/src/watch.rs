//! Looking on while parcels are packed: how much was tried so far, and a word to stop.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// Looks on while parcels are packed; cloning shares it, so that one clone packs and another looks on.
///
/// It changes no answer: what is packed to its end is the same whoever looks on. What was told to stop has no answer.
///
/// ```
/// let watch = packing::Watch::default();
/// assert_eq!((watch.tried(), watch.is_stopped()), (0, false));
/// watch.stop();
/// assert!(watch.clone().is_stopped());
/// ```
#[derive(Debug, Clone, Default)]
pub struct Watch(Arc<Seen>);

#[derive(Debug, Default)]
struct Seen {
    tried: AtomicU64,
    stopped: AtomicBool,
}

impl Watch {
    /// Layouts that were tried so far: it only grows. How many there will be isn't known before.
    #[must_use]
    pub fn tried(&self) -> u64 {
        self.0.tried.load(Ordering::Relaxed)
    }

    /// Ends the work within a few layouts more.
    pub fn stop(&self) {
        self.0.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether it was told to stop.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.0.stopped.load(Ordering::Relaxed)
    }

    /// Counts a layout.
    pub(crate) fn tick(&self) {
        self.0.tried.fetch_add(1, Ordering::Relaxed);
    }
}
