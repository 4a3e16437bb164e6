//! All venues: the person's own, and those that come with the program.

use axum::extract::State;
use axum::response::Response;
use keeping::{Desk, venue_id, venue_terms};
use listing::Venues;
use maud::{Markup, html};
use shop::{Shop, Stamp, Venue};

use crate::App;
use crate::form::{Mistakes, Posted, once_field};
use crate::record_page::checked;

struct Found {
    own: Vec<(u64, Venue)>,
    usual: String,
}

pub(super) async fn show(State(app): State<App>) -> Response {
    page(&app, &Mistakes::default()).await
}

async fn page(app: &App, mistakes: &Mistakes) -> Response {
    let found = app
        .read_shop(|shop, _| Ok(Found { own: shop.noted::<Venue>()?, usual: keeping::usual_venue(shop)? }))
        .await;
    let found = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let usual = venue_id(&found.usual);
    let is_usual = |name: &str| venue_id(name) == usual;
    // Two rows of one name would read as two venues: the person's own stands for the published one.
    let published = Venues::published();
    let published: Vec<&listing::Venue> = published
        .iter()
        .filter(|one| found.own.iter().all(|(_, own)| venue_id(&own.name) != one.id))
        .collect();
    let body = html! {
        p { "A listing's card, its prices and what an order leaves are reckoned by the terms of the venue that it names." }
        section aria-labelledby="own" {
            h2 #own { "Your own venues" }
            @if found.own.is_empty() {
                p { "None yet. Look up the fees that your venue publishes, and add it." }
            } @else {
                ul.plain {
                    @for (number, one) in &found.own { (own(app, *number, one, is_usual(&one.name))) }
                }
            }
            div.actions { a.button href="/venues/new" { "Add a venue" } }
        }
        @if !published.is_empty() {
            section aria-labelledby="published" {
                h2 #published { "Venues that come with the program" }
                p { "They are made up, to try things out with. Put your venue's own figures in place of theirs." }
                ul.plain {
                    @for one in published {
                        li {
                            p {
                                strong { (one.name) } ": " (super::fees(one)) "."
                                @if is_usual(&one.id) { " Reckoned with where no venue is named." }
                            }
                            div.actions {
                                a.quiet href={ "/venues/new?like=" (one.id) } { "Begin a venue with these terms" span.unseen { ": " (one.name) } }
                                @if !is_usual(&one.id) { (make_usual(app, &one.id, &one.name)) }
                            }
                        }
                    }
                }
            }
        }
        (super::help())
    };
    checked(&app.page("Venues", "/listings/venues", body).with_mistakes(mistakes))
}

fn own(app: &App, number: u64, one: &Venue, usual: bool) -> Markup {
    let (terms, published) = (venue_terms(one), Venues::published());
    html! {
        li {
            p {
                a href={ "/venues/" (number) } { (one.name) } ": "
                @match (&terms, published.find(&one.name)) {
                    (Some(terms), _) => { (super::fees(terms)) },
                    (None, Ok(terms)) => { (super::fees(terms)) ", as it comes with the program: say its own" },
                    (None, Err(_)) => "its terms aren't known"
                } "."
                @if usual { " Reckoned with where no venue is named." }
            }
            @if terms.is_some() && !usual { (make_usual(app, &one.name, &one.name)) }
        }
    }
}

fn make_usual(app: &App, name: &str, words: &str) -> Markup {
    html! {
        form method="post" action="/venues/usual" {
            (once_field(&app.form_key().unwrap_or_default()))
            input type="hidden" name="name" value=(name);
            button.quiet type="submit" { "Reckon with it where none is named" span.unseen { ": " (words) } }
        }
    }
}

/// Reckons with a venue where nobody names one.
pub(super) async fn usual(State(app): State<App>, Posted(filled): Posted) -> Response {
    let mut mistakes = Mistakes::default();
    let today = app.now().day;
    let name = filled.needed("name", "Say which venue", &mut mistakes).map(str::to_owned);
    if let Some(name) = name {
        let work = move |shop: &mut Shop, desk: &Desk, stamp: &Stamp| {
            let value = keeping::fitted(shop, desk, "market.venue", &name, today)?;
            keeping::put_setting(shop, stamp, "market.venue", &value, "my own")?;
            Ok(String::from("/venues"))
        };
        if let Some(done) = app.write_shop(&filled, "", "/venues", &mut mistakes, work).await {
            return done;
        }
    }
    page(&app, &mistakes).await
}
