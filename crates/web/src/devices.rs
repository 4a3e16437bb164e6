//! The devices that are let in, and letting in another.

use axum::Router;
use axum::extract::{Extension, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::App;
use crate::access::Device;
use crate::enter::unable;
use crate::form::Posted;
use crate::layout::Page;
use crate::refusal::refusal;
use crate::square_code::square_code;

/// Least side of the code on the page, px.
const CODE_SIDE: u32 = 220;

pub(crate) fn routes() -> Router<App> {
    Router::new()
        .route("/devices", get(devices))
        .route("/devices/pair", post(pair))
        .route("/devices/remove", post(remove))
}

async fn devices(State(app): State<App>, Extension(own): Extension<Device>) -> Markup {
    let devices = app.access().devices(app.now().at);
    let body = html! {
        ul.devices {
            @for device in &devices {
                li {
                    p {
                        strong { (device.name) }
                        @if device.hash == own.hash { " (this one)" }
                        ", let in on " (device.since.to_string().get(..10).unwrap_or_default())
                    }
                    form method="post" action="/devices/remove" {
                        input type="hidden" name="device" value=(device.hash);
                        button.quiet type="submit" {
                            @if device.hash == own.hash { "Sign out" } @else { "Sign out " (device.name) }
                        }
                    }
                }
            }
        }
        h2 { "Another device" }
        @if app.reach().lan.is_some() {
            form method="post" action="/devices/pair" { button type="submit" { "Show a pairing code" } }
        } @else {
            p {
                "Only this machine is let in. To reach it from a phone on your own network, set a passphrase with "
                code { "lotwright serve --set-passphrase" } " and start it with " code { "lotwright serve --lan" } "."
            }
        }
    };
    Page::new("Devices", "", body).draw()
}

async fn pair(State(app): State<App>) -> Response {
    let Some(origin) = &app.reach().lan else {
        return refusal(
            StatusCode::CONFLICT,
            "No other device can come in",
            "Start Lotwright with --lan first.",
        );
    };
    let key = match app.access().pairing_key(app.outside()) {
        Ok(key) => key,
        Err(why) => return unable(&why),
    };
    let link = format!("{origin}/enter/{key}");
    let (front, back) = key.split_at(key.len() / 2);
    let body = html! {
        p { "Point the other device's camera at this, within two minutes. It works once." }
        (square_code(&link, CODE_SIDE, "The link below as a square code"))
        p { "Or open " code { (origin) } " there and type this code:" }
        p.pairing-code { code { (front) "-" (back) } }
        @if !app.reach().secure {
            p {
                "What is sent over your network is not encrypted: use this only on a network that is yours. With a \
                 certificate of your own it is: start with " code { "--tls-cert" } " and " code { "--tls-key" } "."
            }
        }
        p { a href="/devices" { "Back to the devices" } }
    };
    Page::new("Pair a device", "", body).draw().into_response()
}

async fn remove(State(app): State<App>, Posted(filled): Posted) -> Response {
    let hash = filled.text("device").unwrap_or_default().to_owned();
    let inner = app.clone();
    match app.work(move |_| inner.access().sign_out(&hash, inner.outside())).await {
        Some(Ok(())) => Redirect::to("/devices").into_response(),
        Some(Err(why)) => unable(&why),
        None => refusal(StatusCode::INTERNAL_SERVER_ERROR, "That went wrong", "Try it again."),
    }
}
