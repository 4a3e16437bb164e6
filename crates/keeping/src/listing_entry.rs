//! What entering a listing needs beside the listing: a title, the venue's number, pieces that are there.

use books::LotId;
use serde_json::json;
use shop::{ListingIn, ListingPart, Shop, Stamp, Venue, Which};

use crate::{Stop, waits};

/// The counts and descriptions of what one lot holds ("4 diner mugs and 4 saucers").
///
/// # Errors
/// When there is no such find.
pub fn listing_title(shop: &Shop, parts: &[ListingPart]) -> Result<String, Stop> {
    let named = parts.iter().map(|part| {
        let text = shop.find_text(part.find)?;
        Ok(format!("{} {}", part.pieces, text.description))
    });
    Ok(named.collect::<Result<Vec<_>, Stop>>()?.join(" and "))
}

/// The number of a venue by its name, where it is known.
///
/// # Errors
/// When the file can't be read.
pub fn known_venue(shop: &Shop, name: &str) -> Result<Option<u64>, Stop> {
    let known = shop.noted::<Venue>()?;
    let same = |one: &Venue| measure::plain(&one.name) == measure::plain(name);
    Ok(known.into_iter().find(|(_, one)| same(one)).map(|(number, _)| number))
}

/// Enters a listing, or one that is known as it is now. A venue that is new is noted with it, in one write. Gives its
/// number.
///
/// # Errors
/// When the file refuses the listing or the venue's name; nothing is stored then.
pub fn put_listing(
    shop: &mut Shop,
    stamp: &Stamp,
    listing: Option<LotId>,
    entered: ListingIn,
    venue: Option<&str>,
) -> Result<LotId, Stop> {
    let known = venue.map(|name| known_venue(shop, name)).transpose()?.flatten();
    let entered = ListingIn { venue: known.or(entered.venue.filter(|_| venue.is_none())), ..entered };
    let new = venue.filter(|_| known.is_none()).map(|name| Venue { name: name.to_owned(), terms: json!({}) });
    Ok(match (listing, new) {
        (None, None) => shop.list(stamp, &entered)?,
        (None, Some(venue)) => shop.list_at_new_venue(stamp, &entered, &venue)?,
        (Some(listing), None) => {
            shop.relist(stamp, listing, &entered)?;
            listing
        }
        (Some(listing), Some(venue)) => {
            shop.relist_at_new_venue(stamp, listing, &entered, &venue)?;
            listing
        }
    })
}

/// Checks that so many lots can be made of what is there and promised to nobody.
///
/// # Errors
/// Which find has too few pieces, and how many lots there could be.
pub fn pieces_suffice(shop: &Shop, parts: &[ListingPart], lots: u32) -> Result<(), Stop> {
    for part in parts {
        let fits = |flawed: bool| match part.which {
            Which::Sound => !flawed,
            Which::Flawed => flawed,
            Which::Any => true,
        };
        let pieces = shop.pieces(part.find)?;
        let there = pieces.iter().filter(|piece| waits(piece) && fits(piece.flawed)).count();
        let there = u32::try_from(there).unwrap_or(u32::MAX);
        if part.pieces.saturating_mul(lots) > there {
            let kind = match part.which {
                Which::Sound => "sound ",
                Which::Flawed => "flawed ",
                Which::Any => "",
            };
            let right = match there / part.pieces.max(1) {
                0 => format!("lots of at most {there} of it"),
                1 => String::from("1 lot"),
                lots => format!("at most {lots} lots"),
            };
            return Err(Stop::Input(format!(
                "{lots} lots take {} {kind}pieces of find {}, and {there} are free; right would be {right}",
                part.pieces.saturating_mul(lots),
                part.find
            )));
        }
    }
    Ok(())
}
