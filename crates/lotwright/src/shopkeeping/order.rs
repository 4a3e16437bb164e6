//! `lotwright order`: taken, paid, cancelled, shown.

use books::{BuyerTax, LotId, OrderId};
use clap::{Args, Subcommand};
use keeping::{Proved, Swapping};
use measure::{Money, Units};
use serde_json::{Value, json};
use shop::{
    Cancelled, OrderIn, OrderLine, OrderRepriced, OrderState, Payment, PieceRef, Shop, ShopError,
    StandingOrder, StandingParcel,
};

use super::door::{Answer, Where, day, demo_line, refused, refused_at};
use super::typed::{PurseWord, count_of, money};
use crate::problems::Stop;
use crate::words::{plural, size, table, wrapped};

/// Options of `order`.
#[derive(Debug, Args)]
pub struct OrderArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do.
    #[command(subcommand)]
    what: OrderCommand,
}

/// What to do with an order.
#[derive(Debug, Subcommand)]
enum OrderCommand {
    /// Take an order: its lots and pieces are promised to it from now on
    Take(TakeArgs),
    /// It was paid
    Pay {
        /// Its number
        order: u64,
        /// Where the money went
        #[arg(long, value_enum, default_value = "balance")]
        into: PurseWord,
    },
    /// What a paid order cost after all: its payment is taken back and entered anew
    Reprice {
        /// Its number
        order: u64,
        /// What its lots cost, one for each line in their order; left out, as before
        #[arg(long, value_name = "AMOUNT")]
        price: Vec<String>,
        /// Shipping charged; left out, as before
        #[arg(long, value_name = "AMOUNT")]
        shipping: Option<String>,
        /// Sales tax, collected by whom it was before; left out, as before
        #[arg(long, value_name = "AMOUNT")]
        tax: Option<String>,
        /// Where the money went
        #[arg(long, value_enum, default_value = "balance")]
        into: PurseWord,
    },
    /// It won't be sent: pieces, lots and supplies are free again, money goes back
    Cancel {
        /// Its number
        order: u64,
        /// What pays the buyer back
        #[arg(long, value_enum, default_value = "balance")]
        from: PurseWord,
    },
    /// Send another piece than the one promised ("1:3" is piece 3 of find 1)
    Swap {
        /// The piece that stays
        #[arg(long, value_name = "FIND:PIECE")]
        out: String,
        /// The piece that goes; left out, the next sound one of the same find
        #[arg(long = "in", value_name = "FIND:PIECE")]
        instead: Option<String>,
        /// The piece that stays has this flaw ("hairline, inside the rim")
        #[arg(long, value_name = "FLAW", conflicts_with = "broken")]
        flaw: Option<String>,
        /// The piece that stays is broken, or not there: it leaves the shelf
        #[arg(long)]
        broken: bool,
        /// Why
        #[arg(long, default_value = "")]
        why: String,
    },
    /// Show an order with its parcels
    Show {
        /// Its number
        order: u64,
    },
    /// Show all orders
    List,
}

/// Options of `order take`.
#[derive(Debug, Args)]
struct TakeArgs {
    /// Lots of a listing: "2 of 1" for two lots of listing 1; may be given many times
    #[arg(long, required = true, value_name = "COUNT of LISTING")]
    lots: Vec<String>,
    /// The first digits of the buyer's postal code
    #[arg(long, value_name = "ZIP")]
    to: String,
    /// What the lots cost, one for each --lots; left out, the listed price
    #[arg(long, value_name = "AMOUNT")]
    price: Vec<String>,
    /// Shipping charged
    #[arg(long, value_name = "AMOUNT", default_value = "0")]
    shipping: String,
    /// Sales tax that the venue collects and remits
    #[arg(long, value_name = "AMOUNT")]
    tax: Option<String>,
    /// Sales tax that you collect and must remit
    #[arg(long, value_name = "AMOUNT", conflicts_with = "tax")]
    tax_held: Option<String>,
    /// The day by which it is to be handed over
    #[arg(long, value_name = "DAY")]
    promise: Option<String>,
    /// It is paid already
    #[arg(long)]
    paid: bool,
    /// Where the money went
    #[arg(long, value_enum, default_value = "balance")]
    into: PurseWord,
    /// Anything to remember; no names or addresses are needed
    #[arg(long, default_value = "")]
    note: String,
}

/// Does it and shows the order.
pub fn order(args: &OrderArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let stamp = when.stamp();
    let number = match &args.what {
        OrderCommand::List => return args.door.written(orders(&shop)?),
        OrderCommand::Take(told) => {
            let order = taken(&shop, told, when.day)?;
            shop.take_order(&stamp, &order).map_err(|error| {
                let option = if matches!(error, ShopError::BeforeHaul { .. }) { "--date" } else { "--lots" };
                refused_at(option)(error)
            })?
        }
        OrderCommand::Pay { order, into } => {
            let payment = Payment { date: when.day, into: into.purse() };
            shop.pay_order(&stamp, OrderId(*order), payment).map_err(refused)?;
            OrderId(*order)
        }
        OrderCommand::Reprice { order, price, shipping, tax, into } => {
            let before = shop.order(OrderId(*order)).map_err(refused)?;
            if price.is_empty() && shipping.is_none() && tax.is_none() {
                return Err(Stop::input(
                    "reprice: nothing is told; right would be: --price 38.00, --shipping 8.25 or --tax 3.10",
                ));
            }
            if !price.is_empty() && price.len() != before.lines.len() {
                return Err(Stop::Input(format!(
                    "--price: {} are given for {} of the order; right would be one for each, in their order",
                    price.len(),
                    plural(u32::try_from(before.lines.len()).unwrap_or(u32::MAX), "line")
                )));
            }
            let mut items = before.lines.iter().map(|line| line.item).collect::<Vec<_>>();
            for (item, text) in items.iter_mut().zip(price) {
                *item = money("--price", text)?;
            }
            let told = tax.as_deref().map(|text| money("--tax", text)).transpose()?;
            let repriced = OrderRepriced {
                order: before.id,
                items: items.into_iter().map(Into::into).collect(),
                shipping: shipping
                    .as_deref()
                    .map_or(Ok(before.shipping), |text| money("--shipping", text))?,
                tax: match (told, before.tax) {
                    (None, tax) => tax,
                    (Some(tax), BuyerTax::ByMe(_)) => BuyerTax::ByMe(tax),
                    (Some(tax), BuyerTax::None | BuyerTax::ByVenue(_)) => BuyerTax::ByVenue(tax),
                },
                payment: Payment { date: when.day, into: into.purse() },
            };
            shop.reprice_order(&stamp, &repriced).map_err(refused)?;
            before.id
        }
        OrderCommand::Cancel { order, from } => {
            let cancelled = Cancelled { order: OrderId(*order), date: when.day, from: from.purse() };
            shop.cancel_order(&stamp, &cancelled).map_err(refused)?;
            OrderId(*order)
        }
        OrderCommand::Swap { out, instead, flaw, broken, why } => {
            let out = one("--out", out)?;
            let instead = instead.as_ref().map(|text| one("--in", text)).transpose()?;
            let known = shop.pieces(out.find).map_err(refused)?;
            let promised = known.iter().find(|piece| piece.number == out.number);
            let order = promised.and_then(|piece| piece.promised_to).ok_or_else(|| {
                Stop::input("--out: it is promised to no order; right would be one that is")
            })?;
            let proved = match (flaw, broken) {
                (Some(text), _) => {
                    let (kind, position) = text.split_once(',').unwrap_or((text, ""));
                    let [kind, position] = [kind, position].map(|part| part.trim().to_owned());
                    Proved::Flawed { kind, position, size: None }
                }
                (None, true) => Proved::Broken,
                (None, false) => Proved::Sound,
            };
            let asked = Swapping { order, out, instead, proved, why: why.clone(), day: when.day };
            keeping::swap_at_bench(&mut shop, &stamp, &asked)?;
            order
        }
        OrderCommand::Show { order } => OrderId(*order),
    };
    args.door.written(shown(&shop, number)?)
}

fn one(option: &str, text: &str) -> Result<PieceRef, Stop> {
    keeping::one_piece(text).map_err(|why| Stop::Input(format!("{option}: {why}")))
}

fn taken(shop: &Shop, told: &TakeArgs, today: jiff::civil::Date) -> Result<OrderIn, Stop> {
    if !told.price.is_empty() && told.price.len() != told.lots.len() {
        return Err(Stop::Input(format!(
            "--price: {} are given for {} of --lots; right would be one for each, or none",
            told.price.len(),
            told.lots.len()
        )));
    }
    let digits = told.to.trim();
    if digits.len() < 3 || digits.len() > 5 || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Err(Stop::Input(format!(
            "--to: \"{}\" is not a postal code; right would be its first three digits or all five, such as 606",
            told.to
        )));
    }
    let mut lines = Vec::with_capacity(told.lots.len());
    for (k, text) in told.lots.iter().enumerate() {
        let (lots, listing) = count_of("--lots", text, "listing")?;
        let state = shop.listing(LotId(listing)).map_err(refused_at("--lots"))?;
        let item = match told.price.get(k) {
            Some(price) => money("--price", price)?,
            None => {
                let cents = state.entered.price.cents().checked_mul(i64::from(lots));
                cents
                    .map(Money::from_cents)
                    .ok_or_else(|| Stop::input("--lots: that many lots cost too much"))?
            }
        };
        lines.push(OrderLine { listing: LotId(listing), lots, item });
    }
    let tax = match (&told.tax, &told.tax_held) {
        (Some(tax), _) => BuyerTax::ByVenue(money("--tax", tax)?),
        (None, Some(tax)) => BuyerTax::ByMe(money("--tax-held", tax)?),
        (None, None) => BuyerTax::None,
    };
    Ok(OrderIn {
        venue: None,
        ordered_on: today,
        promise_by: told.promise.as_deref().map(|text| day("--promise", text)).transpose()?,
        destination: digits.to_owned(),
        lines,
        shipping: money("--shipping", &told.shipping)?,
        tax,
        paid: told.paid.then(|| Payment { date: today, into: told.into.purse() }),
        note: told.note.clone(),
    })
}

/// What has become of an order, in words.
pub fn state_words(order: &StandingOrder) -> String {
    let on = |day: Option<jiff::civil::Date>| day.map_or_else(String::new, |day| format!(" {day}"));
    match (order.state, order.paid_on) {
        (OrderState::Open, None) => String::from("to be paid"),
        (OrderState::Open, Some(_)) => String::from("to pack"),
        (OrderState::Sent, _) => format!("sent{}", on(order.sent_on)),
        (OrderState::Cancelled, _) => String::from("cancelled"),
    }
}

fn items(order: &StandingOrder) -> Money {
    order.lines.iter().map(|line| line.item).sum()
}

fn as_json(order: &StandingOrder) -> Value {
    json!({
        "order": order.id.0, "state": match order.state {
            OrderState::Open => "open", OrderState::Sent => "sent", OrderState::Cancelled => "cancelled",
        },
        "ordered_on": order.ordered_on.to_string(),
        "promise_by": order.promise_by.map(|day| day.to_string()),
        "paid_on": order.paid_on.map(|day| day.to_string()),
        "sent_on": order.sent_on.map(|day| day.to_string()),
        "to": order.destination, "items_cents": items(order).cents(), "shipping_cents": order.shipping.cents(),
        "lines": order.lines.iter().map(|line| json!({
            "listing": line.listing.0, "lots": line.lots, "item_cents": line.item.cents(),
        })).collect::<Vec<_>>(),
    })
}

fn orders(shop: &Shop) -> Result<Answer, Stop> {
    let all = shop.orders().map_err(refused)?;
    let rows: Vec<Vec<String>> = all
        .iter()
        .map(|order| {
            let lots: u32 = order.lines.iter().map(|line| line.lots).sum();
            vec![
                order.id.to_string(),
                order.ordered_on.to_string(),
                order.destination.clone(),
                lots.to_string(),
                items(order).to_string(),
                order.shipping.to_string(),
                state_words(order),
            ]
        })
        .collect();
    let heads = ["order", "taken", "to", "lots", "price", "shipping", "state"];
    let body = if rows.is_empty() { String::from("No orders yet.") } else { table(&heads, &rows) };
    let text = format!("{}{body}", demo_line(shop)?);
    Ok(Answer { text, json: json!(all.iter().map(as_json).collect::<Vec<_>>()) })
}

/// One order: what was bought, what to fetch, its parcels predicted and actual.
pub fn shown(shop: &Shop, id: OrderId) -> Result<Answer, Stop> {
    let order = shop.order(id).map_err(refused)?;
    let mut out = vec![format!(
        "{}{}",
        demo_line(shop)?,
        wrapped(
            "",
            &format!("Order {id} of {} to {}: {}.", order.ordered_on, order.destination, state_words(&order)),
        )
    )];
    let mut lines = Vec::new();
    for line in &order.lines {
        let listing = shop.listing(line.listing).map_err(refused)?;
        lines.push(wrapped(
            "  ",
            &format!(
                "{} of listing {}, {}: {}",
                plural(line.lots, "lot"),
                line.listing,
                listing.entered.title,
                line.item
            ),
        ));
    }
    out.extend(lines);
    let tax = match order.tax {
        BuyerTax::None => String::new(),
        BuyerTax::ByVenue(tax) => format!(", {tax} of tax that the venue remits"),
        BuyerTax::ByMe(tax) => format!(", {tax} of tax that you remit"),
    };
    let promise = order.promise_by.map_or_else(String::new, |day| format!(" Promised by {day}."));
    out.push(wrapped("  ", &format!("shipping charged {}{tax}.{promise}", order.shipping)));
    for row in shop.pull_list(id).map_err(refused)? {
        let shelf = if row.shelf.is_empty() { "nowhere noted" } else { &row.shelf };
        out.push(wrapped(
            "  ",
            &format!("fetch from {shelf}: {}, {}", row.description, keeping::which_pieces(&row)),
        ));
    }
    let parcels = shop.parcels(id).map_err(refused)?;
    for (k, parcel) in parcels.iter().enumerate() {
        out.extend(parcel_lines(k + 1, parcel));
    }
    let mut json = as_json(&order);
    if let Some(fields) = json.as_object_mut() {
        fields.insert("parcels".to_owned(), parcels.iter().map(parcel_json).collect());
    }
    Ok(Answer { text: out.join("\n"), json })
}

fn figures(
    mass: Option<measure::Mass>,
    outside: Option<shop::OutsideSize>,
    minutes: Option<u32>,
    postage: Option<Money>,
) -> String {
    let parts = [
        mass.map(|mass| mass.write(Units::UsCustomary)),
        outside.map(|one| size([one.length, one.width, one.height], Units::UsCustomary)),
        minutes.map(|minutes| format!("{minutes} min")),
        postage.map(|postage| format!("{postage} postage")),
    ];
    let told: Vec<String> = parts.into_iter().flatten().collect();
    if told.is_empty() { String::from("nothing noted") } else { told.join(", ") }
}

/// What was planned and what it was.
pub fn parcel_lines(number: usize, parcel: &StandingParcel) -> Vec<String> {
    let plan = &parcel.plan;
    let mut lines = vec![wrapped(
        "  ",
        &format!("parcel {number} planned: {}", figures(plan.mass, plan.size, plan.minutes, plan.postage)),
    )];
    if let Some((sent, actual)) = &parcel.actual {
        lines.push(wrapped(
            "  ",
            &format!(
                "parcel {number} was: {}, sent {sent}",
                figures(actual.mass, actual.size, actual.minutes, actual.postage)
            ),
        ));
        if let (Some(planned), Some(was)) = (plan.mass, actual.mass) {
            let ounces = was.ounces() - planned.ounces();
            let postage = match (plan.postage, actual.postage) {
                (Some(planned), Some(was)) => format!(", postage {:+.2}", (was - planned).currency()),
                (Some(_) | None, Some(_) | None) => String::new(),
            };
            let minutes = match (plan.minutes, actual.minutes) {
                (Some(planned), Some(was)) => format!(", {:+} min", i64::from(was) - i64::from(planned)),
                (Some(_) | None, Some(_) | None) => String::new(),
            };
            lines.push(wrapped("  ", &format!("against the plan: {ounces:+.1} oz{minutes}{postage}")));
        }
    }
    lines
}

fn parcel_json(parcel: &StandingParcel) -> Value {
    let actual = parcel.actual.as_ref().map(|(sent, actual)| {
        json!({
            "sent_on": sent.to_string(), "gross_g": actual.mass.map(measure::Mass::grams),
            "minutes": actual.minutes, "postage_cents": actual.postage.map(Money::cents),
            "tracking": actual.tracking,
        })
    });
    json!({
        "parcel": parcel.id, "form": parcel.plan.form, "recipe": parcel.plan.recipe,
        "predicted": {
            "gross_g": parcel.plan.mass.map(measure::Mass::grams), "minutes": parcel.plan.minutes,
            "postage_cents": parcel.plan.postage.map(Money::cents),
        },
        "actual": actual, "plan": parcel.plan.plan,
    })
}
