//! Supplies: what is on hand, what to buy, and what was bought, counted or used.

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::{get, post};
use books::{Purse, Quantity};
use keeping::{DAYS_OF_USE, Desk, SUPPLY_KINDS, SupplyPart, SupplyTold};
use maud::{Markup, html};
use measure::Money;
use shop::{LEAD_DAYS, MoneyMoved, Movement, SAFETY_DAYS, Shop, Stamp, SupplyState};

use crate::App;
use crate::day_and_purse::{purse, purse_field};
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::record_page::checked;
use crate::said::{amount, tenth};

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/supplies", get(show))
        .route("/supplies/add", post(add))
        .route("/supplies/moved", post(moved))
}

async fn show(State(app): State<App>) -> Response {
    drawn(&app, &Filled::default(), &Mistakes::default()).await
}

async fn drawn(app: &App, filled: &Filled, mistakes: &Mistakes) -> Response {
    let today = app.now().day;
    let found = app.read_shop(move |shop, _| Ok(shop.supplies(today, DAYS_OF_USE)?)).await;
    let states = match found {
        Ok(states) => states,
        Err(page) => return page,
    };
    let key = app.form_key().unwrap_or_default();
    let body = html! {
        @if states.is_empty() {
            p { "No supplies yet. Add the cartons you have first: a plan takes only what is on hand." }
        } @else {
            (to_buy(&states))
            (table(&states))
        }
        (moved_form(&states, filled, mistakes, &key))
        (add_form(filled, mistakes, &key))
        p { a href="/help#supplies" { "How to use this page" } }
    };
    checked(&app.page("Supplies", "/supplies", body).with_mistakes(mistakes))
}

fn to_buy(states: &[SupplyState]) -> Markup {
    let short: Vec<&str> = states.iter().filter(|one| one.to_buy()).map(|one| one.name.as_str()).collect();
    html! {
        p.verdict {
            @if short.is_empty() { "Nothing needs buying now." } @else { "Buy: " (short.join(", ")) }
        }
    }
}

fn table(states: &[SupplyState]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Supplies on hand" {
            table {
                thead { tr { th scope="col" { "Supply" } th.num scope="col" { "Free" } th.num scope="col" { "Set aside" } th.num scope="col" { "Parcels left" } th.num scope="col" { "Buy at" } th.num scope="col" { "Cost of one" } } }
                tbody {
                    @for one in states {
                        tr {
                            th scope="row" { (one.name) @if one.to_buy() { " " strong { "buy" } } }
                            td.num { (tenth(one.free().in_units())) " " (one.unit) }
                            td.num { (tenth(one.reserved.in_units())) }
                            td.num { @match one.parcels_left { Some(parcels) => (parcels), None => "-" } }
                            td.num { @if one.reorder_point > 0.0 { (tenth(one.reorder_point)) } @else { "-" } }
                            td.num { @match one.unit_cost { Some(cost) => (amount(cost)), None => "-" } }
                        }
                    }
                }
            }
        }
        details {
            summary { "How this was reckoned" }
            p { "Free is what is on hand less what plans have set aside. Parcels left: free over what a parcel took of it on average, among those that took any. Buy at: use a day over the last " (DAYS_OF_USE) " days times the days to get it and the days kept in store. Cost: moving average of what was paid." }
        }
    }
}

fn moved_fields(names: Vec<String>) -> [Field; 5] {
    let ways = Kind::OneOf(vec![
        Choice::new("bought", "Bought"),
        Choice::new("counted", "Counted: so many there are"),
        Choice::new("used", "Used apart from a plan, or spoiled"),
    ]);
    [
        Field::needed("supply", "Which", "", Kind::Words { known: names }),
        Field::needed("way", "What happened", "", ways),
        Field::needed("units", "How many units", "25, or 1.5 of a roll.", Kind::Code),
        Field::optional("cost", "Cost all together", "Where they were bought.", Kind::Money),
        purse_field("purse", "Paid with", Purse::Cash),
    ]
}

fn moved_form(states: &[SupplyState], filled: &Filled, mistakes: &Mistakes, key: &str) -> Markup {
    let names = states.iter().map(|one| one.name.clone()).collect();
    let fields = moved_fields(names);
    let open = fields.iter().any(|field| mistakes.of(&field.name).is_some());
    html! {
        @if !states.is_empty() {
            details open[open] {
                summary { "Bought, counted or used" }
                form method="post" action="/supplies/moved" novalidate {
                    (once_field(key))
                    @for (k, field) in fields.iter().enumerate() {
                        (draw(field, filled, mistakes, k + 1 == fields.len()))
                    }
                    button type="submit" { "Enter it" }
                }
            }
        }
    }
}

fn add_fields() -> [Field; 8] {
    let kinds = Kind::OneOf(SUPPLY_KINDS.map(|kind| Choice::new(kind, kind)).to_vec());
    let words = || Kind::Words { known: Vec::new() };
    [
        Field::needed("name", "Name", "A carton is best called by its inside size: 12 x 12 x 8.", words()),
        Field::needed("kind", "What it is", "", kinds),
        Field::optional("inside", "Inside size of a carton", "Left out, its name.", words()),
        Field::optional("cut-to", "Heights it may be cut to", "6 in, 4 in", words()),
        Field::optional("material", "Material it is", "newsprint, eps_fill. Left out, its name.", words()),
        Field::optional(
            "holds",
            "How much of it one unit holds",
            "A bag 3.5 cubic feet, a roll 1980 in.",
            Kind::Code,
        ),
        Field::optional("unit", "What one unit is called", "bag, roll, sheet", words()),
        Field::optional("lead", "Days from ordering it to having it", "", Kind::Whole),
    ]
}

fn add_form(filled: &Filled, mistakes: &Mistakes, key: &str) -> Markup {
    let fields = add_fields();
    let open = fields.iter().any(|field| mistakes.of(&field.name).is_some());
    html! {
        details open[open] {
            summary { "Add a kind of supply" }
            form method="post" action="/supplies/add" novalidate {
                (once_field(&format!("{key}-add")))
                @for (k, field) in fields.iter().enumerate() {
                    (draw(field, filled, mistakes, k + 1 == fields.len()))
                }
                button type="submit" { "Add it" }
            }
        }
    }
}

/// Units as typed.
fn units(filled: &Filled, mistakes: &mut Mistakes) -> Option<Quantity> {
    let text = filled.needed("units", "how many is missing; right would be: 25", mistakes)?;
    let read = text
        .parse::<f64>()
        .map_err(|_| String::from("no number"))
        .and_then(|units| Quantity::units(units).map_err(|e| e.to_string()));
    match read {
        Ok(quantity) => Some(quantity),
        Err(why) => {
            let what = crate::form::short(text);
            mistakes.add("units", format!("\"{what}\" can't be ({why}); right would be: 25"));
            None
        }
    }
}

async fn moved(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let name =
        filled.needed("supply", "which supply is missing; right would be a name of the list", &mut mistakes);
    let name = name.map(ToOwned::to_owned);
    let quantity = units(&filled, &mut mistakes);
    let cost = filled.money("cost", &mut mistakes).unwrap_or(Money::ZERO);
    let way = filled.text("way").unwrap_or("bought").to_owned();
    let purse = purse(&filled, "purse", Purse::Cash, &mut mistakes);
    if let (Some(name), Some(quantity), true) = (name, quantity, mistakes.is_empty()) {
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            let (supply, _) = keeping::supply_named(shop, &name, "a supply added here first")?;
            let movement = match way.as_str() {
                "used" => Some(Movement::SuppliesUsed { supply, quantity, order: None }),
                "counted" => keeping::counted(shop, supply, quantity, today)?,
                _ => Some(Movement::SuppliesBought { supply, quantity, cost }),
            };
            if let Some(movement) = movement {
                let moved = MoneyMoved { date: today, purse, movement, note: String::new() };
                shop.move_money(stamp, &moved)?;
            }
            Ok(String::from("/supplies"))
        };
        if let Some(done) = app.write_shop(&filled, "units", "/supplies", &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, &filled, &mistakes).await
}

async fn add(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let name = filled.needed("name", "its name is missing; right would be: 12 x 12 x 8", &mut mistakes);
    let lead_days = filled.whole("lead", 0..=365, &mut mistakes).unwrap_or(LEAD_DAYS);
    let cut_to: Vec<&str> = filled
        .text("cut-to")
        .map(|text| text.split(',').map(str::trim).filter(|height| !height.is_empty()).collect())
        .unwrap_or_default();
    let supply = name.and_then(|name| {
        let told = SupplyTold {
            name,
            kind: filled.text("kind").unwrap_or("carton"),
            size: filled.text("inside"),
            cut_to: &cut_to,
            material: filled.text("material"),
            holds: filled.text("holds"),
            unit: filled.text("unit"),
            lead_days,
            safety_days: SAFETY_DAYS,
        };
        keeping::supply_told(&told, &app.desk().library.materials)
            .map_err(|wrong| mistakes.add(field_of(wrong.part), wrong.why))
            .ok()
    });
    if let (Some(supply), true) = (supply, mistakes.is_empty()) {
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            shop.note(stamp, &supply)?;
            Ok(String::from("/supplies"))
        };
        if let Some(done) = app.write_shop(&filled, "name", "/supplies", &mut mistakes, work).await {
            return done;
        }
    }
    drawn(&app, &filled, &mistakes).await
}

/// The field in which a part of a supply is typed.
const fn field_of(part: SupplyPart) -> &'static str {
    match part {
        SupplyPart::Name => "name",
        SupplyPart::Kind => "kind",
        SupplyPart::Size => "inside",
        SupplyPart::CutTo => "cut-to",
        SupplyPart::Material => "material",
        SupplyPart::Holds => "holds",
    }
}
