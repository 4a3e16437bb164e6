//! What a haul's form asks, and the haul that it says.

use books::{FlawedCarry, HaulId, Purse, SplitRule};
use jiff::civil::Date;
use keeping::Desk;
use measure::Money;
use shop::{FindText, HaulIn, NewFind, Shop};

use super::{Known, MOST_ROWS, ROWS};
use crate::day_and_purse::{day_or_today, purse, purse_field, purse_value};
use crate::form::{Choice, Field, Filled, Kind, Mistakes};
use crate::shopdoor::NoAnswer;

/// Most pieces of a find, as the shop file has it.
const MOST_PIECES: u32 = 100_000;

/// Rows for finds in the form that was sent.
pub(super) fn rows(filled: &Filled) -> u32 {
    filled.text("rows").and_then(|text| text.parse().ok()).unwrap_or(ROWS).clamp(1, MOST_ROWS)
}

pub(super) fn haul_fields(known: &Known) -> [Field; 8] {
    let places = Kind::Words { known: known.places.clone() };
    let nothing = Kind::OneOf(vec![
        Choice::new("share", "Carry their share of the cost"),
        Choice::new("nothing", "Carry none of it; the sound ones do"),
    ]);
    [
        Field::needed("place", "Where", "A name you know it by.", places),
        Field::needed("date", "Day", "As in 2026-03-07.", Kind::Code),
        Field::needed("paid", "Paid for the goods", "Without tax. 7.00", Kind::Money),
        Field::optional("tax", "Tax on them", "Left out, they were bought exempt for resale.", Kind::Money),
        purse_field("purse", "Paid with", Purse::Cash),
        Field::optional(
            "miles",
            "Miles driven for it",
            "There and back; entered as a business trip.",
            Kind::Code,
        ),
        Field::needed("flawed-carry", "Flawed pieces", "", nothing),
        Field::optional("note", "Anything to remember", "", Kind::Words { known: Vec::new() }),
    ]
}

pub(super) fn find_fields(row: u32, known: &Known) -> [Field; 6] {
    let name = |name: &str| format!("{name}-{row}");
    let forms = Kind::Words { known: known.forms.clone() };
    let words = || Kind::Words { known: Vec::new() };
    // A haul holds one find at least; further rows may stay empty.
    let form = Field::needed(&name("form"), "What they are", "Their form: mug, plate, goblet.", forms);
    let count = Field::needed(&name("count"), "How many", "Flawed ones among them.", Kind::Whole);
    [
        Field { optional: row > 1, ..form },
        Field::optional(&name("called"), "In your words", "Left out, the name of the form.", words()),
        Field { optional: row > 1, ..count },
        Field::optional(&name("flawed"), "Flawed", "Chipped, cracked, crazed.", Kind::Whole),
        Field::optional(
            &name("worth"),
            "Worth all together",
            "What they should sell for: the cost is split by it.",
            Kind::Money,
        ),
        Field::optional(&name("shelf"), "Place on the shelf", "B2", words()),
    ]
}

/// The place and the haul; `None` with the mistakes told.
pub(super) fn read(
    filled: &Filled,
    desk: &Desk,
    today: Date,
    mistakes: &mut Mistakes,
) -> Option<(String, HaulIn)> {
    let place =
        filled.needed("place", "where it was bought is missing; right would be: parish hall", mistakes);
    let place = place.map(ToOwned::to_owned);
    let date = day_or_today(filled, "date", today, mistakes);
    let paid = filled.money("paid", mistakes);
    if filled.text("paid").is_none() {
        mistakes.add("paid", "what the goods cost is missing; right would be: 7.00, or 0 for a gift");
    }
    let tax = filled.money("tax", mistakes);
    let miles = miles(filled, mistakes);
    let purse = purse(filled, "purse", Purse::Cash, mistakes);
    let finds: Vec<NewFind> =
        (1..=rows(filled)).filter_map(|row| find(filled, row, desk, mistakes)).collect();
    if finds.is_empty() && mistakes.is_empty() {
        mistakes.add("form-1", "no find is told; right would be at least one: what they are and how many");
    }
    if !mistakes.is_empty() {
        return None;
    }
    let has_value = finds.iter().any(|find| find.value > Money::ZERO);
    let nothing = filled.text("flawed-carry") == Some("nothing");
    let haul = HaulIn {
        place: None,
        date: date?,
        paid: paid?,
        tax,
        freight: Money::ZERO,
        split: if has_value { SplitRule::ByValue } else { SplitRule::PerPiece },
        flawed_carry: if nothing { FlawedCarry::Nothing } else { FlawedCarry::Share },
        purse,
        freight_purse: purse,
        miles_hundredths: miles.unwrap_or(0),
        note: filled.text("note").unwrap_or_default().to_owned(),
        finds,
    };
    Some((place?, haul))
}

fn miles(filled: &Filled, mistakes: &mut Mistakes) -> Option<u32> {
    let text = filled.text("miles")?;
    let read = crate::quantities::miles(text);
    if read.is_none() {
        let wrong = format!("\"{}\" is no number of miles; right would be: 12.5", crate::form::short(text));
        mistakes.add("miles", wrong);
    }
    read.map(books::Miles::hundredths)
}

fn find(filled: &Filled, row: u32, desk: &Desk, mistakes: &mut Mistakes) -> Option<NewFind> {
    let name = |name: &str| format!("{name}-{row}");
    let told = ["form", "called", "count", "flawed", "worth", "shelf"];
    if told.iter().all(|field| filled.text(&name(field)).is_none()) {
        return None;
    }
    let form = filled.needed(&name("form"), "what they are is missing; right would be: diner mug", mistakes);
    let form = form.and_then(|text| match desk.forms.find(text) {
        Ok(form) => Some(form),
        Err(why) => {
            mistakes.add(&name("form"), why.to_string());
            None
        }
    });
    let count = filled.whole(&name("count"), 1..=MOST_PIECES, mistakes);
    if filled.text(&name("count")).is_none() {
        mistakes.add(&name("count"), "how many there are is missing; right would be: 6");
    }
    let flawed = filled.whole(&name("flawed"), 0..=MOST_PIECES, mistakes).unwrap_or(0);
    let value = filled.money(&name("worth"), mistakes).unwrap_or(Money::ZERO);
    let (form, count) = (form?, count?);
    let Some(sound) = count.checked_sub(flawed) else {
        mistakes
            .add(&name("flawed"), format!("more are flawed than there are; right would be at most {count}"));
        return None;
    };
    let called = filled.text(&name("called")).map(ToOwned::to_owned);
    let text = FindText {
        form: form.id.clone(),
        description: called
            .unwrap_or_else(|| if count == 1 { form.name.clone() } else { measure::plural(&form.name) }),
        shelf: filled.text(&name("shelf")).unwrap_or_default().to_owned(),
    };
    Some(NewFind { text, sound, flawed, value })
}

/// A haul as its form says it.
pub(super) fn told(shop: &mut Shop, desk: &Desk, number: HaulId) -> Result<Filled, NoAnswer> {
    let haul = shop.books()?.haul(number).map_err(shop::ShopError::from)?.clone();
    let before = shop.haul_entered(number)?;
    let record = haul.record();
    let carry = match record.flawed {
        FlawedCarry::Share => "share",
        FlawedCarry::Nothing => "nothing",
    };
    let rows = haul.finds().len().to_string();
    let mut filled = Filled::default()
        .with("place", record.place.clone())
        .with("date", record.date.to_string())
        .with("paid", record.paid.to_string())
        .with("purse", purse_value(before.purse))
        .with("flawed-carry", carry)
        .with("note", before.note)
        .with("rows", rows);
    if let Some(tax) = before.tax {
        filled = filled.with("tax", tax.to_string());
    }
    if before.miles_hundredths > 0 {
        filled = filled.with("miles", (f64::from(before.miles_hundredths) / 100.0).to_string());
    }
    for (row, basis) in (1..).zip(haul.finds()) {
        let find = basis.find();
        let text = shop.find_text(find.id)?;
        let form = desk.forms.find(&text.form).map_or(text.form.clone(), |form| form.name.clone());
        filled = filled
            .with(&format!("form-{row}"), form)
            .with(&format!("called-{row}"), text.description)
            .with(&format!("count-{row}"), basis.pieces().to_string())
            .with(&format!("shelf-{row}"), text.shelf);
        if find.flawed > 0 {
            filled = filled.with(&format!("flawed-{row}"), find.flawed.to_string());
        }
        if find.value > Money::ZERO {
            filled = filled.with(&format!("worth-{row}"), find.value.to_string());
        }
    }
    Ok(filled)
}
