//! Promises about the charts of a find's prices and splits: they say what was reckoned, and nothing else.

mod desk;

use std::sync::OnceLock;

use books::FindId;
use desk::{DAY, measure, shop, stamp};
use draw::Standing;
use keeping::{Desk, FindQuestion, cost_of, lots_in_words, plans_compared, price_chart, split_bars};
use measure::Money;
use shop::Comp;
use trade::{Job, Outcome, work_out};

/// Six mugs with comps, worked out once for all tests.
fn worked() -> &'static (Job, Outcome) {
    static WORKED: OnceLock<(Job, Outcome)> = OnceLock::new();
    WORKED.get_or_init(|| {
        let mut shop = shop([(6, 0), (2, 0)]);
        measure(&mut shop);
        for typed in
            ["2 for 133 + 15, 10d ago", "2 for 140 + 15, 20d ago", "70 + 12, 30d ago", "unsold 90 40d"]
        {
            let comp = Comp { find: FindId(1), typed: typed.to_owned(), date: DAY };
            shop.note(&stamp(), &comp).expect("a comp");
        }
        let desk = Desk::published();
        let question = FindQuestion::read(&mut shop, FindId(1), DAY).expect("find 1");
        let job = question.job(&desk).expect("a job").job;
        let outcome = work_out(&job, &desk.library, None, &|_| {}).expect("worked out");
        (job, outcome)
    })
}

#[test]
fn the_plans_that_are_compared_begin_with_the_best_and_none_comes_twice() {
    let (_, outcome) = worked();
    let worth = outcome.worths[0].as_ref().expect("it has comps");
    let plans = plans_compared(worth);
    let best = &worth.split.as_ref().expect("a split").choice.best;
    assert_eq!(plans[0].parts(), best.parts());
    assert!(plans.len() > 1);
    for (k, plan) in plans.iter().enumerate() {
        assert!(plans[..k].iter().all(|earlier| earlier.parts() != plan.parts()), "plan {k}");
        // Words and lots are one: what is written adds up to what is in the plan.
        let pieces: u32 = lots_in_words(plan)
            .split(" + ")
            .filter_map(|part| part.split_once(" x "))
            .map(|(lots, size)| lots.parse::<u32>().expect("lots") * size.parse::<u32>().expect("a size"))
            .sum();
        assert_eq!(pieces + plan.dropped(), 6, "{}", lots_in_words(plan));
    }
}

#[test]
fn the_bars_stand_for_the_plans_with_the_cost_taken_off_once() {
    let (job, outcome) = worked();
    let worth = outcome.worths[0].as_ref().expect("it has comps");
    assert_eq!(cost_of(job, worth), Some(Money::from_cents(1200)));
    let bars = split_bars(job, worth).expect("there is a split");
    let plans = plans_compared(worth);
    assert_eq!(bars.plans.len(), plans.len());
    assert!(bars.title.contains('6'), "{}", bars.title);
    let is_best = |standing: Standing| matches!(standing, Standing::Best | Standing::BestInBoth);
    assert_eq!(bars.plans.iter().filter(|bar| is_best(bar.standing)).count(), 1);
    for (bar, plan) in bars.plans.iter().zip(plans) {
        let profit = plan.worth() - 12.0;
        assert!(
            (bar.profit.currency() - profit).abs() < 0.006,
            "{}: {} against {profit}",
            bar.name,
            bar.profit
        );
        assert!(bar.profit <= bars.plans[0].profit + Money::from_cents(1), "{} beats the best", bar.name);
        assert_eq!(bar.name, lots_in_words(plan));
        assert!(bar.hours >= 0.0);
    }
}

#[test]
fn the_chart_has_every_lot_size_in_order_of_its_quantiles_and_every_comp_where_it_sold() {
    let (_, outcome) = worked();
    let worth = outcome.worths[0].as_ref().expect("it has comps");
    let appraisal = worth.appraisal.as_ref().expect("it has comps");
    let chart = price_chart("Mugs", worth, appraisal);
    assert_eq!(chart.title, "Mugs");
    assert_eq!(chart.lots.len(), worth.pools[0].sizes.len());
    for lot in &chart.lots {
        assert!(lot.p10 <= lot.p25 && lot.p25 <= lot.median && lot.median <= lot.p75 && lot.p75 <= lot.p90);
        assert!(lot.median_least <= lot.median && lot.median <= lot.median_most);
    }
    assert_eq!(chart.comps.len(), appraisal.counted().len());
    let exact: Vec<(u32, f64)> = chart
        .comps
        .iter()
        .filter_map(|comp| match comp.price {
            draw::CompPrice::Exact(price) => Some((comp.pieces, price)),
            draw::CompPrice::Between { .. } | draw::CompPrice::Below(_) | draw::CompPrice::Above(_) => None,
        })
        .collect();
    // As typed, the shipping in it; a pair stands at the price of the pair.
    for (pieces, price) in [(2, 148.0), (2, 155.0), (1, 82.0)] {
        assert!(
            exact.iter().any(|(known, at)| *known == pieces && (at - price).abs() < 0.01 * price),
            "{pieces} for {price} in {exact:?}"
        );
    }
}

#[test]
fn without_comps_nothing_is_compared_and_no_bar_is_drawn() {
    let mut shop = shop([(6, 0), (2, 0)]);
    measure(&mut shop);
    let desk = Desk::published();
    let job = FindQuestion::read(&mut shop, FindId(1), DAY).expect("find 1").job(&desk).expect("a job").job;
    let outcome = work_out(&job, &desk.library, None, &|_| {}).expect("worked out");
    for worth in outcome.worths.iter().flatten() {
        assert!(plans_compared(worth).is_empty() && split_bars(&job, worth).is_none());
    }
}
