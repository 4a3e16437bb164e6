//! Drawings of a plan, each under its own address.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use trade::Shipped;

use super::drawn;
use super::jobs::{Planned, Stage};
use crate::App;

/// A parcel of a finished plan, from 1.
fn with_parcel(
    app: &App,
    (job, parcel): (u64, usize),
    draw: impl FnOnce(&Planned, &Shipped) -> Response,
) -> Response {
    let Some(Stage::Done(planned)) = app.jobs().find(job).map(|job| job.stage()) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let shipped = parcel.checked_sub(1).and_then(|index| planned.plan.parcels.get(index));
    shipped.map_or_else(|| StatusCode::NOT_FOUND.into_response(), |shipped| draw(&planned, shipped))
}

pub(super) async fn layer(
    State(app): State<App>,
    Path((job, parcel, layer)): Path<(u64, usize, u32)>,
) -> Response {
    with_parcel(&app, (job, parcel), |planned, shipped| drawn::layer(&shipped.plan, layer, planned.units))
}

pub(super) async fn front(State(app): State<App>, Path(place): Path<(u64, usize)>) -> Response {
    with_parcel(&app, place, |planned, shipped| drawn::front(&shipped.plan, planned.units))
}

pub(super) async fn scene(State(app): State<App>, Path(place): Path<(u64, usize)>) -> Response {
    with_parcel(&app, place, |_, shipped| drawn::scene(&shipped.plan))
}
