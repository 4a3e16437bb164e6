//! The shock behind a cushion.

use measure::Length;
use protection::Origin;

use crate::bounds::{SHOCK_G, from_square_inches, thickness_in};
use crate::working::shown;
use crate::{
    Caution, CushionError, Hits, Impact, Material, Method, Outside, Shape, Stress, StressLaw, Working,
    caution,
};

/// What a piece feels behind a cushion, and how that was reckoned.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    /// Peak shock, in multiples of gravity.
    pub peak_g: f64,
    /// The same at the low and the high end of the cushion factor; holds `peak_g`.
    pub range_g: (f64, f64),
    /// The method used.
    pub method: Method,
    /// Why the stress-energy law was not used; empty when it was.
    pub outside: Vec<Outside>,
    /// Static stress, W / A.
    pub static_stress: Stress,
    /// Energy of a unit volume, s h / t.
    pub energy_density: Stress,
    /// Peak stress, G s.
    pub peak_stress: Stress,
    /// What to look at beside the figure.
    pub cautions: Vec<Caution>,
    /// The figures it rests on and where they come from.
    pub rests_on: Vec<(&'static str, Origin)>,
    /// The arithmetic, line by line.
    pub working: Working,
}

/// Peak shock behind `thickness` of a material, in multiples of gravity.
///
/// The stress-energy law is used where it is known and holds. Elsewhere the cushion factor is, with the reasons
/// recorded; away from its best load the factor rises as [`StressLaw`] says. A load or a thickness outside the
/// fit gives the same figure as extending the law would, no better founded than that; a cushion too thin or too
/// dense for the law takes the high end of the factor.
///
/// # Errors
/// When the thickness can't be used, or the cushion bottoms out altogether (over 10 000 G).
pub fn peak_g(
    impact: &Impact,
    thickness: Length,
    material: &Material,
    hits: Hits,
) -> Result<Prediction, CushionError> {
    let thickness_in = thickness_in(thickness)?;
    let law = material.law(thickness_in, hits);
    let load = impact.static_stress();
    let ratio = impact.fall().inches() / thickness_in;
    let energy = load.psi() * ratio;
    let peak_g = law.stress(energy) / load.psi();
    if peak_g.is_nan() || peak_g > SHOCK_G.1 {
        return Err(CushionError::BottomsOut { what: material.name.clone(), most_g: SHOCK_G.1 });
    }
    let outside = material.outside(load, thickness);
    let method = if outside.is_empty() { Method::StressEnergy } else { Method::CushionFactor };
    let (low, high) = material.law_ends(law, hits);
    let at = |law: StressLaw| law.stress(energy) / load.psi();

    let mut cautions: Vec<Caution> = caution::of_load(&law, load.psi(), ratio).into_iter().collect();
    cautions.extend(caution::of_pad(from_square_inches(impact.square_inches()), thickness)?);
    cautions.extend(of_hits(material, hits));

    let mut working = Working::default();
    begin(&mut working, impact, load);
    working.add(
        "energy of a unit volume",
        "s h / t",
        format!("{} x {} / {}", shown(load.psi()), shown(impact.fall().inches()), shown(thickness_in)),
        format!("{} psi", shown(energy)),
    );
    explain(&mut working, material, method, &outside);
    let (formula, numbers) = formula(&law, material, method, energy, hits);
    working.add("peak stress", formula, numbers, format!("{} psi", shown(peak_g * load.psi())));
    working.add(
        "peak shock",
        "peak stress / s",
        format!("{} / {}", shown(peak_g * load.psi()), shown(load.psi())),
        format!("{} G", shown(peak_g)),
    );
    Ok(Prediction {
        peak_g,
        range_g: (at(low), at(high)),
        method,
        outside,
        static_stress: load,
        energy_density: Stress::from_psi(energy),
        peak_stress: Stress::from_psi(peak_g * load.psi()),
        cautions,
        rests_on: material.rests_on(method),
        working,
    })
}

pub(crate) fn of_hits(material: &Material, hits: Hits) -> Option<Caution> {
    let times = material.repeats(hits);
    (times > 1.0).then_some(Caution::OneDrop { times })
}

pub(crate) fn begin(working: &mut Working, impact: &Impact, load: Stress) {
    working.add(
        "static stress",
        "s = W / A",
        format!("{} lb / {} in2", shown(impact.fall().pounds()), shown(impact.square_inches())),
        format!("{} psi", shown(load.psi())),
    );
}

pub(crate) fn explain(working: &mut Working, material: &Material, method: Method, outside: &[Outside]) {
    let reasons: Vec<String> = outside.iter().map(ToString::to_string).collect();
    let because =
        if reasons.is_empty() { String::new() } else { format!(", because {}", reasons.join("; ")) };
    working.add("method", &format!("{method} of {}{because}", material.name), String::new(), String::new());
}

/// The branch of the law that was taken, with its numbers.
pub(crate) fn formula(
    law: &StressLaw,
    material: &Material,
    method: Method,
    energy: f64,
    hits: Hits,
) -> (&'static str, String) {
    let times = material.repeats(hits);
    let later = if times > 1.0 { format!(" x {} for later drops", shown(times)) } else { String::new() };
    let factor = shown(law.factor() / times);
    let e = shown(energy);
    match (method, material.stress_energy(), law.best()) {
        (Method::StressEnergy, Some(pair), _) => (
            "a exp(b e)",
            format!("{} x exp({} x {e}){later}", shown(pair.a().psi()), shown(pair.b_per_psi())),
        ),
        (_, _, Some((from, _))) if energy < from => beyond(law.shape(), &factor, from, energy, &later),
        (_, _, Some((_, to))) if energy > to => beyond(law.shape(), &factor, to, energy, &later),
        _ => ("J e", format!("{factor} x {e}{later}")),
    }
}

/// The law beyond the best loads, with its numbers.
fn beyond(shape: Shape, factor: &str, best: f64, energy: f64, later: &str) -> (&'static str, String) {
    let (e, best) = (shown(energy), shown(best));
    match shape {
        Shape::Foam => {
            ("J best exp(e / best - 1)", format!("{factor} x {best} x exp({e} / {best} - 1){later}"))
        }
        Shape::Soft => (
            "J best sqrt((exp(1.594 e / best) - 1) / 3.922)",
            format!("{factor} x {best} x sqrt((exp(1.594 x {e} / {best}) - 1) / 3.922){later}"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_arithmetic_shown_is_that_of_the_law() {
        let mut seen = std::collections::BTreeSet::new();
        for material in crate::Cushions::published().iter() {
            let law = material.law(2.0, Hits::First);
            let (from, to) = law.best().unwrap_or((1.0, 2.0));
            for energy in [0.05 * from, 0.5 * from, 0.5 * (from + to), 1.3 * to, 2.5 * to] {
                let (formula, numbers) = formula(&law, material, Method::CushionFactor, energy, Hits::First);
                let numbers: Vec<f64> =
                    numbers.split(['x', ' ', '(', ')', '/']).filter_map(|word| word.parse().ok()).collect();
                let at = |k: usize| numbers.get(k).copied().unwrap_or(f64::NAN);
                let told = match formula {
                    "J e" => at(0) * at(1),
                    "J best exp(e / best - 1)" => at(0) * at(1) * (at(2) / at(3) - at(4)).exp(),
                    _ => at(0) * at(1) * (((at(2) * at(3) / at(4)).exp() - at(5)) / at(6)).sqrt(),
                };
                let close = (told / law.stress(energy) - 1.0).abs() < 0.02;
                assert!(close, "{}, {energy}: {formula} {numbers:?} gives {told}", material.key);
                seen.insert(formula);
            }
        }
        assert_eq!(seen.len(), 3, "{seen:?}");
    }
}
