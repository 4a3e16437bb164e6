//! The person's own defaults, the cost flow, and what parcels taught.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::{get, post};
use keeping::{Desk, Stop};
use maud::{Markup, html};
use shop::{COST_FLOW, Setting, Shop, Stamp, Tuned};

use crate::form::{Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;
use crate::{App, plain_settings};

/// Keys of a job sheet without a field of their own here, with an example of each.
const USUAL: [(&str, &str); 4] = [
    ("packing.profile", "careful"),
    ("packing.double_box", "never"),
    ("market.spare", "1"),
    ("market.listing_minutes", "20"),
];

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/settings", get(show).post(put))
        .route("/settings/{number}/strike", post(strike))
        .route("/settings/tuning", post(tune))
        .merge(plain_settings::routes())
}

struct Found {
    settings: Vec<(u64, Setting)>,
    tuned: Vec<Tuned>,
    usual_breakage: f64,
}

async fn show(State(app): State<App>) -> Response {
    drawn(&app, &Filled::default(), &Mistakes::default()).await
}

pub(crate) async fn drawn(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let found = app
        .read_shop(|shop, _| {
            let settings =
                shop.noted::<Setting>()?.into_iter().filter(|(_, one)| !keeping::is_own(&one.name));
            Ok(Found {
                settings: settings.collect(),
                tuned: shop.tuned()?,
                usual_breakage: keeping::USUAL_BREAKAGE,
            })
        })
        .await;
    let found = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let key = app.form_key().unwrap_or_default();
    let names = USUAL.iter().map(|(name, _)| (*name).to_owned()).collect();
    let fields = [
        Field::needed(
            "name",
            "Setting",
            "A key of a job sheet, such as post.from.",
            Kind::Words { known: names },
        ),
        Field::needed("value", "Value", "As a job sheet writes it.", Kind::Measure),
    ];
    let body = html! {
        section aria-labelledby="own" {
            h2 #own { "Your own defaults" }
            (plain_settings::form(app, &found.settings, filled, mistakes, &key))
            details open[mistakes.of("name").is_some() || mistakes.of("value").is_some()] {
            summary { "Anything else that a job sheet states (" (found.settings.len()) " set)" }
            @if !found.settings.is_empty() {
                ul.plain {
                    @for (number, one) in &found.settings {
                        li {
                            form.beside-words method="post" action={ "/settings/" (number) "/strike" } {
                                (once_field(&format!("{key}-{number}")))
                                span { code { (one.name) " = " (one.value) } @if !one.source.is_empty() { " (" (one.source) ")" } }
                                button.quiet type="submit" { "Strike out" span.unseen { " " (one.name) } }
                            }
                        }
                    }
                }
            }
            form method="post" action="/settings" novalidate {
                (once_field(&key))
                @for (k, field) in fields.iter().enumerate() {
                    (draw(field, filled, mistakes, k + 1 == fields.len()))
                }
                button type="submit" { "Keep it" }
            }
            ul { @for (name, example) in USUAL { li { "For example: " code { (name) " = " (example) } } } }
            }
            p { a href="/settings/cost-flow" { "Cost of goods" } ": whose cost goes when goods go, and from which day on." }
        }
        section aria-labelledby="tables" {
            h2 #tables { "Where you sell, and by what you post" }
            ul {
                li { a href="/venues" { "Venues" } ": their fees, limits and who sends the sales tax." }
                li { a href="/rate-cards" { "Rate cards" } ": what postage costs, and from when on." }
            }
        }
        (taught(&found, &key))
        p { a href="/help#settings" { "How to use this page" } }
    };
    checked(&app.page("Settings", "/settings", body).with_mistakes(mistakes))
}

fn taught(found: &Found, key: &str) -> Markup {
    let ratio = |actual: i64, predicted: i64| {
        if predicted == 0 { String::from("-") } else { format!("{:.3}", actual as f64 / predicted as f64) }
    };
    html! {
        section aria-labelledby="taught" {
            h2 #taught { "What parcels taught" }
            @if found.tuned.is_empty() { p { "No parcel was sent yet." } } @else {
                div.scroll tabindex="0" role="region" aria-label="Predicted against actual" {
                    table {
                        thead { tr { th scope="col" { "Form" } th.num scope="col" { "Parcels" } th.num scope="col" { "Weight" } th.num scope="col" { "Believe" } th.num scope="col" { "Minutes" } th.num scope="col" { "Believe" } th.num scope="col" { "Broken" } th.num scope="col" { "Believe" } } }
                        tbody {
                            @for row in &found.tuned {
                                tr {
                                    th scope="row" { @if row.form.is_empty() { "not planned" } @else { (row.form.replace('_', " ")) } }
                                    td.num { (row.parcels) }
                                    td.num { (ratio(row.actual_milligrams, row.predicted_milligrams)) }
                                    td.num { (format!("{:.3}", row.weight_factor())) }
                                    td.num { (ratio(row.actual_minutes, row.predicted_minutes)) }
                                    td.num { (format!("{:.3}", row.minutes_factor())) }
                                    td.num { (row.broken_orders) }
                                    td.num { (format!("{:.2} %", 100.0 * row.breakage(found.usual_breakage))) }
                                }
                            }
                        }
                    }
                }
                details {
                    summary { "How this was reckoned" }
                    p { "Weight and minutes: actual over predicted. Believe: drawn towards 1 as if " (format!("{:.0}", shop::WEIGHT_OF_A_PREDICTION)) " more parcels had gone as predicted. Broken: drawn towards " (format!("{:.1} %", 100.0 * found.usual_breakage)) " as if " (format!("{:.0}", shop::WEIGHT_OF_A_BREAKAGE)) " more orders had broken that often." }
                }
                form method="post" action="/settings/tuning" {
                    (once_field(&format!("{key}-tune")))
                    p { "Nothing is applied before you say so. Applied, plans take these factors once; a weight is never lowered by them." }
                    div.actions {
                        button type="submit" name="do" value="apply" { "Plan by what parcels taught" }
                        button.quiet type="submit" name="do" value="take back" { "Take that back" }
                    }
                }
            }
        }
    }
}

async fn put(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let name = filled.needed("name", "which setting is missing; right would be: post.from", &mut mistakes);
    let value = filled.needed("value", "its value is missing; right would be: 45300", &mut mistakes);
    if let (Some(name), Some(value)) = (name.map(ToOwned::to_owned), value.map(ToOwned::to_owned)) {
        let work = move |shop: &mut Shop, desk: &Desk, stamp: &Stamp| {
            if name == COST_FLOW {
                return Err(NoAnswer::Stop(Stop::input(
                    "the cost of goods has a page of its own; right would be to set it under Cost of goods",
                )));
            } else if keeping::is_own(&name) {
                return Err(NoAnswer::Stop(Stop::Input(format!(
                    "{name} is kept by the program; right would be: post.from"
                ))));
            } else {
                let value = keeping::fitted(shop, desk, &name, &value, today)?;
                keeping::put_setting(shop, stamp, &name, &value, "my own")?;
            }
            Ok(String::from("/settings"))
        };
        if let Some(done) = app.write_shop(&filled, "value", "/settings", &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, &filled, &mistakes).await
}

async fn strike(State(app): State<App>, Path(number): Path<u64>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
        let one = shop.noted_one::<Setting>(number)?;
        if keeping::is_own(&one.name) {
            return Err(NoAnswer::Stop(Stop::Input(format!(
                "{} is kept by the program; set it to another value instead",
                one.name
            ))));
        }
        shop.strike::<Setting>(stamp, number)?;
        Ok(String::from("/settings"))
    };
    match app.write_shop(&filled, "", "/settings", &mut mistakes, work).await {
        Some(done) => done,
        None => drawn(&app, &filled, &mistakes).await,
    }
}

async fn tune(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let apply = filled.text("do") == Some("apply");
    let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
        if apply {
            let tuned = shop.tuned()?;
            if tuned.is_empty() {
                return Err(NoAnswer::Stop(Stop::input(
                    "no parcel was sent yet; right would be to send some first",
                )));
            }
            let breakage = keeping::overall_breakage(&tuned);
            keeping::apply_tuning(shop, stamp, &tuned, breakage)?;
        } else {
            keeping::take_back_tuning(shop, stamp)?;
        }
        Ok(String::from("/settings"))
    };
    match app.write_shop(&filled, "", "/settings", &mut mistakes, work).await {
        Some(done) => done,
        None => drawn(&app, &filled, &mistakes).await,
    }
}
