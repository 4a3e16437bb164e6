//! The estimator against importance sampling, which shares nothing with a grid: draws of `mu`, `beta` and `ln sigma`
//! from a wide law of their own, weighted by prior times likelihood over the law they came from (Robert & Casella,
//! *Monte Carlo Statistical Methods*, section 3.3; from memory).

mod sets;

use std::f64::consts::TAU;

use fastrand::Rng;
use pricing::{ErrorLaw, Grade, appraise, ln_likelihood};
use sets::{assumptions, case, comps};

/// Draws for one set.
const DRAWS: u32 = 200_000;
/// How many standard errors a sampled figure may lie off; among some fifty figures four is once in 300 runs, and the
/// seed is fixed.
const STANDARD_ERRORS: f64 = 4.0;

fn normal(rng: &mut Rng) -> f64 {
    let radius = (-2.0 * (1.0 - rng.f64()).ln()).sqrt();
    radius * (TAU * rng.f64()).cos()
}

struct Draw {
    mu: f64,
    beta: f64,
    sigma: f64,
    share: f64,
}

#[test]
fn every_figure_agrees_with_importance_sampling() {
    let data = sets::sets();
    let chosen = [
        ("T1_mixed_nine", ErrorLaw::Normal, 1),
        ("T1_mixed_nine", ErrorLaw::StudentT4, 2),
        ("T5_no_exact", ErrorLaw::StudentT4, 3),
        ("T6_grades_unknown_ship", ErrorLaw::StudentT4, 4),
    ];
    for (id, law, seed) in chosen {
        let assumptions = assumptions(law);
        let appraisal = appraise(&comps(case(&data, id)), Grade::C, &assumptions).expect("appraises");
        let prior = &assumptions.prior;
        let prior_mu = prior.mu_mean.expect("set");
        // A multivariate Student's t with 4 degrees of freedom, wider than the posterior, with level and slope pulling
        // against each other.
        let tilt = -0.9;
        let scales = [0.25, 0.17, 0.45];
        let middles = [appraisal.mu().mean, appraisal.beta().mean, appraisal.sigma().mean.ln() - 0.1];
        let mut rng = Rng::with_seed(seed);
        let mut draws: Vec<Draw> = (0..DRAWS)
            .map(|_| {
                let squares: f64 = (0..4).map(|_| normal(&mut rng).powi(2)).sum();
                let stretch = (4.0 / squares).sqrt();
                let steps = [normal(&mut rng), normal(&mut rng), normal(&mut rng)].map(|step| step * stretch);
                let beta = middles[1] + scales[1] * steps[1];
                let mu = middles[0] + scales[0] * steps[0] + tilt * (beta - middles[1]);
                let ln_sigma = middles[2] + scales[2] * steps[2];
                let distance: f64 = steps.iter().map(|step| step * step).sum();
                let ln_proposal = -3.5 * (distance / 4.0).ln_1p();
                let ln_prior = -0.5
                    * (((mu - prior_mu) / prior.mu_sd).powi(2)
                        + ((beta - prior.beta_mean) / prior.beta_sd).powi(2)
                        + ((ln_sigma - prior.ln_sigma_mean) / prior.ln_sigma_sd).powi(2));
                let likelihood: f64 = appraisal
                    .counted()
                    .iter()
                    .map(|comp| {
                        let median = mu + beta * f64::from(comp.pieces).ln();
                        comp.weight * ln_likelihood(law, comp.bounds, median, ln_sigma)
                    })
                    .sum();
                Draw { mu, beta, sigma: ln_sigma.exp(), share: ln_prior + likelihood - ln_proposal }
            })
            .collect();
        let peak = draws.iter().map(|draw| draw.share).fold(f64::NEG_INFINITY, f64::max);
        for draw in &mut draws {
            draw.share = (draw.share - peak).exp();
        }
        let whole: f64 = draws.iter().map(|draw| draw.share).sum();
        let squares: f64 = draws.iter().map(|draw| draw.share * draw.share).sum();
        let effective = whole * whole / squares;
        assert!(effective > 20_000.0, "{id}: {effective} effective draws are too few to say anything");
        // Mean of a function over the posterior, with the standard error of that mean.
        let sampled = |value: &dyn Fn(&Draw) -> f64| {
            let mean = draws.iter().map(|draw| draw.share * value(draw)).sum::<f64>() / whole;
            let square: f64 =
                draws.iter().map(|draw| (draw.share * (value(draw) - mean)).powi(2)).sum::<f64>();
            (mean, square.sqrt() / whole)
        };
        let agrees = |found: f64, value: &dyn Fn(&Draw) -> f64, what: &str| {
            let (mean, error) = sampled(value);
            assert!(
                (found - mean).abs() <= STANDARD_ERRORS * error,
                "{id} {law:?} {what}: {found} should be {mean} within {error}"
            );
        };
        agrees(appraisal.mu().mean, &|draw| draw.mu, "mu");
        agrees(appraisal.beta().mean, &|draw| draw.beta, "beta");
        agrees(appraisal.sigma().mean, &|draw| draw.sigma, "sigma");
        let (mu, beta) = (appraisal.mu(), appraisal.beta());
        agrees(mu.sd.powi(2), &|draw| (draw.mu - mu.mean).powi(2), "variance of mu");
        agrees(beta.sd.powi(2), &|draw| (draw.beta - beta.mean).powi(2), "variance of beta");
        for pieces in [1, 4, 12] {
            let ln_pieces = f64::from(pieces).ln();
            for p in [0.1, 0.5, 0.9] {
                let price = appraisal.quantile(pieces, p).expect("a price");
                let per_piece = (price / f64::from(pieces)).ln();
                let below =
                    |draw: &Draw| law.below((per_piece - draw.mu - draw.beta * ln_pieces) / draw.sigma);
                agrees(p, &below, &format!("lot {pieces} sale {p}"));
                let median = appraisal.median_quantile(pieces, p).expect("a price");
                let per_piece = (median / f64::from(pieces)).ln();
                let below = |draw: &Draw| f64::from(u8::from(draw.mu + draw.beta * ln_pieces < per_piece));
                agrees(p, &below, &format!("lot {pieces} median {p}"));
            }
        }
    }
}
