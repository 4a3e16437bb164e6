//! Charts of a find's prices and of its splits, from what was reckoned.

use draw::{
    CompMark, CompPrice, LadderStep, LadderSteps, LotPrices, PriceChart, SplitBar, SplitBars, Standing,
};
use measure::{Mass, Money, Units};
use pricing::{Appraisal, Bounds, Caution};
use selling::Split;
use trade::{Cost, Job, Ladder, Worth};

/// The lots of a split by size ("2 x 4 + 1 x 3"); "nothing" where none is worth a parcel.
#[must_use]
pub fn lots_in_words(split: &Split) -> String {
    if split.listings.is_empty() {
        return String::from("nothing");
    }
    let parts: Vec<String> =
        split.listings.iter().map(|listing| format!("{} x {}", listing.lots, listing.size)).collect();
    parts.join(" + ")
}

/// What the find costs or cost, where it is told.
#[must_use]
pub fn cost_of(job: &Job, worth: &Worth) -> Option<Money> {
    match job.finds.get(worth.find)?.cost {
        Cost::Unknown => None,
        Cost::Asked(cost) | Cost::Paid(cost) => Some(cost),
    }
}

/// The plans of a find's sets that are compared, the best first, each once.
#[must_use]
pub fn plans_compared(worth: &Worth) -> Vec<&Split> {
    let Some(split) = &worth.split else { return Vec::new() };
    let per_hour = split.per_hour.as_ref().map(|choice| &choice.best);
    let others = split.choice.runner_up.iter().chain(per_hour).chain(split.equal.iter().map(|e| &e.split));
    let mut plans: Vec<&Split> = Vec::new();
    for plan in std::iter::once(&split.choice.best).chain(others) {
        if !plans.iter().any(|known| known.parts() == plan.parts()) {
            plans.push(plan);
        }
    }
    plans
}

/// The prices of the sets' lot sizes, with the comps on them.
#[must_use]
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
#[must_use]
pub fn split_bars(job: &Job, worth: &Worth) -> Option<SplitBars> {
    let split = worth.split.as_ref()?;
    let cost = cost_of(job, worth).unwrap_or(Money::ZERO);
    let best = &split.choice.best;
    let per_hour = split.per_hour.as_ref().map(|choice| &choice.best);
    let bar = |plan: &Split| SplitBar {
        name: lots_in_words(plan),
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
    let sets = worth.pools.first()?;
    Some(SplitBars {
        title: format!("Ways to split {}", sets.pool.counted(split.plan.of_sets.pieces)),
        plans: plans_compared(worth).into_iter().map(bar).collect(),
    })
}

/// An order ladder as steps.
#[must_use]
pub fn ladder_steps(title: &str, ladder: &Ladder, units: Units) -> LadderSteps {
    let rung = |(lots, plan): &(u32, Result<trade::OrderPlan, trade::TradeError>)| {
        let Ok(plan) = plan else {
            let (weight, billed) = (String::new(), String::new());
            return LadderStep { lots: *lots, weight, billed, postage: None, charged: Money::ZERO };
        };
        let mut billed: Vec<&str> = Vec::new();
        for parcel in &plan.parcels {
            billed.extend(parcel.quotes.first().map(|quote| quote.billed_row.as_str()));
        }
        LadderStep {
            lots: *lots,
            weight: plan.parcels.iter().map(|parcel| parcel.gross).sum::<Mass>().write(units),
            billed: billed.join(" + "),
            postage: Some(plan.expected_postage),
            charged: plan.expected_postage + plan.expected_margin,
        }
    };
    LadderSteps { title: title.to_owned(), rungs: ladder.rungs.iter().map(rung).collect() }
}
