//! What the scale said: each parcel as it leaves, beside its plan.

use axum::extract::{Path, State};
use axum::response::Response;
use books::{OrderId, Purse};
use keeping::{BenchAsked, BenchQuestion, Desk};
use maud::{Markup, html};
use measure::{Mass, Money, Units};
use shop::{
    OrderState, OutsideSize, ParcelActual, PlannedSupply, Shipped, Shop, StandingOrder, StandingParcel,
    Supply,
};

use crate::App;
use crate::day_and_purse::{day, day_field, purse, purse_field};
use crate::enter::unable;
use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::orders::typed::{hidden, state_words};
use crate::record_page::checked;
use crate::said::{count, sides};
use crate::shopdoor::NoAnswer;

/// Parcels that one form takes.
const MOST_PARCELS: usize = 30;
/// Most minutes of packing a parcel, as the file keeps them.
const MOST_MINUTES: u32 = 10_000;
/// Most characters of a parcel's number with its carrier.
const LONGEST_NUMBER: usize = 100;
/// Heavier by less than this is not worth a word: scales of a kitchen read whole grams, g (judgement).
const NO_MATTER_G: f64 = 1.0;

/// What the form is drawn from.
struct AtScale {
    order: StandingOrder,
    parcels: Vec<StandingParcel>,
    supplies: Vec<(u64, Supply)>,
}

async fn read(app: &App, number: u64) -> Result<AtScale, Response> {
    let id = OrderId(number);
    app.read_shop(move |shop, _| {
        let (order, parcels) = (shop.order(id)?, shop.parcels(id)?);
        Ok(AtScale { order, parcels, supplies: shop.noted::<Supply>()? })
    })
    .await
}

pub(super) async fn ask(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match read(&app, number).await {
        Ok(at) => form(&app, number, &at, &Filled::default(), &Mistakes::default(), &html! {}),
        Err(page) => page,
    }
}

pub(super) async fn send(
    State(app): State<App>,
    Path(number): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let at = match read(&app, number).await {
        Ok(at) => at,
        Err(page) => return page,
    };
    let filled = if filled.has("add") {
        let more = (rows(&filled, &at) + 1).min(MOST_PARCELS);
        return form(
            &app,
            number,
            &at,
            &filled.with("parcels", more.to_string()),
            &Mistakes::default(),
            &html! {},
        );
    } else {
        filled
    };
    let (mut mistakes, today) = (Mistakes::default(), app.now().day);
    let told: Vec<Told> = (1..=rows(&filled, &at)).map(|k| told(&filled, k, &mut mistakes)).collect();
    let postage_from = purse(&filled, "from", Purse::Platform, &mut mistakes);
    let date = day(&filled, "day", today, &mut mistakes).unwrap_or(today);
    // Supplies are looked up by their names in the file.
    let (used, aside) = (told.iter().map(|one| one.used.clone()).collect::<Vec<_>>(), set_aside(&at));
    let looked = app.read_shop(move |shop, _| Ok(supplies(shop, &used, &aside))).await;
    let supplies = match looked {
        Ok(looked) => looked,
        Err(page) => return page,
    };
    let mut parcels = Vec::new();
    for (one, supplies) in told.iter().zip(supplies) {
        match supplies {
            Ok(supplies) => parcels.push(ParcelActual {
                mass: one.mass,
                size: one.size,
                minutes: one.minutes,
                postage: one.postage,
                tracking: one.tracking.clone(),
                supplies,
            }),
            Err((field, why)) => mistakes.add(&field, why),
        }
    }
    if filled.has("compare") || !mistakes.is_empty() {
        let beside = compared(&app, number, &at, &told).await;
        return form(&app, number, &at, &filled, &mistakes, &beside);
    }
    let shipped = Shipped { order: OrderId(number), date, postage_from, parcels };
    let path = format!("/orders/{number}");
    let done = path.clone();
    let stored = app
        .write_shop(&filled, "", &path, &mut mistakes, move |shop, _, stamp| {
            shop.ship_order(stamp, &shipped)?;
            Ok(done)
        })
        .await;
    match stored {
        Some(done) => done,
        None => form(&app, number, &at, &filled, &mistakes, &html! {}),
    }
}

/// A parcel as it was typed.
struct Told {
    mass: Option<Mass>,
    size: Option<OutsideSize>,
    minutes: Option<u32>,
    postage: Option<Money>,
    tracking: String,
    used: Vec<String>,
}

fn told(filled: &Filled, k: usize, mistakes: &mut Mistakes) -> Told {
    let of = |name: &str| format!("{name}-{k}");
    let size = filled
        .text(&of("size"))
        .and_then(|text| keeping::outside_size(text).map_err(|why| mistakes.add(&of("size"), why)).ok());
    let tracking = filled.text(&of("tracking")).unwrap_or_default().to_owned();
    if tracking.chars().count() > LONGEST_NUMBER {
        mistakes.add(
            &of("tracking"),
            format!("it is longer than {LONGEST_NUMBER} characters; right would be the number on the label"),
        );
    }
    Told {
        mass: filled.mass(&of("weight"), mistakes),
        size,
        minutes: filled.whole(&of("minutes"), 0..=MOST_MINUTES, mistakes),
        postage: filled.money(&of("postage"), mistakes),
        tracking,
        used: filled.lines(&of("used")).into_iter().map(|(_, line)| line.to_owned()).collect(),
    }
}

/// Parcels that the form shows: those planned, at least one, and those added.
fn rows(filled: &Filled, at: &AtScale) -> usize {
    let asked = filled.text("parcels").and_then(|text| text.parse().ok()).unwrap_or(0);
    at.parcels.len().max(1).max(asked).min(MOST_PARCELS.max(at.parcels.len()))
}

fn set_aside(at: &AtScale) -> Vec<Vec<PlannedSupply>> {
    at.parcels.iter().map(|parcel| parcel.plan.supplies.clone()).collect()
}

/// What each parcel took: as typed, or what was set aside for it; else the field that is wrong and why.
fn supplies(
    shop: &Shop,
    used: &[Vec<String>],
    aside: &[Vec<PlannedSupply>],
) -> Vec<Result<Vec<PlannedSupply>, (String, String)>> {
    let mut of_each = Vec::new();
    for (k, lines) in used.iter().enumerate() {
        if lines.is_empty() {
            of_each.push(Ok(aside.get(k).cloned().unwrap_or_default()));
            continue;
        }
        let field = format!("used-{}", k + 1);
        let read: Result<Vec<PlannedSupply>, keeping::Stop> = lines
            .iter()
            .map(|line| keeping::supply_used(shop, line, "to enter your supplies first"))
            .collect();
        of_each.push(read.map_err(|why| (field.clone(), why.to_string())).and_then(|read| {
            let mut ids: Vec<u64> = read.iter().map(|one| one.supply.0).collect();
            ids.sort_unstable();
            ids.dedup();
            if ids.len() == read.len() {
                Ok(read)
            } else {
                Err((
                    field,
                    String::from("a supply stands in two lines; right would be one line with all of it"),
                ))
            }
        }));
    }
    of_each
}

/// Plan and parcel side by side, with what the parcel costs to post as it stands on the scale.
async fn compared(app: &App, number: u64, at: &AtScale, told: &[Told]) -> Markup {
    let asked: Vec<Option<(OutsideSize, Mass)>> = told
        .iter()
        .enumerate()
        .map(|(k, one)| {
            let planned = at.parcels.get(k).map(|parcel| &parcel.plan);
            let size = one.size.or_else(|| planned.and_then(|plan| plan.size))?;
            Some((size, one.mass.or_else(|| planned.and_then(|plan| plan.mass))?))
        })
        .collect();
    let day = app.now().day;
    let posted = app
        .ask_shop(move |shop, desk: &Desk| {
            let any = BenchAsked { any_carton: true, ..BenchAsked::default() };
            let question = BenchQuestion::read(shop, desk, OrderId(number), any, day)?;
            let one = |&(size, mass): &(OutsideSize, Mass)| {
                question.postage(desk, &size, mass).map_err(|why| why.to_string())
            };
            Ok(asked.iter().map(|asked| asked.as_ref().map(one)).collect::<Vec<_>>())
        })
        .await;
    let posted = match posted {
        Ok(posted) => posted,
        Err(NoAnswer::Stop(why)) => {
            return html! { p.caution { "What it costs to post can't be said: " (why.to_string()) "." } };
        }
        Err(NoAnswer::NotBegun) => return html! {},
    };
    html! {
        section aria-labelledby="beside" {
            h2 #beside { "Plan and parcel" }
            @for (k, (one, postage)) in (1..).zip(told.iter().zip(posted)) {
                (beside(k, one, at.parcels.get(k - 1), postage))
            }
        }
    }
}

fn beside(
    k: usize,
    one: &Told,
    planned: Option<&StandingParcel>,
    postage: Option<Result<Money, String>>,
) -> Markup {
    let units = Units::UsCustomary;
    let plan = planned.map(|parcel| &parcel.plan);
    let said = |text: Option<String>| text.unwrap_or_else(|| String::from("not told"));
    let outside = |size: OutsideSize| sides([size.length, size.width, size.height], units);
    let planned_postage = plan.and_then(|plan| plan.postage);
    let costs = postage.as_ref().and_then(|postage| postage.as_ref().ok()).copied();
    let heavier = plan.and_then(|plan| plan.mass).zip(one.mass).map(|(plan, was)| was.grams() - plan.grams());
    html! {
        table.figures {
            caption { "Parcel " (k) }
            thead { tr { th scope="col" { "What" } th.num scope="col" { "Planned" } th.num scope="col" { "On the scale" } } }
            tbody {
                tr { th scope="row" { "Weight" } td.num { (said(plan.and_then(|plan| plan.mass).map(|mass| mass.write(units)))) } td.num { (said(one.mass.map(|mass| mass.write(units)))) } }
                tr { th scope="row" { "Outside" } td.num { (said(plan.and_then(|plan| plan.size).map(outside))) } td.num { (said(one.size.map(outside))) } }
                tr { th scope="row" { "Time" } td.num { (said(plan.and_then(|plan| plan.minutes).map(|minutes| count(minutes, "minute")))) } td.num { (said(one.minutes.map(|minutes| count(minutes, "minute")))) } }
                tr { th scope="row" { "Postage by your rates" } td.num { (said(planned_postage.map(|postage| postage.to_string()))) } td.num { (said(costs.map(|postage| postage.to_string()))) } }
                @if let Some(paid) = one.postage { tr { th scope="row" { "Postage bought" } td.num {} td.num { (paid) } } }
            }
        }
        @match (postage, planned_postage) {
            (Some(Err(why)), _) => p.caution { "What it costs to post can't be said: " (why) "." },
            (Some(Ok(costs)), Some(planned)) if costs > planned => {
                p.caution { (more(heavier)) "It costs " (costs - planned) " more to post than planned." }
            },
            (Some(Ok(costs)), Some(planned)) if costs < planned => p { (more(heavier)) "It costs " (planned - costs) " less to post than planned." },
            (Some(Ok(_)), Some(_)) => p { (more(heavier)) "It posts for what was planned." },
            (Some(Ok(costs)), None) => p { "It posts for " (costs) "." },
            (None, _) => p { "Tell weight and size, and you are told what it costs to post." },
        }
    }
}

/// By how much it is heavier than planned, as a sentence.
fn more(heavier_g: Option<f64>) -> String {
    match heavier_g {
        Some(grams) if grams > NO_MATTER_G => {
            format!("It weighs {} more than planned. ", Mass::from_grams(grams).write(Units::UsCustomary))
        }
        Some(_) | None => String::new(),
    }
}

fn fields(k: usize) -> [Field; 6] {
    let of = |name: &str| format!("{name}-{k}");
    [
        Field::optional(
            &of("weight"),
            "The scale says",
            "Such as 5 lb 3 oz; a bare figure is ounces.",
            Kind::Measure,
        ),
        Field::optional(
            &of("size"),
            "Outside, measured",
            "Such as 12.4 x 12.4 x 8.7 in; bare figures are inches.",
            Kind::Measure,
        ),
        Field::optional(&of("minutes"), "Minutes it took", "", Kind::Whole),
        Field::optional(
            &of("postage"),
            "Postage bought",
            "Left out, where the buyer or the venue bought it.",
            Kind::Money,
        ),
        Field::optional(&of("tracking"), "Its number with the carrier", "", Kind::Code),
        Field::optional(
            &of("used"),
            "What was used instead",
            "Left out, what was set aside. Else all that it took, one supply a line: 14 x 14 x 8=1",
            Kind::Lines { rows: 3, sheet: false },
        ),
    ]
}

fn form(
    app: &App,
    number: u64,
    at: &AtScale,
    filled: &Filled,
    mistakes: &Mistakes,
    beside: &Markup,
) -> Response {
    let key = match app.form_key() {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let order = &at.order;
    let today = app.now().day;
    let path = format!("/bench/{number}/ship");
    let line = |field: &Field, last: bool| draw(field, filled, mistakes, last);
    let rows = rows(filled, at);
    let ready = match order.state {
        OrderState::Open => order.paid_on.is_some(),
        OrderState::Sent | OrderState::Cancelled => false,
    };
    let body = html! {
        @if ready {
            p { "Write down what you read off the sheet. Plan against parcel is what makes the next plan better." }
            (beside)
            form method="post" action=(path) novalidate {
                (once_field(&key))
                (hidden("parcels", &rows.to_string()))
                @for k in 1..=rows {
                    fieldset {
                        legend { "Parcel " (k) @if rows > 1 { " of " (rows) } }
                        (planned(at, k))
                        @for field in fields(k) { (line(&field, false)) }
                    }
                }
                p { button.quiet type="submit" name="add" value="parcel" { "Another parcel was needed" } }
                (line(&purse_field("from", "What paid the postage", Purse::Platform), false))
                (line(&day_field("day", "Handed over on", &format!("Left out, today, {today}."), true), true))
                div.actions {
                    button.quiet type="submit" name="compare" value="yes" { "Compare with the plan" }
                    button type="submit" { "It is handed over" }
                }
            }
        } @else {
            p {
                "Order " (number) " is " (state_words(order.state, order.paid_on, order.sent_on)) "; "
                @if order.state == OrderState::Open { "it goes out when it is paid." } @else { "there is nothing to write down." }
            }
        }
        p { a href={ "/bench/" (number) } { "Back to its plan" } " " a href={ "/orders/" (number) } { "The order" } }
    };
    checked(&app.page(&format!("Order {number} is packed"), &path, body).with_mistakes(mistakes))
}

/// What was planned of a parcel, in a line, with what was set aside.
fn planned(at: &AtScale, k: usize) -> Markup {
    let Some(parcel) = k.checked_sub(1).and_then(|index| at.parcels.get(index)) else {
        return html! { p.hint { "It was not planned." } };
    };
    let (plan, units) = (&parcel.plan, Units::UsCustomary);
    let parts = [
        plan.mass.map(|mass| mass.write(units)),
        plan.size.map(|size| sides([size.length, size.width, size.height], units)),
        plan.minutes.map(|minutes| count(minutes, "minute")),
        plan.postage.map(|postage| format!("{postage} of postage")),
    ];
    let aside: Vec<String> = plan
        .supplies
        .iter()
        .filter_map(|one| {
            let (_, supply) = at.supplies.iter().find(|(id, _)| *id == one.supply.0)?;
            Some(format!("{}={}", supply.name, crate::quantities::units(one.quantity)))
        })
        .collect();
    html! {
        p.hint {
            "Planned: " (parts.into_iter().flatten().collect::<Vec<_>>().join(", ")) "."
            @if !aside.is_empty() { " Set aside: " (aside.join("; ")) "." }
        }
    }
}
