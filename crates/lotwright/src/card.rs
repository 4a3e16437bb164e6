//! `lotwright card`: the listing of each of a find's lots, to copy.

use listing::{Card, Tables};
use trade::{Library, work_out};

use crate::args::CardArgs;
use crate::asked::asked;
use crate::problems::Stop;
use crate::words::wrapped;
use crate::worth_report;

/// Writes the cards.
pub fn card(args: &CardArgs) -> Result<String, Stop> {
    let library = Library::published();
    let mut asked = asked(&args.find, &library)?;
    asked.only_what_is_asked();
    let job = &asked.job;
    let outcome = work_out(job, &library, None, &|_| {}).map_err(Stop::input)?;
    let tables = Tables::published();
    let mut cards: Vec<(usize, Result<Card, trade::TradeError>)> = Vec::new();
    for ladder in &outcome.ladders {
        let worth = outcome.worths.get(ladder.listing.find).and_then(Option::as_ref);
        let card = trade::card(job, worth, ladder, &tables).and_then(|mut card| {
            if let Some(title) = &args.title {
                trade::check_title(&mut card, title, &job.market.venue)?;
            }
            Ok(card)
        });
        cards.push((ladder.listing.find, card));
    }
    if cards.is_empty() {
        return Err(Stop::input(
            "nothing is worth listing: no lot of it pays for its parcel; see: lotwright split",
        ));
    }
    if let (1, [(_, Err(why))]) = (cards.len(), cards.as_slice()) {
        return Err(match why {
            trade::TradeError::Title(why) => Stop::Input(format!("--title: {why}")),
            why => Stop::input(why),
        });
    }
    if args.find.json {
        let cards: Vec<worth_report::ListingCard> = cards
            .iter()
            .map(|(find, card)| worth_report::listing_card(&job.finds[*find].name, card.as_ref()))
            .collect();
        return worth_report::written(&cards);
    }
    let texts: Vec<String> = cards
        .iter()
        .map(|(find, card)| match card {
            Ok(card) => card.text(),
            Err(why) => wrapped("! ", &format!("{}: no card: {why}", job.finds[*find].name)),
        })
        .collect();
    Ok(texts.join(&format!("\n{}\n\n", "-".repeat(crate::words::WIDTH))) + "\n")
}
