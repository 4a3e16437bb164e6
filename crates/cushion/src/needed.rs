//! The cushion that a piece needs.

use measure::Length;
use protection::Origin;

use crate::bounds::{LEAST_ANSWER_IN, THICKNESS_IN, from_square_inches, shock_g};
use crate::predict::{begin, explain, formula, of_hits};
use crate::validity::LEAST_THICKNESS_IN;
use crate::working::shown;
use crate::{Caution, CushionError, Hits, Impact, Material, Method, Outside, Stress, Working, caution};

/// Thicknesses are stated up to the next quarter inch (judgement).
const ROUND_UP_IN: f64 = 0.25;
/// What a thickness may pass a step by and still keep it, in.
const STEP_SLACK_IN: f64 = 1e-9;

/// How much cushion keeps a shock, and how that was reckoned.
#[derive(Debug, Clone, PartialEq)]
pub struct Needed {
    /// The thickness that just keeps the shock asked for.
    pub thickness: Length,
    /// The same up to the next quarter inch.
    pub rounded_up: Length,
    /// Whole layers of it; `None` for what is poured or crumpled.
    pub layers: Option<u32>,
    /// The method used.
    pub method: Method,
    /// Why the stress-energy law was not used; empty when it was.
    pub outside: Vec<Outside>,
    /// Static stress, W / A.
    pub static_stress: Stress,
    /// Peak stress allowed, G s.
    pub peak_stress: Stress,
    /// What to look at beside the figure.
    pub cautions: Vec<Caution>,
    /// The figures it rests on and where they come from.
    pub rests_on: Vec<(&'static str, Origin)>,
    /// The arithmetic, line by line.
    pub working: Working,
}

/// Least thickness of a material that keeps an impact at `allowed_g` (multiples of gravity, 1 to 10 000); the
/// inverse of [`peak_g`](crate::peak_g).
///
/// # Errors
/// When `allowed_g` can't be used, or no thickness up to 100 in is enough: under a light load a stiff cushion
/// hardly gives, however thick it is.
pub fn needed_thickness(
    impact: &Impact,
    allowed_g: f64,
    material: &Material,
    hits: Hits,
) -> Result<Needed, CushionError> {
    let allowed_g = shock_g(allowed_g)?;
    let load = impact.static_stress().psi();
    let peak = allowed_g * load;
    let height = impact.fall().inches();
    let solve = |law: crate::StressLaw| -> f64 {
        let energy = law.energy(peak);
        if energy > 0.0 { load * height / energy } else { f64::INFINITY }
    };
    // The law for a full inch is never harder than the one for less, so that these three cases are all.
    let full = solve(material.law(LEAST_THICKNESS_IN, hits));
    let inches = if full >= LEAST_THICKNESS_IN {
        full
    } else {
        solve(material.law(LEAST_ANSWER_IN, hits)).min(LEAST_THICKNESS_IN)
    };
    let inches = inches.max(LEAST_ANSWER_IN);
    let law = material.law(inches, hits);
    if inches > THICKNESS_IN.1 {
        return Err(CushionError::TooStiff {
            material: material.name.clone(),
            load_psi: load,
            least_g: law.stress(load * height / THICKNESS_IN.1) / load,
            asked_g: allowed_g,
        });
    }

    let thickness = Length::from_inches(inches);
    let outside = material.outside(impact.static_stress(), thickness);
    let method = if outside.is_empty() { Method::StressEnergy } else { Method::CushionFactor };
    let energy = load * height / inches;
    let mut cautions: Vec<Caution> = caution::of_load(&law, load, height / inches).into_iter().collect();
    cautions.extend(caution::of_pad(from_square_inches(impact.square_inches()), thickness)?);
    cautions.extend(of_hits(material, hits));

    let mut working = Working::default();
    begin(&mut working, impact, impact.static_stress());
    working.add(
        "peak stress allowed",
        "G s",
        format!("{} x {}", shown(allowed_g), shown(load)),
        format!("{} psi", shown(peak)),
    );
    explain(&mut working, material, method, &outside);
    let (formula, numbers) = formula(&law, material, method, energy, hits);
    working.add(
        "energy of a unit volume",
        &format!("e where {formula} is the peak stress"),
        numbers,
        format!("{} psi", shown(law.stress(energy))),
    );
    working.add(
        "thickness",
        "s h / e",
        format!("{} x {} / {}", shown(load), shown(height), shown(energy)),
        format!("{} in", shown(inches)),
    );
    let steps = ((inches - STEP_SLACK_IN) / ROUND_UP_IN).ceil().max(1.0);
    // At most 100 in over a layer of at least 0.0005 in: far inside the range of u32.
    let layers = material
        .layer_in
        .as_ref()
        .map(|layer| ((inches - STEP_SLACK_IN) / layer.value).ceil().max(1.0) as u32);
    Ok(Needed {
        thickness,
        rounded_up: Length::from_inches(steps * ROUND_UP_IN),
        layers,
        method,
        outside,
        static_stress: Stress::from_psi(load),
        peak_stress: Stress::from_psi(peak),
        cautions,
        rests_on: material.rests_on(method),
        working,
    })
}
