//! What one observation says about a location and a scale.

use crate::law::ErrorLaw;

/// What is known of an observed value (here mostly the logarithm of a price or of a time).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bounds {
    /// The value itself.
    Exact(f64),
    /// It lies between the first, lower, and the second, higher, amount: interval-censored.
    Between(f64, f64),
    /// It lies below this: left-censored.
    Below(f64),
    /// It lies above this: right-censored.
    Above(f64),
}

/// Log-likelihood of one observation under `value = location + exp(ln_scale) * error`.
///
/// An exact value counts by its density, `ln f(z) - ln scale`, any other by the probability of its range. An
/// empty range gives minus infinity, an argument that is not a number gives a result that is not a number.
///
/// The fit by maximum likelihood (`fit`) and the posterior over a grid both add these up, so
/// that what the literature confirms for one holds for the other.
#[must_use]
pub fn ln_likelihood(law: ErrorLaw, bounds: Bounds, location: f64, ln_scale: f64) -> f64 {
    let per_scale = (-ln_scale).exp();
    match bounds {
        Bounds::Exact(value) => law.ln_density((value - location) * per_scale) - ln_scale,
        Bounds::Between(low, high) => {
            law.ln_between((low - location) * per_scale, (high - location) * per_scale)
        }
        Bounds::Below(high) => law.ln_below((high - location) * per_scale),
        Bounds::Above(low) => law.ln_above((low - location) * per_scale),
    }
}

/// First and second derivatives of [`ln_likelihood`] by location and by `ln_scale`.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Slopes {
    pub(crate) by_location: f64,
    pub(crate) by_ln_scale: f64,
    pub(crate) twice_by_location: f64,
    pub(crate) by_both: f64,
    pub(crate) twice_by_ln_scale: f64,
}

/// A range narrower than this, in scales, has the slopes of an exact value: the difference of the slopes at its
/// ends would lose too many digits.
const NARROW: f64 = 1e-5;

/// The derivatives of [`ln_likelihood`] at a location and a scale.
pub(crate) fn slopes(law: ErrorLaw, bounds: Bounds, location: f64, ln_scale: f64) -> Slopes {
    let per_scale = (-ln_scale).exp();
    let standard = |value: f64| (value - location) * per_scale;
    match bounds {
        Bounds::Exact(value) => exact_slopes(law, standard(value), per_scale),
        Bounds::Between(low, high) => {
            let (low, high) = (standard(low), standard(high));
            if high - low < NARROW {
                return exact_slopes(law, low + 0.5 * (high - low), per_scale);
            }
            let chance = law.ln_between(low, high);
            range_slopes(End::of(law, low, chance), End::of(law, high, chance), per_scale)
        }
        Bounds::Below(high) => {
            let high = standard(high);
            range_slopes(End::default(), End::of(law, high, law.ln_below(high)), per_scale)
        }
        Bounds::Above(low) => {
            let low = standard(low);
            range_slopes(End::of(law, low, law.ln_above(low)), End::default(), per_scale)
        }
    }
}

fn exact_slopes(law: ErrorLaw, z: f64, per_scale: f64) -> Slopes {
    let (slope, bend) = law.ln_density_slopes(z);
    Slopes {
        by_location: -per_scale * slope,
        by_ln_scale: -z * slope - 1.0,
        twice_by_location: per_scale * per_scale * bend,
        by_both: per_scale * (slope + z * bend),
        twice_by_ln_scale: z * (slope + z * bend),
    }
}

/// One end of a range: density over the chance of the range, and that times `z`, slope, `z * slope` and
/// `z * z * slope`. An end at infinity adds nothing.
#[derive(Default)]
struct End {
    density: f64,
    z_density: f64,
    bend: f64,
    z_bend: f64,
    zz_bend: f64,
}

impl End {
    fn of(law: ErrorLaw, z: f64, ln_chance: f64) -> Self {
        if z.is_infinite() {
            return Self::default();
        }
        let density = (law.ln_density(z) - ln_chance).exp();
        let bend = if density == 0.0 { 0.0 } else { law.ln_density_slopes(z).0 * density };
        Self { density, z_density: z * density, bend, z_bend: z * bend, zz_bend: z * z * bend }
    }
}

fn range_slopes(low: End, high: End, per_scale: f64) -> Slopes {
    let density = high.density - low.density;
    let by_ln_scale = low.z_density - high.z_density;
    Slopes {
        by_location: -per_scale * density,
        by_ln_scale,
        twice_by_location: per_scale * per_scale * (high.bend - low.bend - density * density),
        by_both: per_scale * (density * (1.0 + by_ln_scale) + high.z_bend - low.z_bend),
        twice_by_ln_scale: high.zz_bend - low.zz_bend - by_ln_scale * (1.0 + by_ln_scale),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LAWS: [ErrorLaw; 6] = [
        ErrorLaw::Normal,
        ErrorLaw::StudentT4,
        ErrorLaw::StudentT { degrees: 7.5 },
        ErrorLaw::Logistic,
        ErrorLaw::SmallestExtreme,
        ErrorLaw::LargestExtreme,
    ];

    #[test]
    fn slopes_are_what_small_steps_of_the_likelihood_show() {
        let step = 1e-4;
        for law in LAWS {
            for bounds in [
                Bounds::Exact(1.3),
                Bounds::Between(-0.4, 0.9),
                Bounds::Between(2.0, 5.0),
                Bounds::Below(0.2),
                Bounds::Above(1.7),
            ] {
                let (location, ln_scale) = (0.6, -0.3);
                let at =
                    |i: f64, j: f64| ln_likelihood(law, bounds, location + i * step, ln_scale + j * step);
                let seen = slopes(law, bounds, location, ln_scale);
                let near = |a: f64, b: f64, what: &str| {
                    assert!((a - b).abs() < 2e-6 * (1.0 + b.abs()), "{law:?} {bounds:?} {what}: {a} {b}");
                };
                near(seen.by_location, (at(1.0, 0.0) - at(-1.0, 0.0)) / (2.0 * step), "location");
                near(seen.by_ln_scale, (at(0.0, 1.0) - at(0.0, -1.0)) / (2.0 * step), "scale");
                let twice = |more: f64, less: f64| (more - 2.0 * at(0.0, 0.0) + less) / (step * step);
                near(seen.twice_by_location, twice(at(1.0, 0.0), at(-1.0, 0.0)), "location twice");
                near(seen.twice_by_ln_scale, twice(at(0.0, 1.0), at(0.0, -1.0)), "scale twice");
                let mixed =
                    (at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0)) / (4.0 * step * step);
                near(seen.by_both, mixed, "both");
            }
        }
    }

    #[test]
    fn a_range_without_an_end_is_a_bound_on_one_side() {
        for law in LAWS {
            let below = ln_likelihood(law, Bounds::Between(f64::NEG_INFINITY, 0.4), 0.1, 0.2);
            assert_eq!(below, ln_likelihood(law, Bounds::Below(0.4), 0.1, 0.2));
            let above = ln_likelihood(law, Bounds::Between(0.4, f64::INFINITY), 0.1, 0.2);
            assert_eq!(above, ln_likelihood(law, Bounds::Above(0.4), 0.1, 0.2));
        }
    }

    #[test]
    fn a_narrow_range_weighs_as_its_density_times_its_width() {
        for law in LAWS {
            let exact = ln_likelihood(law, Bounds::Exact(1.0), 0.3, -1.0);
            for width in [1e-3_f64, 1e-5, 1e-7, 1e-9] {
                let range = Bounds::Between(1.0 - width / 2.0, 1.0 + width / 2.0);
                let seen = ln_likelihood(law, range, 0.3, -1.0) - width.ln();
                assert!(
                    (seen - exact).abs() < 10.0 * width * width + 2e-7,
                    "{law:?} {width}: {seen} {exact}"
                );
            }
        }
    }

    #[test]
    fn an_empty_range_is_impossible() {
        assert_eq!(ln_likelihood(ErrorLaw::Normal, Bounds::Between(1.0, 1.0), 0.0, 0.0), f64::NEG_INFINITY);
        assert_eq!(ln_likelihood(ErrorLaw::Normal, Bounds::Between(2.0, 1.0), 0.0, 0.0), f64::NEG_INFINITY);
    }
}
