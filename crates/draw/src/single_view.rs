//! One view of a parcel by itself, narrow enough for a phone.

use measure::Units;
use plan::{Parcel, PlacedBundle};

use crate::canvas::{Canvas, Lettering, Point};
use crate::plan_view::{self, Frame, board};
use crate::steps::layers;
use crate::{side_view, text, written};

/// Width of the drawing, px: at this width lettering is readable without zooming on a small phone.
const WIDTH: f64 = 440.0;
/// Most height of the drawn carton, px.
const TALLEST: f64 = 420.0;
/// Largest scale, px/mm.
const LARGEST_SCALE: f64 = 1.7;
/// Shortest side by which the scale is reckoned, mm.
const LEAST_SIDE_MM: f64 = 20.0;
/// White margin, px.
const MARGIN: f64 = 6.0;
/// Height of a line of notes, px.
const LINE: f64 = 17.0;
/// Most lines of one note.
const NOTE_LINES: usize = 3;

/// One layer of a parcel from above as a standalone SVG document, 440 px wide; `None` where there is no such layer.
///
/// It is the same view as in [`crate::parcel_svg`], to a scale of its own, with the front at the bottom.
#[must_use]
pub fn layer_svg(parcel: &Parcel, layer: u32, units: Units) -> Option<String> {
    layers(parcel).contains(&layer).then(|| {
        let bundles: Vec<&PlacedBundle> =
            parcel.bundles.iter().filter(|bundle| bundle.layer == layer).collect();
        let title = format!("Layer {layer} of {} from above", layers(parcel).len());
        let count = bundles.len();
        let held = if count == 1 { "bundle" } else { "bundles" };
        let description = format!(
            "{count} {held} in carton {}, inside {}; the table beside the drawing says the same.",
            parcel.carton.name,
            written::sides(parcel.carton.inside_mm, units)
        );
        sheet(parcel, plan_view::ROOM, 1, 0.0, [&title, &description], |canvas, frame| {
            plan_view::draw(canvas, parcel, layer, &bundles, frame, units)
        })
    })
}

/// The stack of a parcel from the front as a standalone SVG document, 440 px wide.
///
/// It is the same view as in [`crate::parcel_svg`], to a scale of its own.
#[must_use]
pub fn front_svg(parcel: &Parcel, units: Units) -> String {
    let description = format!(
        "The layers of carton {} from the front, with the heights of pads and walls; the steps say the same.",
        parcel.carton.name
    );
    let cut = parcel.carton.cut_down_from_mm.map_or(0.0, |_| side_view::ROOM_FOR_CUT);
    sheet(parcel, side_view::ROOM, 2, cut, ["The stack from the front", &description], |canvas, frame| {
        side_view::draw(canvas, parcel, frame, units)
    })
}

/// A sheet with one view: `room` around the carton, and which axis of it runs up the paper.
fn sheet(
    parcel: &Parcel,
    room: [f64; 4],
    up: usize,
    above: f64,
    [title, description]: [&str; 2],
    draw: impl FnOnce(&mut Canvas, Frame) -> Vec<String>,
) -> String {
    let boards = board(parcel);
    let outside = |axis: usize| {
        let side = parcel.carton.inside_mm[axis] + 2.0 * boards[axis];
        if side.is_finite() { side.max(LEAST_SIDE_MM) } else { LEAST_SIDE_MM }
    };
    let [left, top, right, bottom] = room;
    let scale = ((WIDTH - left - right) / outside(0)).min(TALLEST / outside(up)).min(LARGEST_SCALE);
    let spare = (WIDTH - left - right - outside(0) * scale).max(0.0);
    let foot = MARGIN + top + above + outside(up) * scale;
    let corner: Point = [left + 0.5 * spare + boards[0] * scale, foot - boards[up] * scale];
    let mut canvas = Canvas::default();
    let notes = draw(&mut canvas, Frame { corner, scale });
    let mut y = foot + bottom;
    for note in notes {
        for line in text::broken(&note, Lettering::SMALL.size, WIDTH - 16.0, NOTE_LINES) {
            y += LINE;
            canvas.words([0.5 * WIDTH, y], Lettering::SMALL.middle(), &line);
        }
    }
    canvas.finish([WIDTH, y + MARGIN + 4.0], title, description)
}
