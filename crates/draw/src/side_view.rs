//! The whole stack as seen from the front: bed, layers, pads, and the fill above.

use measure::Units;
use plan::{Parcel, PlacedBundle, PlacedPart};
use shape::PartKind;

use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::dimension::{arrow, spread};
use crate::outline::{Outline, Side, body_centre, body_hull, chord};
use crate::plan_view::{Frame, board, outline, paint_of};
use crate::written;

/// Room that the view needs around the outside of its carton: left, top, right, bottom, px.
pub(crate) const ROOM: [f64; 4] = [34.0, 58.0, 138.0, 10.0];
/// Extra room above a carton that was cut down, px.
pub(crate) const ROOM_FOR_CUT: f64 = 46.0;
/// How far the cut-off walls are shown above the cut, px.
const GHOST: f64 = 26.0;
/// Radius of a number's circle, px.
const NUMBER_RADIUS: f64 = 10.0;
/// Least distance of two figures in the column of heights, px.
const FIGURE_APART: f64 = 15.0;

/// Draws the stack; gives back notes to stand below it.
pub(crate) fn draw(canvas: &mut Canvas, parcel: &Parcel, frame: Frame, units: Units) -> Vec<String> {
    canvas.open("side");
    let [length, _, height] = parcel.carton.inside_mm;
    let boards = board(parcel);
    let low = frame.on_paper([-boards[0], -boards[2]]);
    let high = frame.on_paper([length + boards[0], height + boards[2]]);
    let cut = parcel.carton.cut_down_from_mm.is_some();
    let above = if cut { ROOM_FOR_CUT } else { 0.0 };
    let heading = [0.5 * (low[0] + high[0]), high[1] - above - 16.0];
    canvas.words(heading, Lettering::HEAD.middle(), "The stack, from the front");

    let inside = [frame.on_paper([0.0, 0.0]), frame.on_paper([length, height])];
    canvas.rectangle(low, high, Pen::Board, Paint::White);
    canvas.rectangle(inside[0], inside[1], Pen::Board, Paint::Dots);
    let bed = parcel.fill.bed_mm;
    if bed > 0.0 {
        canvas.line(frame.on_paper([0.0, bed]), frame.on_paper([length, bed]), Pen::Fine);
    }
    for pad in &parcel.pads {
        let [bottom, top] = [pad.bottom_mm, pad.bottom_mm + pad.thickness_mm];
        // Never thinner than a line that survives a bad printer.
        let [from, mut to] = [frame.on_paper([0.0, bottom]), frame.on_paper([length, top])];
        to[1] = to[1].min(from[1] - 2.0);
        canvas.rectangle(from, to, Pen::Bare, Paint::Black);
    }
    let behind = bundles(canvas, parcel, frame);
    if let Some(whole) = parcel.carton.cut_down_from_mm {
        cut_line(canvas, [low, high], whole, units);
    }
    heights(canvas, parcel, [low, high], frame, units);
    canvas.close();
    notes(&behind)
}

fn notes(behind: &[u32]) -> Vec<String> {
    if behind.is_empty() {
        return Vec::new();
    }
    let numbers: Vec<String> = behind.iter().map(u32::to_string).collect();
    vec![format!("Hidden behind others: {}.", numbers.join(", "))]
}

/// Draws the bundles from the back to the front; gives back the numbers that cannot be seen.
fn bundles(canvas: &mut Canvas, parcel: &Parcel, frame: Frame) -> Vec<u32> {
    let mut order: Vec<&PlacedBundle> = parcel.bundles.iter().collect();
    // Rounded, so that noise in the last bits cannot change the order.
    let depth = |bundle: &PlacedBundle| (body_centre(bundle, Side::Above)[1] * 10.0).round();
    order.sort_by(|a, b| depth(b).total_cmp(&depth(a)).then(a.number.cmp(&b.number)));
    for bundle in &order {
        let mut parts: Vec<&PlacedPart> = bundle.parts.iter().collect();
        let near = |part: &PlacedPart| (part.placement.extent_mm(part.bare, 1).0 * 100.0).round();
        parts.sort_by(|a, b| {
            near(b).total_cmp(&near(a)).then((a.kind == PartKind::Body).cmp(&(b.kind == PartKind::Body)))
        });
        for part in &parts {
            let grown = Outline::of(part.grown, part.placement, Side::Front);
            outline(canvas, frame, &grown, Pen::Wrap, Paint::White);
        }
        for part in &parts {
            let bare = Outline::of(part.bare, part.placement, Side::Front);
            outline(canvas, frame, &bare, Pen::Hard, paint_of(part.kind));
        }
    }
    let mut placed: Vec<Point> = Vec::new();
    let mut behind = Vec::new();
    for (rank, bundle) in order.iter().enumerate().rev() {
        let nearer = order.get(rank + 1..).unwrap_or_default();
        match visible_spot(bundle, nearer, &placed, frame) {
            Some(spot) => {
                canvas.number(spot, NUMBER_RADIUS, bundle.number);
                placed.push(spot);
            }
            None => behind.push(bundle.number),
        }
    }
    behind.sort_unstable();
    behind
}

fn on_paper(hull: &[[f64; 2]], frame: Frame) -> Vec<Point> {
    hull.iter().map(|&corner| frame.on_paper(corner)).collect()
}

/// Whether a point lies in a convex outline.
fn holds(hull: &[Point], [x, y]: Point) -> bool {
    chord(hull, y).is_some_and(|(left, right)| left <= x && x <= right)
}

/// A place on a bundle's body where its number is hidden by nothing nearer to the front.
fn visible_spot(
    bundle: &PlacedBundle,
    nearer: &[&PlacedBundle],
    placed: &[Point],
    frame: Frame,
) -> Option<Point> {
    let own = on_paper(&body_hull(bundle, Side::Front), frame);
    let covers: Vec<Vec<Point>> = nearer
        .iter()
        .flat_map(|other| &other.parts)
        .map(|part| on_paper(&Outline::of(part.grown, part.placement, Side::Front).corners(), frame))
        .collect();
    let [x, y] = frame.on_paper(body_centre(bundle, Side::Front));
    let span = |axis: usize| {
        let along = own.iter().map(|corner| corner[axis]);
        let low = along.clone().fold(f64::INFINITY, f64::min);
        (0.5 * (along.fold(f64::NEG_INFINITY, f64::max) - low)).max(0.0)
    };
    let half = [span(0), span(1)];
    let steps = [0.0, -0.25, 0.25, -0.5, 0.5, -0.75, 0.75];
    let spots = steps.iter().flat_map(|v| steps.map(|u| [x + u * half[0], y + v * half[1]]));
    let rim = |[x, y]: Point| {
        let r = NUMBER_RADIUS;
        [[x, y], [x - r, y], [x + r, y], [x, y - r], [x, y + r]]
    };
    spots.into_iter().find(|&spot| {
        holds(&own, spot)
            && placed.iter().all(|other| (other[0] - spot[0]).hypot(other[1] - spot[1]) > 2.2 * NUMBER_RADIUS)
            && rim(spot).iter().all(|&point| !covers.iter().any(|cover| holds(cover, point)))
    })
}

fn cut_line(canvas: &mut Canvas, [low, high]: [Point; 2], whole_mm: f64, units: Units) {
    for x in [low[0], high[0]] {
        canvas.line([x, high[1]], [x, high[1] - GHOST], Pen::Ghost);
    }
    canvas.line([low[0] - 14.0, high[1]], [high[0] + 14.0, high[1]], Pen::Cut);
    let words = format!("cut corners to here (was {} inside)", written::size(whole_mm, units));
    let middle = [0.5 * (low[0] + high[0]), high[1] - GHOST - 6.0];
    canvas.words(middle, Lettering::SMALL.middle(), &words);
}

/// The heights as a column of dimensions to the right, and the inside height to the left.
fn heights(canvas: &mut Canvas, parcel: &Parcel, [low, high]: [Point; 2], frame: Frame, units: Units) {
    let height = parcel.carton.inside_mm[2];
    let level = |z: f64| frame.on_paper([0.0, z])[1];
    let left = low[0] - 10.0;
    arrow(canvas, [left, level(0.0)], [left, level(height)]);
    let words = format!("{} inside", written::size(height, units));
    let middle = 0.5 * (level(0.0) + level(height));
    canvas.words_upwards([left - 6.0, middle], Lettering::SMALL.middle(), &words);

    let spans = spans(parcel);
    let mut figures: Vec<f64> = spans.iter().map(|(_, from, to)| level(0.5 * (from + to))).collect();
    spread(&mut figures, FIGURE_APART, low[1] + 8.0, high[1] - 6.0);
    let (column, words_at) = (high[0] + 12.0, high[0] + 30.0);
    for ((name, from, to), figure) in spans.iter().zip(figures) {
        let [bottom, top] = [level(*from), level(*to)];
        for edge in [bottom, top] {
            canvas.line([high[0] + 2.0, edge], [column + 4.0, edge], Pen::Fine);
        }
        arrow(canvas, [column, bottom], [column, top]);
        canvas.line([column + 1.0, 0.5 * (bottom + top)], [words_at - 3.0, figure], Pen::Fine);
        let words = format!("{name}: {}", written::size(to - from, units));
        canvas.words([words_at, figure + 4.0], Lettering::SMALL, &words);
    }
}

/// What lies between which heights (mm), from the floor up.
fn spans(parcel: &Parcel) -> Vec<(String, f64, f64)> {
    let mut spans: Vec<(String, f64, f64)> = Vec::new();
    if parcel.fill.bed_mm > 0.0 {
        spans.push(("bed".to_owned(), 0.0, parcel.fill.bed_mm));
    }
    spans.extend(
        parcel.layers.iter().map(|layer| (format!("layer {}", layer.number), layer.bottom_mm, layer.top_mm)),
    );
    spans.extend(
        parcel
            .pads
            .iter()
            .map(|pad| (format!("pad {}", pad.number), pad.bottom_mm, pad.bottom_mm + pad.thickness_mm)),
    );
    spans.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.2.total_cmp(&b.2)));
    let stacked = spans.iter().map(|span| span.2).fold(0.0, f64::max);
    let height = parcel.carton.inside_mm[2];
    if height - stacked > plan::TOLERANCE_MM {
        spans.push(("top fill".to_owned(), stacked, height));
    }
    spans
}
