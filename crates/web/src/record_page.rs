//! What pages of records share: reading the shop file, writing to it once, and saying why it can't be done.

use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use keeping::{Desk, Stop};
use maud::{Markup, html};
use shop::{Shop, Stamp};

use crate::App;
use crate::form::{Filled, Mistakes};
use crate::layout::Page;
use crate::refusal::refusal;
use crate::shopdoor::NoAnswer;

impl App {
    /// Reads the shop file where it blocks nobody's page, as it is at one moment. The error is a page: the first one where no shop was begun,
    /// else what went wrong.
    pub(crate) async fn read_shop<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Shop, &Desk) -> Result<T, NoAnswer> + Send + 'static,
    ) -> Result<T, Response> {
        self.ask_shop(work).await.map_err(|why| why.page())
    }

    /// The same, with the reason itself.
    pub(crate) async fn ask_shop<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Shop, &Desk) -> Result<T, NoAnswer> + Send + 'static,
    ) -> Result<T, NoAnswer> {
        self.use_shop(move |shop, desk| shop.at_one_moment(|shop| work(shop, desk))).await
    }

    /// Does something with the shop file where it blocks nobody's page, some at once, the others in turn.
    async fn use_shop<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Shop, &Desk) -> Result<T, NoAnswer> + Send + 'static,
    ) -> Result<T, NoAnswer> {
        let broke = || NoAnswer::Stop(Stop::Outside(String::from("the page broke; nothing was stored")));
        let turn = self.shop_turns().acquire_owned().await.map_err(|_| broke())?;
        let app = self.clone();
        let now = self.now().at;
        let worked = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            app.shop_door().with(now, |shop| work(shop, app.desk()))
        });
        worked.await.unwrap_or_else(|why| {
            tracing::error!(%why, "a page of records broke");
            Err(broke())
        })
    }

    /// Works out what the first pages ask for, before they do; it blocks. What goes wrong, the page will say.
    pub fn warm_up(&self) {
        let now = self.now();
        let warm = |shop: &mut Shop| {
            shop.at_one_moment(|shop| {
                shop.count_orders()?;
                shop.stock_report(now.day)?;
                shop.supplies(now.day, keeping::DAYS_OF_USE)?;
                Ok(())
            })
        };
        let _ = self.shop_door().with(now.at, warm);
    }

    /// Does the work of a form on the shop file: once, however often it is sent, also when the program was started
    /// anew between. `work` gives the address of the result; of its writes the first takes the stamp it is handed,
    /// further ones [`App::stamp`]. What the file refuses becomes a mistake of the form (of `field`, where it is
    /// named), and the caller draws the form again.
    pub(crate) async fn write_shop(
        &self,
        filled: &Filled,
        field: &'static str,
        done: &str,
        mistakes: &mut Mistakes,
        work: impl FnOnce(&mut Shop, &Desk, &Stamp) -> Result<String, NoAnswer> + Send + 'static,
    ) -> Option<Response> {
        let (app, sent) = (self.clone(), filled.clone());
        let stamp = match filled.text("once").filter(|key| key.len() <= 64) {
            Some(key) => self.stamp().imported(PAGE_SOURCE, key),
            None => self.stamp(),
        };
        // Forms wait for each other before they take a place from pages that read, and none of them looks at the file
        // meanwhile.
        let _alone = self.one_form().lock_owned().await;
        let found = self.use_shop(move |shop, desk| {
            app.once().run(&sent, || shop.at_one_moment(|shop| work(shop, desk, &stamp)))
        });
        let found = found.await;
        match found {
            Ok(path) => Some(Redirect::to(&path).into_response()),
            Err(NoAnswer::NotBegun) => Some(NoAnswer::NotBegun.page()),
            // The form was stored by a run of the program that has ended.
            Err(NoAnswer::Stop(Stop::Input(why)))
                if why.contains(&format!("from {PAGE_SOURCE} was stored")) =>
            {
                Some(Redirect::to(done).into_response())
            }
            Err(NoAnswer::Stop(stop)) => {
                mistakes.add(field, stop.to_string());
                None
            }
        }
    }

    /// The stamp of a write at this moment.
    pub(crate) fn stamp(&self) -> Stamp {
        Stamp::at(self.now().at)
    }

    /// A page of the shop's records; of a demo it says so.
    pub(crate) fn page<'a>(&self, title: &'a str, path: &'a str, body: Markup) -> Page<'a> {
        let demo = self.shop_door().demo_of();
        let note = demo.map(|of| {
            html! { p.demo { "Demo shop, made up: " (of) ". " a href="/begin" { "Your own shop" } } }
        });
        Page { above: note.unwrap_or_default(), ..Page::new(title, path, body) }
    }
}

/// Where forms of pages come from, as the file remembers them.
const PAGE_SOURCE: &str = "a page";

impl NoAnswer {
    /// The page that says so.
    pub(crate) fn page(&self) -> Response {
        match self {
            Self::NotBegun => Redirect::to("/begin").into_response(),
            Self::Stop(Stop::Input(why)) => refusal(StatusCode::NOT_FOUND, "That can't be shown", why),
            Self::Stop(Stop::Outside(why)) => {
                refusal(StatusCode::SERVICE_UNAVAILABLE, "The shop file can't be used now", why)
            }
        }
    }
}

/// A page with status 422 where something typed is wrong, else 200.
pub(crate) fn checked(page: &Page<'_>) -> Response {
    let status = if page.wrong { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    (status, page.draw()).into_response()
}
