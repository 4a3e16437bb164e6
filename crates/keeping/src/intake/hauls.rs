//! Hauls from a table: one row a find.
//!
//! What was paid, tax and freight are added up over the rows of a haul; date and place may stand on one row or on
//! all, but not differ. The cost is split by worth where any find has one, else equally per piece.

use books::{FlawedCarry, Purse, SplitRule};
use forms::Catalogue;
use measure::Money;
use shop::{FindText, HaulIn, ImportContent, ImportItem, NewFind};

use super::LeftOut;
use super::cell::{DateOrder, amount, day, whole};
use super::columns::Told;
use super::grouped::{Member, groups, leave_out, one_needed};

const WORD: &str = "haul";

struct Find {
    find: NewFind,
    paid: Option<Money>,
    tax: Option<Money>,
    freight: Option<Money>,
}

/// What was read: the hauls, oldest first, and how many repeat what was paid on each of their rows.
pub(super) struct Read {
    pub(super) items: Vec<ImportItem>,
    pub(super) repeating: usize,
}

pub(super) fn hauls(
    rows: &[Told<'_>],
    dates: Option<DateOrder>,
    forms: &Catalogue,
    left_out: &mut Vec<LeftOut>,
) -> Read {
    let read = |row: &Told<'_>| -> Result<Find, String> {
        let money = |column: &str| row.given(column).map(|text| amount(column, text)).transpose();
        let form = row.needed("form", "what the pieces are, such as diner mug")?;
        let form = forms.find(form).map_err(|error| format!("form: {error}"))?;
        let count = whole("count", row.text("count"), 1)?;
        let flawed = row.given("flawed").map_or(Ok(0), |text| whole("flawed", text, 0))?;
        let Some(sound) = count.checked_sub(flawed) else {
            return Err(format!(
                "flawed can't be {flawed} of {count}; right would be at most as many as count"
            ));
        };
        let called = || if count == 1 { form.name.clone() } else { measure::plural(&form.name) };
        let text = FindText {
            form: form.id.clone(),
            description: Some(row.line("description")).filter(|text| !text.is_empty()).unwrap_or_else(called),
            shelf: row.line("shelf"),
        };
        let find = NewFind { text, sound, flawed, value: money("worth")?.unwrap_or_default() };
        Ok(Find { find, paid: money("paid")?, tax: money("tax")?, freight: money("freight")? })
    };
    let (mut items, mut repeating) = (Vec::new(), 0);
    for (number, members) in groups(WORD, rows, read, left_out) {
        let lines: Vec<u64> = members.iter().map(|member| member.told.row.line).collect();
        match haul(&members, dates) {
            Ok((haul, place)) => {
                let first = members.first().and_then(|member| member.read.paid);
                let same = members.iter().all(|member| member.read.paid == first);
                repeating += usize::from(members.len() > 1 && same && first > Some(Money::ZERO));
                let content = ImportContent::Haul(Box::new(haul), place);
                items.push(ImportItem { external: format!("{WORD} {number}"), lines, content });
            }
            Err(wrong) => leave_out(&format!("{WORD} {number}"), &lines, &[wrong], left_out),
        }
    }
    let date = |item: &ImportItem| match &item.content {
        ImportContent::Haul(haul, _) => Some(haul.date),
        ImportContent::Order(..)
        | ImportContent::Place(_)
        | ImportContent::Comp(_)
        | ImportContent::Money(_) => None,
    };
    items.sort_by(|a, b| (date(a), &a.external).cmp(&(date(b), &b.external)));
    Read { items, repeating }
}

fn haul(members: &[Member<'_, Find>], dates: Option<DateOrder>) -> Result<(HaulIn, String), (u64, String)> {
    let first = members.first().map_or(0, |member| member.told.row.line);
    let date = day("date", one_needed(WORD, members, "date")?, dates).map_err(|why| (first, why))?;
    let place = one_needed(WORD, members, "place")?.replace(['\n', '\r'], " ");
    // What was paid must be said, be it 0.
    let _ = members.iter().find_map(|member| member.read.paid).ok_or_else(|| {
        (first, String::from("paid is empty; right would be what the goods cost, on a row of the haul, or 0"))
    })?;
    let sum = |of: fn(&Find) -> Option<Money>| members.iter().filter_map(move |member| of(&member.read));
    let finds: Vec<NewFind> = members.iter().map(|member| member.read.find.clone()).collect();
    let valued = finds.iter().any(|find| find.value > Money::ZERO);
    let taxed = sum(|find| find.tax).next().is_some();
    let haul = HaulIn {
        place: None,
        date,
        paid: sum(|find| find.paid).sum(),
        tax: taxed.then(|| sum(|find| find.tax).sum()),
        freight: sum(|find| find.freight).sum(),
        split: if valued { SplitRule::ByValue } else { SplitRule::PerPiece },
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds,
    };
    Ok((haul, place))
}
