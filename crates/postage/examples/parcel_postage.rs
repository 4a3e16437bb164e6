//! Postage of one parcel from ZIP 453 to five places on the published card.

use jiff::civil::date;
use measure::{Length, Mass, Units};
use postage::{ParcelFacts, RateCard, ZoneFinder};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let parcel = ParcelFacts {
        outside: [12.4, 12.4, 8.7].map(Length::from_inches),
        gross: Mass::read("5 lb 3 oz", None)?,
        rectangular: true,
    };
    let card = RateCard::by_id("ground_advantage_commercial").ok_or("the card comes with the program")?;
    let zones = ZoneFinder::published();
    println!("{}, {} packed", card.service(), parcel.gross.write(Units::UsCustomary));
    println!("{}", card.check_line().unwrap_or("Check against the official list."));
    for to in ["100", "303", "606", "802", "981"] {
        let zone = zones.zone("453", to)?.zone;
        let quote = card.quote(&parcel, zone, date(2026, 11, 25))?;
        println!("453 to {to}: {zone}, bills as {}, {}", quote.billed_row, quote.total);
        for caution in &quote.cautions {
            println!("  ! {caution}");
        }
    }
    Ok(())
}
