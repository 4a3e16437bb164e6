//! The answer: what to do in plain words first, then the figures, the method one tap away, the cautions.

use std::collections::BTreeSet;

use jiff::civil::Date;
use maud::{Markup, html};
use measure::Money;
use selling::{BuyDecision, Verdict};
use trade::{Job, Purchase, Worth};

use crate::Question;
use crate::said::{amount, count, not_measured};

/// Sizes of lots that are shown without a comp, from the smallest.
const LOTS_SHOWN: usize = 6;

pub(crate) fn answer(
    job: &Job,
    worth: &Worth,
    asking: Option<Money>,
    purchase: Option<&Purchase>,
    question: &Question,
    day: Date,
) -> Markup {
    let cautions: BTreeSet<String> = job
        .finds
        .get(worth.find)
        .into_iter()
        .flat_map(|find| &find.rows)
        .flat_map(|row| &row.form.cautions)
        .map(forms::Caution::full_text)
        .collect();
    html! {
        @match (purchase, &worth.appraisal) {
            (Some(purchase), _) => { (decided(job, worth, asking, purchase)) }
            (None, Ok(_)) => {
                p.verdict data-said="Leave it: no lot of it is worth its parcel." { "Leave it: no lot of it is worth its parcel." }
            }
            (None, Err(why)) => {
                p.verdict data-said="Not enough is known to say what to pay." { "Not enough is known to say what to pay." }
                p { "What it is worth can't be said: " (why) "." }
                (break_even(worth))
            }
        }
        (rests_on(job, day))
        @if !cautions.is_empty() {
            section.cautions aria-labelledby="cautions-title" {
                h2 #cautions-title { "Mind" }
                ul { @for caution in &cautions { li { (caution) } } }
            }
        }
        (method(job, worth, purchase, question))
    }
}

/// What to do, in one line.
fn verdict(decision: &BuyDecision, asked: bool) -> String {
    match (asked, decision.verdict) {
        (false, _) if decision.most_to_pay > Money::ZERO => format!("Pay at most {}.", decision.most_to_pay),
        (_, Verdict::Buy) => format!("Buy it for {}.", decision.asking),
        (_, Verdict::HaggleTo(price)) => format!("Haggle to {price}."),
        (_, Verdict::Leave) if decision.not_even_free.is_some() => {
            String::from("Leave it, even for nothing.")
        }
        (_, Verdict::Leave) => String::from("Leave it."),
    }
}

fn decided(job: &Job, worth: &Worth, asking: Option<Money>, purchase: &Purchase) -> Markup {
    let decision = &purchase.decision;
    let at = &decision.at_asking;
    let said = verdict(decision, asking.is_some());
    // The first two sentences of the reasons say it in full.
    let reasons: Vec<String> = decision.reasons().into_iter().take(2).collect();
    html! {
        p.verdict data-said=(said) { (said) }
        @if asking.is_some() { p { (reasons.join(" ")) } } @else { p { "No price was told, so only the most to pay can be said." } }
        table.figures {
            caption { "What it rests on" }
            tbody {
                tr { th scope="row" { "Most to pay" } td { (decision.most_to_pay) " (bound by " (decision.bound_by) ")" } }
                @if asking.is_some() {
                    tr { th scope="row" { "Asked" } td { (decision.asking) } }
                    tr {
                        th scope="row" { "Expected profit" }
                        td { (at.expected_profit) " after " (job.wage) " an hour" }
                    }
                    tr { th scope="row" { "Your work" } td { (format!("{:.1}", at.hours)) " hours" } }
                    @if let Some(net) = at.net_per_hour { tr { th scope="row" { "An hour earns" } td { (net) } } }
                    tr { th scope="row" { "Chance of a loss" } td { (format!("{:.0} %", 100.0 * at.chance_of_loss)) } }
                }
                tr { th scope="row" { "Packed" } td { (packed(job, worth)) } }
            }
        }
    }
}

/// The day and the card that every figure of postage rests on.
fn rests_on(job: &Job, day: Date) -> Markup {
    let card = &job.post.card;
    html! {
        p.quiet-words {
            "Reckoned for " time datetime=(day) { (day) } " on the rate card " (card.id().replace('_', " ")) ", in force from "
            (card.effective_from()) @if let Some(end) = card.effective_to() { " to " (end) } "."
        }
    }
}

/// Weight of all parcels of the split.
fn packed(job: &Job, worth: &Worth) -> String {
    let mut gross = measure::Mass::ZERO;
    let mut parcels: u32 = 0;
    for (priced, split) in worth.splits() {
        for listing in &split.listings {
            let size = priced.sizes.iter().find(|size| size.pieces == listing.size);
            if let Some(Ok(shipped)) = size.map(|size| &size.parcels) {
                let one: measure::Mass = shipped.iter().map(|parcel| parcel.gross).sum();
                gross += one * f64::from(listing.lots);
                parcels = parcels.saturating_add(listing.lots.saturating_mul(shipped.len() as u32));
            }
        }
    }
    format!("{} in {}", gross.write(job.units), count(parcels, "parcel"))
}

/// Without comps: from what delivered price on a lot leaves anything.
fn break_even(worth: &Worth) -> Markup {
    let sizes = worth.pools.first().map_or(&[][..], |pool| pool.sizes.as_slice());
    html! {
        table.figures {
            caption { "What can be said: sold below this delivered price, a lot leaves nothing" }
            thead { tr { th scope="col" { "Lot of" } th scope="col" { "Break-even" } } }
            tbody {
                @for size in sizes.iter().take(LOTS_SHOWN) {
                    tr {
                        th scope="row" { (size.pieces) }
                        td { @match size.break_even { Some(price) => { (price) } None => { "no parcel" } } }
                    }
                }
            }
        }
    }
}

fn method(job: &Job, worth: &Worth, purchase: Option<&Purchase>, question: &Question) -> Markup {
    let find = job.finds.get(worth.find);
    html! {
        details {
            summary { "How this was reckoned" }
            @if let Some(purchase) = purchase {
                h3 { "The decision" }
                ul { @for reason in purchase.decision.reasons() { li { (reason) } } }
                div.scroll role="region" aria-label="The split it rests on" tabindex="0" {
                    table {
                        caption {
                            "The split it rests on: sold within " (format!("{:.0}", purchase.horizon_days))
                            " days, else counted as nothing"
                        }
                        thead {
                            tr {
                                th scope="col" { "Lots" } th scope="col" { "Median" } th scope="col" { "Counted" }
                                th scope="col" { "Fees" } th scope="col" { "Costs" } th scope="col" { "Sold" }
                            }
                        }
                        tbody {
                            @for kind in &purchase.kinds {
                                tr {
                                    th scope="row" { (kind.lots) " x " (kind.name) }
                                    td { (amount(kind.median)) }
                                    td { (amount(kind.guarded)) }
                                    td { (format!("{:.1} %", 100.0 * kind.fee_share)) }
                                    td { (amount(kind.cost)) }
                                    td { (format!("{:.0} %", 100.0 * kind.chance_sold)) }
                                }
                            }
                        }
                    }
                }
            }
            @if let Ok(appraisal) = &worth.appraisal {
                h3 { "How each comp counted" }
                ol {
                    @for (counted, comp) in appraisal.counted().iter().zip(find.into_iter().flat_map(|find| &find.comps)) {
                        li {
                            (comp.understood()) ": "
                            (counted.sentence.split_once(": ").map_or(counted.sentence.as_str(), |(_, how)| how))
                        }
                    }
                }
            }
            h3 { "Not told, taken as usual" }
            ul {
                @for usual in usual(job, question) { li { (usual) } }
                @if let Some(find) = find {
                    @for guessed in not_measured(find) { li { (guessed) } }
                }
            }
        }
    }
}

/// What of the usual job stands, in words.
fn usual(job: &Job, question: &Question) -> Vec<String> {
    let post = &job.post;
    let buyers: Vec<&str> = post.buyers.iter().map(|buyer| buyer.zip.as_str()).collect();
    let venue = &job.market.venue;
    let grade = job.finds.first().map_or(pricing::Grade::default(), |find| find.grade);
    let mut out = vec![
        format!("buyers in {}", buyers.join(", ")),
        format!("the rate card {}", post.card.id().replace('_', " ")),
        format!("charged for postage: {}", job.charging.in_words(job.units)),
        format!("{} sizes of carton", job.cartons.len()),
        format!(
            "sold at {}, which takes {} of the price and {} an order",
            venue.name, venue.fee_on_item, venue.fixed_fee
        ),
    ];
    if !question.tells("from") {
        out.push(format!("sent from {}", post.origin));
    }
    if !question.tells("wage") {
        out.push(format!("{} an hour", job.wage));
    }
    if !question.tells("grade") {
        out.push(format!("condition {grade:?}"));
    }
    out
}
