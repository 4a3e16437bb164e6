//! What a find is worth: prices by lot size with the comps that say so, and what each comp was taken as.

use axum::extract::{Path, State};
use axum::response::Response;
use maud::{Markup, html};
use measure::Money;
use pricing::{Appraisal, Caution};
use trade::{Job, Worth};

use super::{Answer, Asked, Kind, Stage, about, asked, chart, scrolled};
use crate::App;
use crate::form::{Filled, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::{amount, count};

/// Days for which the chance of a sale is told.
const DAYS: [f64; 3] = [30.0, 90.0, 180.0];
/// Asks that the chance of a sale is told for, as a ratio of the median.
const ASKS: [f64; 4] = [0.8, 1.0, 1.25, 1.5];

pub(super) async fn show(State(app): State<App>, Path(find): Path<u64>, Posted(filled): Posted) -> Response {
    page(&app, find, &filled, &Mistakes::default()).await
}

/// The page, with what was typed into its form and what is wrong with it.
pub(super) async fn page(app: &App, find: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let mut mistakes = mistakes.clone();
    let asked = match asked(app, find, filled, &mut mistakes).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let (mistakes, bare) = (&mistakes, format!("/finds/{find}/worth"));
    let at = format!("{bare}{}", asked.beside.query("?"));
    let answer = match &asked.job {
        Err(why) => html! { p.caution { (why) "." } },
        Ok(job) => {
            let work = app.asks(Kind::Worth, job, &at).await;
            match work.as_ref().map(super::Work::stage) {
                Some(Stage::Done(answer)) => match answer.as_ref() {
                    Answer::Worth(worth) => told(&asked, &job.job, worth, find),
                    Answer::Ladder(_) | Answer::Whole(_) => app.waits(work.as_ref()),
                },
                Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
            }
        }
    };
    let key = app.form_key().unwrap_or_default();
    let body = html! {
        (about(&asked.question))
        (asked.beside.caution())
        (answer)
        (asked.beside.form(&bare, filled, mistakes, !asked.question.records.flawed.is_empty()))
        section aria-labelledby="add" {
            h2 #add { "Add comps" }
            form method="post" action=(bare) novalidate {
                (once_field(&key))
                (asked.beside.hidden())
                (draw(&super::comps::field(), filled, mistakes, true))
                div.actions { button type="submit" { "Add them" } }
            }
        }
        (kept(app, &asked, find))
        p { a href="/help#worth" { "How to use this page" } }
    };
    let title = format!("What find {find} is worth");
    // Finds stand under Stock in the navigation.
    checked(&app.page(&title, "/stock/find", body).with_mistakes(mistakes))
}

/// The comps as they were typed, each with a button that takes it off.
fn kept(app: &App, asked: &Asked, find: u64) -> Markup {
    let comps = &asked.question.records.comps;
    html! {
        @if !comps.is_empty() {
            details {
                summary { "Comps as they were typed (" (comps.len()) ")" }
                ul.plain {
                    @for (number, comp) in comps {
                        li {
                            form.beside-words method="post" action={ "/finds/" (find) "/worth/strike" } {
                                (once_field(&app.form_key().unwrap_or_default()))
                                (asked.beside.hidden())
                                input type="hidden" name="comp" value=(number);
                                span { code { (comp.typed) } ", typed " (comp.date) }
                                button.quiet type="submit" aria-label={ "Take off: " (comp.typed) } { "Take off" }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn told(asked: &Asked, job: &Job, worth: &Worth, find: u64) -> Markup {
    let appraisal = match &worth.appraisal {
        Ok(appraisal) => appraisal,
        Err(why) => {
            return html! {
                p.verdict { "Not enough is known to say what it is worth." }
                @if !asked.question.records.comps.is_empty() { p { "The comps can't be used: " (why) "." } }
                @else { p { "Look up what like ones sold for and paste it below." } }
                (break_even(worth))
            };
        }
    };
    let name = &asked.question.records.text.description;
    let svg =
        draw::price_chart_svg(&keeping::price_chart(&format!("What {name} are worth"), worth, appraisal));
    html! {
        p.verdict { (verdict(worth, appraisal)) }
        @for line in cautions(worth, appraisal) { p.caution { (line) } }
        div.actions {
            a.button href={ "/finds/" (find) "/split" (asked.beside.query("?")) } { "Split it into lots" }
        }
        (chart(&svg, "prices", "Prices are delivered, shipping included. The marks are the comps."))
        details {
            summary { "The same as a table" }
            (scrolled("Worth by lot size", &prices(worth, appraisal)))
        }
        (brings(job, worth))
        section aria-labelledby="counted" {
            h2 #counted { "How each comp counted" }
            ol {
                @for (counted, comp) in appraisal.counted().iter().zip(job.finds.get(worth.find).into_iter().flat_map(|find| &find.comps)) {
                    li {
                        (comp.understood()) ": "
                        (counted.sentence.split_once(": ").map_or(counted.sentence.as_str(), |(_, how)| how))
                    }
                }
            }
        }
        (pace(worth, appraisal))
        details {
            summary { "How this was reckoned" }
            p {
                "The logarithm of the delivered price for a piece is taken as a level, plus a slope with the lot size, plus an error with heavy tails. "
                "Every comp counts with its weight: a sale as a price, an accepted offer as a range, what stood unsold as a bound. "
                "The answer averages over all levels, slopes and errors that the comps leave likely, drawn towards what is usual."
            }
            ul {
                li { "Weight of all comps together: " (format!("{:.2}", appraisal.weight_sum())) ", worth " (format!("{:.1}", appraisal.effective_comps())) " equal ones; " (appraisal.exact()) " exact." }
                li { "A single piece at " (amount(appraisal.mu().mean.exp())) "; twice the lot brings " (format!("{:+.0} %", 100.0 * (2_f64.powf(appraisal.beta().mean) - 1.0))) " a piece." }
                li { "Condition counted: " (format!("{:?}", job.finds.get(worth.find).map(|find| find.grade).unwrap_or_default())) "." }
                li { "Sold at " (job.market.venue.name) ": " (crate::venues::fees(&job.market.venue)) " (" (job.market.venue.source) ")." }
                @if let Some(group) = job.finds.get(worth.find) {
                    @for line in crate::said::not_measured(group) { li { (line) } }
                }
            }
        }
    }
}

/// In one line: what one and the largest seen lot bring.
fn verdict(worth: &Worth, appraisal: &Appraisal) -> String {
    let of = |pieces: u32| appraisal.lot(pieces).ok();
    let sizes = worth.pools.first().map_or(0, |sets| sets.sizes.len());
    let largest = u32::try_from(sizes).unwrap_or(u32::MAX).min(appraisal.largest_lot()).max(1);
    let Some(one) = of(1) else { return String::from("It can't be said what one is worth.") };
    let single = format!("One brings about {}", one.median_price());
    match of(largest).filter(|_| largest > 1) {
        Some(lot) => format!("{single}, a lot of {largest} about {}, delivered.", lot.median_price()),
        None => format!("{single}, delivered."),
    }
}

fn cautions(worth: &Worth, appraisal: &Appraisal) -> Vec<String> {
    let sizes = worth.pools.first().map_or(&[][..], |sets| &sets.sizes);
    let lots: Vec<_> = sizes.iter().filter_map(|size| appraisal.lot(size.pieces).ok()).collect();
    let mut out = Vec::new();
    if lots.iter().any(|lot| lot.cautions.contains(&Caution::PriorDriven)) {
        out.push(String::from(
            "Thin evidence: with so few comps, what is usual counts as much as what was seen. More comps make it surer.",
        ));
    }
    out
}

pub(super) fn prices(worth: &Worth, appraisal: &Appraisal) -> Markup {
    let sizes = worth.pools.first().map_or(&[][..], |sets| &sets.sizes);
    let range = |(low, high): (Money, Money)| format!("{low} to {high}");
    html! {
        table {
            caption { "Worth delivered, by lot size" }
            thead {
                tr {
                    th scope="col" { "Lot of" } th.num scope="col" { "Median" } th.num scope="col" { "Each" }
                    th.num scope="col" { "Next sale, 8 of 10" } th.num scope="col" { "Median itself, 80 %" }
                }
            }
            tbody {
                @for lot in sizes.iter().filter_map(|size| appraisal.lot(size.pieces).ok()) {
                    tr {
                        th scope="row" {
                            (lot.pieces)
                            @if lot.cautions.contains(&Caution::Extrapolated) { " ~" span.unseen { " no comp of about this size" } }
                        }
                        td.num { (lot.median_price()) }
                        td.num { (lot.per_piece_price()) }
                        td.num { (range(lot.next_sale())) }
                        td.num { (range(lot.median_range())) }
                    }
                }
            }
        }
        p.hint { "~ no comp of about this lot size: the price leans on what is usual." }
    }
}

/// What one lot of each size leaves after its parcel, its fee and the work.
fn brings(job: &Job, worth: &Worth) -> Markup {
    let Some(sets) = worth.pools.first() else { return html! {} };
    let rows = sets.sizes.iter().map(|size| {
        let listing = sets.sizing.as_ref().and_then(|sizing| sizing.listing(size.pieces, 1));
        (size, listing.and_then(|listing| listing.orders.first().cloned()))
    });
    let table = html! {
        table {
            caption { "What one lot of each size brings, packed for real" }
            thead {
                tr {
                    th scope="col" { "Lot of" } th.num scope="col" { "Brings" } th.num scope="col" { "Fee" }
                    th.num scope="col" { "Postage" } th.num scope="col" { "Materials" } th.num scope="col" { "Work" }
                    th.num scope="col" { "Leaves" } th scope="col" { "Packed" }
                }
            }
            tbody {
                @for (size, order) in rows {
                    tr {
                        th scope="row" { (size.pieces) }
                        @match &order {
                            Some(order) => {
                                td.num { (order.delivered) } td.num { (order.fee) } td.num { (amount(order.postage)) }
                                td.num { (amount(order.materials)) } td.num { (amount(order.labour)) }
                                td.num { strong { (amount(order.net)) } }
                            }
                            None => { td colspan="6" { "not offered: " (not_offered(size)) } }
                        }
                        td { (packed(job, size)) }
                    }
                }
            }
        }
    };
    html! {
        section aria-labelledby="brings" {
            h2 #brings { "What one lot brings" }
            (scrolled("What one lot brings", &table))
        }
    }
}

fn not_offered(size: &trade::Size) -> String {
    match &size.parcels {
        Err(why) => why.to_string(),
        Ok(_) => String::from("it brings less than its parcel"),
    }
}

/// Weight and carton of a lot's parcels.
fn packed(job: &Job, size: &trade::Size) -> String {
    let Ok(parcels) = &size.parcels else { return String::from("no parcel") };
    let weight = parcels.iter().map(|parcel| parcel.gross).sum::<measure::Mass>().write(job.units);
    let cartons: Vec<&str> = parcels.iter().map(|parcel| parcel.plan.carton.name.as_str()).collect();
    format!("{weight} in {}", cartons.join(" + "))
}

fn pace(worth: &Worth, appraisal: &Appraisal) -> Markup {
    let rate = &worth.pace.rate;
    let (Ok(one), Ok(medians)) = (appraisal.lot(1), appraisal.medians(1)) else { return html! {} };
    let medians: Vec<(f64, f64)> = medians.iter().map(|m| (m.weight, m.delivered)).collect();
    let from = if worth.pace.records == 0 {
        String::from("no comp told its days on offer, so what is usual stands")
    } else {
        format!(
            "from {} that told days on offer",
            count(u32::try_from(worth.pace.records).unwrap_or(u32::MAX), "comp")
        )
    };
    let table = html! {
            table.figures {
                caption { "Chance that a single piece has sold" }
                thead {
                    tr {
                        th.num scope="col" { "Asked at" }
                        @for days in DAYS { th.num scope="col" { (format!("{days:.0}")) " days" } }
                    }
                }
                tbody {
                    @for ratio in ASKS {
                        @let ask = ratio * one.median;
                        tr {
                            th.num scope="row" { (amount(ask)) }
                            @for days in DAYS {
                                td.num { (format!("{:.0} %", 100.0 * rate.chance_within(days, ask, medians.iter().copied()))) }
                            }
                        }
                    }
                }
            }
    };
    html! {
        section aria-labelledby="pace" {
            h2 #pace { "How long it takes" }
            p {
                "A single piece asked at its median sells within " (format!("{:.0}", rate.median_days(1.0)))
                " days as often as not (" (from) ")."
            }
            (scrolled("Chance that a single piece has sold", &table))
        }
    }
}

/// Without comps: from what delivered price on a lot leaves anything.
fn break_even(worth: &Worth) -> Markup {
    let sizes = worth.pools.first().map_or(&[][..], |sets| sets.sizes.as_slice());
    html! {
        table.figures {
            caption { "What can be said: sold below this delivered price, a lot leaves nothing" }
            thead { tr { th scope="col" { "Lot of" } th.num scope="col" { "Break-even" } } }
            tbody {
                @for size in sizes {
                    tr {
                        th scope="row" { (size.pieces) }
                        td.num { @match size.break_even { Some(price) => { (price) } None => { "no parcel" } } }
                    }
                }
            }
        }
    }
}
