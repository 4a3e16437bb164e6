//! The card of a listing: everything to type at the venue, field by field, and what to answer to an offer.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::response::Response;
use books::LotId;
use keeping::{CardQuestion, RecordJob, Stop};
use listing::{Card, Tables};
use maud::{Markup, html};
use measure::Money;
use selling::Reply;
use trade::{Answered, Job, Ladder, Offer, Outcome, TradeError, Worth};

use crate::App;
use crate::form::{Field, Filled, Kind as Typed, Mistakes, Posted, draw};
use crate::lots::{Answer, Kind, Stage, rungs};
use crate::record_page::checked;
use crate::said::sides;
use crate::shopdoor::NoAnswer;

/// A listing with its job, or why it makes none.
struct Asked {
    question: CardQuestion,
    job: Result<Arc<RecordJob>, String>,
}

pub(super) async fn show(
    State(app): State<App>,
    Path(listing): Path<u64>,
    Posted(filled): Posted,
) -> Response {
    let day = app.now().day;
    let read = app.read_shop(move |shop, desk| {
        let question = CardQuestion::read(shop, LotId(listing), day)?;
        let job = match question.job(desk) {
            Ok(job) => Ok(Arc::new(job)),
            Err(Stop::Input(why)) => Err(why),
            Err(stop @ Stop::Outside(_)) => return Err(NoAnswer::Stop(stop)),
        };
        Ok(Asked { question, job })
    });
    let asked = match read.await {
        Ok(asked) => asked,
        Err(page) => return page,
    };
    let at = format!("/listings/{listing}/card");
    let mut mistakes = Mistakes::default();
    let body = match &asked.job {
        Err(why) => html! { p.caution { (why) "." } },
        Ok(job) => {
            let work = app.asks(Kind::Whole, job, &at).await;
            match work.as_ref().map(crate::lots::Work::stage) {
                Some(Stage::Done(answer)) => match answer.as_ref() {
                    Answer::Whole(outcome) => worked_out(&asked, job, outcome, &filled, &mut mistakes, &at),
                    Answer::Worth(_) | Answer::Ladder(_) => app.waits(work.as_ref()),
                },
                Some(Stage::Working | Stage::Refused(_) | Stage::Stopped) | None => app.waits(work.as_ref()),
            }
        }
    };
    let body = html! {
        p { a href={ "/listings/" (listing) } { "Listing " (listing) } ": " (asked.question.state.entered.title) }
        (crate::lots::not_known(&asked.question.terms))
        @if let Ok(job) = &asked.job {
            @let venue = &job.job.market.venue;
            p {
                "By the terms of " (venue.name) ": " (crate::venues::fees(venue)) ". "
                "Condition: " (format!("{:?}", job.job.finds.first().map(|find| find.grade).unwrap_or_default())) ". "
                a href={ "/listings/" (listing) "#change" } { "Change either" }
            }
        }
        (body)
        (super::help())
    };
    let title = format!("Card of listing {listing}");
    checked(&app.page(&title, &at, body).with_mistakes(&mistakes))
}

fn worked_out(
    asked: &Asked,
    job: &RecordJob,
    outcome: &Outcome,
    filled: &Filled,
    mistakes: &mut Mistakes,
    at: &str,
) -> Markup {
    let Some(ladder) = outcome.ladders.first() else {
        return html! { p.caution { "No order of it could be worked out." } };
    };
    let worth = outcome.worths.first().and_then(Option::as_ref);
    let card = trade::card(&job.job, worth, ladder, &Tables::published());
    let offers = worth.map(|worth| offered(&job.job, worth, ladder, filled, mistakes, at));
    html! {
        @match &card {
            Ok(card) => { (fields(card, asked, job)) }
            Err(why) => { p.caution { "There is no card: " (why) "." } }
        }
        @match offers {
            Some(offers) => { (offers) }
            None => {
                section aria-labelledby="offer" {
                    h2 #offer { "Offers" }
                    p { "With comps of its find, this page says what to answer to an offer." }
                }
            }
        }
        section aria-labelledby="orders" {
            h2 #orders { "An order of one lot, of two, of more" }
            (rungs(&job.job, ladder, ladder.listing.lots, &ladder.listing.pieces().to_string()))
        }
    }
}

/// A text to copy: selectable, and with a script by a button.
fn to_copy(id: &str, label: &str, text: &str, note: &str) -> Markup {
    let lines = u32::try_from(text.lines().count()).unwrap_or(u32::MAX);
    html! {
        div.field.to-copy {
            label for=(id) { (label) @if !note.is_empty() { span.optional { " (" (note) ")" } } }
            @if lines > 1 || text.chars().count() > 60 {
                textarea id=(id) readonly rows=(lines.clamp(2, 14) + 1) { (text) }
            } @else {
                input type="text" id=(id) value=(text) readonly;
            }
            button.quiet type="button" data-copy=(id) hidden { "Copy" span.unseen { ": " (label) } }
        }
    }
}

fn fields(card: &Card, asked: &Asked, job: &RecordJob) -> Markup {
    let units = card.units;
    let characters = listing::characters(&card.title.text);
    let photos: Vec<String> = card
        .photos
        .photos
        .iter()
        .map(|photo| format!("{}{}", photo.text, if photo.optional { " (optional)" } else { "" }))
        .collect();
    let own = &asked.question.state.entered.title;
    let counts = own_title(card, own, &job.job);
    html! {
        p.verdict { (card.quantity) " x " (card.one_lot.strip_prefix("one ").unwrap_or(&card.one_lot)) " at " (card.price) "." }
        @if let Some(why) = counts { p.caution { "Its title now, \"" (own) "\": " (why) "." } }
        @for flaw in &job.unread_flaws {
            p.caution { "Say this flaw in your own words, the card doesn't know it: " (flaw) "." }
        }
        section aria-labelledby="copy" {
            h2 #copy { "To type at " (card.venue) }
            p.unseen role="status" #copied {}
            (to_copy("card-title", "Title", &card.title.text, &format!("{characters} characters")))
            (to_copy("card-text", "Description, with condition and what is not included", &card.description.text(), ""))
            (to_copy("card-price", "Price of one lot", &card.price.write(), ""))
            (to_copy("card-quantity", "Quantity", &card.quantity.to_string(), "lots"))
            (to_copy("card-weight", "Weight to state", &card.stated_weight.write(units), "one lot, packed"))
            (to_copy("card-size", "Size to state", &sides(card.stated_size, units), "one lot, packed"))
            (to_copy("card-shipping", "What the buyer pays for shipping", &card.shipping, ""))
        }
        section aria-labelledby="pictures" {
            h2 #pictures { "Pictures to take" }
            ol { @for photo in &photos { li { (photo) } } }
            @if !card.photos.left_out.is_empty() { p { "No room at the venue for: " (card.photos.left_out.join("; ")) "." } }
        }
        section.cautions aria-labelledby="alone" {
            h2 #alone { "For you alone" }
            ul {
                @match card.floor {
                    Some(floor) => { li { "Lowest offer to take: " (floor) " for " (card.one_lot) "." } }
                    None => { li { "Offers are not taken at this venue." } }
                }
                @for line in &card.to_do { li { (line) } }
                @for line in &card.description.to_measure { li { "To measure before listing: " (line) "." } }
                @for dropped in &card.title.dropped { li { "Left out of the title: " (dropped.words) " (" (dropped.reason) ")." } }
            }
        }
    }
}

/// What is wrong with the title that the listing has.
fn own_title(card: &Card, own: &str, job: &Job) -> Option<String> {
    let mut with_own = card.clone();
    match trade::check_title(&mut with_own, own, &job.market.venue) {
        Ok(()) => None,
        Err(TradeError::Title(why)) => Some(why),
        Err(other) => Some(other.to_string()),
    }
}

/// The form for an offer, and what to answer to it.
fn offered(
    job: &Job,
    worth: &Worth,
    ladder: &Ladder,
    filled: &Filled,
    mistakes: &mut Mistakes,
    at: &str,
) -> Markup {
    let offer = filled.money("offer", mistakes);
    if offer == Some(Money::ZERO) {
        mistakes.add("offer", "0.00 is no offer; right would be more than 0");
    }
    let lots = filled.whole("for", 1..=ladder.listing.lots.max(1), mistakes).unwrap_or(1);
    let answered = offer.filter(|_| mistakes.is_empty()).map(|amount| {
        let (pool, size) = worth.pool_of(&ladder.listing).unwrap_or((0, ladder.listing.pieces()));
        let asked = Offer {
            amount,
            ask: ladder.listing.price.map(|price| price * i64::from(lots)),
            pool,
            size: Some(size),
            lots,
            lots_left: Some(ladder.listing.lots),
            days_left: job.market.demand.horizon_days,
            stay: None,
            reply_cost: Money::ZERO,
        };
        trade::answer(job, worth, &asked)
    });
    let amount =
        Field::needed("offer", "A buyer offers", "For all the lots wanted, without shipping.", Typed::Money);
    let many = Field::optional("for", "For how many lots", "Left out, one.", Typed::Whole);
    html! {
        section aria-labelledby="offer-title" {
            h2 #offer-title { "Offers" }
            @match &answered {
                Some(Ok(answered)) => { (reply(answered)) }
                Some(Err(why)) => { p.caution { "What to answer can't be said: " (why) "." } }
                None => {}
            }
            form method="get" action=(at) novalidate {
                (draw(&amount, filled, mistakes, false))
                (draw(&many, filled, mistakes, true))
                div.actions { button type="submit" { "What to answer" } }
            }
        }
    }
}

fn reply(answered: &Answered) -> Markup {
    let answer = &answered.answer;
    let said = match answer.reply {
        Reply::Accept => String::from("Accept it."),
        Reply::CounterAt(price) => format!("Counter with {price}."),
        Reply::Decline => String::from("Decline it."),
    };
    let reasons = answer.reasons();
    html! {
        p.verdict { (said) }
        @if let Some(why) = reasons.get(1) { p { (why) } }
        table.figures {
            caption { "What the answer rests on" }
            tbody {
                tr { th scope="row" { "Accept from" } td.num { (answer.accept_from) } }
                tr { th scope="row" { "Worth accepting at all from" } td.num { (answer.floor) } }
                tr { th scope="row" { "No answer needed below" } td.num { (answer.auto_decline_below) } }
                tr { th scope="row" { "What waiting is worth" } td.num { (answer.worth_of_waiting) } }
            }
        }
        details {
            summary { "How this was reckoned" }
            ul { @for reason in &reasons { li { (reason) } } }
        }
    }
}
