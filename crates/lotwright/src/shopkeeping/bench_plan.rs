//! `lotwright bench plan`: an order's parcels, with what is on hand.

use std::path::PathBuf;

use books::OrderId;
use clap::Args;
use measure::{Money, Units};
use serde_json::json;
use shop::{Measured, Measurement, OrderState, OutsideSize, ParcelPlan, Shop, StandingOrder, Tuned};
use toml::{Table, Value};
use trade::{Library, OrderPlan, pack_all};

use super::door::{Answer, When, demo_line, refused};
use super::on_hand::{OnHand, Taken, supplies, taken};
use super::setting::put_settings;
use super::typed::numbers;
use crate::asked::set;
use crate::planning;
use crate::problems::Stop;
use crate::text::{Detail, parcel};
use crate::words::{plural, trimmed, wrapped};

/// Options of `bench plan`.
#[derive(Debug, Args)]
pub struct PlanArgs {
    /// The order
    pub order: u64,
    /// A supply that is short and is not set aside; may be given many times
    #[arg(long, value_name = "SUPPLY")]
    pub without: Vec<String>,
    /// Plan with every stock size of carton, whether or not you have it
    #[arg(long)]
    pub any_carton: bool,
    /// Write a drawing of every parcel into this folder
    #[arg(long, value_name = "DIR")]
    pub svg: Option<PathBuf>,
    /// Leave out the steps of packing
    #[arg(long)]
    pub no_steps: bool,
}

/// A plan with what it takes of the supplies.
struct Found {
    plan: OrderPlan,
    taken: Taken,
    fill: String,
}

/// Plans an order and sets its supplies aside.
pub fn plan(shop: &mut Shop, when: &When, args: &PlanArgs) -> Result<Answer, Stop> {
    let id = OrderId(args.order);
    let order = shop.order(id).map_err(refused)?;
    if order.state != OrderState::Open {
        return Err(Stop::Input(format!(
            "order {id} is {}; right would be one that is to pack, see: lotwright bench",
            super::order::state_words(&order)
        )));
    }
    let library = Library::published();
    let own = shop.parcels(id).map_err(refused)?;
    let stock = supplies(shop, &library.materials, &own, when.day)?;
    known_names(&args.without, &stock)?;
    let search = Search { shop, when, args, order: &order, stock: &stock, library: &library };
    let (found, ideal) = search.best()?;
    let mut parcels = Vec::new();
    let ideal_cartons: Vec<&str> = ideal.iter().flat_map(cartons).collect();
    let mut substitutes = Vec::new();
    for (shipped, taken) in found.plan.parcels.iter().zip(&found.taken.parcels) {
        let mut taken = taken.clone();
        for one in &mut taken {
            let supply = stock.iter().find(|known| known.id == one.supply);
            let Some(supply) = supply.filter(|known| known.is_carton()) else { continue };
            if ideal_cartons.is_empty() || ideal_cartons.contains(&supply.supply.name.as_str()) {
                continue;
            }
            // With several parcels it can't be said which stands for which.
            let wanted = match ideal_cartons.as_slice() {
                [wanted] => stock.iter().find(|known| known.is_carton() && known.supply.name == *wanted),
                _ => None,
            };
            one.instead_of = wanted.map(|wanted| wanted.id);
            let missing = wanted.map_or_else(|| ideal_cartons.join(" and "), |one| one.supply.name.clone());
            substitutes.push((supply.supply.name.clone(), missing));
        }
        let (form, recipe) = main_form(shop, id, &library)?;
        let [length, width, height] = shipped.outside;
        parcels.push(ParcelPlan {
            form,
            recipe,
            plan: serde_json::to_value(&shipped.plan).map_err(|e| Stop::Outside(e.to_string()))?,
            mass: Some(shipped.gross),
            size: Some(OutsideSize { length, width, height }),
            // A duration is finite and short: it was added up from the recipe's minutes.
            minutes: Some(shipped.minutes.round().clamp(0.0, 10_000.0) as u32),
            postage: shipped.quotes.first().map(|quote| quote.total),
            supplies: taken,
        });
    }
    shop.plan_order(&when.stamp(), id, &parcels).map_err(refused)?;
    if let Some(folder) = &args.svg {
        let orders = std::iter::once((format!("order {id}"), &found.plan));
        planning::draw_orders(folder, orders, Units::UsCustomary)?;
    }
    answer(shop, &order, args, &stock, &found, ideal.as_ref(), &parcels, &substitutes)
}

fn known_names(told: &[String], stock: &[OnHand]) -> Result<(), Stop> {
    for name in told {
        let names = || stock.iter().map(|one| one.supply.name.as_str());
        if !names().any(|known| measure::plain(known) == measure::plain(name)) {
            let near = measure::nearest(name, names());
            let right = if near.is_empty() { names().map(str::to_owned).collect() } else { near };
            return Err(Stop::Input(format!(
                "--without: no supply is called \"{name}\"; right would be: {}",
                right.join(", ")
            )));
        }
    }
    Ok(())
}

/// The cartons of a plan by name.
fn cartons(plan: &OrderPlan) -> Vec<&str> {
    let materials = plan.parcels.iter().flat_map(|shipped| &shipped.plan.materials);
    materials.filter_map(|used| used.material.strip_prefix("carton ")).collect()
}

/// The form that most of the order is, and its recipe.
fn main_form(shop: &Shop, order: OrderId, library: &Library) -> Result<(String, String), Stop> {
    let rows = shop.pull_list(order).map_err(refused)?;
    let most = rows.iter().max_by_key(|row| (row.pieces.len(), std::cmp::Reverse(row.find)));
    let form = most.map_or_else(String::new, |row| row.form.clone());
    let recipe =
        forms::Catalogue::published().find(&form).map(|form| form.recipe.clone()).unwrap_or_default();
    let known = library.recipes.find(&recipe).is_ok();
    Ok((form, if known { recipe } else { String::new() }))
}

struct Search<'a> {
    shop: &'a Shop,
    when: &'a When,
    args: &'a PlanArgs,
    order: &'a StandingOrder,
    stock: &'a [OnHand],
    library: &'a Library,
}

impl Search<'_> {
    /// The cheapest plan with what is on hand, and the one that would have been cheaper with a carton that is out.
    fn best(&self) -> Result<(Found, Option<OrderPlan>), Stop> {
        let owned: Vec<&OnHand> = self.stock.iter().filter(|one| one.is_carton()).collect();
        if owned.is_empty() && !self.args.any_carton {
            return Err(Stop::input(
                "there are no cartons among your supplies; right would be: lotwright supply add \
                 --name \"12 x 12 x 8\" --kind carton, then supply buy; or bench plan with --any-carton",
            ));
        }
        let out: Vec<String> =
            owned.iter().filter(|one| one.whole() == 0).map(|one| one.supply.name.clone()).collect();
        let mut without = out.clone();
        let mut fill: Option<String> = None;
        let mut ideal = None;
        if !out.is_empty() && !self.args.any_carton {
            ideal = self.packed(&[], None).ok();
        }
        // Each round leaves out a carton or a fill, so there are no more rounds than supplies.
        for _ in 0..=self.stock.len() {
            let plan = self.packed(&without, fill.as_deref())?;
            let plans: Vec<&plan::Parcel> = plan.parcels.iter().map(|shipped| &shipped.plan).collect();
            let taken = taken(&plans, self.stock, &self.args.without)?;
            let is_short = |one: &&OnHand| taken.short.contains_key(&one.id);
            let short: Vec<&OnHand> = self.stock.iter().filter(is_short).collect();
            let carton = short.iter().find(|one| one.is_carton());
            if let Some(carton) = carton {
                // Too few of one size for all parcels: the whole size is left out.
                ideal.get_or_insert(plan);
                without.push(carton.supply.name.clone());
                continue;
            }
            if let Some(short_fill) = short.iter().find(|one| one.supply.kind == "fill") {
                let next = self.next_fill(short_fill, fill.as_deref());
                if next.is_some() {
                    fill = next;
                    continue;
                }
            }
            if !short.is_empty() {
                return Err(self.short(&short, &taken));
            }
            let fill = plan.parcels.first().map_or_else(String::new, |one| one.plan.fill.material.clone());
            let ideal = ideal.filter(|ideal| cartons(ideal) != cartons(&plan));
            return Ok((Found { plan, taken, fill }, ideal));
        }
        Err(Stop::input("no set of cartons and fill on hand is enough for this order; buy some of them"))
    }

    /// The fill with most on hand that wasn't tried.
    fn next_fill(&self, short: &OnHand, tried: Option<&str>) -> Option<String> {
        if tried.is_some() {
            return None;
        }
        let fills: Vec<&str> = self.library.materials.fills().map(|fill| fill.name.as_str()).collect();
        let others = self.stock.iter().filter(|one| {
            one.id != short.id
                && one.free.micros() > 0
                && one.material().is_some_and(|name| fills.contains(&name))
        });
        let best = others.max_by_key(|one| (one.free.micros(), std::cmp::Reverse(one.id)))?;
        best.material().map(str::to_owned)
    }

    fn short(&self, short: &[&OnHand], taken: &Taken) -> Stop {
        let rows: Vec<String> = short
            .iter()
            .map(|one| {
                let needed = taken.short.get(&one.id).copied().unwrap_or(0.0);
                format!(
                    "{}: {} {} needed, {} free",
                    one.supply.name,
                    trimmed(needed),
                    one.supply.unit,
                    trimmed(one.free.in_units())
                )
            })
            .collect();
        let first = short.first().map_or("", |one| one.supply.name.as_str());
        Stop::Input(format!(
            "order {}: short of {}; right would be to buy more (lotwright supply buy), or to plan with \
             --without \"{first}\", which sets none of it aside",
            self.order.id,
            rows.join("; ")
        ))
    }

    /// The order packed without some cartons.
    fn packed(&self, without: &[String], fill: Option<&str>) -> Result<OrderPlan, Stop> {
        let text = self.sheet(without, fill)?;
        let job = planning::read_job(text.as_bytes(), std::path::Path::new("."), self.library).map_err(
            |problems| {
                let told: Vec<String> = problems
                    .iter()
                    .map(|one| format!("{}: {}; right would be: {}", one.field, one.message, one.right))
                    .collect();
                Stop::Input(format!("order {} can't be planned: {}", self.order.id, told.join("; ")))
            },
        )?;
        pack_all(&job, self.library, 1).map_err(|why| {
            Stop::Input(format!("order {} can't be packed with what is on hand: {why}", self.order.id))
        })
    }

    /// The order as a job sheet, so that one reading serves both.
    fn sheet(&self, without: &[String], fill: Option<&str>) -> Result<String, Stop> {
        let mut table: Table =
            sheet::usual().parse().map_err(|e: toml::de::Error| Stop::Outside(e.to_string()))?;
        put_settings(self.shop, &mut table)?;
        set(&mut table, "title", Value::from(format!("Order {}", self.order.id)))?;
        set(&mut table, "post.to", Value::from(vec![self.order.destination.clone()]))?;
        set(&mut table, "post.date", Value::from(self.when.day.to_string()))?;
        if let Some(fill) = fill {
            set(&mut table, "packing.fill", Value::from(fill))?;
        }
        if !self.args.any_carton {
            table.remove("cartons");
            let mut list = Vec::new();
            for one in self.stock.iter().filter(|one| one.is_carton()) {
                if without.contains(&one.supply.name) {
                    continue;
                }
                let mut carton = Table::new();
                carton.insert("name".to_owned(), Value::from(one.supply.name.as_str()));
                carton.insert("size".to_owned(), Value::from(one.size().unwrap_or(&one.supply.name)));
                if let Some(cost) = one.state.unit_cost {
                    let cost = Money::from_cents_rounded(cost * 100.0);
                    carton.insert("cost".to_owned(), Value::from(cost.write()));
                }
                let cut_to = one.cut_to();
                if !cut_to.is_empty() {
                    carton.insert("cut_to".to_owned(), Value::from(cut_to));
                }
                list.push(Value::Table(carton));
            }
            if list.is_empty() {
                return Err(Stop::Input(format!(
                    "order {}: every carton is out ({}); right would be to buy some: lotwright supply buy",
                    self.order.id,
                    without.join(", ")
                )));
            }
            table.insert("carton".to_owned(), Value::Array(list));
        }
        table.insert("find".to_owned(), Value::Array(self.finds()?));
        toml::to_string(&table).map_err(|e| Stop::Outside(e.to_string()))
    }

    fn finds(&self) -> Result<Vec<Value>, Stop> {
        let measured = self.shop.noted::<Measurement>().map_err(refused)?;
        let mut finds: Vec<(books::FindId, Table, Vec<u32>)> = Vec::new();
        for row in self.shop.pull_list(self.order.id).map_err(refused)? {
            if let Some((_, _, pieces)) = finds.iter_mut().find(|(find, _, _)| *find == row.find) {
                pieces.extend(row.pieces);
                continue;
            }
            let mut table = Table::new();
            table.insert("name".to_owned(), Value::from(format!("{} (find {})", row.description, row.find)));
            table.insert("form".to_owned(), Value::from(row.form));
            finds.push((row.find, table, row.pieces));
        }
        let find = |(id, mut table, pieces): (books::FindId, Table, Vec<u32>)| {
            let count = i64::try_from(pieces.len()).unwrap_or(i64::MAX);
            table.insert("count".to_owned(), Value::from(count));
            table.insert("per_lot".to_owned(), Value::from(count));
            let holds =
                |one: &&Measurement| one.find == id && one.piece.is_none_or(|piece| pieces.contains(&piece));
            // Where pieces differ, the largest counts: errors go against hope.
            let mut largest: std::collections::BTreeMap<&str, Measured> = std::collections::BTreeMap::new();
            for one in measured.iter().map(|(_, one)| one).filter(holds) {
                let figure = largest.entry(one.name.as_str()).or_insert(one.figure);
                *figure = match (*figure, one.figure) {
                    (Measured::Length(a), Measured::Length(b)) => Measured::Length(a.max(b)),
                    (Measured::Mass(a), Measured::Mass(b)) => Measured::Mass(a.max(b)),
                    (Measured::Length(_), new @ Measured::Mass(_))
                    | (Measured::Mass(_), new @ Measured::Length(_)) => new,
                };
            }
            for (name, figure) in largest {
                let text = match figure {
                    Measured::Length(length) => format!("{} mm", length.mm()),
                    Measured::Mass(mass) => format!("{} g", mass.grams()),
                };
                table.insert(name.to_owned(), Value::from(text));
            }
            Value::Table(table)
        };
        Ok(finds.into_iter().map(find).collect())
    }
}

#[allow(clippy::too_many_arguments, reason = "everything that was found, written in one place")]
fn answer(
    shop: &Shop,
    order: &StandingOrder,
    args: &PlanArgs,
    stock: &[OnHand],
    found: &Found,
    ideal: Option<&OrderPlan>,
    parcels: &[ParcelPlan],
    substitutes: &[(String, String)],
) -> Result<Answer, Stop> {
    let plan = &found.plan;
    let mut out = vec![format!(
        "{}{}",
        demo_line(shop)?,
        wrapped(
            "",
            &format!(
                "Order {} to {}: {}, supplies set aside.",
                order.id,
                order.destination,
                plural(u32::try_from(plan.parcels.len()).unwrap_or(u32::MAX), "parcel")
            ),
        )
    )];
    for row in shop.pull_list(order.id).map_err(refused)? {
        let shelf = if row.shelf.is_empty() { "nowhere noted" } else { &row.shelf };
        out.push(wrapped(
            "  ",
            &format!("fetch from {shelf}: {}, piece {}", row.description, numbers(&row.pieces)),
        ));
    }
    for (carton, missing) in substitutes {
        out.push(wrapped("! ", &format!("Too few of carton {missing} on hand: carton {carton} instead.")));
    }
    let cost = |plan: &OrderPlan| plan.expected_postage + plan.materials;
    if let Some(ideal) = ideal {
        let more = cost(plan) - cost(ideal);
        if more > Money::ZERO {
            out.push(wrapped("! ", &format!("That costs {more} more in postage and materials.")));
        }
    }
    let usual = Library::published().materials.usual_fill().name.clone();
    if found.fill != usual {
        out.push(wrapped("! ", &format!("Filled with {}.", found.fill)));
    }
    for (k, shipped) in plan.parcels.iter().enumerate() {
        let detail = Detail { units: Units::UsCustomary, steps: !args.no_steps, only: None };
        out.push(parcel(k, plan.parcels.len(), shipped, detail).trim_end().to_owned());
        let postage = shipped.quotes.first().map_or(Money::ZERO, |quote| quote.total);
        out.push(wrapped(
            "    ",
            &format!(
                "postage to {} {postage}, materials {}, {:.0} min",
                order.destination, shipped.materials, shipped.minutes
            ),
        ));
        if let Some(line) = parcels.get(k).and_then(|parcel| learnt(&shop.tuned().ok()?, parcel)) {
            out.push(line);
        }
    }
    for (parcel, taken) in (1..).zip(parcels) {
        let list: Vec<String> = taken
            .supplies
            .iter()
            .filter_map(|one| {
                let supply = stock.iter().find(|known| known.id == one.supply)?;
                Some(format!(
                    "{} {} of {}",
                    trimmed(one.quantity.in_units()),
                    supply.supply.unit,
                    supply.supply.name
                ))
            })
            .collect();
        if !list.is_empty() {
            out.push(wrapped("  ", &format!("set aside for parcel {parcel}: {}", list.join("; "))));
        }
    }
    let unknown: Vec<String> = found
        .taken
        .unknown
        .iter()
        .map(|(name, (quantity, unit))| match unit.as_str() {
            "piece" => format!("{} {name}", trimmed(*quantity)),
            "sheet" => format!("{} of {name}", plural(quantity.round().clamp(0.0, 1e6) as u32, "sheet")),
            unit => format!("{} {unit} of {name}", trimmed(*quantity)),
        })
        .collect();
    if !unknown.is_empty() {
        out.push(wrapped(
            "  ~ ",
            &format!("not among your supplies, so not set aside: {}", unknown.join("; ")),
        ));
    }
    let json = json!({
        "order": order.id.0,
        "plan": crate::report::order(&format!("order {}", order.id), order.lines.iter().map(|line| line.lots).sum(), Ok(plan)),
        "substitutes": substitutes.iter().map(|(carton, missing)| json!({ "carton": carton, "instead_of": missing })).collect::<Vec<_>>(),
        "set_aside": parcels.iter().map(|parcel| parcel.supplies.iter().map(|one| json!({
            "supply": one.supply.0, "units": one.quantity.in_units(),
            "instead_of": one.instead_of.map(|supply| supply.0),
        })).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "not_among_supplies": found.taken.unknown.keys().collect::<Vec<_>>(),
    });
    Ok(Answer { text: out.join("\n"), json })
}

/// What parcels of this form and recipe have taught, beside the prediction.
fn learnt(tuned: &[Tuned], parcel: &ParcelPlan) -> Option<String> {
    let row = tuned.iter().find(|row| row.form == parcel.form && row.recipe == parcel.recipe)?;
    if row.weighed == 0 {
        return None;
    }
    let mass = measure::Mass::from_grams(parcel.mass?.grams() * row.weight_factor());
    let minutes = f64::from(parcel.minutes?) * row.minutes_factor();
    let parcels = plural(row.weighed, "parcel");
    Some(wrapped(
        "    ~ ",
        &format!("by your own {parcels} like it: {} and {minutes:.0} min", mass.write(Units::UsCustomary)),
    ))
}
