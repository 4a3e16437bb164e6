//! The order ladder of one lot size: an order of one lot, of two, of more, each packed for real.

use draw::LadderSteps;
use maud::{Markup, html};
use measure::Money;
use trade::{Job, Ladder, Listing, Worth};

use super::{Answer, Kind, Stage, Work, chart, scrolled};
use crate::App;

/// Orders of more lots than this are not worked out on the page (judgement: few buyers take more).
const MOST_RUNGS: u32 = 12;

/// The order ladder of one lot size, or how far it is; `at` is the address of its page, `said` what is told beside the
/// size, as its end.
pub(super) async fn ladder(
    app: &App,
    job: &std::sync::Arc<keeping::RecordJob>,
    worth: &Worth,
    size: Option<u32>,
    at: &str,
    said: &str,
) -> Markup {
    let Some(sets) = worth.pools.first() else { return html! {} };
    let sizes: Vec<u32> =
        sets.sizes.iter().filter(|size| size.parcels.is_ok()).map(|size| size.pieces).collect();
    let of_best = worth.split.as_ref().and_then(|split| split.plan.of_sets.listings.first());
    let best = of_best.map(|listing| listing.size);
    let Some(chosen) = size.filter(|size| sizes.contains(size)).or(best).or(sizes.first().copied()) else {
        return html! {};
    };
    let lots = match of_best.filter(|listing| listing.size == chosen) {
        Some(listing) => listing.lots,
        None => sets.pool.available / chosen.max(1),
    };
    let of_one_kind = sets.pool.unit.iter().sum::<u32>() == 1;
    let lot = if of_one_kind { chosen.to_string() } else { format!("{chosen} sets") };
    let per_lot = sets.pool.unit.iter().map(|pieces| pieces.saturating_mul(chosen)).collect();
    let mut listing = Listing { find: 0, per_lot, lots: lots.clamp(1, MOST_RUNGS), price: None };
    listing.price = worth.price_of(&listing);
    let back = format!("{at}?size={chosen}{said}");
    let work = app.asks(Kind::Ladder(listing), job, &back).await;
    let drawn = match work.as_ref().map(Work::stage) {
        Some(Stage::Done(answer)) => match answer.as_ref() {
            Answer::Ladder(ladder) => rungs(&job.job, ladder, lots, &lot),
            Answer::Worth(_) | Answer::Whole(_) => app.waits(work.as_ref()),
        },
        Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
    };
    html! {
        section aria-labelledby="ladder" {
            h2 #ladder { "An order of one lot, of two, of more" }
            @if sizes.len() > 1 {
                nav.sizes aria-label="Lot size of the ladder" {
                    ul {
                        @for size in &sizes {
                            li {
                                a href={ (at) "?size=" (size) (said) "#ladder" } aria-current=[(*size == chosen).then_some("true")] { "Lots of " (size) }
                            }
                        }
                    }
                }
            }
            (drawn)
        }
    }
}

/// The ladder as a chart, in words and as a table.
/// `lot` says what one lot holds, "4" or "4 sets".
pub(crate) fn rungs(job: &Job, ladder: &Ladder, lots: u32, lot: &str) -> Markup {
    let title = format!("Postage by order, lots of {lot}");
    let steps = keeping::ladder_steps(&title, ladder, job.units);
    html! {
        @for line in steps_in_words(&steps) { p { (line) } }
        @if lots > ladder.listing.lots {
            p.hint { "Orders of more than " (ladder.listing.lots) " lots are not worked out here." }
        }
        @if let [only] = steps.rungs.as_slice() {
            @match only.postage {
                Some(postage) => { p { "One lot, all there are, packs to " (only.weight) ", bills as " (only.billed) " and costs " (postage) " of postage." } }
                None => { p { "One lot can't be sent." } }
            }
        } @else {
            (chart(&draw::ladder_steps_svg(&steps), "ladder", "Each tread is an order; where the billed weight changes, the postage steps."))
        }
        details {
            summary { "The same as a table" }
            (scrolled("Order ladder", &rung_table(job, ladder, &steps)))
            @if let Some(stated) = ladder.stated {
                p {
                    "State " (stated.weight.write(job.units)) " and " (crate::said::sides(stated.size, job.units))
                    " for a lot: charged lot by lot, no order then costs you more than it is charged (at most "
                    (stated.most_over) " too much, for an order of " (stated.most_over_lots) ")."
                }
            }
        }
    }
}

/// Where the postage steps, in plain words.
fn steps_in_words(steps: &LadderSteps) -> Vec<String> {
    let mut out = Vec::new();
    // Orders with one more lot: how many lots, what the postage rises by, and by which weight.
    let rises: Vec<(&draw::LadderStep, Money, bool)> = steps
        .rungs
        .iter()
        .zip(steps.rungs.iter().skip(1))
        .filter_map(|(before, after)| {
            Some((after, after.postage? - before.postage?, before.billed == after.billed))
        })
        .collect();
    if let Some((rung, rise, _)) = rises.iter().filter(|(_, _, same)| !same).max_by_key(|(_, rise, _)| *rise)
    {
        out.push(format!(
            "The dearest step is to {} lots: {} bills as {}, {rise} more of postage than a lot less.",
            rung.lots, rung.weight, rung.billed
        ));
    }
    let along: Vec<String> =
        rises.iter().filter(|(_, _, same)| *same).map(|(rung, _, _)| rung.lots.to_string()).collect();
    if !along.is_empty() {
        out.push(format!("No step of weight is crossed with lot {}.", along.join(", ")));
    }
    let refused: Vec<String> =
        steps.rungs.iter().filter(|rung| rung.postage.is_none()).map(|rung| rung.lots.to_string()).collect();
    if !refused.is_empty() {
        out.push(format!("Orders of {} lots can't be sent.", refused.join(", ")));
    }
    if let (Some(first), Some(last)) =
        (steps.rungs.first(), steps.rungs.iter().rfind(|rung| rung.postage.is_some()))
        && let (Some(one), Some(all)) = (first.postage, last.postage)
        && last.lots > first.lots
    {
        let saved = one * i64::from(last.lots) - all;
        if saved > Money::ZERO {
            out.push(format!("{} lots in one order save {saved} of postage against one by one.", last.lots));
        }
    }
    out
}

fn rung_table(job: &Job, ladder: &Ladder, steps: &LadderSteps) -> Markup {
    html! {
        table {
            caption { "Orders, each packed for real" }
            thead {
                tr {
                    th scope="col" { "Lots" } th scope="col" { "Parcels" } th.num scope="col" { "Weight" } th scope="col" { "Bills as" }
                    th.num scope="col" { "Postage" } th.num scope="col" { "Charged" } th.num scope="col" { "Remains" } th scope="col" { "Step" }
                }
            }
            tbody {
                @for ((lots, plan), step) in ladder.rungs.iter().zip(&steps.rungs) {
                    tr {
                        th scope="row" { (lots) }
                        @match plan {
                            Ok(plan) => {
                                td { (cartons(plan)) }
                                td.num { (step.weight) }
                                td { (step.billed) }
                                td.num { (plan.expected_postage) }
                                td.num { (step.charged) }
                                td.num { (plan.expected_remains) }
                                td { (near_a_step(plan)) }
                            }
                            Err(why) => { td colspan="7" { (why) } }
                        }
                    }
                }
            }
        }
        @if job.post.buyers.len() > 1 { p.hint { "Postage and what remains are averages over the buyers' places." } }
    }
}

fn cartons(plan: &trade::OrderPlan) -> String {
    let names: Vec<&str> = plan.parcels.iter().map(|parcel| parcel.plan.carton.name.as_str()).collect();
    names.join(" + ")
}

/// The little change that would save most.
fn near_a_step(plan: &trade::OrderPlan) -> String {
    let notes = plan.parcels.iter().flat_map(|parcel| &parcel.notes);
    let best = notes.filter(|note| note.difference < Money::ZERO).min_by_key(|note| note.difference);
    best.map_or_else(String::new, |note| format!("{} saves {}", note.change, -note.difference))
}
