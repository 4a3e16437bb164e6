//! The bench: what waits, what to fetch, each order's parcels planned, packed and written down.

mod compared;
mod order_page;
mod plan;
mod plannings;
mod seen;
mod sheet;
mod ship;
mod stored;
mod swap;
mod views;
mod waiting;

use axum::Router;
use axum::routing::{get, post};

use crate::App;
pub(crate) use plannings::Plannings;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/bench", get(waiting::show))
        .route("/bench/{order}", get(order_page::show))
        .route("/bench/{order}/plan", post(plan::begin))
        .route("/bench/{order}/progress", get(plan::progress))
        .route("/bench/{order}/stop", post(plan::stop))
        .route("/bench/{order}/release", post(plan::release))
        .route("/bench/{order}/sheet", get(sheet::show))
        .route("/bench/{order}/ship", get(ship::ask).post(ship::send))
        .route("/bench/{order}/swap", get(swap::ask).post(swap::send))
        .route("/bench/{order}/{parcel}/layer/{layer}", get(views::layer))
        .route("/bench/{order}/{parcel}/front", get(views::front))
        .route("/bench/{order}/{parcel}/scene", get(views::scene))
}
