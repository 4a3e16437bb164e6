//! What a shelf check rests on beneath what is typed: the person's settings, rate cards and venues.

use jiff::civil::Date;
use shelfcheck::{Usual, UsualVenue};
use shop::{Shop, Venue};

use crate::card_days::card_days;
use crate::find_records::EmptySheet;
use crate::{Stop, venue_terms};

/// What a shelf check rests on from a day on: the sheet of that day, and one for each later day with another rate card.
///
/// # Errors
/// When the file can't be read, or its settings make no job sheet.
pub fn shelf_usual(shop: &Shop, day: Date) -> Result<Usual, Stop> {
    let EmptySheet { table, own, .. } = EmptySheet::read(shop, day)?;
    let mut out = Usual::default();
    let later = card_days(shop)?.into_iter().map(|one| one.from).filter(|from| *from > day);
    for from in std::iter::once(day).chain(later) {
        let mut sheet = table.clone();
        // The day is told with the question.
        if let Some(post) = sheet.get_mut("post").and_then(toml::Value::as_table_mut) {
            post.remove("date");
        }
        own.put(&mut sheet, from)?;
        out.texts.extend(own.texts_of(&sheet));
        out.sheets.push((from, sheet));
    }
    for (_, venue) in shop.noted::<Venue>()? {
        let known = venue_terms(&venue).and_then(|_| own.venues.named(&venue.name));
        let known = known.map(|(id, text)| UsualVenue { id, text });
        if let Some(one) = &known
            && let Some(bytes) = own.file(&one.text)
        {
            out.texts.insert(one.text.clone(), String::from_utf8_lossy(&bytes).into_owned());
        }
        out.venues.insert(measure::plain(&venue.name), known);
    }
    Ok(out)
}
