//! `lotwright haul`: what was bought.

use books::{FlawedCarry, HaulId, SplitRule};
use clap::{Args, ValueEnum};
use measure::Money;
use serde_json::json;
use shop::{HaulIn, Shop};

use super::door::{Answer, Where, demo_line, refused};
use super::find_told::find_told;
use super::typed::{PurseWord, miles, money};
use crate::problems::Stop;
use crate::words::{plural, table, wrapped};

/// Options of `haul`.
#[derive(Debug, Args)]
pub struct HaulArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// Where it was bought
    #[arg(long)]
    place: Option<String>,
    /// Paid for the goods, without tax
    #[arg(long, value_name = "AMOUNT")]
    paid: Option<String>,
    /// Tax on them; left out, they were exempt
    #[arg(long, value_name = "AMOUNT")]
    tax: Option<String>,
    /// Paid to bring the goods in
    #[arg(long, value_name = "AMOUNT", default_value = "0")]
    freight: String,
    /// Miles driven for it; entered as a business trip
    #[arg(long)]
    miles: Option<f64>,
    /// A find: "14 consomme_cup 'cups' worth 60 at shelf B2, 1 flawed"; may be given many times
    #[arg(long, value_name = "FIND")]
    find: Vec<String>,
    /// How the cost is split over the finds; by value where a find has one
    #[arg(long, value_enum)]
    split: Option<SplitWord>,
    /// Flawed pieces carry no cost; the sound ones of their find carry it
    #[arg(long)]
    flawed_carry_nothing: bool,
    /// What paid
    #[arg(long, value_enum, default_value = "cash")]
    purse: PurseWord,
    /// Anything to remember
    #[arg(long, default_value = "")]
    note: String,
    /// Enter this haul anew, as long as nothing of it has left the shelf
    #[arg(long, value_name = "HAUL")]
    amend: Option<u64>,
    /// List the hauls
    #[arg(long)]
    list: bool,
}

/// How a cost is split.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SplitWord {
    /// By what the finds were expected to sell for
    ByValue,
    /// Equally per piece
    PerPiece,
}

/// Brings in a haul, or lists them.
pub fn haul(args: &HaulArgs) -> Result<String, Stop> {
    if args.list {
        return args.door.written(hauls(&args.door)?);
    }
    let told = read(args)?;
    let (mut shop, when, made) = args.door.open_or_make()?;
    let stamp = when.stamp();
    let haul = HaulIn { date: when.day, ..told };
    let named = args.place.as_deref().unwrap_or_default();
    let number = match args.amend {
        None => shop.bring_in(&stamp, named, &haul).map_err(refused)?.haul,
        Some(number) => {
            shop.amend_haul_at(&stamp, HaulId(number), when.day, named, &haul).map_err(refused)?;
            HaulId(number)
        }
    };
    let begun =
        if made { format!("Began the shop file {}.\n", shop.path().display()) } else { String::new() };
    let mut answer = shown(&mut shop, number)?;
    answer.text = format!("{begun}{}", answer.text);
    args.door.written(answer)
}

fn read(args: &HaulArgs) -> Result<HaulIn, Stop> {
    let missing = |option: &str, what: &str, right: &str| {
        Stop::Input(format!("{option} is missing: {what}; right would be: {option} {right}"))
    };
    let paid = args.paid.as_deref().ok_or_else(|| missing("--paid", "what the goods cost", "7.00"))?;
    if args.place.as_deref().is_none_or(|place| place.trim().is_empty()) {
        return Err(missing("--place", "where it was bought", "\"parish hall\""));
    }
    if args.find.is_empty() {
        return Err(missing("--find", "what was bought", "\"14 consomme_cup 'cups' worth 60 at shelf B2\""));
    }
    let catalogue = forms::Catalogue::published();
    let finds = args.find.iter().map(|text| find_told("--find", text, &catalogue));
    let finds = finds.collect::<Result<Vec<_>, _>>()?;
    let none_has_value = finds.iter().all(|find| find.value == Money::ZERO);
    let split = match args.split {
        Some(SplitWord::ByValue) => SplitRule::ByValue,
        Some(SplitWord::PerPiece) => SplitRule::PerPiece,
        None if none_has_value => SplitRule::PerPiece,
        None => SplitRule::ByValue,
    };
    Ok(HaulIn {
        place: None,
        date: jiff::civil::Date::ZERO,
        paid: money("--paid", paid)?,
        tax: args.tax.as_deref().map(|text| money("--tax", text)).transpose()?,
        freight: money("--freight", &args.freight)?,
        split,
        flawed_carry: if args.flawed_carry_nothing { FlawedCarry::Nothing } else { FlawedCarry::Share },
        purse: args.purse.purse(),
        freight_purse: args.purse.purse(),
        miles_hundredths: args.miles.map_or(Ok(0), |figure| miles("--miles", figure))?,
        note: args.note.clone(),
        finds,
    })
}

/// A haul with its finds and what they carry.
fn shown(shop: &mut Shop, number: HaulId) -> Result<Answer, Stop> {
    let demo = demo_line(shop)?;
    let books = shop.books().map_err(refused)?;
    let Some(haul) = books.hauls().find(|haul| haul.id() == number).cloned() else {
        return Err(Stop::Input(format!("there is no haul {number}; see: lotwright haul --list")));
    };
    let (mut rows, mut finds) = (Vec::new(), Vec::new());
    for basis in haul.finds() {
        let find = basis.find();
        let text = shop.find_text(find.id).map_err(refused)?;
        let pieces = basis.pieces();
        rows.push(vec![
            find.id.to_string(),
            pieces.to_string(),
            basis.total().to_string(),
            text.shelf.clone(),
            text.description.clone(),
        ]);
        finds.push(json!({
            "find": find.id.0, "form": text.form, "description": text.description, "shelf": text.shelf,
            "sound": find.sound, "flawed": find.flawed, "value_cents": find.value.cents(),
            "basis_cents": basis.total().cents(),
        }));
    }
    let record = haul.record();
    let cost: Money = haul.finds().iter().map(books::FindBasis::total).sum();
    let rule = match record.split {
        SplitRule::ByValue => "by expected value",
        SplitRule::PerPiece => "equally per piece",
    };
    let like = shop.hauls_like(number).map_err(refused)?;
    let twice = match like.as_slice() {
        [] => String::new(),
        others => {
            let named: Vec<String> = others.iter().map(|one| format!("haul {one}")).collect();
            let has = if others.len() == 1 { "has" } else { "have" };
            let same = format!(
                "{} {has} the same day, place and money. Entered twice, a haul counts twice; one of them becomes another \
                 with: lotwright haul --amend {number}",
                named.join(", ")
            );
            format!("{}\n", wrapped("! ", &same))
        }
    };
    let head = wrapped(
        "",
        &format!(
            "Haul {number}: {} at {}, {cost} with tax and freight, split {rule}.",
            record.date, record.place
        ),
    );
    let text = format!("{demo}{head}\n{twice}{}", table(&["find", "pieces", "cost", "shelf", "what"], &rows));
    let json = json!({
        "haul": number.0, "date": record.date.to_string(), "place": record.place,
        "paid_cents": record.paid.cents(), "cost_cents": cost.cents(), "finds": finds,
        "like": like.iter().map(|one| one.0).collect::<Vec<u64>>(),
    });
    Ok(Answer { text, json })
}

fn hauls(door: &Where) -> Result<Answer, Stop> {
    let (mut shop, _) = door.open()?;
    let demo = demo_line(&shop)?;
    let (mut rows, mut list) = (Vec::new(), Vec::new());
    for haul in shop.books().map_err(refused)?.hauls() {
        let record = haul.record();
        let cost: Money = haul.finds().iter().map(books::FindBasis::total).sum();
        let pieces: u32 = haul.finds().iter().map(books::FindBasis::pieces).sum();
        let finds = u32::try_from(haul.finds().len()).unwrap_or(u32::MAX);
        rows.push(vec![
            haul.id().to_string(),
            record.date.to_string(),
            pieces.to_string(),
            cost.to_string(),
            format!("{}, {}", record.place, plural(finds, "find")),
        ]);
        list.push(json!({
            "haul": haul.id().0, "date": record.date.to_string(), "place": record.place,
            "pieces": pieces, "finds": finds, "cost_cents": cost.cents(),
        }));
    }
    let text = format!("{demo}{}", table(&["haul", "date", "pieces", "cost", "where"], &rows));
    Ok(Answer { text, json: json!(list) })
}
