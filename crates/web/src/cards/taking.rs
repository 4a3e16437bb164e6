//! Taking a card of one's own in, or taking it in anew.

use axum::extract::{Path, State};
use axum::response::Response;
use keeping::{CardTexts, Stop, card_texts, read_card};
use maud::{Markup, html};
use shop::{RateCardText, Record, Shop};

use super::sent::Sent;
use crate::App;
use crate::form::{Field, Filled, Kind, Mistakes, draw, once_field};
use crate::record_page::checked;
use crate::shopdoor::NoAnswer;

/// Longest name of a card, characters (judgement).
const LONGEST_NAME: usize = 100;
/// What is said when another window was quicker.
const CHANGED: &str = "This card was taken in anew while you had it open, and nothing was stored";

/// A card that is there: its number, its record, and the number of the last thing that happened to it.
struct Known {
    number: u64,
    record: RateCardText,
    last: String,
}

pub(super) async fn ask(State(app): State<App>) -> Response {
    match app.read_shop(|_, _| Ok(())).await {
        Ok(()) => page(&app, None, &Filled::default(), &Mistakes::default()),
        Err(page) => page,
    }
}

pub(super) async fn ask_anew(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match known(&app, number).await {
        Ok(known) => {
            let texts = card_texts(&known.record);
            let filled = Filled::default()
                .with("rules", texts.rules)
                .with("prices", texts.prices)
                .with("additions", texts.additions.unwrap_or_default())
                .with("seen", known.last.clone());
            page(&app, Some(&known), &filled, &Mistakes::default())
        }
        Err(page) => page,
    }
}

async fn known(app: &App, number: u64) -> Result<Known, Response> {
    app.read_shop(move |shop, _| {
        Ok(Known { number, record: shop.noted_one(number)?, last: newest(shop, number)? })
    })
    .await
}

/// The number of the last thing that happened to a card.
pub(super) fn newest(shop: &Shop, number: u64) -> Result<String, NoAnswer> {
    let history = shop.history(Record::RateCard, number)?;
    Ok(history.last().map_or_else(String::new, |row| row.event.0.to_string()))
}

/// Reads a card as it was sent; a text that is wrong is a mistake of its field.
fn read(filled: &Filled, mistakes: &mut Mistakes) -> Option<CardTexts> {
    filled.needed("rules", "The rules are missing: paste them, or choose their file", mistakes);
    filled.needed("prices", "The prices are missing: paste them, or choose their file", mistakes);
    if !mistakes.is_empty() {
        return None;
    }
    // Browsers send two letters for the end of a line, and the readers count lines.
    let text = |field: &str| filled.typed(field).replace("\r\n", "\n");
    let texts = CardTexts {
        rules: text("rules"),
        prices: text("prices"),
        additions: filled.text("additions").map(|_| text("additions")),
    };
    match read_card(&texts) {
        Ok(_) => Some(texts),
        Err(wrong) => {
            mistakes.add(wrong.part, format!("The card can't be read: {}", wrong.message));
            None
        }
    }
}

pub(super) async fn take(State(app): State<App>, sent: Sent) -> Response {
    let Sent { filled, mut mistakes } = sent;
    let name = filled.text("name").map(str::to_owned);
    let length = name.as_deref().unwrap_or("").chars().count();
    if length > LONGEST_NAME {
        mistakes
            .add("name", format!("{length} characters are too many; right would be at most {LONGEST_NAME}"));
    }
    let texts = read(&filled, &mut mistakes);
    if let (Some(texts), true) = (texts, mistakes.is_empty()) {
        let stored = app
            .write_shop(&filled, "name", "/rate-cards", &mut mistakes, move |shop, _, stamp| {
                let called = match &name {
                    Some(name) => name.clone(),
                    None => read_card(&texts).map_err(|wrong| Stop::Input(wrong.message))?.id().to_owned(),
                };
                if numbered(shop, &called)?.is_some() {
                    return Err(NoAnswer::Stop(Stop::Input(format!(
                        "there is a card \"{called}\" already; right would be another name, or to take that one in anew on its page"
                    ))));
                }
                if keeping::RateCard::by_id(&called).is_some() {
                    return Err(NoAnswer::Stop(Stop::Input(format!(
                        "\"{called}\" is a card that comes with the program; right would be a name of your own, such as my-card"
                    ))));
                }
                keeping::put_card(shop, stamp, Some(&called), &texts)?;
                let number = numbered(shop, &called)?;
                Ok(number.map_or_else(|| String::from("/rate-cards"), |number| format!("/rate-cards/own/{number}")))
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    page(&app, None, &filled, &mistakes)
}

fn numbered(shop: &Shop, name: &str) -> Result<Option<u64>, NoAnswer> {
    let all = shop.noted::<RateCardText>()?.into_iter();
    Ok(all.into_iter().find(|(_, one)| one.name == name).map(|(number, _)| number))
}

pub(super) async fn take_anew(State(app): State<App>, Path(number): Path<u64>, sent: Sent) -> Response {
    let Sent { mut filled, mut mistakes } = sent;
    let before = match known(&app, number).await {
        Ok(known) => known,
        Err(page) => return page,
    };
    let texts = read(&filled, &mut mistakes);
    if let (Some(texts), true) = (texts, mistakes.is_empty()) {
        let back = format!("/rate-cards/own/{number}");
        let (done, since) = (back.clone(), filled.text("seen").unwrap_or("").to_owned());
        let stored = app
            .write_shop(&filled, "", &back, &mut mistakes, move |shop, _, stamp| {
                let record: RateCardText = shop.noted_one(number)?;
                if newest(shop, number)? != since {
                    return Err(NoAnswer::Stop(Stop::input(CHANGED)));
                }
                keeping::put_card(shop, stamp, Some(&record.name), &texts)?;
                Ok(done)
            })
            .await;
        if let Some(done) = stored {
            return done;
        }
    }
    if mistakes.iter().any(|(_, message)| message == CHANGED) {
        mistakes = Mistakes::default();
        mistakes.add(
            "",
            format!(
                "{CHANGED}. What you typed is kept: look at the card, and store this again if it still holds"
            ),
        );
        let now = match known(&app, number).await {
            Ok(now) => now,
            Err(page) => return page,
        };
        filled = filled.with("seen", now.last);
    }
    page(&app, Some(&before), &filled, &mistakes)
}

/// A text of the card: where it is pasted, and where its file is chosen.
fn text(field: &Field, filled: &Filled, mistakes: &Mistakes, accept: &str) -> Markup {
    let file = format!("{}-file", field.name);
    html! {
        (draw(field, filled, mistakes, false))
        div.field {
            label for=(file) { "Or its file" span.unseen { ": " (field.label) } span.optional { " (optional)" } }
            input type="file" id=(file) name=(file) accept=(accept);
        }
    }
}

fn page(app: &App, known: Option<&Known>, filled: &Filled, mistakes: &Mistakes) -> Response {
    let lines = |rows| Kind::Lines { rows, sheet: true };
    let rules = Field::needed(
        "rules",
        "Its rules",
        "id, service, class, source, currency, effective_from, sides and limits, as a card that comes with the program has them.",
        lines(8),
    );
    let prices = Field::needed(
        "prices",
        "Its prices",
        "A table headed weight_not_over,unit,z1,z2 and so on, from light to heavy.",
        lines(8),
    );
    let additions = Field::optional(
        "additions",
        "What it adds for some days",
        "A table headed zone_from,zone_to,lb_from,lb_to,add_usd,in_force_from,in_force_to.",
        lines(4),
    );
    let name = Field::optional(
        "name",
        "What you call it",
        "Left out, the id in its rules.",
        Kind::Words { known: Vec::new() },
    );
    let (title, at) = match known {
        None => (String::from("Read a rate card in"), String::from("/rate-cards/new")),
        Some(known) => {
            (format!("Take {} in anew", known.record.name), format!("/rate-cards/own/{}/anew", known.number))
        }
    };
    let body = html! {
        p { "A card is read whole before anything is stored. What is wrong is said with its line and field." }
        form method="post" action=(at) enctype="multipart/form-data" novalidate {
            (once_field(&app.form_key().unwrap_or_default()))
            @match known {
                None => { (draw(&name, filled, mistakes, false)) },
                Some(_) => input type="hidden" name="seen" value=(filled.typed("seen"));
            }
            (text(&rules, filled, mistakes, ".toml,text/plain"))
            (text(&prices, filled, mistakes, ".csv,text/csv"))
            (text(&additions, filled, mistakes, ".csv,text/csv"))
            div.actions {
                button type="submit" { @if known.is_some() { "Take it in anew" } @else { "Read it in" } }
                a.quiet href="/rate-cards" { "Back to the rate cards" }
            }
        }
        details {
            summary { "How such texts look" }
            p { "The beginning of a card for parcels up to 20 lb in two zones:" }
            pre tabindex="0" role="region" aria-label="Rules of a card" { (EXAMPLE_RULES) }
            pre tabindex="0" role="region" aria-label="Prices of a card" { (EXAMPLE_PRICES) }
        }
        (super::help())
    };
    checked(&app.page(&title, "/settings/rate-cards", body).with_mistakes(mistakes))
}

const EXAMPLE_RULES: &str = include_str!("example_rules.toml");
const EXAMPLE_PRICES: &str = include_str!("example_prices.csv");

#[cfg(test)]
mod tests {
    use super::{EXAMPLE_PRICES, EXAMPLE_RULES};
    use keeping::{CardTexts, read_card};

    #[test]
    fn the_card_that_is_shown_as_an_example_can_be_read() {
        let texts =
            CardTexts { rules: EXAMPLE_RULES.to_owned(), prices: EXAMPLE_PRICES.to_owned(), additions: None };
        assert_eq!(read_card(&texts).map(|card| card.id().to_owned()), Ok(String::from("my_card")));
    }
}
