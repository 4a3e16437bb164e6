//! Drawings of an order's parcels, from the plan in the shop file.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use measure::Units;

use super::stored::{parcels, plan_of};
use crate::App;
use crate::pack::drawn;

async fn with(app: &App, (order, k): (u64, usize), draw: impl FnOnce(&plan::Parcel) -> Response) -> Response {
    let all = match parcels(app, order).await {
        Ok(all) => all,
        Err(page) => return page,
    };
    let plan = k.checked_sub(1).and_then(|at| all.get(at)).and_then(plan_of);
    plan.map_or_else(|| StatusCode::NOT_FOUND.into_response(), |plan| draw(&plan))
}

pub(super) async fn layer(
    State(app): State<App>,
    Path((order, k, layer)): Path<(u64, usize, u32)>,
) -> Response {
    with(&app, (order, k), |plan| drawn::layer(plan, layer, Units::UsCustomary)).await
}

pub(super) async fn front(State(app): State<App>, Path(at): Path<(u64, usize)>) -> Response {
    with(&app, at, |plan| drawn::front(plan, Units::UsCustomary)).await
}

pub(super) async fn scene(State(app): State<App>, Path(at): Path<(u64, usize)>) -> Response {
    with(&app, at, drawn::scene).await
}
