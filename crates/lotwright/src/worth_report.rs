//! Worth, split, offer and shelf as JSON. Amounts that are expectations are in currency, not whole cents, and
//! say so in their names.

use measure::Money;
use schemars::JsonSchema;
use selling::{OrderMoney, Split};
use serde::Serialize;
use trade::{Answered, Job, Purchase, Size, Worth};

use crate::problems::Stop;

/// A find's worth and its split.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FindWorth {
    /// The find.
    pub find: String,
    /// Why it can't be priced; absent when it can.
    pub not_priced: Option<String>,
    /// The comps, as they counted.
    pub comps: Vec<CountedComp>,
    /// All weights together.
    pub weight_sum: Option<f64>,
    /// Effective number of comps.
    pub effective_comps: Option<f64>,
    /// Orders a day of a single piece at its median.
    pub rate_per_day: f64,
    /// Piles: sets first, then single kinds, then flawed pieces.
    pub piles: Vec<Pile>,
    /// The best split; absent without comps.
    pub split: Option<Plan>,
}

/// A comp as it counted.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CountedComp {
    /// Pieces.
    pub pieces: u32,
    /// Weight of its evidence, 0 to 1.
    pub weight: f64,
    /// How the line was understood, in words.
    pub understood: String,
    /// How it counted, in words.
    pub counted: String,
}

/// A pile and its lot sizes.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Pile {
    /// What it is.
    pub name: String,
    /// Things there are at most.
    pub available: u32,
    /// What one is worth beside one set.
    pub worth_beside_a_set: f64,
    /// Its lot sizes.
    pub sizes: Vec<LotSize>,
}

/// A lot size.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LotSize {
    /// Pieces (sets) in a lot.
    pub pieces: u32,
    /// Prices by the estimator; absent for piles valued by their share.
    pub worth: Option<Prices>,
    /// Cartons of its parcels; empty when it can't be packed.
    pub cartons: Vec<String>,
    /// Why it can't be packed; absent when it can.
    pub not_packed: Option<String>,
    /// Weight of its parcels, g.
    pub gross_g: Option<f64>,
    /// Delivered price below which it leaves nothing, cents.
    pub break_even_cents: Option<i64>,
    /// The money of one order of one lot.
    pub money: Option<LotMoney>,
}

/// Prices of a lot, delivered, currency.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Prices {
    /// Median.
    pub median: f64,
    /// Range of the next sale, 8 of 10.
    pub next_sale: [f64; 2],
    /// Range of the median itself, 80 %.
    pub median_range: [f64; 2],
    /// Why it should be taken with care.
    pub cautions: Vec<String>,
}

/// The money of an order, currency.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LotMoney {
    /// Price of one lot.
    pub item: f64,
    /// Charged for shipping.
    pub shipping: f64,
    /// Sales tax, passing through.
    pub tax: f64,
    /// The venue's fee.
    pub fee: f64,
    /// Expected postage.
    pub postage: f64,
    /// Materials.
    pub materials: f64,
    /// Packing, minutes.
    pub minutes: f64,
    /// Packing at the wage.
    pub labour: f64,
    /// Expected refunds.
    pub damage: f64,
    /// What is left.
    pub net: f64,
}

/// A split.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Plan {
    /// Sets made up.
    pub sets: u32,
    /// All listings, sets first.
    pub listings: Vec<Listed>,
    /// Expected profit before what the find cost, currency.
    pub worth: f64,
    /// Hours of listing and packing.
    pub hours: f64,
    /// The next best that is built on another size, of the sets alone.
    pub runner_up: Option<Other>,
    /// The best per hour, of the sets alone.
    pub best_per_hour: Option<Other>,
    /// Pieces that are left over, by pile.
    pub left_over: Vec<Left>,
}

/// One listing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Listed {
    /// The pile.
    pub pile: String,
    /// Pieces (sets) in a lot.
    pub size: u32,
    /// Lots.
    pub lots: u32,
    /// Price of one lot, cents.
    pub price_cents: Option<i64>,
    /// What it is worth after listing and keeping, currency.
    pub worth: f64,
    /// Lots expected to be sold by the horizon.
    pub sold_by_horizon: f64,
    /// Day of the last sale.
    pub last_sale_day: f64,
}

/// Another plan.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Other {
    /// Lots by size: size, lots.
    pub parts: Vec<[u32; 2]>,
    /// Worth before what the find cost, currency.
    pub worth: f64,
    /// Hours.
    pub hours: f64,
}

/// What is left over.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Left {
    /// The pile.
    pub pile: String,
    /// How many.
    pub count: u32,
}

/// The answer to an offer.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OfferAnswer {
    /// "accept", "counter" or "decline".
    pub reply: &'static str,
    /// The counter, cents.
    pub counter_cents: Option<i64>,
    /// Lowest price worth accepting now, cents.
    pub floor_cents: i64,
    /// Lowest offer that is accepted rather than countered, cents.
    pub accept_from_cents: i64,
    /// Offers below this need no answer, cents.
    pub decline_below_cents: i64,
    /// What waiting is worth, cents.
    pub worth_of_waiting_cents: i64,
    /// Why, in words.
    pub reasons: Vec<String>,
}

/// The answer at the shelf.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShelfAnswer {
    /// The worth and the split it rests on.
    pub worth: FindWorth,
    /// What the shop asks, cents.
    pub asking_cents: Option<i64>,
    /// Most to pay, cents; absent when nothing of it is worth selling or it can't be priced.
    pub most_to_pay_cents: Option<i64>,
    /// The limit that binds.
    pub bound_by: Option<String>,
    /// "buy", "haggle" or "leave"; absent without an asking price.
    pub verdict: Option<&'static str>,
    /// Expected profit at the asking price, after the wage, cents.
    pub expected_profit_cents: Option<i64>,
    /// Hours of work.
    pub hours: Option<f64>,
    /// Profit before the wage for an hour of work, cents.
    pub net_per_hour_cents: Option<i64>,
    /// Chance of losing money, 0 to 1.
    pub chance_of_loss: Option<f64>,
    /// Why, in words.
    pub reasons: Vec<String>,
}

/// As JSON.
pub fn written(report: &impl Serialize) -> Result<String, Stop> {
    serde_json::to_string_pretty(report)
        .map(|text| text + "\n")
        .map_err(|e| Stop::Outside(format!("the answer can't be written as JSON: {e}")))
}

/// A find's worth.
pub fn find_worth(job: &Job, worth: &Worth) -> FindWorth {
    let appraisal = worth.appraisal.as_ref();
    let splits = worth.splits();
    FindWorth {
        find: job.finds[worth.find].name.clone(),
        not_priced: appraisal.err().map(ToString::to_string),
        comps: appraisal.map_or_else(
            |_| Vec::new(),
            |appraisal| {
                appraisal
                    .counted()
                    .iter()
                    .zip(&job.finds[worth.find].comps)
                    .map(|(counted, comp)| CountedComp {
                        understood: comp.understood(),
                        pieces: counted.pieces,
                        weight: counted.weight,
                        counted: counted.sentence.clone(),
                    })
                    .collect()
            },
        ),
        weight_sum: appraisal.ok().map(pricing::Appraisal::weight_sum),
        effective_comps: appraisal.ok().map(pricing::Appraisal::effective_comps),
        rate_per_day: worth.pace.rate.mean_rate(),
        piles: worth
            .pools
            .iter()
            .map(|priced| Pile {
                name: priced.pool.name.clone(),
                available: priced.pool.available,
                worth_beside_a_set: priced.pool.worth,
                sizes: priced
                    .sizes
                    .iter()
                    .map(|size| {
                        let listing =
                            priced.sizing.as_ref().and_then(|sizing| sizing.listing(size.pieces, 1));
                        lot_size(size, listing.as_ref().and_then(|listing| listing.orders.first()))
                    })
                    .collect(),
            })
            .collect(),
        split: worth.split.as_ref().map(|split| Plan {
            sets: split.plan.sets,
            listings: splits
                .iter()
                .flat_map(|(priced, split)| {
                    split.listings.iter().map(|listing| Listed {
                        pile: priced.pool.name.clone(),
                        size: listing.size,
                        lots: listing.lots,
                        price_cents: listing.orders.first().map(|order| order.item.cents()),
                        worth: listing.worth,
                        sold_by_horizon: listing.sold_by_horizon,
                        last_sale_day: listing.expected.last_sale_day,
                    })
                })
                .collect(),
            worth: split.worth,
            hours: split.hours,
            runner_up: split.choice.runner_up.as_ref().map(other),
            best_per_hour: split.per_hour.as_ref().map(|choice| other(&choice.best)),
            left_over: splits
                .iter()
                .filter(|(_, split)| split.dropped() > 0)
                .map(|(priced, split)| Left { pile: priced.pool.name.clone(), count: split.dropped() })
                .collect(),
        }),
    }
}

fn other(split: &Split) -> Other {
    Other {
        parts: split.parts().into_iter().map(|(size, lots)| [size, lots]).collect(),
        worth: split.worth(),
        hours: split.hours(),
    }
}

fn lot_size(size: &Size, order: Option<&OrderMoney>) -> LotSize {
    let currency = Money::currency;
    let parcels = size.parcels.as_ref();
    LotSize {
        pieces: size.pieces,
        worth: size.worth.as_ref().map(|lot| Prices {
            median: lot.median,
            next_sale: [lot.p10, lot.p90],
            median_range: [lot.median_least, lot.median_most],
            cautions: lot.cautions.iter().map(|caution| caution_word(*caution).to_owned()).collect(),
        }),
        cartons: parcels.map_or_else(
            |_| Vec::new(),
            |parcels| parcels.iter().map(|parcel| parcel.plan.carton.name.clone()).collect(),
        ),
        not_packed: parcels.err().map(ToString::to_string),
        gross_g: parcels
            .ok()
            .map(|parcels| parcels.iter().map(|parcel| parcel.gross).sum::<measure::Mass>().grams()),
        break_even_cents: size.break_even.map(Money::cents),
        money: order.map(|order| LotMoney {
            item: currency(order.item),
            shipping: currency(order.shipping),
            tax: currency(order.tax),
            fee: currency(order.fee),
            postage: order.postage,
            materials: order.materials,
            minutes: order.minutes,
            labour: order.labour,
            damage: order.damage,
            net: order.net,
        }),
    }
}

const fn caution_word(caution: pricing::Caution) -> &'static str {
    match caution {
        pricing::Caution::PriorDriven => "prior-driven",
        pricing::Caution::Extrapolated => "extrapolated",
    }
}

/// The answer to an offer.
pub fn offer_answer(answered: &Answered) -> OfferAnswer {
    let answer = &answered.answer;
    let (reply, counter) = match answer.reply {
        selling::Reply::Accept => ("accept", None),
        selling::Reply::CounterAt(amount) => ("counter", Some(amount.cents())),
        selling::Reply::Decline => ("decline", None),
    };
    OfferAnswer {
        reply,
        counter_cents: counter,
        floor_cents: answer.floor.cents(),
        accept_from_cents: answer.accept_from.cents(),
        decline_below_cents: answer.auto_decline_below.cents(),
        worth_of_waiting_cents: answer.worth_of_waiting.cents(),
        reasons: answer.reasons(),
    }
}

/// The answer at the shelf.
pub fn shelf_answer(
    job: &Job,
    worth: &Worth,
    asking: Option<Money>,
    purchase: Option<&Purchase>,
) -> ShelfAnswer {
    let decision = purchase.map(|purchase| &purchase.decision);
    let at = decision.filter(|_| asking.is_some()).map(|decision| &decision.at_asking);
    ShelfAnswer {
        worth: find_worth(job, worth),
        asking_cents: asking.map(Money::cents),
        most_to_pay_cents: decision.map(|decision| decision.most_to_pay.cents()),
        bound_by: decision.map(|decision| decision.bound_by.to_string()),
        verdict: decision.filter(|_| asking.is_some()).map(|decision| match decision.verdict {
            selling::Verdict::Buy => "buy",
            selling::Verdict::HaggleTo(_) => "haggle",
            selling::Verdict::Leave => "leave",
        }),
        expected_profit_cents: at.map(|at| at.expected_profit.cents()),
        hours: at.map(|at| at.hours),
        net_per_hour_cents: at.and_then(|at| at.net_per_hour).map(Money::cents),
        chance_of_loss: at.map(|at| at.chance_of_loss),
        reasons: decision.filter(|_| asking.is_some()).map_or_else(Vec::new, selling::BuyDecision::reasons),
    }
}

/// A listing card.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ListingCard {
    /// The find.
    pub find: String,
    /// Why there is none; absent when there is one.
    pub refused: Option<String>,
    /// Title.
    pub title: Option<String>,
    /// What stayed out of the title, with the reason.
    pub dropped: Vec<String>,
    /// Description, plain text.
    pub description: Option<String>,
    /// Photos to take.
    pub photos: Vec<String>,
    /// To do before it goes up.
    pub to_do: Vec<String>,
    /// Price of one lot, cents.
    pub price_cents: Option<i64>,
    /// Lowest offer to take, cents; absent where the venue takes none.
    pub floor_cents: Option<i64>,
    /// Lots.
    pub quantity: Option<u32>,
    /// Shipping policy in words.
    pub shipping: Option<String>,
    /// Weight to state, g.
    pub stated_weight_g: Option<f64>,
    /// Size to state, mm.
    pub stated_size_mm: Option<[f64; 3]>,
}

/// A card, or why there is none.
pub fn listing_card(find: &str, card: Result<&listing::Card, &trade::TradeError>) -> ListingCard {
    let refused = card.err().map(ToString::to_string);
    let card = card.ok();
    ListingCard {
        find: find.to_owned(),
        refused,
        title: card.map(|card| card.title.text.clone()),
        dropped: card.map_or_else(Vec::new, |card| {
            card.title
                .dropped
                .iter()
                .map(|dropped| format!("{}: {}", dropped.words, dropped.reason.word()))
                .collect()
        }),
        description: card.map(|card| card.description.text()),
        photos: card.map_or_else(Vec::new, |card| {
            card.photos.photos.iter().map(|photo| photo.text.clone()).collect()
        }),
        to_do: card.map_or_else(Vec::new, |card| card.to_do.clone()),
        price_cents: card.map(|card| card.price.cents()),
        floor_cents: card.and_then(|card| card.floor).map(Money::cents),
        quantity: card.map(|card| card.quantity),
        shipping: card.map(|card| card.shipping.clone()),
        stated_weight_g: card.map(|card| card.stated_weight.grams()),
        stated_size_mm: card.map(|card| card.stated_size.map(measure::Length::mm)),
    }
}
