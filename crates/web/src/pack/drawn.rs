//! A packed parcel drawn for the screen: every layer, the front, a view to turn, and the same as a table.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use measure::{Length, Mass, Units};
use serde_json::json;

const SVG: &str = "image/svg+xml";

/// The drawings of parcel `k`, whose views lie under `base`, with what lies where as a table.
pub(crate) fn drawings(base: &str, k: usize, plan: &plan::Parcel, units: Units) -> Markup {
    let holding = plan.holding();
    html! {
        div.drawings {
            @for layer in &holding.layers {
                figure.drawing {
                    img src={ (base) "/layer/" (layer.number) } width="440" height="400" alt={ "Layer " (layer.number) " from above; the table below says the same" };
                    figcaption { "Layer " (layer.number) " from above, the front below" }
                }
            }
            figure.drawing {
                img src={ (base) "/front" } width="440" height="400" alt="The stack from the front; the table below says the same";
                figcaption { "From the front" }
            }
        }
        section.turn data-turn={ (base) "/scene" } data-layers=(holding.layers.len()) hidden aria-label={ "Parcel " (k) ", to be turned" } {}
        div.scroll role="region" aria-label={ "What lies where in parcel " (k) } tabindex="0" {
            table {
                caption { "What lies where, in the order of packing" }
                thead {
                    tr {
                        th scope="col" { "No." } th scope="col" { "What" } th scope="col" { "Layer" } th scope="col" { "Way up" }
                        th scope="col" { "Weight" } th scope="col" { "To the nearest side" }
                    }
                }
                tbody {
                    @for bundle in &holding.bundles {
                        tr {
                            td { (bundle.number) }
                            th scope="row" { (bundle.label) }
                            td { (bundle.layer) }
                            td { (bundle.way_up.words()) }
                            td { (Mass::from_grams(bundle.mass_g).write(units)) }
                            td { (Length::from_mm(bundle.walls.sides_mm).write(units)) }
                        }
                    }
                }
            }
        }
    }
}

/// A layer from above; 404 where there is none with that number.
pub(crate) fn layer(plan: &plan::Parcel, layer: u32, units: Units) -> Response {
    draw::layer_svg(plan.holding(), layer, units)
        .map_or_else(|| StatusCode::NOT_FOUND.into_response(), |svg| of_kind(SVG, svg))
}

/// The stack from the front.
pub(crate) fn front(plan: &plan::Parcel, units: Units) -> Response {
    of_kind(SVG, draw::front_svg(plan.holding(), units))
}

/// The bodies of a parcel for the view that can be turned: the inside of the carton, and each body's corners, mm.
pub(crate) fn scene(plan: &plan::Parcel) -> Response {
    let whole = |figure: f64| (figure * 10.0).round() / 10.0;
    let bodies: Vec<_> = draw::scene(plan.holding())
        .into_iter()
        .map(|body| {
            let corners: Vec<[f64; 3]> = body.corners_mm.iter().map(|corner| corner.map(whole)).collect();
            json!({ "bundle": body.bundle, "layer": body.layer, "kind": body.kind.word(), "corners": corners })
        })
        .collect();
    let scene = json!({ "inside": plan.holding().carton.inside_mm.map(whole), "bodies": bodies });
    of_kind("application/json", scene.to_string())
}

fn of_kind(kind: &'static str, text: String) -> Response {
    ([(header::CONTENT_TYPE, kind)], text).into_response()
}
