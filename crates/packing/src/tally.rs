//! How decisions were come by, counted.

/// What decided whether bundles go into a carton.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// A proved bound: too small for one bundle, for the volume, or for every way to layer them.
    Bound,
    /// Another carton of the same question: what goes into a smaller one goes into this, what does not
    /// go into a larger one does not.
    Dominance,
    /// Layers that had been laid out before.
    Memory,
    /// A cheap layout: rows, templates and a few descents.
    Quick,
    /// No cheap layout comes near enough for the search to make up (judgement).
    Hopeless,
    /// The search.
    Search,
}

/// Whether bundles go into one carton, and how that is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Decision {
    /// Index of the carton in the packer's list.
    pub carton: usize,
    /// Whether they go in.
    pub fits: bool,
    /// What decided it.
    pub reason: Reason,
}
