//! Ways to split a find, and what the best of them comes to, as tables.

use draw::Standing;
use maud::{Markup, html};
use measure::Money;
use trade::{FindSplit, Job, PoolKind, Worth};

use super::split_why::hours;
use super::typed_lots::coded;
use crate::said::{amount, count};

const fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Best => "best",
        Standing::BestPerHour => "best per hour",
        Standing::BestInBoth => "best, also per hour",
        Standing::Other => "",
    }
}

/// The ways, with what each earns and leaves over; `at` is the address of their page, `said` what is told beside them,
/// as its end.
pub(super) fn plans(worth: &Worth, bars: &draw::SplitBars, at: &str, said: &str) -> Markup {
    html! {
        table {
            caption { (bars.title) }
            thead {
                tr {
                    th scope="col" { "Lots x size" } th scope="col" { span.unseen { "Go on with" } } th.num scope="col" { "Profit" } th.num scope="col" { "An hour" }
                    th.num scope="col" { "Hours" } th.num scope="col" { "Left over" }
                }
            }
            tbody {
                @for (bar, plan) in bars.plans.iter().zip(keeping::plans_compared(worth)) {
                    @let words = standing(bar.standing);
                    tr {
                        th scope="row" { (bar.name) @if !words.is_empty() { " (" (words) ")" } }
                        td {
                            @if !plan.listings.is_empty() {
                                a href={ (at) "?lots=" (coded(&bar.name)) (said) "#decide" } {
                                    "Take this" span.unseen { ": " (bar.name) }
                                }
                            }
                        }
                        td.num { (bar.profit) }
                        td.num { @match bar.per_hour { Some(rate) => { (rate) } None => { "-" } } }
                        td.num { (format!("{:.1}", bar.hours)) }
                        td.num { (plan.dropped()) }
                    }
                }
            }
        }
    }
}

/// What is reckoned beside the best split's lots.
fn what_else(worth: &Worth) -> &'static str {
    let alone = worth.pools.iter().any(|priced| matches!(priced.pool.kind, PoolKind::Alone { .. }));
    if alone { "single and flawed pieces" } else { "flawed pieces" }
}

/// Every listing of the best split, with the cost of the find.
pub(super) fn ledger(job: &Job, worth: &Worth, split: &FindSplit) -> Markup {
    let cost = keeping::cost_of(job, worth).unwrap_or(Money::ZERO);
    let splits = worth.splits();
    html! {
        details {
            summary { "What it comes to, with " (what_else(worth)) }
            table.figures {
                caption { "Every listing of the best split" }
                thead {
                    tr { th scope="col" { "Lots" } th.num scope="col" { "Price of one" } th.num scope="col" { "Leaves in all" } th.num scope="col" { "Sold in the horizon" } }
                }
                tbody {
                    @for (priced, of_pool) in &splits {
                        @for listing in &of_pool.listings {
                            tr {
                                th scope="row" { (count(listing.lots, "lot")) " of " (priced.pool.counted(listing.size)) }
                                td.num { @if let Some(order) = listing.orders.first() { (order.item) } }
                                td.num { (amount(listing.worth)) }
                                td.num { (format!("{:.1}", listing.sold_by_horizon)) }
                            }
                        }
                    }
                    tr { th scope="row" { "Cost of the find" } td {} td.num { (-cost) } td {} }
                    tr {
                        th scope="row" { strong { "Expected profit, " (hours(split.hours)) " of work paid" } }
                        td {} td.num { strong { (amount(split.worth - cost.currency())) } } td {}
                    }
                }
            }
        }
    }
}
