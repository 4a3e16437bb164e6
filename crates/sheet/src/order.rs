//! Orders over several finds.

use trade::MixedOrder;

use crate::entry::Entry;
use crate::find::NamedFind;
use crate::nearest::suggestion;
use crate::section::Section;
use crate::told::{Problems, Told, quoted};

/// Most orders of one sheet.
const MOST_ORDERS: usize = 50;
const RIGHT: &str = "[[order]] with name = \"cups and pitcher\" and lots = { \"cups\" = 1, \"pitcher\" = 1 }";
const RIGHT_LOTS: &str = "lots = { \"cups\" = 1, \"pitcher\" = 1 }";

/// Reads every `[[order]]`; a sheet may have none.
pub(crate) fn orders(
    sheet: &mut Section<'_, '_>,
    finds: &Result<Vec<NamedFind>, Told>,
    problems: &mut Problems<'_>,
) -> Result<Vec<MixedOrder>, Told> {
    let Some(entry) = sheet.take("order") else { return Ok(Vec::new()) };
    let sections = entry.sections(MOST_ORDERS, RIGHT, problems)?;
    let mut names = Vec::new();
    let orders: Vec<_> =
        sections.into_iter().map(|section| order(section, finds, &mut names, problems)).collect();
    orders.into_iter().collect()
}

fn order(
    mut section: Section<'_, '_>,
    finds: &Result<Vec<NamedFind>, Told>,
    names: &mut Vec<String>,
    problems: &mut Problems<'_>,
) -> Result<MixedOrder, Told> {
    let name = section
        .need("name", "name = \"cups and pitcher\"", problems)
        .and_then(|entry| order_name(&entry, names, problems));
    let lots = section
        .need("lots", RIGHT_LOTS, problems)
        .and_then(|entry| entry.section(RIGHT_LOTS, problems))
        .and_then(|lots| order_lots(&lots, finds, problems));
    section.close(problems);
    Ok(MixedOrder { name: name?, lots: lots? })
}

fn order_name(
    entry: &Entry<'_, '_>,
    names: &mut Vec<String>,
    problems: &mut Problems<'_>,
) -> Result<String, Told> {
    let name = entry.text("name = \"cups and pitcher\"", problems)?;
    if names.iter().any(|taken| taken == name) {
        let message = format!("two orders are called \"{}\"", quoted(name));
        return Err(entry.wrong(problems, message, "a name of its own for each order"));
    }
    names.push(name.to_owned());
    Ok(name.to_owned())
}

fn order_lots(
    lots: &Section<'_, '_>,
    finds: &Result<Vec<NamedFind>, Told>,
    problems: &mut Problems<'_>,
) -> Result<Vec<(usize, u32)>, Told> {
    // Finds that couldn't be read at all are told already; the order isn't blamed for them.
    let finds = finds.as_ref().map_err(|told| *told)?;
    let entries = lots.named_entries();
    if entries.is_empty() {
        return Err(problems.tell(lots.path(), lots.span(), "the order takes nothing", RIGHT_LOTS));
    }
    let read: Vec<_> = entries.iter().map(|(name, entry)| one(name, entry, finds, problems)).collect();
    read.into_iter().collect()
}

fn one(
    name: &str,
    entry: &Entry<'_, '_>,
    finds: &[NamedFind],
    problems: &mut Problems<'_>,
) -> Result<(usize, u32), Told> {
    let found = finds.iter().enumerate().find(|(_, find)| {
        // Blanks around a name are dropped on both sides.
        find.name.as_ref().is_ok_and(|known| known == name.trim())
    });
    let Some((index, named)) = found else {
        // A find whose own name is wrong may be the one that is meant here.
        let names: Vec<&str> = finds
            .iter()
            .map(|find| find.name.as_ref().map(String::as_str).map_err(|told| *told))
            .collect::<Result<_, _>>()?;
        let right = suggestion(name, names.iter().copied());
        let message = format!("no find is called \"{}\"", quoted(name));
        return Err(problems.tell(entry.path(), entry.key_span(), message, right));
    };
    let lots = named.find.as_ref().map(trade::Find::lots).map_err(|told| *told)?;
    let wanted = entry.whole(1..=crate::row::MOST_PIECES, "1", problems)?;
    if wanted > lots {
        let message =
            format!("the order takes {wanted} lots of \"{}\", which makes only {lots}", quoted(name));
        return Err(entry.wrong(problems, message, format!("at most {lots}")));
    }
    Ok((index, wanted))
}
