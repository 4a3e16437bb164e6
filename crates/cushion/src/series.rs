//! Unlike layers one behind another: a wrap and the fill round it.
//!
//! Layers in series carry one force. Under a peak force F = G W each is pressed to the stress F / A of its own
//! area, and has by then taken up the energy that its law gives for that stress. The shock is the G at which
//! these energies add up to that of the fall:
//!
//! ```text
//! sum of A t e(G W / A) = W h
//! ```
//!
//! Each term rises with G, so there is one answer, found by halving. For one layer it is `peak_g`; for springs
//! (stress and strain in proportion) it is 1/k = sum of 1/k. Deflections are not thicknesses: only layers of
//! one material over one area may be added up by thickness.

use std::collections::BTreeMap;

use measure::{Area, Length};

use crate::bounds::{LEAST_ANSWER_IN, SHOCK_G, THICKNESS_IN, area_in2, shock_g, thickness_in};
use crate::predict::of_hits;
use crate::working::shown;
use crate::{
    Caution, CushionError, Fall, Hits, Material, Method, Outside, Stress, StressLaw, Working, caution,
};

/// Halvings of an interval: enough to leave nothing between two neighbouring floating-point numbers.
const HALVINGS: u32 = 100;

/// What is added to a thickness found by halving, in, so that conversion to other units never takes it back under
/// a step of the law.
const ROUNDING_IN: f64 = 1e-9;

/// One layer between a piece and the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layer<'a> {
    /// What it is of.
    pub material: &'a Material,
    /// How thick.
    pub thickness: Length,
    /// The area that bears on it; a wrap has the foot of the piece, the fill behind a pad the whole pad.
    pub area: Area,
}

/// What one layer does in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerShare {
    /// The material's key.
    pub key: String,
    /// Static stress on it.
    pub static_stress: Stress,
    /// Peak stress in it.
    pub peak_stress: Stress,
    /// Share of the energy of the fall that it takes up; all together are 1.
    pub energy_share: f64,
    /// Energy that a unit volume of it takes up.
    pub energy_density: Stress,
    /// The method that its law stands for.
    pub method: Method,
    /// Why not the stress-energy law; empty when it is.
    pub outside: Vec<Outside>,
    /// What to look at.
    pub cautions: Vec<Caution>,
}

/// The shock behind several layers.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesPrediction {
    /// Peak shock, in multiples of gravity.
    pub peak_g: f64,
    /// What each layer does, in the order given.
    pub layers: Vec<LayerShare>,
    /// The arithmetic, line by line.
    pub working: Working,
}

/// A layer made ready: its law, area (in2) and thickness (in).
struct Ready<'a> {
    material: &'a Material,
    law: StressLaw,
    area: f64,
    thickness: f64,
    /// Thickness of all layers of this material.
    together: f64,
}

impl Ready<'_> {
    /// Energy (in-lb) taken up under a peak force (lb).
    fn energy(&self, force: f64) -> f64 {
        self.area * self.thickness * self.law.energy(force / self.area)
    }
}

fn ready<'a>(layers: &[Layer<'a>], hits: Hits) -> Result<Vec<Ready<'a>>, CushionError> {
    // A method's least thickness is met by all layers of a material together, however they are laid.
    let mut together: BTreeMap<&str, f64> = BTreeMap::new();
    for layer in layers {
        *together.entry(layer.material.key.as_str()).or_insert(0.0) += thickness_in(layer.thickness)?;
    }
    layers
        .iter()
        .map(|layer| {
            let thickness = thickness_in(layer.thickness)?;
            let together = together.get(layer.material.key.as_str()).copied().unwrap_or(thickness);
            let law = layer.material.law(together, hits);
            Ok(Ready { material: layer.material, law, area: area_in2(layer.area)?, thickness, together })
        })
        .collect()
}

/// Shock at which the layers take up the fall; `None` when none up to the limit is enough.
fn solve(fall: &Fall, layers: &[Ready<'_>]) -> Option<f64> {
    let taken = |g: f64| layers.iter().map(|layer| layer.energy(g * fall.pounds())).sum::<f64>();
    let (mut low, mut high) = (0.0, SHOCK_G.1);
    if taken(high) < fall.inch_pounds() {
        return None;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if taken(middle) < fall.inch_pounds() {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(high)
}

/// Peak shock behind layers in a row, in multiples of gravity.
///
/// # Errors
/// When there are no layers, a thickness or area can't be used, or together they bottom out (over 10 000 G).
pub fn series_g(fall: &Fall, layers: &[Layer<'_>], hits: Hits) -> Result<SeriesPrediction, CushionError> {
    if layers.is_empty() {
        return Err(CushionError::Nothing { what: "layers" });
    }
    let ready = ready(layers, hits)?;
    let peak_g = solve(fall, &ready).ok_or_else(|| {
        let names: Vec<&str> = ready.iter().map(|layer| layer.material.name.as_str()).collect();
        CushionError::BottomsOut { what: names.join(" and "), most_g: SHOCK_G.1 }
    })?;
    let mut working = Working::default();
    working.add(
        "energy of the fall",
        "W h",
        format!("{} lb x {} in", shown(fall.pounds()), shown(fall.inches())),
        format!("{} in-lb", shown(fall.inch_pounds())),
    );
    working.add(
        "peak force",
        "F = G W",
        format!("{} x {} lb", shown(peak_g), shown(fall.pounds())),
        format!("{} lb", shown(peak_g * fall.pounds())),
    );
    let mut shares = Vec::with_capacity(ready.len());
    for (layer, given) in ready.iter().zip(layers) {
        shares.push(share(fall, peak_g, layer, given, hits, &mut working)?);
    }
    working.add(
        "peak shock",
        "the G at which these add up to W h",
        String::new(),
        format!("{} G", shown(peak_g)),
    );
    Ok(SeriesPrediction { peak_g, layers: shares, working })
}

fn share(
    fall: &Fall,
    peak_g: f64,
    layer: &Ready<'_>,
    given: &Layer<'_>,
    hits: Hits,
    working: &mut Working,
) -> Result<LayerShare, CushionError> {
    let force = peak_g * fall.pounds();
    let (load, peak) = (fall.pounds() / layer.area, force / layer.area);
    let (density, energy) = (layer.law.energy(peak), layer.energy(force));
    let outside = layer.material.outside(Stress::from_psi(load), Length::from_inches(layer.together));
    // A layer is loaded as if it stood alone under the height that it takes up.
    let mut cautions: Vec<Caution> = caution::of_load(&layer.law, load, density / load).into_iter().collect();
    cautions.extend(caution::of_pad(given.area, given.thickness)?);
    cautions.extend(of_hits(layer.material, hits));
    working.add(
        &layer.material.name,
        "A t e(F / A)",
        format!(
            "{} in2 x {} in x {} psi at {} psi",
            shown(layer.area),
            shown(layer.thickness),
            shown(density),
            shown(peak)
        ),
        format!("{} in-lb", shown(energy)),
    );
    Ok(LayerShare {
        key: layer.material.key.clone(),
        static_stress: Stress::from_psi(load),
        peak_stress: Stress::from_psi(peak),
        energy_share: energy / fall.inch_pounds(),
        energy_density: Stress::from_psi(density),
        method: if outside.is_empty() { Method::StressEnergy } else { Method::CushionFactor },
        outside,
        cautions,
    })
}

/// Least thickness of one more layer behind those given that keeps the fall at `allowed_g` (multiples of
/// gravity); nothing when they are enough by themselves.
///
/// # Errors
/// When a figure can't be used, or no thickness up to 100 in is enough.
pub fn needed_behind(
    fall: &Fall,
    allowed_g: f64,
    before: &[Layer<'_>],
    material: &Material,
    area: Area,
    hits: Hits,
) -> Result<Length, CushionError> {
    let allowed_g = shock_g(allowed_g)?;
    let area_in2 = area_in2(area)?;
    let behind = |inches: f64| -> Result<Option<f64>, CushionError> {
        let last = Layer { material, thickness: Length::from_inches(inches), area };
        let mut layers = before.to_vec();
        layers.push(last);
        Ok(solve(fall, &ready(&layers, hits)?))
    };
    let enough = |found: Option<f64>| found.is_some_and(|g| g <= allowed_g);
    if !before.is_empty() && enough(solve(fall, &ready(before, hits)?)) {
        return Ok(Length::ZERO);
    }
    let (mut low, mut high) = (LEAST_ANSWER_IN, THICKNESS_IN.1);
    let most = behind(high)?;
    if !enough(most) {
        return Err(CushionError::TooStiff {
            material: material.name.clone(),
            load_psi: fall.pounds() / area_in2,
            least_g: most.unwrap_or(SHOCK_G.1),
            asked_g: allowed_g,
        });
    }
    if enough(behind(low)?) {
        return Ok(Length::from_inches(low));
    }
    // More of a layer never raises the shock, so that halving finds the least that is enough.
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if enough(behind(middle)?) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(Length::from_inches(high + ROUNDING_IN))
}
