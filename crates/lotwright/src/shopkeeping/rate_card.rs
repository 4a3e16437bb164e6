//! `lotwright rate-card`: rate cards of your own.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use keeping::{CardTexts, card_of, put_card, strike_card};
use measure::Units;
use serde_json::{Value, json};
use shop::{RateCardText, Shop};

use super::door::{Answer, Where, demo_line, refused};
use crate::problems::Stop;
use crate::words::{table, wrapped};

/// Options of `rate-card`.
#[derive(Debug, Args)]
pub struct RateCardArgs {
    /// Which file, and when.
    #[command(flatten)]
    door: Where,
    /// What to do; left out, your cards
    #[command(subcommand)]
    what: Option<RateCardCommand>,
}

/// What to do with a rate card.
#[derive(Debug, Subcommand)]
enum RateCardCommand {
    /// Take a card in, or take it in anew; it is read first
    Add {
        /// Its rules (TOML)
        #[arg(long, value_name = "FILE")]
        rules: PathBuf,
        /// Its prices (CSV)
        #[arg(long, value_name = "FILE")]
        prices: PathBuf,
        /// What it adds for some days or parcels (CSV)
        #[arg(long, value_name = "FILE")]
        additions: Option<PathBuf>,
        /// Its name; left out, the card's own id
        #[arg(long)]
        name: Option<String>,
    },
    /// Show a card
    Show {
        /// Its name
        name: String,
    },
    /// Strike a card out
    Strike {
        /// Its name
        name: String,
    },
}

/// Takes in, shows or strikes rate cards.
pub fn rate_card(args: &RateCardArgs) -> Result<String, Stop> {
    match &args.what {
        None => {
            let (shop, _) = args.door.open()?;
            args.door.written(cards(&shop)?)
        }
        Some(RateCardCommand::Add { rules, prices, additions, name }) => {
            let texts = CardTexts {
                rules: text("--rules", rules)?,
                prices: text("--prices", prices)?,
                additions: additions.as_deref().map(|path| text("--additions", path)).transpose()?,
            };
            let (mut shop, when, _) = args.door.open_or_make()?;
            put_card(&mut shop, &when.stamp(), name.as_deref(), &texts)?;
            args.door.written(cards(&shop)?)
        }
        Some(RateCardCommand::Show { name }) => {
            let (shop, _) = args.door.open()?;
            args.door.written(shown(&shop, &must(&shop, name)?.1)?)
        }
        Some(RateCardCommand::Strike { name }) => {
            let (mut shop, when) = args.door.open()?;
            let (number, _) = must(&shop, name)?;
            strike_card(&mut shop, &when.stamp(), number)?;
            args.door.written(cards(&shop)?)
        }
    }
}

fn text(option: &str, path: &Path) -> Result<String, Stop> {
    std::fs::read_to_string(path).map_err(|e| Stop::Input(format!("{option} {}: {e}", path.display())))
}

fn must(shop: &Shop, name: &str) -> Result<(u64, RateCardText), Stop> {
    let known = shop.noted::<RateCardText>().map_err(refused)?;
    known
        .into_iter()
        .find(|(_, one)| one.name == name.trim())
        .ok_or_else(|| Stop::Input(format!("there is no rate card \"{name}\"; see: lotwright rate-card")))
}

fn cards(shop: &Shop) -> Result<Answer, Stop> {
    let all = shop.noted::<RateCardText>().map_err(refused)?;
    let (mut rows, mut list) = (Vec::new(), Vec::new());
    for (_, one) in &all {
        let (service, days) = match card_of(one) {
            Ok(card) => {
                let to = card.effective_to().map_or_else(String::new, |day| format!(" to {day}"));
                (card.service().to_owned(), format!("from {}{to}", card.effective_from()))
            }
            Err(_) => (String::from("can't be read"), String::from("-")),
        };
        list.push(json!({ "name": one.name, "service": service, "days": days }));
        rows.push(vec![one.name.clone(), service, days]);
    }
    let body = if rows.is_empty() {
        wrapped(
            "",
            "No rate cards of your own. Take one in: lotwright rate-card add --rules FILE --prices FILE, and plan \
             by it: lotwright setting --name post.card --value NAME.",
        )
    } else {
        table(&["card", "service", "holds"], &rows)
    };
    Ok(Answer { text: format!("{}{body}", demo_line(shop)?), json: Value::from(list) })
}

fn shown(shop: &Shop, record: &RateCardText) -> Result<Answer, Stop> {
    let card = card_of(record)?;
    let to = card.effective_to().map_or_else(|| String::from("further notice"), |day| day.to_string());
    let limit = card.weight_limit().write(Units::UsCustomary);
    let mut out = vec![
        format!("{}Rate card {}: {}, {}", demo_line(shop)?, record.name, card.service(), card.class()),
        wrapped("  ", &format!("holds from {} until {to}; parcels up to {limit}", card.effective_from())),
        wrapped("  ", &format!("source: {}", card.source())),
    ];
    out.extend(card.warnings().iter().map(|one| wrapped("  ~ ", one)));
    let json = json!({
        "name": record.name, "id": card.id(), "service": card.service(), "class": card.class(),
        "from": card.effective_from().to_string(), "to": card.effective_to().map(|day| day.to_string()),
        "limit_g": card.weight_limit().grams(), "source": card.source(), "warnings": card.warnings(),
    });
    Ok(Answer { text: out.join("\n"), json })
}
