//! What holds for every pile.

mod sizing_piles;

use std::collections::BTreeMap;

use measure::Money;
use proptest::prelude::*;
use selling::{Demand, LotSize, OrderMix, OrderMoney, Sizing, Spare, Terms};
use sizing_piles::{Pile, mix, pile};

fn best_worth(pile: &Pile) -> f64 {
    let sizing = pile.sizing();
    sizing.by_profit(None).expect("no limit").split(pile.pieces).expect("planned for").worth()
}

/// The first size that has orders, for laws about one listing.
fn a_lot(pile: &Pile) -> Option<&LotSize> {
    pile.sizes.iter().find(|size| size.money(1, &pile.terms).is_ok())
}

/// One way in which a listing may sell out: its chance and the lots that its orders take.
fn courses(lots: u32, mix: &OrderMix, sendable: &[u32], chance: f64, so_far: &[u32]) -> Vec<(f64, Vec<u32>)> {
    if lots == 0 {
        return vec![(chance, so_far.to_vec())];
    }
    let of_share = |(wanted, share): (u32, f64)| {
        let sent = sendable.iter().copied().filter(|&n| n <= wanted && n <= lots).max().expect("one is sent");
        let path: Vec<u32> = so_far.iter().copied().chain([sent]).collect();
        courses(lots - sent, mix, sendable, chance * share, &path)
    };
    mix.shares().flat_map(of_share).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn orders_of_one_lot_give_the_closed_formula(seed: u64, lots in 1_u32..12) {
        let mut pile = pile(seed);
        pile.pieces = 96;
        pile.demand.mix = OrderMix::default();
        let Some(lot) = a_lot(&pile) else { return Ok(()) };
        let listing = pile.sizing().listing(lot.pieces, lots).expect("it fits");
        let net = lot.money(1, &pile.terms).expect("a parcel").net;
        let (k, s, rate) = (f64::from(lots), f64::from(lot.pieces), lot.rate_per_day);
        let t = &pile.terms;
        let worth = k * net - t.wage * t.listing_minutes / 60.0 - t.holding * s * k * (k + 1.0) / (2.0 * rate);
        prop_assert!((listing.worth - worth).abs() < 1e-9);
        prop_assert!((listing.expected.piece_days - s * k * (k + 1.0) / (2.0 * rate)).abs() < 1e-8);
        prop_assert!((listing.expected.last_sale_day - k / rate).abs() < 1e-8);
        prop_assert!((listing.expected.orders - k).abs() < 1e-9);
        let minutes = k * lot.orders[&1].minutes;
        prop_assert!((listing.hours - (t.listing_minutes + minutes) / 60.0).abs() < 1e-9);
        let mean = rate * pile.demand.horizon_days;
        let poisson: Vec<f64> = (0..lots).scan((-mean).exp(), |p, n| {
            let now = *p;
            *p *= mean / f64::from(n + 1);
            Some(now)
        }).collect();
        let at_least = |n: u32| 1.0 - poisson.iter().take(n as usize).sum::<f64>();
        let sold: f64 = (1..=lots).map(at_least).sum();
        prop_assert!((listing.sold_by_horizon - sold).abs() < 1e-9);
        prop_assert!((listing.all_by_horizon - at_least(lots)).abs() < 1e-9);
    }

    #[test]
    fn a_listing_is_the_average_over_every_way_it_may_sell_out(seed: u64, lots in 1_u32..7) {
        let mut pile = pile(seed);
        pile.pieces = 48;
        let Some(lot) = a_lot(&pile) else { return Ok(()) };
        let listing = pile.sizing().listing(lot.pieces, lots).expect("it fits");
        let money: BTreeMap<u32, OrderMoney> =
            lot.orders.keys().map(|&n| (n, lot.money(n, &pile.terms).expect("a parcel"))).collect();
        let sendable: Vec<u32> = money.keys().copied().collect();
        let t = &pile.terms;
        let (mut worth, mut minutes, mut last, mut whole) = (0.0, 0.0, 0.0, 0.0);
        for (chance, path) in courses(lots, &pile.demand.mix, &sendable, 1.0, &[]) {
            let net: f64 = path.iter().map(|n| money[n].net).sum();
            let mut left = f64::from(lots * lot.pieces);
            let mut piece_days = 0.0;
            for n in &path {
                piece_days += left / lot.rate_per_day;
                left -= f64::from(n * lot.pieces);
            }
            worth += chance * (net - t.holding * piece_days);
            minutes += chance * path.iter().map(|n| money[n].minutes).sum::<f64>();
            last += chance * path.len() as f64 / lot.rate_per_day;
            whole += chance;
        }
        prop_assert!((whole - 1.0).abs() < 1e-9);
        prop_assert!((listing.worth - (worth - t.wage * t.listing_minutes / 60.0)).abs() < 1e-8);
        prop_assert!((listing.expected.minutes - minutes).abs() < 1e-8);
        prop_assert!((listing.expected.last_sale_day - last).abs() < 1e-7);
    }

    #[test]
    fn lots_sold_by_the_horizon_follow_the_rates_of_change(seed: u64, lots in 1_u32..7) {
        let mut pile = pile(seed);
        pile.pieces = 48;
        let Some(lot) = a_lot(&pile) else { return Ok(()) };
        let listing = pile.sizing().listing(lot.pieces, lots).expect("it fits");
        let sendable: Vec<u32> = lot.orders.keys().copied().collect();
        // The chance of each number left, by the classical fourth-order rule over the days.
        let change = |p: &[f64]| {
            let mut d = vec![0.0; p.len()];
            for left in 1..=lots {
                for (wanted, share) in pile.demand.mix.shares() {
                    let sent = sendable.iter().copied().filter(|&n| n <= wanted.min(left)).max().expect("one");
                    let flow = lot.rate_per_day * share * p[left as usize];
                    d[left as usize] -= flow;
                    d[(left - sent) as usize] += flow;
                }
            }
            d
        };
        let along = |p: &[f64], d: &[f64], h: f64| -> Vec<f64> { p.iter().zip(d).map(|(p, d)| p + h * d).collect() };
        let mut p = vec![0.0; lots as usize + 1];
        p[lots as usize] = 1.0;
        let steps = 400;
        let h = pile.demand.horizon_days / f64::from(steps);
        for _ in 0..steps {
            let k1 = change(&p);
            let k2 = change(&along(&p, &k1, h / 2.0));
            let k3 = change(&along(&p, &k2, h / 2.0));
            let k4 = change(&along(&p, &k3, h));
            for (i, p) in p.iter_mut().enumerate() {
                *p += h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
            }
        }
        let left: f64 = p.iter().enumerate().map(|(n, p)| n as f64 * p).sum();
        prop_assert!((listing.all_by_horizon - p[0]).abs() < 1e-7);
        prop_assert!((listing.sold_by_horizon - (f64::from(lots) - left)).abs() < 1e-6);
    }

    #[test]
    fn a_higher_fee_never_raises_the_best_profit(seed: u64, which in 0_u8..4, more in 0.0..0.3_f64) {
        let mut pile = pile(seed);
        // A share that is given back rounds twice, so that a dearer fee may come out a fraction of a cent
        // better; given back nothing, the law is strict.
        pile.terms.fees.share_given_back = 0.0;
        let before = best_worth(&pile);
        let fees = &mut pile.terms.fees;
        match which {
            0 => fees.share_of_item += more,
            1 => fees.share_of_shipping += more,
            2 => fees.share_of_tax += more,
            _ => fees.fixed += Money::from_cents_rounded(more * 100.0),
        }
        prop_assert!(best_worth(&pile) <= before + 1e-9);
    }

    #[test]
    fn more_pieces_never_lower_the_best_profit(seed: u64) {
        let pile = pile(seed);
        let sizing = pile.sizing();
        for limit in [None, Some(1), Some(2)] {
            let plans = sizing.by_profit(limit).expect("a limit");
            let worths: Vec<f64> =
                (0..=pile.pieces).map(|n| plans.split(n).expect("planned for").worth()).collect();
            prop_assert!(worths.windows(2).all(|w| w[1] >= w[0] - 1e-8), "{worths:?}");
            prop_assert!(worths[0] == 0.0);
        }
    }

    #[test]
    fn a_looser_limit_on_sizes_never_lowers_the_best_profit(seed: u64) {
        let pile = pile(seed);
        let sizing = pile.sizing();
        let worth = |limit| sizing.by_profit(limit).expect("a limit").split(pile.pieces).expect("fits").worth();
        let worths = [worth(Some(0)), worth(Some(1)), worth(Some(2)), worth(Some(8)), worth(None)];
        prop_assert!(worths.windows(2).all(|w| w[1] >= w[0] - 1e-8), "{worths:?}");
        prop_assert!((worths[3] - worths[4]).abs() < 1e-8, "eight sizes at once are all there are");
    }

    #[test]
    fn profits_add_up_from_their_lines_to_the_cent(seed: u64) {
        let pile = pile(seed);
        let sizing = pile.sizing();
        let split = sizing.by_profit(None).expect("no limit").split(pile.pieces).expect("planned for");
        let ledger = split.ledger(pile.cost);
        prop_assert_eq!(ledger.total(), split.profit(pile.cost));
        let cost = pile.cost.cents() as f64 / 100.0;
        let by_listing: f64 = split.listings.iter().map(|listing| listing.worth).sum();
        prop_assert!((by_listing - cost - split.profit(pile.cost)).abs() < 1e-9);
        let cents: Money = ledger.in_cents().into_iter().sum();
        prop_assert!((cents.cents() as f64 / 100.0 - split.profit(pile.cost)).abs() < 0.005 + 1e-8);
        for (line, cents) in ledger.lines.iter().zip(ledger.in_cents()) {
            prop_assert!((cents.cents() as f64 - line.amount * 100.0).abs() < 1.0 + 1e-5);
        }
        for listing in &split.listings {
            let e = &listing.expected;
            let net = e.items + e.shipping - e.fees - e.postage - e.materials - e.labour - e.damage;
            prop_assert!((net - e.net).abs() < 1e-9);
            prop_assert!((e.net - listing.listing_labour - listing.holding - listing.worth).abs() < 1e-9);
            for order in &listing.orders {
                prop_assert_eq!(order.items, order.item * i64::from(order.lots));
                prop_assert_eq!(order.delivered, order.items + order.shipping);
            }
        }
        prop_assert_eq!(split.dropped() + split.listings.iter().map(|l| l.pieces()).sum::<u32>(), pile.pieces);
    }

    #[test]
    fn from_the_break_even_price_on_a_lot_leaves_something(seed: u64, beyond in 0_i64..3000) {
        let pile = pile(seed);
        let Some(lot) = a_lot(&pile) else { return Ok(()) };
        let least = lot.break_even(&pile.terms).expect("figures in range").expect("fees leave something");
        let net = |price: Money| {
            let delivered = price.cents() as f64 / 100.0;
            LotSize { delivered, ..lot.clone() }.money(1, &pile.terms).map(|money| money.net)
        };
        prop_assert!(net(least + Money::from_cents(beyond)).expect("a price") > 0.0);
        // A cent less leaves nothing, or nothing is left as the price of the goods.
        prop_assert!(net(least - Money::from_cents(1)).map_or(true, |net| net <= 1e-9));
    }

    #[test]
    fn a_spare_mends_what_breaks_over_every_way_to_sell_out(seed: u64, kept in 0_u32..4, chance in 0.0..0.3_f64) {
        let pile = pile(seed);
        let kept = kept.min(pile.pieces);
        let sizing = pile.sizing();
        let plans = sizing.by_profit(None).expect("no limit");
        let spare = Spare { kept, chance_of_break: chance, saving: 12.0 };
        let worth = plans.spare(pile.pieces, &spare).expect("planned for");
        // Chance of each number of orders over all listings.
        let mut orders = BTreeMap::from([(0_usize, 1.0)]);
        for listing in &worth.with.listings {
            let sendable: Vec<u32> = listing.orders.iter().map(|order| order.lots).collect();
            let mut next = BTreeMap::new();
            for (so_far, p) in &orders {
                for (q, path) in courses(listing.lots, &pile.demand.mix, &sendable, 1.0, &[]) {
                    *next.entry(so_far + path.len()).or_insert(0.0) += p * q;
                }
            }
            orders = next;
        }
        let (mut any, mut mended, mut breaks) = (0.0, 0.0, 0.0);
        for (&n, p) in &orders {
            let mut choose = 1.0;
            for broken in 0..=n {
                let q = choose * chance.powi(broken as i32) * (1.0 - chance).powi((n - broken) as i32);
                any += if broken > 0 { p * q } else { 0.0 };
                mended += p * q * broken.min(kept as usize) as f64;
                breaks += p * q * broken as f64;
                choose *= (n - broken) as f64 / (broken + 1) as f64;
            }
        }
        prop_assert!((worth.any_break - any).abs() < 1e-9);
        prop_assert!((worth.mended - mended).abs() < 1e-9);
        prop_assert!((worth.breaks - breaks).abs() < 1e-9);
        prop_assert!((worth.saves - 12.0 * mended).abs() < 1e-8);
        prop_assert!(worth.costs >= -1e-8, "selling fewer is never better");
        prop_assert_eq!(worth.pays(), worth.saves > worth.costs);
        prop_assert_eq!(worth.with.pieces, pile.pieces - kept);
    }
}

fn hostile() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(-1.0),
        Just(0.0),
        Just(1e-18),
        Just(1e-3),
        Just(1.0),
        Just(1e3),
        Just(1e5),
        Just(1e300),
        0.0..1.0_f64,
        1.0..1e5_f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn no_figure_brings_a_plan_down(
        seed: u64, place in 0_u32..16, figure in hostile(), other in hostile(), pieces in 0_u32..30, limit in 0_u32..4,
    ) {
        let mut pile = pile(seed);
        pile.pieces = pieces;
        let cents = Money::from_cents_rounded(if figure.is_finite() { figure * 100.0 } else { 1e18 });
        let Pile { terms, demand, sizes, .. } = &mut pile;
        let Terms { fees, tax_rate, wage, listing_minutes, chance_of_damage, holding } = terms;
        match place {
            0 => fees.share_of_item = figure,
            1 => fees.share_of_tax = figure,
            2 => fees.fixed = cents,
            3 => fees.share_given_back = figure,
            4 => *tax_rate = figure,
            5 => *wage = figure,
            6 => *listing_minutes = figure,
            7 => *chance_of_damage = figure,
            8 => *holding = figure,
            9 => demand.at_one = figure,
            10 => demand.horizon_days = figure,
            _ => for size in sizes {
                match place {
                    11 => size.delivered = figure,
                    12 => size.rate_per_day = figure,
                    13 => size.orders.values_mut().for_each(|order| order.minutes = figure),
                    14 => size.orders.values_mut().for_each(|order| order.shipping_charged = cents),
                    _ => size.orders.values_mut().for_each(|order| order.postage = figure),
                }
            },
        }
        for size in &pile.sizes {
            _ = size.money(1, &pile.terms);
            _ = size.break_even(&pile.terms);
        }
        pile.terms.holding = if place == 12 { other } else { pile.terms.holding };
        let Ok(sizing) = Sizing::new(pile.pieces, &pile.sizes, &pile.terms, &pile.demand) else { return Ok(()) };
        let limit = limit.checked_sub(1);
        let plans = sizing.by_profit(limit).expect("a small limit");
        let choice = plans.choice(pile.pieces).expect("planned for");
        prop_assert!(choice.best.worth() >= -1e-6);
        let hourly = sizing.per_hour(pile.pieces, cents, limit);
        if let Ok(Some(hourly)) = hourly {
            prop_assert!(hourly.best.contribution_per_hour(cents).is_some_and(f64::is_finite));
        }
        _ = sizing.equal_lots(pile.pieces);
        _ = plans.spare(pile.pieces, &Spare { kept: 1, chance_of_break: figure, saving: other });
        prop_assert!(choice.best.ledger(cents).in_cents().len() == 3 * choice.best.listings.len() + 1);
    }
}

#[test]
fn a_larger_share_of_large_orders_comes_in_fewer_orders() {
    let mut pile = pile(7);
    pile.pieces = 24;
    let mut orders = Vec::new();
    for share in [0.0, 0.3, 0.6] {
        pile.demand = Demand { mix: mix(&[(1, 1.0 - share), (2, share)]), ..pile.demand };
        let size =
            pile.sizes.iter().find(|size| size.orders.contains_key(&1) && size.orders.contains_key(&2));
        let size = size.expect("a size with orders of two").pieces;
        orders.push(pile.sizing().listing(size, 3).expect("it fits").expected.orders);
    }
    assert!(orders[0] > orders[1] && orders[1] > orders[2], "{orders:?}");
}
