//! Drawings of a plan, each under its own address.

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde_json::json;
use trade::Shipped;

use super::jobs::{Planned, Stage};
use crate::App;

/// A parcel of a finished plan, from 1.
fn with_parcel(
    app: &App,
    (job, parcel): (u64, usize),
    draw: impl FnOnce(&Planned, &Shipped) -> Option<(&'static str, String)>,
) -> Response {
    let Some(Stage::Done(planned)) = app.jobs().find(job).map(|job| job.stage()) else {
        return StatusCode::NOT_FOUND.into_response();
    };
    let shipped = parcel.checked_sub(1).and_then(|index| planned.plan.parcels.get(index));
    match shipped.and_then(|shipped| draw(&planned, shipped)) {
        Some((kind, text)) => ([(header::CONTENT_TYPE, kind)], text).into_response(),
        None => StatusCode::NOT_FOUND.into_response(),
    }
}

const SVG: &str = "image/svg+xml";

pub(super) async fn layer(
    State(app): State<App>,
    Path((job, parcel, layer)): Path<(u64, usize, u32)>,
) -> Response {
    with_parcel(&app, (job, parcel), |planned, shipped| {
        Some((SVG, draw::layer_svg(shipped.plan.holding(), layer, planned.units)?))
    })
}

pub(super) async fn front(State(app): State<App>, Path(place): Path<(u64, usize)>) -> Response {
    with_parcel(&app, place, |planned, shipped| {
        Some((SVG, draw::front_svg(shipped.plan.holding(), planned.units)))
    })
}

/// The bodies of a parcel for the view that can be turned: the inside of the carton, and each body's corners, mm.
pub(super) async fn scene(State(app): State<App>, Path(place): Path<(u64, usize)>) -> Response {
    with_parcel(&app, place, |_, shipped| {
        let whole = |figure: f64| (figure * 10.0).round() / 10.0;
        let bodies: Vec<_> = draw::scene(shipped.plan.holding())
            .into_iter()
            .map(|body| {
                let corners: Vec<[f64; 3]> = body.corners_mm.iter().map(|corner| corner.map(whole)).collect();
                json!({ "bundle": body.bundle, "layer": body.layer, "kind": body.kind.word(), "corners": corners })
            })
            .collect();
        let scene = json!({ "inside": shipped.plan.holding().carton.inside_mm.map(whole), "bodies": bodies });
        Some(("application/json", scene.to_string()))
    })
}
