//! `lotwright spend`, `income`, `trip`, `put-in`, `take-out` and `take-back`: money that moves by itself.

use books::{EntryId, Expense, OrderId, Purse, TripUse};
use clap::{Args, ValueEnum};
use measure::Money;
use serde_json::json;
use shop::{MoneyMoved, Movement};

use super::door::{Answer, Where, demo_line, refused};
use super::typed::{PurseWord, miles, money};
use crate::problems::Stop;
use crate::words::wrapped;

/// What money was spent on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SpendWord {
    /// A selling, payment or per-order fee
    Fee,
    /// Promoted listings and other advertising
    Advertising,
    /// The carrier charged more afterwards (needs --order)
    Postage,
    /// A haul cost more afterwards (needs --haul)
    Haul,
    /// Insurance bought apart from postage
    Insurance,
    /// Office supplies and the like
    Office,
    /// Parking and tolls on business trips
    Parking,
    /// Taxes and licences of the business
    Taxes,
    /// Sales tax that you had collected, remitted
    SalesTax,
    /// Something that lasts longer than the year
    Equipment,
    /// Whatever else
    Other,
}

/// Options of `spend`.
#[derive(Debug, Args)]
pub struct SpendArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// How much
    #[arg(long)]
    amount: String,
    /// What for
    #[arg(long, value_enum)]
    on: SpendWord,
    /// The order, for fees, advertising and postage
    #[arg(long)]
    order: Option<u64>,
    /// The haul, for what it cost afterwards
    #[arg(long)]
    haul: Option<u64>,
    /// It was given back: fees, advertising, postage, a haul
    #[arg(long)]
    back: bool,
    /// What paid or received; fees and advertising are taken from the balance where nothing is told
    #[arg(long, value_enum)]
    purse: Option<PurseWord>,
    /// Anything to remember
    #[arg(long, default_value = "")]
    note: String,
}

/// Enters money that moved, and says so.
fn moved(door: &Where, purse: Purse, movement: Movement, note: &str, words: &str) -> Result<String, Stop> {
    let (mut shop, when, _) = door.open_or_make()?;
    let moved = MoneyMoved { date: when.day, purse, movement, note: note.to_owned() };
    let entry = shop.move_money(&when.stamp(), &moved).map_err(refused)?;
    let text = format!(
        "{}{}",
        demo_line(&shop)?,
        wrapped("", &format!("{words}, on {} (entry {entry}).", when.day))
    );
    door.written(Answer { text, json: json!({ "entry": entry, "day": when.day.to_string() }) })
}

/// Enters an expense.
pub fn spend(args: &SpendArgs) -> Result<String, Stop> {
    let amount = money("--amount", &args.amount)?;
    let order = args.order.map(OrderId);
    let wrong = |option: &str, what: &str, right: &str| {
        Stop::Input(format!("{option} {what}; right would be: {right}"))
    };
    let takes_order = matches!(args.on, SpendWord::Fee | SpendWord::Advertising | SpendWord::Postage);
    if order.is_some() && !takes_order {
        return Err(wrong("--order", "goes with a fee, advertising or postage only", "leave it out"));
    }
    if args.haul.is_some() && args.on != SpendWord::Haul {
        return Err(wrong("--haul", "goes with --on haul only", "leave it out"));
    }
    if args.back && !takes_order && args.on != SpendWord::Haul {
        return Err(wrong(
            "--back",
            "goes with fees, advertising, postage and hauls only",
            "lotwright take-back ENTRY",
        ));
    }
    let expense = |what| Movement::Expense { what, amount };
    let charge = |advertising| match args.back {
        false => Movement::Fee { order, amount, advertising },
        true => Movement::FeeReturned { order, amount, advertising },
    };
    let movement = match args.on {
        SpendWord::Fee => charge(false),
        SpendWord::Advertising => charge(true),
        SpendWord::Postage => Movement::PostageAdjusted {
            order: order.ok_or_else(|| wrong("--order", "is missing", "--on postage --order 3"))?,
            amount,
            back: args.back,
        },
        SpendWord::Haul => Movement::HaulAdjusted {
            haul: args
                .haul
                .map(books::HaulId)
                .ok_or_else(|| wrong("--haul", "is missing", "--on haul --haul 2"))?,
            amount,
            back: args.back,
        },
        SpendWord::Insurance => expense(Expense::Insurance),
        SpendWord::Office => expense(Expense::Office),
        SpendWord::Parking => expense(Expense::ParkingAndTolls),
        SpendWord::Taxes => expense(Expense::TaxesAndLicences),
        SpendWord::SalesTax => Movement::TaxRemitted { amount },
        SpendWord::Equipment => expense(Expense::Equipment),
        SpendWord::Other => expense(Expense::Other),
    };
    let usual = if takes_order { Purse::Platform } else { Purse::Cash };
    let purse = args.purse.map_or(usual, PurseWord::purse);
    let word =
        args.on.to_possible_value().map_or_else(String::new, |value| value.get_name().replace('-', " "));
    let way = if args.back { "given back on" } else { "spent on" };
    moved(&args.door, purse, movement, &args.note, &format!("{amount} {way} {word}"))
}

/// What money came in as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum IncomeWord {
    /// A venue paid out its balance
    Payout,
    /// Other income
    Other,
}

/// Options of `income`.
#[derive(Debug, Args)]
pub struct IncomeArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// How much
    #[arg(long)]
    amount: String,
    /// What it is
    #[arg(long = "as", value_enum)]
    what: IncomeWord,
    /// Where it went
    #[arg(long, value_enum, default_value = "cash")]
    into: PurseWord,
    /// Anything to remember
    #[arg(long, default_value = "")]
    note: String,
}

/// Enters money that came in apart from orders.
pub fn income(args: &IncomeArgs) -> Result<String, Stop> {
    let amount = money("--amount", &args.amount)?;
    let (movement, word) = match args.what {
        IncomeWord::Payout => (Movement::Payout { amount }, "paid out by the venue"),
        IncomeWord::Other => (Movement::OtherIncome { amount }, "other income"),
    };
    moved(&args.door, args.into.purse(), movement, &args.note, &format!("{amount} {word}"))
}

/// What a trip was for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum TripWord {
    /// Buying, posting and other business
    Business,
    /// From home to a regular place of work; doesn't count
    Commuting,
    /// Anything else; doesn't count
    Private,
}

/// Options of `trip`.
#[derive(Debug, Args)]
pub struct TripArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// How far, in miles
    #[arg(long)]
    miles: f64,
    /// Where and why ("post office", "haul at the parish hall")
    #[arg(long = "for", value_name = "PURPOSE")]
    purpose: String,
    /// What it counts as
    #[arg(long = "as", value_enum, default_value = "business")]
    counts: TripWord,
}

/// Enters a trip.
pub fn trip(args: &TripArgs) -> Result<String, Stop> {
    let hundredths = miles("--miles", args.miles)?;
    let (counts, word) = match args.counts {
        TripWord::Business => (TripUse::Business, "business"),
        TripWord::Commuting => (TripUse::Commuting, "commuting, which doesn't count"),
        TripWord::Private => (TripUse::Private, "private, which doesn't count"),
    };
    let movement = Movement::Trip { hundredths, purpose: args.purpose.clone(), counts };
    moved(
        &args.door,
        Purse::Cash,
        movement,
        "",
        &format!("{:.2} miles for {}, {word}", args.miles, args.purpose),
    )
}

/// Options of `put-in`.
#[derive(Debug, Args)]
pub struct PutInArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// How much
    #[arg(long)]
    amount: String,
    /// Where it goes
    #[arg(long, value_enum, default_value = "cash")]
    into: PurseWord,
}

/// Own money is put in.
pub fn put_in(args: &PutInArgs) -> Result<String, Stop> {
    let amount = money("--amount", &args.amount)?;
    moved(&args.door, args.into.purse(), Movement::OwnerPutIn { amount }, "", &format!("{amount} put in"))
}

/// Options of `take-out`.
#[derive(Debug, Args)]
pub struct TakeOutArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// How much
    #[arg(long)]
    amount: String,
    /// Where it is taken from
    #[arg(long, value_enum, default_value = "cash")]
    from: PurseWord,
    /// It only goes to another purse
    #[arg(long, value_enum)]
    to: Option<PurseWord>,
}

/// Money is taken out for oneself, or goes to another purse.
pub fn take_out(args: &TakeOutArgs) -> Result<String, Stop> {
    let amount: Money = money("--amount", &args.amount)?;
    let (movement, words) = match args.to {
        None => (Movement::OwnerTookOut { amount }, format!("{amount} taken out")),
        Some(to) => {
            (Movement::Transfer { to: to.purse(), amount }, format!("{amount} moved to another purse"))
        }
    };
    moved(&args.door, args.from.purse(), movement, "", &words)
}

/// Options of `take-back`.
#[derive(Debug, Args)]
pub struct TakeBackArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// The entry
    entry: u64,
    /// Why
    #[arg(long)]
    why: String,
}

/// An entry is taken back; both stay.
pub fn take_back(args: &TakeBackArgs) -> Result<String, Stop> {
    let (mut shop, when) = args.door.open()?;
    let anew = shop.take_back(&when.stamp(), EntryId(args.entry), when.day, &args.why).map_err(refused)?;
    let text = format!(
        "{}{}",
        demo_line(&shop)?,
        wrapped("", &format!("Entry {} is taken back by entry {anew}; both stay.", args.entry),)
    );
    args.door.written(Answer { text, json: json!({ "entry": args.entry, "taken_back_by": anew }) })
}
