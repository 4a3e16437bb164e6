//! Charts of prices and of splits, from what the rooms worked out.

use std::path::Path;

use draw::{CompMark, CompPrice, LotPrices, PriceChart, SplitBar, SplitBars, Standing};
use measure::Money;
use pricing::{Appraisal, Bounds, Caution};
use selling::Split;
use trade::{Job, Worth};

use crate::problems::Stop;
use crate::split_text::{cost, parts};

/// The prices of the sets' lot sizes, with the comps on them.
pub fn price_chart(title: &str, worth: &Worth, appraisal: &Appraisal) -> PriceChart {
    let sizes = worth.pools.first().map_or(&[][..], |sets| &sets.sizes);
    let lots = sizes
        .iter()
        .filter_map(|size| appraisal.lot(size.pieces).ok())
        .map(|lot| LotPrices {
            pieces: lot.pieces,
            p10: lot.p10,
            p25: lot.p25,
            median: lot.median,
            p75: lot.p75,
            p90: lot.p90,
            median_least: lot.median_least,
            median_most: lot.median_most,
            leans_on_the_prior: lot.cautions.contains(&Caution::PriorDriven),
            is_extrapolated: lot.cautions.contains(&Caution::Extrapolated),
        })
        .collect();
    let comps = appraisal
        .counted()
        .iter()
        .map(|counted| {
            let lot = |ln_per_piece: f64| ln_per_piece.exp() * f64::from(counted.pieces);
            let price = match counted.bounds {
                Bounds::Exact(price) => CompPrice::Exact(lot(price)),
                Bounds::Between(low, high) => CompPrice::Between { low: lot(low), high: lot(high) },
                Bounds::Below(high) => CompPrice::Below(lot(high)),
                Bounds::Above(low) => CompPrice::Above(lot(low)),
            };
            CompMark {
                pieces: counted.pieces,
                price,
                weight: counted.weight,
                label: counted.number.to_string(),
            }
        })
        .collect();
    PriceChart { title: title.to_owned(), lots, comps, lines: Vec::new() }
}

/// The ways to split the sets, compared.
pub fn split_bars(job: &Job, worth: &Worth) -> Option<SplitBars> {
    let split = worth.split.as_ref()?;
    let cost = cost(job, worth).unwrap_or(Money::ZERO);
    let best = &split.choice.best;
    let per_hour = split.per_hour.as_ref().map(|choice| &choice.best);
    let bar = |plan: &Split| SplitBar {
        name: parts(plan),
        profit: Money::from_cents_rounded(100.0 * plan.profit(cost)),
        per_hour: plan.contribution_per_hour(cost).map(|hour| Money::from_cents_rounded(100.0 * hour)),
        hours: plan.hours().abs(),
        standing: match (plan.parts() == best.parts(), per_hour.is_some_and(|p| p.parts() == plan.parts())) {
            (true, true) => Standing::BestInBoth,
            (true, false) => Standing::Best,
            (false, true) => Standing::BestPerHour,
            (false, false) => Standing::Other,
        },
    };
    let mut plans: Vec<&Split> = Vec::new();
    let others = split.choice.runner_up.iter().chain(per_hour).chain(split.equal.iter().map(|e| &e.split));
    for plan in std::iter::once(best).chain(others) {
        if !plans.iter().any(|known| known.parts() == plan.parts()) {
            plans.push(plan);
        }
    }
    let sets = worth.pools.first()?;
    Some(SplitBars {
        title: format!("Ways to split {}", sets.pool.counted(split.plan.of_sets.pieces)),
        plans: plans.into_iter().map(bar).collect(),
    })
}

/// Writes a chart of prices and one of splits for every find into a folder.
pub fn write(folder: &Path, job: &Job, worths: &[Worth]) -> Result<(), Stop> {
    let failed = |e: std::io::Error| Stop::Outside(format!("--svg {}: {e}", folder.display()));
    std::fs::create_dir_all(folder).map_err(failed)?;
    for worth in worths {
        let name = &job.finds[worth.find].name;
        let stem: String =
            name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
        if let Ok(appraisal) = &worth.appraisal {
            let chart = price_chart(&format!("What {name} are worth"), worth, appraisal);
            std::fs::write(folder.join(format!("{stem}-prices.svg")), draw::price_chart_svg(&chart))
                .map_err(failed)?;
        }
        if let Some(bars) = split_bars(job, worth) {
            std::fs::write(folder.join(format!("{stem}-splits.svg")), draw::split_bars_svg(&bars))
                .map_err(failed)?;
        }
    }
    Ok(())
}
