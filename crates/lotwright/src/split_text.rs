//! How a find is split, for a reader at a terminal.

use measure::Money;
use selling::{LedgerEntry, NotOffered, OrderMoney, Split};
use trade::{FindSplit, Job, PoolKind, PricedPool, Worth};

pub use keeping::{cost_of as cost, lots_in_words as parts};

use crate::words::{amount, plural, size as sides, table, wrapped};
use crate::worth_text::parcel;

/// Most characters of what a lot holds, in a table.
const LONGEST_LOT: usize = 48;

/// How the pile is best split.
pub fn split(job: &Job, worth: &Worth, explain: bool) -> String {
    let mut out = Vec::new();
    for priced in &worth.pools {
        if priced.sizing.is_some() && (priced.pool.kind == PoolKind::Sets || explain) {
            out.push(lot_sizes(job, priced));
        }
    }
    let Some(split) = &worth.split else {
        out.push(wrapped("! ", "Without comps no split can be chosen."));
        return out.join("\n\n");
    };
    out.push(beside_a_set(worth));
    out.push(plans(job, worth, split));
    out.push(ledger(job, worth, split));
    out.push(left_over(worth));
    if let Some(spare) = &split.spare {
        out.push(wrapped(
            "",
            &format!(
                "{} kept back: costs {} of profit and is expected to save {} ({:.0} % chance that anything \
                 breaks): {}.",
                plural(job.market.spare, "spare"),
                amount(spare.costs),
                amount(spare.saves),
                100.0 * spare.any_break,
                if spare.pays() { "worth keeping, so it is" } else { "better sold, so it is not" }
            ),
        ));
    }
    if explain {
        for (priced, of_pool) in worth.splits() {
            for listing in &of_pool.listings {
                if let Some(order) = listing.orders.first() {
                    out.push(arithmetic(job, worth, priced, listing, order));
                }
            }
        }
    }
    out.retain(|part| !part.is_empty());
    out.join("\n\n")
}

fn lot_sizes(job: &Job, priced: &PricedPool) -> String {
    let mut rows = Vec::new();
    for size in &priced.sizes {
        let money = priced.sizing.as_ref().and_then(|sizing| sizing.listing(size.pieces, 1));
        let order = money.as_ref().and_then(|listing| listing.orders.first());
        let (_, weight) = parcel(job.units, size);
        let row = match order {
            Some(order) => vec![
                size.pieces.to_string(),
                order.delivered.to_string(),
                order.fee.to_string(),
                amount(order.postage),
                amount(order.materials),
                amount(order.labour),
                amount(order.damage),
                amount(order.net),
                weight,
                size.parcels.as_ref().map_or_else(|_| String::from("-"), |parcels| parcels.len().to_string()),
            ],
            None => {
                let mut row = vec![size.pieces.to_string()];
                row.extend(std::iter::repeat_n(String::from("-"), 7));
                row.extend([weight, String::from("-")]);
                row
            }
        };
        rows.push(row);
    }
    let head = ["lot of", "brings", "fee", "post", "mat.", "work", "dmg", "net", "packed", "boxes"];
    let title = wrapped("", &format!("Lots of {}, each packed for real:", priced.pool.name));
    let mut out = format!("{title}\n{}", table(&head, &rows));
    for (pieces, why) in priced.sizing.iter().flat_map(|sizing| sizing.not_offered()) {
        let why = match why {
            NotOffered::NoParcel => String::from("no parcel carries it"),
            NotOffered::ShippingAbovePrice { shipping } => {
                format!("the {shipping} charged for shipping is more than it brings")
            }
        };
        out.push('\n');
        out.push_str(&wrapped("! ", &format!("lots of {pieces} are not offered: {why}")));
    }
    out
}

/// What the other piles are taken to be worth; empty where there are only sets.
fn beside_a_set(worth: &Worth) -> String {
    let Some((sets, others)) = worth.pools.split_first() else { return String::new() };
    if others.is_empty() {
        return String::new();
    }
    let shares: Vec<String> = others
        .iter()
        .map(|priced| format!("a {} counts {:.0} %", priced.pool.one, 100.0 * priced.pool.worth))
        .collect();
    wrapped("~ ", &format!("Beside one {}: {} of its price.", sets.pool.one, shares.join(", ")))
}

fn plans(job: &Job, worth: &Worth, split: &FindSplit) -> String {
    let cost = cost(job, worth).unwrap_or(Money::ZERO);
    let mut rows: Vec<(String, &Split)> = vec![(String::from("best profit"), &split.choice.best)];
    if let Some(runner_up) = &split.choice.runner_up {
        rows.push((String::from("runner-up"), runner_up));
    }
    if let Some(per_hour) = &split.per_hour {
        rows.push((String::from("best per hour"), &per_hour.best));
    }
    for equal in &split.equal {
        rows.push((format!("equal lots of {}", equal.size), &equal.split));
    }
    let sets =
        worth.pools.first().map_or_else(String::new, |sets| sets.pool.counted(split.plan.of_sets.pieces));
    let cells: Vec<Vec<String>> = rows
        .iter()
        .map(|(name, plan)| {
            vec![
                name.clone(),
                parts(plan),
                amount(plan.profit(cost)),
                plan.contribution_per_hour(cost).map_or_else(|| String::from("-"), amount),
                format!("{:.1}", plan.hours().abs()),
                plan.dropped().to_string(),
                format!("{:.0}", plan.last_sale_day()),
            ]
        })
        .collect();
    let head = ["plan", "lots x size", "profit", "an hour", "hours", "left", "last day"];
    let told = if cost > Money::ZERO { format!(", after the {cost} they cost") } else { String::new() };
    let mut out = format!("{}\n{}", wrapped("", &format!("{sets}{told}:")), table(&head, &cells));
    if let Some(runner_up) = &split.choice.runner_up {
        let gap = split.choice.best.gap_to(runner_up, cost);
        let close = if gap.profit < 1.0 { "; that is a tie, take the one you like to pack" } else { "" };
        out.push('\n');
        out.push_str(&wrapped(
            "",
            &format!(
                "The best is {} ahead of the runner-up for {} of work{close}.",
                amount(gap.profit),
                more_or_less(gap.hours)
            ),
        ));
    }
    out
}

fn more_or_less(hours: f64) -> String {
    let minutes = 60.0 * hours;
    if minutes.abs() < 0.5 {
        return String::from("the same time");
    }
    format!("{:.0} min {}", minutes.abs(), if minutes > 0.0 { "more" } else { "less" })
}

/// What one lot holds; sets of many kinds are called sets, so that a line of a table stays one.
fn in_a_lot(priced: &PricedPool, size: u32) -> String {
    let named = priced.pool.counted(size);
    if priced.pool.kind == PoolKind::Sets && named.chars().count() > LONGEST_LOT {
        return plural(size, "set");
    }
    named
}

fn ledger(job: &Job, worth: &Worth, split: &FindSplit) -> String {
    let cost = cost(job, worth);
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut total = 0.0;
    for (priced, of_pool) in worth.splits() {
        for line in of_pool.ledger(Money::ZERO).lines {
            let what = match (line.entry, line.size) {
                (LedgerEntry::NetOfLots, Some(size)) => {
                    let lots = of_pool.parts().get(&size).copied().unwrap_or(0);
                    format!("{} of {}: what they leave", plural(lots, "lot"), in_a_lot(priced, size))
                }
                (LedgerEntry::ListingLabour, Some(_)) => String::from("  making the listing"),
                (LedgerEntry::Holding, Some(_)) => String::from("  keeping them until sold"),
                (LedgerEntry::NetOfLots | LedgerEntry::ListingLabour | LedgerEntry::Holding, None)
                | (LedgerEntry::CostOfGoods, _) => continue,
            };
            total += line.amount;
            rows.push(vec![what, amount(line.amount)]);
        }
    }
    if let Some(cost) = cost {
        total -= cost.currency();
        rows.push(vec![String::from("cost of the find"), amount(-cost.currency())]);
    }
    rows.push(vec![
        format!("expected profit, {:.1} h of work paid at {} an hour", split.hours, job.wage),
        amount(total),
    ]);
    format!("What it comes to:\n{}", table(&["", "amount"], &rows))
}

fn left_over(worth: &Worth) -> String {
    let parts: Vec<String> = worth
        .splits()
        .into_iter()
        .filter(|(_, split)| split.dropped() > 0)
        .map(|(priced, split)| priced.pool.counted(split.dropped()))
        .collect();
    if parts.is_empty() {
        return String::new();
    }
    wrapped("", &format!("Left over, not worth a parcel: {}.", parts.join(", ")))
}

fn arithmetic(
    job: &Job,
    worth: &Worth,
    priced: &PricedPool,
    listing: &selling::Listing,
    order: &OrderMoney,
) -> String {
    let market = &job.market;
    let percent =
        |share: f64| format!("{:.4}", 100.0 * share).trim_end_matches('0').trim_end_matches('.').to_owned();
    let fees = market.fees();
    let mut rows = vec![
        vec![
            String::from("price"),
            order.item.to_string(),
            String::from("delivered price less shipping charged"),
        ],
        vec![
            String::from("shipping charged"),
            order.shipping.to_string(),
            String::from("expected over the buyers"),
        ],
        vec![
            String::from("sales tax"),
            order.tax.to_string(),
            format!("{} % of both, passes through", percent(market.buyers_tax)),
        ],
        vec![
            String::from("fee"),
            format!("-{}", order.fee),
            format!(
                "{} % of price, {} % of shipping, {} % of tax, {} fixed",
                percent(fees.share_of_item),
                percent(fees.share_of_shipping),
                percent(fees.share_of_tax),
                fees.fixed
            ),
        ],
    ];
    let size = priced.sizes.iter().find(|size| size.pieces == listing.size);
    let parcel = size.map_or_else(String::new, |size| {
        let (names, weight) = parcel(job.units, size);
        let outside = size
            .parcels
            .as_ref()
            .ok()
            .and_then(|parcels| parcels.first())
            .map_or_else(String::new, |parcel| format!(", {}", sides(parcel.outside, job.units)));
        format!("{names}, {weight}{outside}")
    });
    rows.extend([
        vec![
            String::from("postage"),
            amount(-order.postage),
            String::from("expected over the buyers' zones"),
        ],
        vec![
            String::from("materials"),
            amount(-order.materials),
            String::from("carton, wraps, fill, tape, label"),
        ],
        vec![
            String::from("work"),
            amount(-order.labour),
            format!("{:.1} min at {} an hour", order.minutes, job.wage),
        ],
        vec![
            String::from("damage"),
            amount(-order.damage),
            format!(
                "{} % of {} less {} of fees given back",
                percent(market.damage),
                order.delivered,
                order.fee_given_back
            ),
        ],
        vec![String::from("net"), amount(order.net), String::from("what one order of one lot leaves")],
    ]);
    let rate = format!(
        "{:.4} orders a day, where single pieces have {:.4}; {:.0} days to the last sale",
        listing.rate_per_day,
        worth.pace.rate.mean_rate(),
        listing.expected.last_sale_day
    );
    format!(
        "One lot of {}:\n{}\n{}\n{}",
        priced.pool.counted(listing.size),
        table(&["", "amount", "from"], &rows),
        wrapped("  ", &format!("packed: {parcel}")),
        wrapped("  ", &rate)
    )
}
