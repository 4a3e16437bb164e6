//! What becomes of pieces that the best plan puts into no set, and why it makes up so many sets.

use keeping::SetMember;
use maud::{Markup, html};
use measure::Money;
use selling::Split;
use trade::{FindSplit, Job, PoolKind, PricedPool, Worth};

use super::split_ways::lots_of;
use super::split_why::{left_over, why};
use crate::said::{amount, count};
use crate::spelled::in_address;

/// A difference below this is a tie, currency (judgement).
const TIE: f64 = 1.0;

/// The verdict in a sentence: how many sets, in which lots.
pub(super) fn verdict(worth: &Worth, split: &FindSplit) -> String {
    let best = &split.choice.best;
    if !best.listings.is_empty() {
        return format!("Best: {}, {}.", count(in_lots(best), "set"), lots_of(best));
    }
    let bare = worth.splits().into_iter().skip(1).any(|(_, split)| !split.listings.is_empty());
    if bare {
        String::from("Best without sets: the pieces bring more by themselves.")
    } else {
        String::from("No lot of it pays for its parcel.")
    }
}

/// Sets that are in lots; the others are left over.
fn in_lots(best: &Split) -> u32 {
    best.pieces.saturating_sub(best.dropped())
}

/// Why this is best: why so many sets and no other number, why these lots of them, and what of the sets is left over.
pub(super) fn reasons(job: &Job, worth: &Worth, split: &FindSplit) -> Vec<String> {
    let cost = keeping::cost_of(job, worth).unwrap_or(Money::ZERO);
    let sets_are_sold = !split.choice.best.listings.is_empty();
    if !sets_are_sold && split.plan.sets > 0 {
        return why(job, cost, split);
    }
    let mut out = why_so_many(worth, split, job.market.spare);
    if sets_are_sold {
        out.extend(why(job, cost, split));
        out.extend(left_over(worth.splits().into_iter().take(1)));
    }
    out
}

/// Why so many sets are made up and no other number; `kept` sets are kept back where that pays.
fn why_so_many(worth: &Worth, split: &FindSplit, kept: u32) -> Vec<String> {
    let (made, by_sets) = (split.plan.sets, &split.plan.worth_by_sets);
    let most = worth.pools.first().map_or(0, |sets| sets.pool.available);
    let of = |sets: u32| usize::try_from(sets).ok().and_then(|sets| by_sets.get(sets)).copied();
    let less = |sets: u32| Some(of(made)? - of(sets)?);
    let mut out = Vec::new();
    let sold = in_lots(&split.choice.best);
    if sold == most {
        out.push(format!("{} can be made up, and all of them are.", count(most, "set")));
    } else if made == most {
        out.push(format!("{} can be made up; {sold} go into these lots.", count(most, "set")));
    } else if let Some(less) = less(most) {
        out.push(if less < TIE {
            format!("{} could be made up; {made} are as good.", count(most, "set"))
        } else {
            format!(
                "{} could be made up; with all of them it would leave {} less.",
                count(most, "set"),
                amount(less)
            )
        });
    }
    if let Some(spare) = split.spare.as_ref().filter(|spare| spare.pays()) {
        out.push(format!(
            "{} kept back for one that breaks: costs {} of profit and is expected to save {}.",
            count(kept, "set"),
            amount(spare.costs),
            amount(spare.saves)
        ));
    }
    if let Some(less) = less(0).filter(|_| made > 0) {
        out.push(if less < TIE {
            String::from("Without sets, every piece by itself, it would leave as much.")
        } else {
            format!("Without sets, every piece by itself, it would leave {} less.", amount(less))
        });
    }
    out
}

/// The pieces beside the sets, pile by pile, with a way to list them from their own find; `said` is told with it, as
/// the end of an address.
pub(super) fn beside_the_sets(
    job: &Job,
    worth: &Worth,
    split: &FindSplit,
    members: &[SetMember],
    said: &str,
) -> Markup {
    let piles: Vec<(&PricedPool, &Split)> =
        worth.splits().into_iter().skip(1).filter(|(_, split)| split.pieces > 0).collect();
    if piles.is_empty() {
        return html! {};
    }
    let cost = keeping::cost_of(job, worth).unwrap_or(Money::ZERO);
    html! {
        section aria-labelledby="bare" {
            h2 #bare { "Pieces beside the sets" }
            ul {
                @for (priced, of_pile) in &piles {
                    li {
                        (priced.pool.counted(of_pile.pieces)) ": "
                        @if of_pile.listings.is_empty() { "not worth a parcel by themselves." }
                        @else {
                            @for (k, listing) in of_pile.listings.iter().enumerate() {
                                @let words = format!("{} of {}", count(listing.lots, "lot"), listing.size);
                                @let price = listing.orders.first().map(|order| order.item);
                                @if k > 0 { ", " }
                                (words)
                                @if let Some(price) = price { " at " (price) }
                                @if let Some(at) = address(priced, members, listing.size, listing.lots, price) {
                                    " (" a href={ (at) (said) } { "list " (if listing.lots == 1 { "it" } else { "them" }) span.unseen { ": " (words) ", " (priced.pool.name) } } ")"
                                }
                            }
                            @if of_pile.dropped() > 0 { "; " (of_pile.dropped()) " left over" }
                            "."
                        }
                    }
                }
            }
            @if piles.iter().any(|(_, of_pile)| !of_pile.listings.is_empty()) {
                p {
                    "With what these bring, all of it leaves " (amount(split.worth - cost.currency()))
                    "; the ways above count the sets alone, less what all of it cost. List these pieces from their own find once the sets are decided."
                }
            }
        }
    }
}

/// The page that lists lots of a pile, filled in.
fn address(
    priced: &PricedPool,
    members: &[SetMember],
    size: u32,
    lots: u32,
    price: Option<Money>,
) -> Option<String> {
    let (row, which) = match priced.pool.kind {
        PoolKind::Sets => return None,
        PoolKind::Alone { row } => (row, "sound"),
        PoolKind::Flawed { row } => (row, "flawed"),
    };
    let find = members.get(row)?.records.find;
    let price = price.map_or_else(String::new, |price| format!("&price={}", in_address(&price.write())));
    let holds = in_address(&format!("{size} of {find}"));
    Some(format!("/listings/new?holds={holds}&which={which}&lots={lots}{price}"))
}
