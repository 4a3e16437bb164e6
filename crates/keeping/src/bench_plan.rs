//! An order's parcels, with what is on hand.

use std::collections::BTreeMap;

use books::{FindId, OrderId, SupplyId};
use jiff::civil::Date;
use measure::{Mass, Money};
use shop::{Measured, Measurement, OrderState, OutsideSize, ParcelPlan, PullRow, Shop, StandingOrder, Tuned};
use toml::{Table, Value};
use trade::{Job, Learnt, OrderPlan, Watch, pack_all_watched};

use crate::{
    Desk, DropCheck, OnHand, OwnTables, Stop, Taken, put_settings, set, supplies_on_hand, taken, tuning_of,
};

/// How an order is to be planned.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BenchAsked {
    /// Names of supplies that are short and are not set aside.
    pub without: Vec<String>,
    /// Every stock size of carton may be taken, whether or not it is there.
    pub any_carton: bool,
}

/// An order with all that planning it needs, read from the file at one moment: packing takes its time, and the file
/// need not wait for it.
#[derive(Debug, Clone)]
pub struct BenchQuestion {
    /// The order.
    pub order: StandingOrder,
    /// What is to be fetched for it.
    pub pull: Vec<PullRow>,
    /// The supplies; what the order's own plan has set aside counts as free.
    pub stock: Vec<OnHand>,
    asked: BenchAsked,
    measured: Vec<Measurement>,
    sheet: Table,
    own: OwnTables,
    learnt: Learnt,
    day: Date,
}

/// A carton that stands in for one that is out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Substitute {
    /// The carton that is taken.
    pub carton: String,
    /// The carton that would have been taken.
    pub missing: String,
}

/// An order planned with what is on hand.
#[derive(Debug, Clone)]
pub struct BenchPlan {
    /// The parcels.
    pub plan: OrderPlan,
    /// The plan that would have been cheaper with a carton that is out.
    pub ideal: Option<OrderPlan>,
    /// What is stored of them.
    pub parcels: Vec<ParcelPlan>,
    /// Cartons that stand in for others.
    pub substitutes: Vec<Substitute>,
    /// What the parcels take of the supplies.
    pub taken: Taken,
    /// The fill of the first parcel.
    pub fill: String,
}

impl BenchPlan {
    /// What is lost on an order before fees and goods, in words: its postage and packing cost more than what the buyer
    /// pays. `None` where they don't.
    #[must_use]
    pub fn said_of_loss(&self, order: &StandingOrder) -> Option<String> {
        let lots: Money = order.lines.iter().map(|line| line.item).sum();
        let paid = lots + order.shipping;
        let postage: Money = self.parcels.iter().filter_map(|parcel| parcel.postage).sum();
        let cost = postage + self.plan.materials;
        (cost > paid).then(|| {
            format!(
                "Postage and packing come to {cost}, and the buyer pays {paid}: {} is lost, before fees and goods.",
                cost - paid
            )
        })
    }

    /// What the plan costs more, in postage and materials, than with the cartons that are out; 0.00 where none is.
    #[must_use]
    pub fn costs_more(&self) -> Money {
        let cost = |plan: &OrderPlan| plan.expected_postage + plan.materials;
        let more = self.ideal.as_ref().map_or(Money::ZERO, |ideal| cost(&self.plan) - cost(ideal));
        more.max(Money::ZERO)
    }
}

/// Parcels as found, with what they take.
struct Found {
    plan: OrderPlan,
    taken: Taken,
    fill: String,
}

impl BenchQuestion {
    /// Reads an order and what planning it needs.
    ///
    /// # Errors
    /// When the order isn't open, a supply isn't known, or the file can't be read.
    pub fn read(
        shop: &mut Shop,
        desk: &Desk,
        id: OrderId,
        asked: BenchAsked,
        day: Date,
    ) -> Result<Self, Stop> {
        let order = shop.order(id)?;
        match order.state {
            OrderState::Open => {}
            OrderState::Sent => return Err(not_open(id, "sent")),
            OrderState::Cancelled => return Err(not_open(id, "cancelled")),
        }
        let own = shop.parcels(id)?;
        let stock = supplies_on_hand(shop, &desk.library.materials, &own, day)?;
        known_names(&asked.without, &stock)?;
        let mut sheet: Table = sheet::usual().parse().map_err(|e: toml::de::Error| Stop::outside(e))?;
        put_settings(shop, &mut sheet)?;
        let measured = shop.noted::<Measurement>()?.into_iter().map(|(_, one)| one).collect();
        let pull = shop.pull_list(id)?;
        let own = OwnTables::of(shop)?;
        if let Some(venue) = venue_of(shop, &order)? {
            own.venues.name_in(&mut sheet, &venue)?;
        }
        own.put(&mut sheet, day)?;
        let (form, recipe) = main_form(&pull, desk);
        let learnt = tuning_of(shop, &form, &recipe)?.learnt();
        Ok(Self { order, pull, stock, asked, measured, sheet, own, learnt, day })
    }

    /// Plans the order. Nothing is stored: that is `Shop::plan_order` with the parcels of the answer.
    ///
    /// # Errors
    /// When it can't be packed with what is on hand.
    pub fn plan(&self, desk: &Desk) -> Result<BenchPlan, Stop> {
        self.plan_watched(desk, &Watch::default())
    }

    /// [`BenchQuestion::plan`] with somebody looking on, who may stop it.
    ///
    /// # Errors
    /// As [`BenchQuestion::plan`]; also once it was told to stop.
    pub fn plan_watched(&self, desk: &Desk, watch: &Watch) -> Result<BenchPlan, Stop> {
        let (found, ideal) = self.best(desk, watch)?;
        let ideal_cartons: Vec<&str> = ideal.iter().flat_map(cartons).collect();
        let (mut parcels, mut substitutes) = (Vec::new(), Vec::new());
        let (form, recipe) = main_form(&self.pull, desk);
        for (shipped, taken) in found.plan.parcels.iter().zip(&found.taken.parcels) {
            let mut taken = taken.clone();
            for one in &mut taken {
                let supply = self.supply(one.supply).filter(|known| known.is_carton());
                let Some(supply) = supply else { continue };
                if ideal_cartons.is_empty() || ideal_cartons.contains(&supply.supply.name.as_str()) {
                    continue;
                }
                // With several parcels it can't be said which stands for which.
                let wanted = match ideal_cartons.as_slice() {
                    [wanted] => {
                        self.stock.iter().find(|known| known.is_carton() && known.supply.name == *wanted)
                    }
                    _ => None,
                };
                one.instead_of = wanted.map(|wanted| wanted.id);
                let missing =
                    wanted.map_or_else(|| ideal_cartons.join(" and "), |one| one.supply.name.clone());
                substitutes.push(Substitute { carton: supply.supply.name.clone(), missing });
            }
            let [length, width, height] = shipped.outside;
            let mut plan = serde_json::to_value(&shipped.plan).map_err(Stop::outside)?;
            DropCheck::of(shipped).keep_with(&mut plan);
            parcels.push(ParcelPlan {
                form: form.clone(),
                recipe: recipe.clone(),
                plan,
                // The plan's own figures, before what was learnt: so the next lesson is told against them, and no
                // factor is ever counted twice.
                mass: Some(Mass::from_grams(shipped.plan.gross_g)),
                size: Some(OutsideSize { length, width, height }),
                // A duration is finite and short: it was added up from the recipe's minutes.
                minutes: Some(shipped.plan.minutes.total().round().clamp(0.0, 10_000.0) as u32),
                postage: shipped.quotes.first().map(|quote| quote.total),
                supplies: taken,
            });
        }
        let Found { plan, taken, fill } = found;
        Ok(BenchPlan { plan, ideal, parcels, substitutes, taken, fill })
    }

    /// What was learnt of parcels like these and applied; 1 and 1 where nothing was.
    #[must_use]
    pub const fn learnt(&self) -> Learnt {
        self.learnt
    }

    /// A supply by its number.
    #[must_use]
    pub fn supply(&self, id: SupplyId) -> Option<&OnHand> {
        self.stock.iter().find(|known| known.id == id)
    }

    /// The cheapest plan with what is on hand, and the one that would have been cheaper with a carton that is out.
    fn best(&self, desk: &Desk, watch: &Watch) -> Result<(Found, Option<OrderPlan>), Stop> {
        let owned: Vec<&OnHand> = self.stock.iter().filter(|one| one.is_carton()).collect();
        if owned.is_empty() && !self.asked.any_carton {
            return Err(Stop::input(
                "there are no cartons among your supplies; right would be to add those you have (a supply of the \
                 kind carton, such as \"12 x 12 x 8\") and enter what you bought, or to plan with any carton",
            ));
        }
        let out: Vec<String> =
            owned.iter().filter(|one| one.whole() == 0).map(|one| one.supply.name.clone()).collect();
        let mut without = out.clone();
        let mut fill: Option<String> = None;
        let mut ideal = None;
        if !out.is_empty() && !self.asked.any_carton {
            ideal = self.packed(desk, &[], None, watch).ok();
        }
        // Each round leaves out a carton or a fill, so there are no more rounds than supplies.
        for _ in 0..=self.stock.len() {
            let plan = self.packed(desk, &without, fill.as_deref(), watch)?;
            let plans: Vec<&plan::Parcel> = plan.parcels.iter().map(|shipped| &shipped.plan).collect();
            let taken = taken(&plans, &self.stock, &self.asked.without)?;
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
                let next = self.next_fill(desk, short_fill, fill.as_deref());
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
    fn next_fill(&self, desk: &Desk, short: &OnHand, tried: Option<&str>) -> Option<String> {
        if tried.is_some() {
            return None;
        }
        let fills: Vec<&str> = desk.library.materials.fills().map(|fill| fill.name.as_str()).collect();
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
                    tenth(needed),
                    one.supply.unit,
                    tenth(one.free.in_units())
                )
            })
            .collect();
        let first = short.first().map_or("", |one| one.supply.name.as_str());
        Stop::Input(format!(
            "order {}: short of {}; right would be to buy more, or to plan without \"{first}\", \
             which sets none of it aside",
            self.order.id,
            rows.join("; ")
        ))
    }

    /// The order as a job, with any carton.
    pub(crate) fn job(&self, desk: &Desk) -> Result<Job, Stop> {
        let any = Self { asked: BenchAsked { any_carton: true, ..self.asked.clone() }, ..self.clone() };
        any.read_job(desk, &[], None)
    }

    fn read_job(&self, desk: &Desk, without: &[String], fill: Option<&str>) -> Result<Job, Stop> {
        let text = self.sheet(without, fill)?;
        let mut job = desk.read_with(&text, self.day, &|name| self.own.file(name)).map_err(|problems| {
            let told: Vec<String> = problems
                .iter()
                .map(|one| format!("{}: {}; right would be: {}", one.field, one.message, one.right))
                .collect();
            Stop::Input(format!("order {} can't be planned: {}", self.order.id, told.join("; ")))
        })?;
        job.learnt = self.learnt;
        Ok(job)
    }

    /// The order packed without some cartons.
    fn packed(
        &self,
        desk: &Desk,
        without: &[String],
        fill: Option<&str>,
        watch: &Watch,
    ) -> Result<OrderPlan, Stop> {
        let job = self.read_job(desk, without, fill)?;
        pack_all_watched(&job, &desk.library, 1, watch).map_err(|why| {
            Stop::Input(format!("order {} can't be packed with what is on hand: {why}", self.order.id))
        })
    }

    /// The order as a job sheet, so that one reading serves both.
    fn sheet(&self, without: &[String], fill: Option<&str>) -> Result<String, Stop> {
        let mut table = self.sheet.clone();
        set(&mut table, "title", Value::from(format!("Order {}", self.order.id)))?;
        set(&mut table, "post.to", Value::from(vec![self.order.destination.clone()]))?;
        set(&mut table, "post.date", Value::from(self.day.to_string()))?;
        if let Some(fill) = fill {
            set(&mut table, "packing.fill", Value::from(fill))?;
        }
        if !self.asked.any_carton {
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
                    "order {}: every carton is out ({}); right would be to buy some",
                    self.order.id,
                    without.join(", ")
                )));
            }
            table.insert("carton".to_owned(), Value::Array(list));
        }
        table.insert("find".to_owned(), Value::Array(self.finds()));
        toml::to_string(&table).map_err(|e| Stop::Outside(e.to_string()))
    }

    fn finds(&self) -> Vec<Value> {
        let mut finds: Vec<(FindId, Table, Vec<u32>)> = Vec::new();
        for row in &self.pull {
            if let Some((_, _, pieces)) = finds.iter_mut().find(|(find, _, _)| *find == row.find) {
                pieces.extend(&row.pieces);
                continue;
            }
            let mut table = Table::new();
            table.insert("name".to_owned(), Value::from(find_name(&row.description, row.find)));
            table.insert("form".to_owned(), Value::from(row.form.as_str()));
            finds.push((row.find, table, row.pieces.clone()));
        }
        let find = |(id, mut table, pieces): (FindId, Table, Vec<u32>)| {
            let count = i64::try_from(pieces.len()).unwrap_or(i64::MAX);
            table.insert("count".to_owned(), Value::from(count));
            table.insert("per_lot".to_owned(), Value::from(count));
            let of_these = self
                .measured
                .iter()
                .filter(|one| one.find == id && one.piece.is_none_or(|piece| pieces.contains(&piece)));
            put_measures(of_these, &mut table);
            Value::Table(table)
        };
        finds.into_iter().map(find).collect()
    }
}

/// What a find is called in a plan.
fn find_name(description: &str, find: FindId) -> String {
    format!("{description}{FIND_MARK}{find})")
}

/// The number of a find by what it is called in a plan.
pub(crate) fn find_named(name: &str) -> Option<u64> {
    name.rsplit_once(FIND_MARK)?.1.strip_suffix(')')?.parse().ok()
}

/// What stands between a find's description and its number in a plan.
const FIND_MARK: &str = " (find ";

/// Puts measures into a find of a job sheet. Where pieces differ, the largest counts: errors go against hope.
pub(crate) fn put_measures<'a>(measured: impl Iterator<Item = &'a Measurement>, find: &mut Table) {
    let mut largest: BTreeMap<&str, Measured> = BTreeMap::new();
    for one in measured {
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
        find.insert(name.to_owned(), Value::from(text));
    }
}

/// The venue that an order came from; where that wasn't noted, the one that all of its listings are at.
fn venue_of(shop: &Shop, order: &StandingOrder) -> Result<Option<String>, Stop> {
    let mut venue = order.venue;
    if venue.is_none() {
        let mut of_lines = Vec::new();
        for line in &order.lines {
            of_lines.push(shop.listing(line.listing)?.entered.venue);
        }
        of_lines.dedup();
        venue = match of_lines.as_slice() {
            [only] => *only,
            _ => None,
        };
    }
    Ok(venue.map(|number| shop.noted_one::<shop::Venue>(number)).transpose()?.map(|one| one.name))
}

/// The form that most of an order is, and its recipe.
fn main_form(pull: &[PullRow], desk: &Desk) -> (String, String) {
    let most = pull.iter().max_by_key(|row| (row.pieces.len(), std::cmp::Reverse(row.find)));
    let form = most.map_or_else(String::new, |row| row.form.clone());
    let recipe = desk.forms.find(&form).map(|form| form.recipe.clone()).unwrap_or_default();
    let known = desk.library.recipes.find(&recipe).is_ok();
    (form, if known { recipe } else { String::new() })
}

fn not_open(id: OrderId, state: &str) -> Stop {
    Stop::Input(format!("order {id} is {state}; right would be one that waits at the bench"))
}

fn known_names(told: &[String], stock: &[OnHand]) -> Result<(), Stop> {
    for name in told {
        let names = || stock.iter().map(|one| one.supply.name.as_str());
        if !names().any(|known| measure::plain(known) == measure::plain(name)) {
            let near = measure::nearest(name, names());
            let right = if near.is_empty() { names().map(str::to_owned).collect() } else { near };
            return Err(Stop::Input(format!(
                "without: no supply is called \"{name}\"; right would be: {}",
                right.join(", ")
            )));
        }
    }
    Ok(())
}

/// The cartons of a plan by name.
fn cartons(plan: &OrderPlan) -> Vec<&str> {
    // Not by the materials' names: carton tape is no carton.
    let parcels = plan.parcels.iter().map(|shipped| &shipped.plan);
    let boxes = parcels.flat_map(|parcel| std::iter::once(parcel).chain(parcel.inner.as_deref()));
    boxes.map(|parcel| parcel.carton.name.as_str()).collect()
}

/// What parcels of this form and recipe have taught, beside a plan: how many, and the weight and minutes by them.
#[must_use]
pub fn learnt(tuned: &[Tuned], parcel: &ParcelPlan) -> Option<(u32, measure::Mass, f64)> {
    let row = tuned.iter().find(|row| row.form == parcel.form && row.recipe == parcel.recipe)?;
    if row.weighed == 0 {
        return None;
    }
    let mass = measure::Mass::from_grams(parcel.mass?.grams() * row.weight_factor());
    Some((row.weighed, mass, f64::from(parcel.minutes?) * row.minutes_factor()))
}

/// One decimal, left out when it is none.
fn tenth(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), ToOwned::to_owned)
}
