//! Orders: the list, taking one, one order with all that becomes of it.

mod back;
mod claim;
mod list_page;
mod pay_and_cancel;
mod price;
mod show;
mod take;
pub(crate) mod typed;

use axum::Router;
use axum::routing::{get, post};

use crate::App;
pub(crate) use show::{sent_in_parts, side_by_side};

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/orders", get(list_page::show))
        .route("/orders/new", get(take::ask).post(take::send))
        .route("/orders/{order}", get(show::show))
        .route("/orders/{order}/pay", get(pay_and_cancel::ask_pay).post(pay_and_cancel::pay))
        .route("/orders/{order}/cancel", get(pay_and_cancel::ask_cancel).post(pay_and_cancel::cancel))
        .route("/orders/{order}/price", get(price::ask).post(price::send))
        .route("/orders/{order}/back", get(back::ask).post(back::send))
        .route("/orders/{order}/claim", get(claim::ask).post(claim::send))
        .route("/orders/{order}/claim/{claim}", get(claim::ask_decided).post(claim::paid))
        .route("/orders/{order}/claim/{claim}/refused", post(claim::refused))
}
