//! A parcel rebuilt from its bare solids, wraps and placements alone.

use parry3d_f64::glamx::DVec3;
use plan::{Parcel, PlacedBundle, PlacedPart};

use crate::body::Body;
use crate::named::Named;

/// A hard part, bare and wrapped, as recomputed.
pub(crate) struct Hard<'a> {
    pub(crate) stated: &'a PlacedPart,
    pub(crate) bare: Body,
    pub(crate) wrapped: Body,
}

/// A bundle with its recomputed bodies.
pub(crate) struct Standing<'a> {
    pub(crate) stated: &'a PlacedBundle,
    pub(crate) parts: Vec<Hard<'a>>,
}

impl<'a> Standing<'a> {
    fn new(stated: &'a PlacedBundle) -> Self {
        let hard = |part: &'a PlacedPart| {
            let bare = Body::new(part.bare, part.placement);
            Hard { stated: part, bare, wrapped: bare.grown(part.wrap_mm) }
        };
        Self { stated, parts: stated.parts.iter().map(hard).collect() }
    }

    pub(crate) fn named(&self) -> Named {
        Named::of(self.stated)
    }

    /// Lowest wrapped point, mm.
    pub(crate) fn bottom(&self) -> f64 {
        self.parts.iter().map(|part| part.wrapped.bottom()).fold(f64::INFINITY, f64::min)
    }

    /// Highest wrapped point, mm.
    pub(crate) fn top(&self) -> f64 {
        self.parts.iter().map(|part| part.wrapped.top()).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Centre of its hard volume, mm: the stand-in for its centre of mass.
    pub(crate) fn centre(&self) -> DVec3 {
        let volume: f64 = self.parts.iter().map(|part| part.bare.volume()).sum();
        self.parts.iter().map(|part| part.bare.centroid() * part.bare.volume()).sum::<DVec3>() / volume
    }
}

/// Every bundle of a parcel, in the order of its list.
pub(crate) fn rebuild(parcel: &Parcel) -> Vec<Standing<'_>> {
    parcel.bundles.iter().map(Standing::new).collect()
}
