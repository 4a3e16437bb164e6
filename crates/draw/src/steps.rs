//! The steps of packing a parcel, as a packer would say them.

use measure::Units;
use plan::{Carton, Fill, Pad, Parcel, PlacedBundle};
use shape::WayUp;

use crate::clock::{Lie, Turn};
use crate::outline::{Side, main_parts, measured_centre};
use crate::{rests, written};

/// A bundle is laid rather than stood when its height is less than this share of its narrower side.
const FLAT: f64 = 0.5;
/// Least difference of length and width that makes a side the long one, mm.
const LONGER_MM: f64 = 5.0;

/// The steps of packing this parcel in order, one plain sentence or two each, without numbers.
///
/// Places are those of the middle of a bundle without its handles, spouts and knobs, from the left wall and from the front, to an
/// eighth of an inch or a millimetre; directions are hours of a clock face with 12 away from the
/// front. Figures are in `units`. Text of the parcel (labels, materials) is passed on as it is: who
/// shows it on a page escapes it.
#[must_use]
pub fn steps(parcel: &Parcel, units: Units) -> Vec<String> {
    let Some(inner) = &parcel.inner else { return of_one(parcel, units) };
    let mut all = of_one(inner, units);
    // The inner carton is closed, shaken and weighed like any other; only the label waits for the outer one.
    let first = all.first_mut();
    if let Some(first) = first {
        *first = format!("First the inner carton. {first}");
    }
    let mut outer = of_one(parcel, units);
    if let Some(first) = outer.first_mut() {
        *first = format!("Now the outer carton. {first}");
    }
    all.extend(outer);
    all
}

/// The steps of one box.
fn of_one(parcel: &Parcel, units: Units) -> Vec<String> {
    let mut steps = vec![make_up(&parcel.carton)];
    steps.extend(cut_down(&parcel.carton, units));
    if parcel.fill.bed_mm > 0.0 {
        steps.push(format!(
            "Pour a bed of {} {} deep and level it.",
            parcel.fill.material,
            written::size(parcel.fill.bed_mm, units)
        ));
    }
    steps.extend(pads_above(parcel, 0, units));
    for layer in layers(parcel) {
        steps.push(begin_layer(parcel, layer));
        let here = parcel.bundles.iter().filter(|bundle| bundle.layer == layer);
        steps.extend(here.map(|bundle| place(parcel, bundle, units)));
        let clear = if rests::is_rested_on(parcel, layer) {
            " Keep the tops clear: the next rest on them."
        } else {
            ""
        };
        steps.push(format!(
            "Work {} in between and around layer {layer}, up to its tops, until nothing shifts.{clear}",
            parcel.fill.material
        ));
        steps.extend(pads_above(parcel, layer, units));
    }
    steps.push(fill_up(&parcel.fill, units));
    steps.push("Close the flaps and hold them down: they should press lightly on the fill. Tape.".to_owned());
    steps.push("Shake test: nothing moves or sounds. If it does, open and add fill.".to_owned());
    steps.push(format!(
        "Weigh it: {} is expected. If it is more, check the postage before the label.",
        written::mass(parcel.gross_g, units)
    ));
    steps
}

/// Numbers of all layers that hold something or are said to be there, from the bottom up.
pub(crate) fn layers(parcel: &Parcel) -> std::collections::BTreeSet<u32> {
    let held = parcel.bundles.iter().map(|bundle| bundle.layer);
    parcel.layers.iter().map(|layer| layer.number).chain(held).collect()
}

fn make_up(carton: &Carton) -> String {
    let [length, width, _] = carton.inside_mm;
    let side = if length > width + LONGER_MM {
        "long side"
    } else if width > length + LONGER_MM {
        "short side"
    } else {
        "side"
    };
    format!(
        "Make up carton {}, tape its bottom, and write FRONT on one {side}: that side faces you.",
        carton.name
    )
}

fn cut_down(carton: &Carton, units: Units) -> Option<String> {
    let whole = carton.cut_down_from_mm?;
    let [_, _, height] = carton.inside_mm;
    Some(format!(
        "Cut the four corners down by {}, score and fold, so that the inside is {} high (it was {}).",
        written::size(whole - height, units),
        written::size(height, units),
        written::size(whole, units)
    ))
}

fn pads_above(parcel: &Parcel, layer: u32, units: Units) -> Vec<String> {
    let on = if layer == 0 { "the bed".to_owned() } else { format!("layer {layer}") };
    let lay = |pad: &Pad| {
        format!(
            "Lay pad {} ({} thick) on {on}, wall to wall.",
            pad.number,
            written::size(pad.thickness_mm, units)
        )
    };
    parcel.pads.iter().filter(|pad| pad.above_layer == layer).map(lay).collect()
}

/// How hands set a bundle down: the verb, and the words for its way up.
pub(crate) fn stance(bundle: &PlacedBundle) -> (&'static str, &'static str) {
    if matches!(Turn::of(bundle).lie, Lie::OnSide(_)) {
        return ("Lay", "on its side");
    }
    match (is_flat(bundle), bundle.way_up) {
        (true, WayUp::Upright) => ("Lay", "right way up"),
        (true, other) => ("Lay", other.words()),
        (false, other) => ("Stand", other.words()),
    }
}

fn is_flat(bundle: &PlacedBundle) -> bool {
    let parts = main_parts(bundle);
    let side = |axis: usize| {
        let spans = parts.iter().map(|part| part.placement.extent_mm(part.bare, axis));
        spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).map_or(0.0, |(low, high)| high - low)
    };
    side(2) < FLAT * side(0).min(side(1))
}

/// What goes into a layer, on what, and how places are measured.
fn begin_layer(parcel: &Parcel, layer: u32) -> String {
    let here = parcel.bundles.iter().filter(|bundle| bundle.layer == layer);
    let numbers: Vec<u32> = here.map(|bundle| bundle.number).collect();
    let plural = if numbers.len() > 1 { "s" } else { "" };
    let what =
        rests::listed(&numbers).map_or_else(|| "nothing".to_owned(), |list| format!("number{plural} {list}"));
    format!("Layer {layer} takes {what}. Measure to the middle of each, handles left out.")
}

fn place(parcel: &Parcel, bundle: &PlacedBundle, units: Units) -> String {
    let (verb, way) = stance(bundle);
    // A label may say it already ("4 saucers on edge").
    let what =
        if bundle.label.contains(way) { bundle.label.clone() } else { format!("{}, {way}", bundle.label) };
    let [x, y] = measured_centre(bundle, Side::Above);
    let turn = Turn::of(bundle).words().map_or_else(String::new, |turn| format!(", {turn}"));
    let on = rests::words(parcel, bundle).map_or_else(String::new, |on| format!(" {on},"));
    format!(
        "{verb} {} ({what}){on} {} from the left wall and {} from the front{turn}.",
        bundle.number,
        written::position(x, units),
        written::position(y, units)
    )
}

fn fill_up(fill: &Fill, units: Units) -> String {
    format!(
        "Fill to the top and a little over with {}: {} in all, the bed included.",
        fill.material,
        written::volume(fill.volume_mm3, units)
    )
}
