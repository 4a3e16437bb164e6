//! Supplies: what is on hand, what to buy, and what was bought, counted or used.

use axum::Router;
use axum::extract::State;
use axum::response::Response;
use axum::routing::{get, post};
use books::{Purse, Quantity};
use keeping::{DAYS_OF_USE, Desk, SUPPLY_KINDS, SupplyPart, SupplyTold};
use maud::{Markup, html};
use measure::Money;
use protection::Materials;
use shop::{LEAD_DAYS, MoneyMoved, Movement, SAFETY_DAYS, Shop, Stamp, SupplyState};

use crate::App;
use crate::day_and_purse::{purse, purse_field};
use crate::form::{Choice, Field, Filled, Kind, Mistakes, Posted, draw, once_field};
use crate::quantities::quantity;
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
        }
        // What is done most stands before the list, which is long on a phone.
        (moved_form(&states, filled, mistakes, &key))
        (add_form(filled, mistakes, &key, &app.desk().library.materials))
        @if !states.is_empty() { (table(&states)) }
        p { a href="/help#supplies" { "How to use this page" } }
    };
    checked(&app.page("Supplies", "/supplies", body).with_mistakes(mistakes))
}

fn to_buy(states: &[SupplyState]) -> Markup {
    let short: Vec<&str> = states.iter().filter(|one| one.to_buy()).map(|one| one.name.as_str()).collect();
    // Of what was never used it can't be said when to buy it; that there is none can.
    let out: Vec<&str> =
        states.iter().filter(|one| one.free().in_units() <= 0.0).map(|one| one.name.as_str()).collect();
    html! {
        p.verdict {
            @if !short.is_empty() { "Buy: " (short.join(", ")) }
            @else if out.len() == states.len() { "Nothing is on hand." }
            @else { "Nothing needs buying now." }
        }
        @if short.is_empty() && !out.is_empty() && out.len() < states.len() { p { "None on hand of: " (out.join(", ")) "." } }
    }
}

/// What is free of a supply, with its unit.
fn on_hand(one: &SupplyState) -> String {
    let free = one.free();
    if free.in_units() > 0.0 {
        quantity(free, &one.unit)
    } else {
        format!("0 {}", measure::plural(&one.unit))
    }
}

fn table(states: &[SupplyState]) -> Markup {
    html! {
        div.scroll tabindex="0" role="region" aria-label="Supplies on hand" {
            table.stacks.dense role="table" {
                thead role="rowgroup" {
                    tr role="row" {
                        th role="columnheader" scope="col" { "Supply" }
                        @for head in ["Free", "Set aside", "Parcels left", "Buy at", "Cost of one"] { th.num role="columnheader" scope="col" { (head) } }
                    }
                }
                tbody role="rowgroup" {
                    @for one in states {
                        tr role="row" {
                            th role="rowheader" scope="row" { (one.name) @if one.to_buy() { " " strong { "buy" } } }
                            td.num role="cell" data-head="Free" { (on_hand(one)) }
                            td.num.none[one.reserved.in_units() <= 0.0] role="cell" data-head="Set aside" { (tenth(one.reserved.in_units())) }
                            td.num.none[one.parcels_left.is_none()] role="cell" data-head="Parcels left" { @match one.parcels_left { Some(parcels) => (parcels), None => "-" } }
                            td.num.none[one.reorder_point <= 0.0] role="cell" data-head="Buy at" { @if one.reorder_point > 0.0 { (tenth(one.reorder_point)) } @else { "-" } }
                            td.num.none[one.unit_cost.is_none()] role="cell" data-head="Cost" { @match one.unit_cost { Some(cost) => (amount(cost)), None => "-" } }
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

fn add_fields(materials: Vec<String>) -> [Field; 10] {
    let kinds = Kind::OneOf(SUPPLY_KINDS.map(|kind| Choice::new(kind, kind)).to_vec());
    let words = || Kind::Words { known: Vec::new() };
    [
        Field::needed("name", "Name", "A carton is best called by its inside size: 12 x 12 x 8.", words()),
        Field::needed("kind", "What it is", "", kinds),
        Field::optional("inside", "Inside size of a carton", "Left out, its name.", words()),
        Field::optional("cut-to", "Heights it may be cut to", "6 in, 4 in", words()),
        Field::optional(
            "material",
            "Material it is",
            "Of a wrap, a fill or a tape. Begin to type and take a suggestion; left out, its name.",
            Kind::Words { known: materials },
        ),
        Field::optional(
            "holds",
            "How much of it one unit holds",
            "Of a fill cubic feet, of a tape inches or yards: a bag 3.5, a roll 55 yd. Left out, 1.",
            Kind::Code,
        ),
        Field::optional("unit", "What one unit is called", "bag, roll, sheet", words()),
        Field::optional("have", "How many you have", "Bought or found; left out, none yet.", Kind::Code),
        Field::optional(
            "have-cost",
            "What they cost together",
            "From cash or the account. Left out, nothing is booked.",
            Kind::Money,
        ),
        Field::optional("lead", "Days from ordering it to having it", "", Kind::Whole),
    ]
}

fn add_form(filled: &Filled, mistakes: &Mistakes, key: &str, materials: &Materials) -> Markup {
    let fields = add_fields(materials.iter().map(|one| one.name.clone()).collect());
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

/// Units as typed into a field.
fn units(filled: &Filled, name: &str, mistakes: &mut Mistakes) -> Option<Quantity> {
    let text = filled.text(name)?;
    let read = text
        .parse::<f64>()
        .map_err(|_| String::from("a figure alone is asked"))
        .and_then(|units| Quantity::units(units).map_err(|e| e.to_string()));
    match read {
        Ok(quantity) => Some(quantity),
        Err(why) => {
            let what = crate::form::short(text);
            mistakes.add(name, format!("\"{what}\" can't be ({why}); right would be: 25"));
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
    if filled.text("units").is_none() {
        mistakes.add("units", "how many is missing; right would be: 25");
    }
    let quantity = units(&filled, "units", &mut mistakes);
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
        let materials = &app.desk().library.materials;
        if let Some(why) = keeping::no_plan_takes(&told, materials) {
            mistakes.add("material", why);
        }
        keeping::supply_told(&told, materials)
            .map_err(|wrong| mistakes.add(field_of(wrong.part), wrong.why))
            .ok()
    });
    let have = units(&filled, "have", &mut mistakes);
    let cost = filled.money("have-cost", &mut mistakes);
    if have.is_none() && cost.is_some_and(|cost| cost > Money::ZERO) && mistakes.of("have").is_none() {
        mistakes.add("have", "how many it was is missing; right would be: 25");
    }
    if let (Some(supply), true) = (supply, mistakes.is_empty()) {
        let date = app.now().day;
        let there = have.filter(|have| have.in_units() > 0.0);
        let there = there.map(|quantity| (quantity, cost.unwrap_or(Money::ZERO), date, Purse::Cash));
        let work = move |shop: &mut Shop, _: &Desk, stamp: &Stamp| {
            shop.add_supply(stamp, &supply, there)?;
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
