//! Why a rule's thickness is not enough: what the rule takes for granted of the cushion, and what this one does.

use cushion::{Hits, Material};
use measure::Length;

use crate::{GuardQuestion, Shock};

/// What the best load may be missed by, as a ratio of factors, before the load is named as a reason (judgement).
const OFF_LOAD: f64 = 1.05;

/// On which side of its best load a cushion is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OffLoad {
    /// Too little presses on it.
    Light,
    /// Too much presses on it.
    Heavy,
}

/// Why so much of a material is not enough. All factors are cushion factors, G t / h: how many times the shock of
/// an ideal cushion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WhyMore {
    /// The thickness that is not enough, wrap included.
    pub thickness: Length,
    /// Shock behind it, multiples of gravity.
    pub peak_g: f64,
    /// That over the allowed shock, less 1.
    pub over: f64,
    /// The largest factor with which it would have been enough.
    pub factor_allowed: f64,
    /// The factor that this cushion has here.
    pub factor_here: f64,
    /// The factor that the material has at its best load, later drops included.
    pub factor_best: f64,
    /// On which side of its best load it is, where that adds to the shock.
    pub off_load: Option<OffLoad>,
}

impl WhyMore {
    /// Why a shock is over what is allowed; `None` when it isn't.
    #[must_use]
    pub fn of(question: &GuardQuestion<'_>, material: &Material, shock: &Shock) -> Option<Self> {
        if shock.is_enough {
            return None;
        }
        let wrap: Length = question.wrap.iter().map(|(_, thickness)| *thickness).sum();
        let thickness = shock.thickness + wrap;
        let ratio = thickness.inches() / question.height.inches();
        let later = match question.hits {
            Hits::First => 1.0,
            Hits::Repeated => material.repeated.as_ref().map_or(1.0, |times| times.value),
        };
        let factor_here = shock.peak_g * ratio;
        let factor_best = material.factor.value * later;
        Some(Self {
            thickness,
            peak_g: shock.peak_g,
            over: shock.peak_g / question.allowed_g - 1.0,
            factor_allowed: question.allowed_g * ratio,
            factor_here,
            factor_best,
            off_load: off_load(question, material, shock).filter(|_| factor_here > factor_best * OFF_LOAD),
        })
    }
}

/// On which side of its best load the material is at this thickness; `None` within it, or where that isn't known.
fn off_load(question: &GuardQuestion<'_>, material: &Material, shock: &Shock) -> Option<OffLoad> {
    let inches = shock.thickness.inches();
    let (from, to) = material.law(inches, question.hits).best()?;
    let energy = question.load_psi()? * question.height.inches() / inches;
    if energy < from {
        Some(OffLoad::Light)
    } else if energy > to {
        Some(OffLoad::Heavy)
    } else {
        None
    }
}
