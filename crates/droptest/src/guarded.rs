//! What a drop test knows of a bundle beyond where it lies.

use shape::PartKind;

/// One layer of wrap round a bundle.
#[derive(Debug, Clone, PartialEq)]
pub struct WrapLayer {
    /// Key of its material among the cushions.
    pub material: String,
    /// Its thickness, mm.
    pub thickness_mm: f64,
}

/// How a bundle is wrapped and what its parts bear.
#[derive(Debug, Clone, PartialEq)]
pub struct Guarded {
    /// Wrap from the inside out, guards left out; how it shares the thickness over any part.
    pub wrap: Vec<WrapLayer>,
    /// Key of the material that guards its parts, where they wear any under the wrap.
    pub guard: Option<String>,
    /// Design deceleration of each kind of part, in multiples of gravity: what the piece bears over the safety
    /// factor.
    pub bears: Vec<(PartKind, f64)>,
}

impl Guarded {
    /// The part that bears least, and how much.
    #[must_use]
    pub fn weakest(&self) -> Option<(PartKind, f64)> {
        self.bears.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// What lies over a part under this thickness of wrap, from the inside out: material and thickness, mm.
    pub(crate) fn layers(&self, wrap_mm: f64) -> Vec<(&str, f64)> {
        let plain: f64 = self.wrap.iter().map(|layer| layer.thickness_mm).sum();
        let mut found = Vec::new();
        if let Some(guard) = self.guard.as_deref().filter(|_| wrap_mm > plain) {
            found.push((guard, wrap_mm - plain));
        }
        let scale = if plain > 0.0 { wrap_mm.min(plain) / plain } else { 0.0 };
        found.extend(self.wrap.iter().map(|layer| (layer.material.as_str(), layer.thickness_mm * scale)));
        found
    }
}
