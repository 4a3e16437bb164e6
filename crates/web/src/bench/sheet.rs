//! The pack sheet of an order, with a code that opens the order on the phone.

use axum::extract::{Path, Query, State};
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use books::OrderId;
use jiff::civil::Date;
use keeping::DropCheck;
use maud::html;
use measure::Units;
use shop::Record;

use super::order_page::fetch_lines;
use super::stored::plan_of;
use crate::App;
use crate::pack::paper::{OnPaper, document, sheet};
use crate::pack::plan_page::on_sheet;
use crate::square_code::square_code;

/// Least side of the code, px.
const CODE_SIDE: u32 = 110;

pub(super) async fn show(
    State(app): State<App>,
    Path(number): Path<u64>,
    Query(asked): Query<Vec<(String, String)>>,
    headers: HeaderMap,
) -> Response {
    let id = OrderId(number);
    let found = app
        .read_shop(move |shop, _| {
            shop.order(id)?;
            Ok((shop.parcels(id)?, shop.pull_list(id)?, shop.history(Record::Order, number)?))
        })
        .await;
    let (parcels, pull, history) = match found {
        Ok(found) => found,
        Err(page) => return page,
    };
    let planned: Vec<_> = (1..)
        .zip(&parcels)
        // What went before needs no sheet, as long as the rest waits.
        .filter(|(_, one)| one.actual.is_none() || pull.is_empty())
        .filter_map(|(k, one)| Some((k, one, plan_of(one)?)))
        .collect();
    if planned.is_empty() {
        return Redirect::to(&format!("/bench/{number}")).into_response();
    }
    let a4 = asked.iter().any(|(name, value)| name == "paper" && value == "a4");
    let day = history.iter().rfind(|row| row.kind == "order_planned");
    let day = day.and_then(|row| row.at.get(..10)?.parse::<Date>().ok());
    let link = format!("{}/orders/{number}", origin(&app, &headers));
    let (lines, of) = (fetch_lines(&pull), parcels.len());
    let sheets = html! {
        @for (k, parcel, plan) in &planned {
            @let k: usize = *k;
            (sheet(k, &OnPaper {
                heading: if of > 1 { format!("Order {number}, parcel {k} of {of}") } else { format!("Order {number}") },
                of: None,
                base: format!("/bench/{number}/{k}"),
                plan,
                units: Units::UsCustomary,
                outside: parcel.plan.size.map(|size| [size.length, size.width, size.height]),
                gross: parcel.plan.mass,
                minutes: parcel.plan.minutes.map(f64::from),
                day,
                code: square_code(&link, CODE_SIDE, &format!("A code that opens order {number}: {link}")),
                fetch: if k == 1 { &lines } else { &[] },
                drop: DropCheck::kept_with(&parcel.plan).map(|drop| on_sheet(&drop)).unwrap_or_default(),
            }))
        }
    };
    let plan = format!("/bench/{number}");
    let title = format!("Pack sheet of order {number}");
    document(&title, &plan, &format!("{plan}/sheet"), a4, &sheets).into_response()
}

/// Where a phone reaches the app; where none does, the name under which this browser does.
fn origin(app: &App, headers: &HeaderMap) -> String {
    if let Some(lan) = &app.reach().lan {
        return lan.clone();
    }
    let scheme = if app.reach().secure { "https" } else { "http" };
    let host = headers.get(header::HOST).and_then(|host| host.to_str().ok()).unwrap_or("localhost");
    format!("{scheme}://{host}")
}
