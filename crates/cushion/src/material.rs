//! One material and what it does as a cushion.

use measure::Length;
use protection::{Figure, Origin};
use serde::Deserialize;

use crate::cushion_factor::FACTOR;
use crate::rows::{RawFigure, ends, figure, maybe};
use crate::stress_energy::{A_PSI, B_PER_PSI};
use crate::validity::{LEAST_THICKNESS_IN, MOST_DENSITY_PCF, SLACK_IN};
use crate::{CushionError, Method, Outside, Stress, StressEnergy, StressLaw};

/// Height over thickness at which best loads are stated in the data file.
const STATED_RATIO: f64 = 12.0;
/// Thinnest and thickest layer, in.
const LAYER_IN: (f64, f64) = (0.0005, 12.0);
/// Lightest and heaviest cushion, lb/ft3.
const DENSITY_PCF: (f64, f64) = (0.01, 500.0);
/// Least and most load in a data file, psi.
const LOAD_PSI: (f64, f64) = (1e-5, 1e5);
/// Thinnest and thickest cushion in a data file, in.
const TESTED_IN: (f64, f64) = (0.01, 100.0);
/// Least and most of a usable strain.
const STRAIN: (f64, f64) = (0.05, 0.95);
/// Least and most of a factor for later drops.
const REPEATED: (f64, f64) = (1.0, 10.0);
/// By how much a stated best load may miss the one of the pair, as a share (figures are rounded).
const SAME_LOAD: f64 = 0.05;

/// Which drops a cushion is reckoned for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Hits {
    /// The first alone, the mildest of nearly all materials.
    First,
    /// Several, as a parcel sees them.
    #[default]
    Repeated,
}

/// A material's row as written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RawMaterial {
    name: Option<String>,
    layer_in: Option<RawFigure>,
    density_lb_ft3: Option<RawFigure>,
    factor: RawFigure,
    best_load_psi: Option<RawFigure>,
    a_psi: Option<RawFigure>,
    b_per_psi: Option<RawFigure>,
    tested_load_psi: Option<RawFigure>,
    tested_in: Option<RawFigure>,
    usable_strain: Option<RawFigure>,
    repeated: Option<RawFigure>,
}

/// A material with its cushioning figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Its key, that of the same material elsewhere ("bubble_small").
    pub key: String,
    /// What a packer calls it.
    pub name: String,
    /// Thickness of one layer in use, in; `None` for what is poured or crumpled.
    pub layer_in: Option<Figure>,
    /// Density as used, lb/ft3.
    pub density_lb_ft3: Option<Figure>,
    /// Cushion factor at its best load, at least 1.
    pub factor: Figure,
    /// Static stress where the factor holds, psi, at a height of 12 thicknesses.
    pub best_load_psi: Option<Figure>,
    /// First figure of the stress-energy law, psi; there when [`Material::b_per_psi`] is.
    pub a_psi: Option<Figure>,
    /// Second figure of the stress-energy law, 1/psi.
    pub b_per_psi: Option<Figure>,
    /// Static stress that the law was fitted to, psi.
    pub tested_load_psi: Option<Figure>,
    /// Thickness that the law was fitted to, in.
    pub tested_in: Option<Figure>,
    /// Share of the thickness that may be pressed before it turns hard.
    pub usable_strain: Option<Figure>,
    /// Shock of later drops over that of the first; `None` where it comes back.
    pub repeated: Option<Figure>,
    pair: Option<StressEnergy>,
}

impl Material {
    pub(crate) fn read(key: &str, raw: RawMaterial) -> Result<Self, CushionError> {
        let place = format!("cushion {key}");
        let mut material = Self {
            key: key.to_owned(),
            name: raw.name.unwrap_or_else(|| key.to_owned()),
            layer_in: maybe(&place, "layer_in", raw.layer_in, LAYER_IN)?,
            density_lb_ft3: maybe(&place, "density_lb_ft3", raw.density_lb_ft3, DENSITY_PCF)?,
            factor: figure(&place, "factor", raw.factor, FACTOR)?,
            best_load_psi: maybe(&place, "best_load_psi", raw.best_load_psi, LOAD_PSI)?,
            a_psi: maybe(&place, "a_psi", raw.a_psi, A_PSI)?,
            b_per_psi: maybe(&place, "b_per_psi", raw.b_per_psi, B_PER_PSI)?,
            tested_load_psi: maybe(&place, "tested_load_psi", raw.tested_load_psi, LOAD_PSI)?,
            tested_in: maybe(&place, "tested_in", raw.tested_in, TESTED_IN)?,
            usable_strain: maybe(&place, "usable_strain", raw.usable_strain, STRAIN)?,
            repeated: maybe(&place, "repeated", raw.repeated, REPEATED)?,
            pair: None,
        };
        material.pair = material.read_pair(&place)?;
        Ok(material)
    }

    /// The pair, held against the other figures of the row.
    fn read_pair(&self, place: &str) -> Result<Option<StressEnergy>, CushionError> {
        let refuse = |what: String, right: String| {
            Err(CushionError::Contradiction { place: place.to_owned(), what, right })
        };
        let (a, b) = match (&self.a_psi, &self.b_per_psi) {
            (Some(a), Some(b)) => (a, b),
            (None, None) => return Ok(None),
            (Some(_), None) | (None, Some(_)) => {
                return refuse(
                    "one of a_psi and b_per_psi is missing".to_owned(),
                    "both or neither".to_owned(),
                );
            }
        };
        let pair = StressEnergy::new(Stress::from_psi(a.value), b.value)?;
        let (low, high) = ends(&self.factor);
        let factor = pair.cushion_factor();
        if !(low..=high).contains(&factor) {
            return refuse(
                format!(
                    "a_psi and b_per_psi give a cushion factor of {factor:.2}, but factor is {low} to {high}"
                ),
                format!("a factor whose range holds {factor:.2}, or another pair"),
            );
        }
        if let Some(best) = &self.best_load_psi {
            let load = 1.0 / (STATED_RATIO * b.value);
            if (best.value / load - 1.0).abs() > SAME_LOAD {
                return refuse(
                    format!(
                        "b_per_psi gives a best load of {load:.3} psi, but best_load_psi is {}",
                        best.value
                    ),
                    format!("a best load of {load:.3} psi, or another pair"),
                );
            }
        }
        Ok(Some(pair))
    }

    /// The stress-energy law, where its pair is known.
    #[must_use]
    pub const fn stress_energy(&self) -> Option<&StressEnergy> {
        self.pair.as_ref()
    }

    /// Thickness of so many layers; `None` for what has none.
    #[must_use]
    pub fn layers(&self, count: u32) -> Option<Length> {
        self.layer_in.as_ref().map(|layer| Length::from_inches(layer.value * f64::from(count)))
    }

    /// Every reason why the stress-energy law does not hold at this load and thickness; none when it does.
    #[must_use]
    pub fn outside(&self, load: Stress, thickness: Length) -> Vec<Outside> {
        if self.pair.is_none() {
            return vec![Outside::NoPair { material: self.name.clone() }];
        }
        let (load_psi, thickness_in) = (load.psi(), thickness.inches());
        let mut outside = Vec::new();
        if let Some(density) = self.too_dense() {
            outside.push(Outside::Dense { density_pcf: density, most_pcf: MOST_DENSITY_PCF });
        }
        if thin(thickness_in) {
            outside.push(Outside::Thin { thickness_in, least_in: LEAST_THICKNESS_IN });
        }
        if let Some((low_psi, high_psi)) = self.tested_load_psi.as_ref().map(ends)
            && !(low_psi..=high_psi).contains(&load_psi)
        {
            outside.push(Outside::Load { load_psi, low_psi, high_psi });
        }
        if let Some((low_in, high_in)) = self.tested_in.as_ref().map(ends)
            && !(low_in - SLACK_IN..=high_in + SLACK_IN).contains(&thickness_in)
            && !thin(thickness_in)
        {
            outside.push(Outside::Thickness { thickness_in, low_in, high_in });
        }
        outside
    }

    /// The stress-energy law at this load and thickness, and nothing else.
    ///
    /// # Errors
    /// When it does not hold there, with every reason.
    pub fn stress_energy_at(&self, load: Stress, thickness: Length) -> Result<&StressEnergy, CushionError> {
        let outside = self.outside(load, thickness);
        match (&self.pair, outside.is_empty()) {
            (Some(pair), true) => Ok(pair),
            _ => Err(CushionError::OutsideMethod {
                method: Method::StressEnergy.word(),
                material: self.name.clone(),
                outside,
            }),
        }
    }

    fn too_dense(&self) -> Option<f64> {
        self.density_lb_ft3
            .as_ref()
            .map(|density| density.value)
            .filter(|density| *density > MOST_DENSITY_PCF)
    }

    /// Energy densities (psi) of the best loads.
    fn best_energy(&self) -> Option<(f64, f64)> {
        let stated = || {
            self.best_load_psi.as_ref().map(|load| {
                let (low, high) = ends(load);
                (low * STATED_RATIO, high * STATED_RATIO)
            })
        };
        self.pair.as_ref().and_then(|pair| StressLaw::of(pair).best()).or_else(stated)
    }

    /// Factor on the shock for these drops.
    pub(crate) fn repeats(&self, hits: Hits) -> f64 {
        match hits {
            Hits::First => 1.0,
            Hits::Repeated => self.repeated.as_ref().map_or(1.0, |times| times.value),
        }
    }

    /// The law for so much of this material. Where the stress-energy law breaks down (thin, dense) the high end
    /// of the cushion factor is taken, so that the fall back errs against hope.
    #[must_use]
    pub fn law(&self, thickness_in: f64, hits: Hits) -> StressLaw {
        let (_, high) = ends(&self.factor);
        let law = match &self.pair {
            Some(pair) if !thin(thickness_in) && self.too_dense().is_none() => StressLaw::of(pair),
            Some(pair) => StressLaw::of(pair).with_factor(high),
            None => StressLaw::new(self.factor.value, self.best_energy()),
        };
        law.scaled(self.repeats(hits))
    }

    /// The same law at the low and at the high end of the cushion factor.
    pub(crate) fn law_ends(&self, law: StressLaw, hits: Hits) -> (StressLaw, StressLaw) {
        let (low, high) = ends(&self.factor);
        let times = self.repeats(hits);
        (law.with_factor(low * times), law.with_factor(high * times))
    }

    /// Figures that the law rests on, with their names and sources.
    pub(crate) fn rests_on(&self, method: Method) -> Vec<(&'static str, Origin)> {
        let named =
            |name, figure: &Option<Figure>| figure.as_ref().map(|figure| (name, figure.origin.clone()));
        match method {
            Method::StressEnergy => [named("a", &self.a_psi), named("b", &self.b_per_psi)],
            Method::CushionFactor => [
                Some(("cushion factor", self.factor.origin.clone())),
                named("best load", &self.best_load_psi),
            ],
        }
        .into_iter()
        .flatten()
        .chain(named("later drops", &self.repeated))
        .collect()
    }
}

/// Whether the stress-energy law does not hold for being so thin.
fn thin(thickness_in: f64) -> bool {
    thickness_in < LEAST_THICKNESS_IN - SLACK_IN
}
