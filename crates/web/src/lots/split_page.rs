//! How a find is best split: lot sizes compared, the order ladder of one of them, and the decision.

use axum::extract::{Path, State};
use axum::response::Response;
use books::FindId;
use draw::{LadderSteps, Standing};
use maud::{Markup, html};
use measure::Money;
use selling::Split;
use shop::Split as Decision;
use trade::{FindSplit, Job, Ladder, Listing, Worth};

use super::{Answer, Asked, Kind, Stage, about, asked, chart, scrolled};
use crate::App;
use crate::form::{Field, Filled, Kind as Typed, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::{amount, count};

/// Orders of more lots than this are not worked out on the page (judgement: few buyers take more).
const MOST_RUNGS: u32 = 12;
/// Most lots of one decision.
const MOST_LOTS: u32 = 1000;
/// A difference below this is a tie, currency (judgement).
const TIE: f64 = 1.0;

pub(super) async fn show(State(app): State<App>, Path(find): Path<u64>, Posted(filled): Posted) -> Response {
    page(&app, find, &filled, &Mistakes::default()).await
}

/// Stores a decision and goes on to its listings.
pub(super) async fn decide(
    State(app): State<App>,
    Path(find): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let mut mistakes = Mistakes::default();
    let asked = match asked(&app, find).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let missing = "Say which lots, for example: 2 x 4 + 1 x 3";
    let lots = filled.needed("lots", missing, &mut mistakes).map(str::to_owned);
    let lots = lots.and_then(|text| read_lots(&text).map_err(|why| mistakes.add("lots", why)).ok());
    let spare = filled.whole("spare", 0..=1000, &mut mistakes).unwrap_or(0);
    let there = asked.question.pieces();
    if let (Some(lots), true) = (&lots, mistakes.is_empty()) {
        let taken = lots.iter().fold(spare, |sum, lot| sum.saturating_add(*lot));
        if taken > there {
            let with = if spare > 0 { format!(" with {spare} kept back") } else { String::new() };
            mistakes.add(
                "lots",
                format!("these lots{with} take {taken} pieces, and {there} are free; right would be {there} or fewer in all"),
            );
        }
    }
    if let (Some(lots), true) = (lots, mistakes.is_empty()) {
        let note = filled.text("note").unwrap_or("").to_owned();
        let decision = Decision { find: FindId(find), date: app.now().day, lots, spare, note };
        let back = format!("/finds/{find}/split");
        let stored = app
            .write_shop(&filled, "lots", &back, &mut mistakes, move |shop, _, stamp| {
                let number = shop.note(stamp, &decision)?;
                Ok(format!("/listings/new?split={number}"))
            })
            .await;
        if let Some(response) = stored {
            return response;
        }
    }
    page(&app, find, &filled, &mistakes).await
}

/// Lots as a person writes them: "2 x 4 + 1 x 3", or "4, 4, 3"; each at least one piece.
fn read_lots(text: &str) -> Result<Vec<u32>, String> {
    let right = "right would be: 2 x 4 + 1 x 3 for two lots of 4 and one of 3, or: 4, 4, 3";
    let mut lots = Vec::new();
    for part in text.split(['+', ',', ';']) {
        let wrong = || format!("\"{}\" says no lots; {right}", crate::form::short(part.trim()));
        let (times, size) = part.split_once(['x', 'X', '\u{d7}']).unwrap_or(("1", part));
        let [times, size] = [times, size].map(|figure| figure.trim().parse::<u32>());
        let (times, size) = times.ok().zip(size.ok()).ok_or_else(wrong)?;
        if times == 0 || size == 0 || size > MOST_LOTS {
            return Err(wrong());
        }
        if u32::try_from(lots.len()).unwrap_or(u32::MAX).saturating_add(times) > MOST_LOTS {
            return Err(format!("these are more than {MOST_LOTS} lots; {right}"));
        }
        lots.extend((0..times).map(|_| size));
    }
    lots.sort_unstable_by(|a, b| b.cmp(a));
    Ok(lots)
}

async fn page(app: &App, find: u64, filled: &Filled, mistakes: &Mistakes) -> Response {
    let asked = match asked(app, find).await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let at = format!("/finds/{find}/split");
    let mut best = None;
    let answer = match &asked.job {
        Err(why) => html! { p.caution { (why) "." } },
        Ok(job) => {
            let work = app.asks(Kind::Worth, job, &at).await;
            match work.as_ref().map(super::Work::stage) {
                Some(Stage::Done(answer)) => match answer.as_ref() {
                    Answer::Worth(worth) => {
                        best = worth.split.as_ref().map(|split| keeping::lots_in_words(&split.choice.best));
                        let size = filled.text("size").and_then(|text| text.parse().ok());
                        let ladder = ladder(app, &asked, job, worth, size, &at).await;
                        html! { (told(&job.job, worth, find)) (ladder) }
                    }
                    Answer::Ladder(_) | Answer::Whole(_) => app.waits(work.as_ref()),
                },
                Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
            }
        }
    };
    let filled = match (&best, filled.has("lots")) {
        (Some(best), false) if best != "nothing" => filled.clone().with("lots", best.as_str()),
        _ => filled.clone(),
    };
    let body = html! {
        (about(&asked.question))
        (answer)
        section aria-labelledby="decide" {
            h2 #decide { "Decide" }
            form method="post" action=(at) novalidate {
                (once_field(&app.form_key().unwrap_or_default()))
                @let fields = fields();
                @for (k, field) in fields.iter().enumerate() { (draw(field, &filled, mistakes, k + 1 == fields.len())) }
                div.actions {
                    button type="submit" { "Keep it, and list these lots" }
                    a.quiet href={ "/finds/" (find) "/worth" } { "Back to what it is worth" }
                }
            }
        }
        p { a href="/help#split" { "How to use this page" } }
    };
    let title = format!("Lots of find {find}");
    // Finds stand under Stock in the navigation.
    checked(&app.page(&title, "/stock/find", body).with_mistakes(mistakes))
}

fn fields() -> [Field; 3] {
    [
        Field::needed(
            "lots",
            "Lots",
            "2 x 4 + 1 x 3 is two lots of four and one of three. Any of the ways above, or your own.",
            Typed::Words { known: Vec::new() },
        ),
        Field::optional("spare", "Kept back for one that breaks", "", Typed::Whole),
        Field::optional("note", "Why", "For yourself, later.", Typed::Words { known: Vec::new() }),
    ]
}

fn told(job: &Job, worth: &Worth, find: u64) -> Markup {
    let Some(split) = &worth.split else {
        return html! {
            p.verdict { "Without comps no split can be chosen." }
            p { a href={ "/finds/" (find) "/worth#add" } { "Add what like ones sold for" } ", or write your own lots below." }
        };
    };
    let Some(bars) = keeping::split_bars(job, worth) else { return html! {} };
    let best = &split.choice.best;
    let verdict = if best.listings.is_empty() {
        String::from("No lot of it pays for its parcel.")
    } else {
        let lots = best.listings.iter().map(|one| format!("{} of {}", count(one.lots, "lot"), one.size));
        format!("Best: {}.", lots.collect::<Vec<_>>().join(" and "))
    };
    html! {
        p.verdict { (verdict) }
        section aria-labelledby="why" {
            h2.unseen #why { "Why" }
            ul { @for line in why(job, worth, split) { li { (line) } } }
        }
        (chart(&draw::split_bars_svg(&bars), "splits", "Each way to split it: profit, what an hour of work earns, hours."))
        details open {
            summary { "The same as a table" }
            (scrolled("Ways to split it", &plans(worth, &bars, find)))
        }
        (ledger(job, worth, split))
    }
}

/// Why the best is best, in plain words.
fn why(job: &Job, worth: &Worth, split: &FindSplit) -> Vec<String> {
    let cost = keeping::cost_of(job, worth).unwrap_or(Money::ZERO);
    let best = &split.choice.best;
    if best.listings.is_empty() {
        return vec![String::from("Give it away, keep it, or sort it into lots with other finds.")];
    }
    let mut out = vec![format!(
        "It leaves {} after fees, postage, packing, {} of work at {} an hour and the {cost} they cost.",
        amount(best.profit(cost)),
        hours(best.hours()),
        job.wage
    )];
    let against = |other: &Split, named: &str| {
        let gap = best.gap_to(other, cost);
        let time = hours(gap.hours.abs());
        let work = match gap.hours {
            less if less <= -TIME_THAT_COUNTS => format!("{time} less work"),
            more if more >= TIME_THAT_COUNTS => format!("{time} more work"),
            _ => String::from("the same work"),
        };
        if gap.profit < TIE {
            format!("{named} ({}) is as good: take the one you like to pack.", keeping::lots_in_words(other))
        } else {
            format!(
                "That is {} more than {named} ({}), for {work}.",
                amount(gap.profit),
                keeping::lots_in_words(other)
            )
        }
    };
    if let Some(runner_up) = split.choice.runner_up.as_ref().filter(|other| !other.listings.is_empty()) {
        out.push(against(runner_up, "the next best"));
    }
    let singles = split.equal.iter().find(|equal| equal.size == 1).map(|equal| &equal.split);
    if let Some(singles) = singles.filter(|other| {
        other.parts() != best.parts()
            && split.choice.runner_up.as_ref().is_none_or(|known| known.parts() != other.parts())
    }) {
        out.push(against(singles, "one by one"));
    }
    if let Some(per_hour) = split.per_hour.as_ref().map(|choice| &choice.best)
        && per_hour.parts() != best.parts()
        && let (Some(most), Some(this)) =
            (per_hour.contribution_per_hour(cost), best.contribution_per_hour(cost))
        && most - this >= TIE
    {
        out.push(format!(
            "If your hours are short: {} earns {} for each of them, this one {}.",
            keeping::lots_in_words(per_hour),
            amount(most),
            amount(this)
        ));
    }
    let day = best.last_sale_day();
    out.push(format!("The last lot is expected to sell after {day:.0} days."));
    let left: Vec<String> = worth
        .splits()
        .into_iter()
        .filter(|(_, split)| split.dropped() > 0)
        .map(|(priced, split)| priced.pool.counted(split.dropped()))
        .collect();
    if !left.is_empty() {
        out.push(format!("Left over, not worth a parcel: {}.", left.join(", ")));
    }
    out
}

/// A difference of work below this is none, hours (judgement: a minute).
const TIME_THAT_COUNTS: f64 = 1.0 / 60.0;

fn hours(hours: f64) -> String {
    if hours.abs() < 1.0 { format!("{:.0} minutes", 60.0 * hours) } else { format!("{hours:.1} hours") }
}

const fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Best => "best",
        Standing::BestPerHour => "best per hour",
        Standing::BestInBoth => "best, also per hour",
        Standing::Other => "",
    }
}

fn plans(worth: &Worth, bars: &draw::SplitBars, find: u64) -> Markup {
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
                                a href={ "/finds/" (find) "/split?lots=" (coded(&bar.name)) "#decide" } {
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

/// Lots in words as part of an address: figures, x, plus and blanks.
fn coded(lots: &str) -> String {
    lots.replace('+', "%2B").replace(' ', "%20")
}

fn ledger(job: &Job, worth: &Worth, split: &FindSplit) -> Markup {
    let cost = keeping::cost_of(job, worth).unwrap_or(Money::ZERO);
    let splits = worth.splits();
    html! {
        details {
            summary { "What it comes to, with flawed pieces" }
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

/// The order ladder of one lot size, or how far it is.
async fn ladder(
    app: &App,
    asked: &Asked,
    job: &std::sync::Arc<keeping::RecordJob>,
    worth: &Worth,
    size: Option<u32>,
    at: &str,
) -> Markup {
    let Some(sets) = worth.pools.first() else { return html! {} };
    let sizes: Vec<u32> =
        sets.sizes.iter().filter(|size| size.parcels.is_ok()).map(|size| size.pieces).collect();
    let of_best = worth.listings().into_iter().find(|listing| !worth.is_of_flawed(listing));
    let best = of_best.as_ref().map(Listing::pieces);
    let Some(chosen) = size.filter(|size| sizes.contains(size)).or(best).or(sizes.first().copied()) else {
        return html! {};
    };
    let lots = match of_best.filter(|listing| listing.pieces() == chosen) {
        Some(listing) => listing.lots,
        None => asked.question.pieces() / chosen.max(1),
    };
    let mut listing =
        Listing { find: 0, per_lot: vec![chosen], lots: lots.clamp(1, MOST_RUNGS), price: None };
    listing.price = worth.price_of(&listing);
    let back = format!("{at}?size={chosen}");
    let work = app.asks(Kind::Ladder(listing), job, &back).await;
    let drawn = match work.as_ref().map(super::Work::stage) {
        Some(Stage::Done(answer)) => match answer.as_ref() {
            Answer::Ladder(ladder) => rungs(&job.job, ladder, lots),
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
                                a href={ (at) "?size=" (size) "#ladder" } aria-current=[(*size == chosen).then_some("true")] { "Lots of " (size) }
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
pub(crate) fn rungs(job: &Job, ladder: &Ladder, lots: u32) -> Markup {
    let pieces = ladder.listing.pieces();
    let title = format!("Postage by order, lots of {pieces}");
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

#[cfg(test)]
mod tests {
    use super::{coded, read_lots};

    #[test]
    fn lots_are_read_as_they_are_written_and_the_largest_come_first() {
        assert_eq!(read_lots("2 x 4 + 1 x 3"), Ok(vec![4, 4, 3]));
        assert_eq!(read_lots("3, 4,4"), Ok(vec![4, 4, 3]));
        assert_eq!(read_lots("6"), Ok(vec![6]));
        for wrong in [
            "",
            "nothing",
            "0 x 4",
            "4 x 0",
            "2 x",
            "x",
            "-1",
            "1001",
            "4 + ",
            "4000000000 x 1",
            "999 x 1 + 2 x 1",
        ] {
            assert!(read_lots(wrong).is_err_and(|why| why.contains("right would be")), "{wrong}");
        }
    }

    #[test]
    fn what_is_coded_has_no_plus_that_would_read_as_a_blank() {
        assert_eq!(coded("2 x 4 + 1 x 3"), "2%20x%204%20%2B%201%20x%203");
    }
}
