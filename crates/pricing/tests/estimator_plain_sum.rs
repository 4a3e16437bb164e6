//! The estimator against the plainest way to work out the same posterior: one large fixed grid over `mu`, `beta` and
//! `ln sigma`, every comp's log-likelihood added up in every cell.

mod sets;

use std::ops::RangeInclusive;

use pricing::{Appraisal, Assumptions, ErrorLaw, Grade, appraise, ln_likelihood};
use sets::{LAWS, assumptions, case, cases, comps, number};

/// Logarithm of prior times likelihood at one place.
fn ln_posterior(appraisal: &Appraisal, assumptions: &Assumptions, place: [f64; 3]) -> f64 {
    let [mu, beta, ln_sigma] = place;
    let prior = &assumptions.prior;
    let square = |value: f64, mean: f64, sd: f64| ((value - mean) / sd).powi(2);
    let ln_prior = -0.5
        * (square(mu, prior.mu_mean.expect("set"), prior.mu_sd)
            + square(beta, prior.beta_mean, prior.beta_sd)
            + square(ln_sigma, prior.ln_sigma_mean, prior.ln_sigma_sd));
    let likelihood: f64 = appraisal
        .counted()
        .iter()
        .map(|comp| {
            let median = mu + beta * f64::from(comp.pieces).ln();
            comp.weight * ln_likelihood(assumptions.error_law, comp.bounds, median, ln_sigma)
        })
        .sum();
    ln_prior + likelihood
}

/// Points along `mu`, which runs fastest.
const MU_POINTS: u32 = 1501;

struct Cell {
    mu: f64,
    beta: f64,
    ln_sigma: f64,
    share: f64,
}

fn points(range: RangeInclusive<f64>, count: u32) -> impl Iterator<Item = f64> {
    let (low, step) = (*range.start(), (range.end() - range.start()) / f64::from(count - 1));
    (0..count).map(move |k| low + step * f64::from(k))
}

fn plain_sum(appraisal: &Appraisal, assumptions: &Assumptions) -> Vec<Cell> {
    let middle = appraisal.mu().mean;
    let mut cells = Vec::new();
    for ln_sigma in points(-1.05 - 2.5..=-1.05 + 2.5, 41) {
        for beta in points(-1.3..=0.9, 45) {
            for mu in points(middle - 3.0..=middle + 3.0, MU_POINTS) {
                let share = ln_posterior(appraisal, assumptions, [mu, beta, ln_sigma]);
                cells.push(Cell { mu, beta, ln_sigma, share });
            }
        }
    }
    let peak = cells.iter().map(|cell| cell.share).fold(f64::NEG_INFINITY, f64::max);
    for cell in &mut cells {
        cell.share = (cell.share - peak).exp();
    }
    let whole: f64 = cells.iter().map(|cell| cell.share).sum();
    for cell in &mut cells {
        cell.share /= whole;
    }
    cells
}

/// Share of the posterior with its logarithmic median per piece below `median`: along each row of equal `beta` the
/// shares are cumulated to the middle of each cell, and linear between.
fn median_below(cells: &[Cell], ln_pieces: f64, median: f64) -> f64 {
    cells
        .chunks_exact(MU_POINTS as usize)
        .map(|row| {
            let place = (median - row[0].beta * ln_pieces - row[0].mu) / (row[1].mu - row[0].mu);
            let whole = place.floor().clamp(0.0, f64::from(MU_POINTS - 2)) as usize;
            let part = place - whole as f64;
            let below: f64 = row[..whole].iter().map(|cell| cell.share).sum();
            let (here, next) = (row[whole].share, row[whole + 1].share);
            below + 0.5 * here + part * 0.5 * (here + next)
        })
        .sum()
}

#[test]
fn every_figure_agrees_with_a_plain_sum() {
    let data = sets::sets();
    let chosen = [
        ("T1_mixed_nine", ErrorLaw::Normal),
        ("T2_three", ErrorLaw::Normal),
        ("T4_exact_single", ErrorLaw::StudentT4),
        ("T6_grades_unknown_ship", ErrorLaw::StudentT4),
    ];
    for (id, law) in chosen {
        let assumptions = assumptions(law);
        let appraisal = appraise(&comps(case(&data, id)), Grade::C, &assumptions).expect("appraises");
        let cells = plain_sum(&appraisal, &assumptions);
        let mean =
            |value: &dyn Fn(&Cell) -> f64| cells.iter().map(|cell| cell.share * value(cell)).sum::<f64>();
        for (found, value) in [
            (appraisal.mu(), &(|cell: &Cell| cell.mu) as &dyn Fn(&Cell) -> f64),
            (appraisal.beta(), &|cell: &Cell| cell.beta),
            (appraisal.sigma(), &|cell: &Cell| cell.ln_sigma.exp()),
        ] {
            let right = mean(value);
            let sd = mean(&|cell| (value(cell) - right).powi(2)).sqrt();
            assert!((found.mean - right).abs() < 2e-5, "{id} mean {} {right}", found.mean);
            assert!((found.sd - sd).abs() < 2e-5, "{id} sd {} {sd}", found.sd);
        }
        for pieces in [1, 2, 4, 6] {
            let worth = appraisal.lot(pieces).expect("a lot");
            let ln_pieces = f64::from(pieces).ln();
            for (p, found) in [(0.1, worth.p10), (0.5, worth.median), (0.9, worth.p90)] {
                let price = (found / f64::from(pieces)).ln();
                let below = mean(&|cell| {
                    law.below((price - cell.mu - cell.beta * ln_pieces) * (-cell.ln_sigma).exp())
                });
                assert!((below - p).abs() < 1e-5, "{id} lot {pieces} p {p}: {below}");
            }
            for (p, found) in [(0.1, worth.median_least), (0.9, worth.median_most)] {
                let median = (found / f64::from(pieces)).ln();
                let below = median_below(&cells, ln_pieces, median);
                assert!((below - p).abs() < 1e-4, "{id} lot {pieces} median {p}: {below}");
            }
        }
    }
}

#[test]
fn the_most_likely_place_is_as_stated() {
    let data = sets::sets();
    for case in cases(&data) {
        for (law, name) in LAWS {
            let assumptions = assumptions(law);
            let appraisal = appraise(&comps(case), Grade::C, &assumptions).expect("appraises");
            let map = &case["results"][name]["map"];
            // Down a ladder of ever smaller steps from the posterior means.
            let mut place = [appraisal.mu().mean, appraisal.beta().mean, appraisal.sigma().mean.ln()];
            let mut height = ln_posterior(&appraisal, &assumptions, place);
            let mut step = 0.2;
            while step > 1e-7 {
                let mut moved = false;
                for axis in 0..3 {
                    for sign in [-1.0, 1.0] {
                        let mut next = place;
                        next[axis] += sign * step;
                        // Level and slope pull against each other, so they also move together.
                        for tilt in [0.0, -0.5, -1.0] {
                            let mut tilted = next;
                            tilted[0] += if axis == 1 { tilt * sign * step } else { 0.0 };
                            let other = ln_posterior(&appraisal, &assumptions, tilted);
                            if other > height {
                                (place, height, moved) = (tilted, other, true);
                            }
                        }
                    }
                }
                if !moved {
                    step *= 0.5;
                }
            }
            for (found, parameter) in [(place[0], "mu"), (place[1], "beta"), (place[2].exp(), "sigma")] {
                let right = number(&map[parameter]);
                assert!((found - right).abs() < 2e-5, "{} {name} {parameter}: {found} {right}", case["id"]);
            }
        }
    }
}
