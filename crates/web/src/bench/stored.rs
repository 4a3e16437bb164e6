//! A planned parcel as the shop file keeps it, drawn again however often the program was started since.

use axum::response::Response;
use books::OrderId;
use shop::StandingParcel;

use crate::App;

/// The plan of a parcel; none for one that was sent unplanned, or planned by a program that wrote it otherwise.
pub(super) fn plan_of(parcel: &StandingParcel) -> Option<plan::Parcel> {
    serde_json::from_value(parcel.plan.plan.clone()).ok()
}

/// The parcels of an order, read from the file.
pub(super) async fn parcels(app: &App, order: u64) -> Result<Vec<StandingParcel>, Response> {
    app.read_shop(move |shop, _| Ok(shop.parcels(OrderId(order))?)).await
}
