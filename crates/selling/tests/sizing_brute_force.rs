//! The best splits against the enumeration of every mixture, on five hundred small piles.

mod sizing_piles;

use measure::Money;
use selling::{BarePool, Split, best_pools};
use sizing_piles::{Mixture, best, mixtures, pile};

const PILES: u64 = 500;
const LIMITS: [Option<u32>; 4] = [None, Some(1), Some(2), Some(3)];
/// The optimum works in billionths of a unit of currency; a plan has at most a few listings.
const TOLERANCE: f64 = 1e-7;

fn same(found: Option<f64>, expected: Option<f64>, what: &str) {
    let agree = match (found, expected) {
        (Some(found), Some(expected)) => (found - expected).abs() < TOLERANCE,
        (found, expected) => found == expected,
    };
    assert!(agree, "{what}: {found:?} instead of {expected:?}");
}

#[test]
fn the_best_by_profit_the_second_and_the_runner_up_are_those_of_the_enumeration() {
    for seed in 0..PILES {
        let pile = pile(seed);
        let sizing = pile.sizing();
        for limit in LIMITS {
            let plans = sizing.by_profit(limit).expect("a limit");
            for pieces in 0..=pile.pieces {
                let all = mixtures(&sizing, pieces, limit);
                let choice = plans.choice(pieces).expect("planned for");
                let what = format!("pile {seed}, {pieces} pieces, limit {limit:?}");
                same(Some(choice.best.worth()), best(all.iter(), |m| m.worth), &what);
                let others = all.iter().filter(|m| m.parts != choice.best.parts());
                same(choice.second.as_ref().map(Split::worth), best(others, |m| m.worth), &what);
                let led = all.iter().filter(|m| m.lead() != choice.best.lead());
                same(choice.runner_up.as_ref().map(Split::worth), best(led, |m| m.worth), &what);
                assert!(choice.best.listings.len() <= limit.unwrap_or(8) as usize, "{what}");
            }
        }
    }
}

#[test]
fn the_best_per_hour_the_second_and_the_runner_up_are_those_of_the_enumeration() {
    for seed in 0..PILES {
        let pile = pile(seed);
        let sizing = pile.sizing();
        let (cost, wage) = (pile.cost.cents() as f64 / 100.0, pile.terms.wage);
        let ratio = |m: &Mixture| m.per_hour(cost, wage);
        for limit in LIMITS {
            let what = format!("pile {seed}, limit {limit:?}");
            let mut all = mixtures(&sizing, pile.pieces, limit);
            all.retain(|m| !m.parts.is_empty());
            let choice = sizing.per_hour(pile.pieces, pile.cost, limit).expect("figures in range");
            let Some(choice) = choice else {
                assert!(all.is_empty(), "{what}");
                continue;
            };
            let per_hour = |split: &Split| split.contribution_per_hour(pile.cost).expect("work");
            same(Some(per_hour(&choice.best)), best(all.iter(), ratio), &what);
            let others = all.iter().filter(|m| m.parts != choice.best.parts());
            same(choice.second.as_ref().map(per_hour), best(others, ratio), &what);
            let led = all.iter().filter(|m| m.lead() != choice.best.lead());
            same(choice.runner_up.as_ref().map(per_hour), best(led, ratio), &what);
            assert!(choice.best.listings.len() <= limit.unwrap_or(8) as usize, "{what}");
        }
    }
}

#[test]
fn the_best_number_of_sets_is_that_of_the_enumeration() {
    for seed in 0..150 {
        let (sets, cups, saucers) = (pile(3 * seed), pile(3 * seed + 1), pile(3 * seed + 2));
        let sizings = [&sets, &cups, &saucers].map(|pile| pile.sizing());
        let plans = sizings.each_ref().map(|sizing| sizing.by_profit(Some(2)).expect("two"));
        let [of_sets, of_cups, of_saucers] = &plans;
        let per_set = 1 + (seed % 2) as u32;
        let bare = [
            BarePool { plans: of_cups, pieces: cups.pieces, per_set: 1 },
            BarePool { plans: of_saucers, pieces: saucers.pieces, per_set },
        ];
        let plan = best_pools(of_sets, &bare).expect("piles within their plans");
        let most = sets.pieces.min(cups.pieces).min(saucers.pieces / per_set);
        let worth = |place: usize, pieces: u32| {
            best(mixtures(&sizings[place], pieces, Some(2)).iter(), |m| m.worth).expect("the empty one")
        };
        let by_sets: Vec<f64> = (0..=most)
            .map(|made| {
                worth(0, made) + worth(1, cups.pieces - made) + worth(2, saucers.pieces - made * per_set)
            })
            .collect();
        assert_eq!(plan.worth_by_sets.len(), by_sets.len());
        for (found, expected) in plan.worth_by_sets.iter().zip(&by_sets) {
            same(Some(*found), Some(*expected), &format!("piles from {seed}"));
        }
        same(Some(plan.profit(Money::ZERO)), by_sets.iter().copied().max_by(f64::total_cmp), "the best");
        let [rest_of_cups, rest_of_saucers] = plan.of_bare.as_slice() else { panic!("two rests") };
        assert_eq!(rest_of_cups.pieces, cups.pieces - plan.sets, "no cup is lost or made");
        assert_eq!(rest_of_saucers.pieces, saucers.pieces - plan.sets * per_set);
        assert_eq!(plan.of_sets.pieces, plan.sets);
    }
}
