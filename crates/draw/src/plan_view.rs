//! One layer as seen from above.

use measure::Units;
use plan::{PairClearance, Parcel, PlacedBundle, PlacedPart};
use shape::PartKind;

use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::dimension::{arrow, gap_mark};
use crate::labels::{self, Ground, Taken, free_place};
use crate::outline::{Outline, Side, body_centre, body_hull, measured_centre};
use crate::{rests, text, written};

/// Where the inside's lower left corner lies on the paper, and how large a millimetre is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    /// The inside's lower left corner, px.
    pub corner: Point,
    /// Pixels to the millimetre.
    pub scale: f64,
}

impl Frame {
    /// Where a seen point (mm) lies on the paper.
    pub(crate) fn on_paper(self, [right, up]: [f64; 2]) -> Point {
        [self.corner[0] + right * self.scale, self.corner[1] - up * self.scale]
    }

    fn all_on_paper(self, points: &[[f64; 2]]) -> Vec<Point> {
        points.iter().map(|&point| self.on_paper(point)).collect()
    }
}

/// Room that a view from above needs around the outside of its carton: left, top, right, bottom, px.
pub(crate) const ROOM: [f64; 4] = [66.0, 58.0, 94.0, 60.0];

/// Half length of a cross, px.
const CROSS: f64 = 5.0;
/// A figure farther than this from its mark is tied to it by a line, px.
const FAR_FROM_MARK: f64 = 26.0;

/// Draws an outline in the frame.
pub(crate) fn outline(canvas: &mut Canvas, frame: Frame, shape: &Outline, pen: Pen, paint: Paint) {
    match shape {
        Outline::Circle { centre, radius, inner } => {
            let centre = frame.on_paper(*centre);
            canvas.circle(centre, radius * frame.scale, pen, paint);
            if let Some(inner) = inner.filter(|_| pen == Pen::Hard) {
                canvas.circle(centre, inner * frame.scale, Pen::Fine, Paint::Clear);
            }
        }
        Outline::Polygon { corners, axis } => {
            canvas.polygon(&frame.all_on_paper(corners), pen, paint);
            if let Some([from, to]) = axis.filter(|_| pen == Pen::Hard) {
                canvas.line(frame.on_paper(from), frame.on_paper(to), Pen::Centre);
            }
        }
    }
}

/// How the hard part of a kind is filled.
pub(crate) const fn paint_of(kind: PartKind) -> Paint {
    match kind {
        PartKind::Handle | PartKind::Knob => Paint::Hatch,
        PartKind::Spout => Paint::Grey,
        PartKind::Body | PartKind::Stem | PartKind::Foot | PartKind::Lid => Paint::White,
    }
}

/// Parts from the farthest to the nearest, so that the nearest is drawn last; of parts that are
/// equally near, bodies are drawn over what sticks out of them.
fn from_below(bundles: &[&PlacedBundle]) -> Vec<PlacedPart> {
    let mut parts: Vec<PlacedPart> = bundles.iter().flat_map(|bundle| bundle.parts.iter().cloned()).collect();
    let top = |part: &PlacedPart| part.placement.extent_mm(part.bare, 2).1;
    // Rounded, so that noise in the last bits cannot change the order.
    let level = |part: &PlacedPart| (top(part) * 100.0).round();
    parts.sort_by(|a, b| {
        level(a).total_cmp(&level(b)).then((a.kind == PartKind::Body).cmp(&(b.kind == PartKind::Body)))
    });
    parts
}

/// Draws the layer with this number; gives back notes to stand below it.
pub(crate) fn draw(
    canvas: &mut Canvas,
    parcel: &Parcel,
    layer: u32,
    bundles: &[&PlacedBundle],
    frame: Frame,
    units: Units,
) -> Vec<String> {
    canvas.open(&format!("layer-{layer}"));
    let [length, width, _] = parcel.carton.inside_mm;
    let boards = board(parcel);
    let outside =
        [frame.on_paper([-boards[0], -boards[1]]), frame.on_paper([length + boards[0], width + boards[1]])];
    let inside = [frame.on_paper([0.0, 0.0]), frame.on_paper([length, width])];
    canvas.rectangle(outside[0], outside[1], Pen::Board, Paint::White);
    canvas.rectangle(inside[0], inside[1], Pen::Board, Paint::Clear);
    headings(canvas, layer, outside);

    let parts = from_below(bundles);
    for part in &parts {
        let shape = Outline::of(part.grown, part.placement, Side::Above);
        outline(canvas, frame, &shape, Pen::Wrap, Paint::Clear);
    }
    for part in &parts {
        let shape = Outline::of(part.bare, part.placement, Side::Above);
        outline(canvas, frame, &shape, Pen::Hard, paint_of(part.kind));
    }
    beneath(canvas, parcel, bundles, frame);
    wall_clearances(canvas, &parts, [length, width], outside, frame, units);
    overall(canvas, [length, width], outside, frame, units);

    let mut taken = Vec::new();
    for bundle in bundles {
        let hull = frame.all_on_paper(&body_hull(bundle, Side::Above));
        let centre = frame.on_paper(body_centre(bundle, Side::Above));
        let measured = frame.on_paper(measured_centre(bundle, Side::Above));
        if (measured[0] - centre[0]).hypot(measured[1] - centre[1]) > 1.0 {
            cross(canvas, measured);
        }
        taken.push(labels::write(canvas, bundle, centre, &hull));
    }
    let mut notes = least_gap(canvas, parcel, bundles, &taken, frame, units);
    notes.extend(bundles.iter().filter_map(|bundle| {
        let list = rests::listed(rests::carriers(bundle))?;
        Some(format!("{} rests on {list}.", bundle.number))
    }));
    canvas.close();
    notes
}

/// The edges of what the layer's bundles rest on, seen through them.
fn beneath(canvas: &mut Canvas, parcel: &Parcel, bundles: &[&PlacedBundle], frame: Frame) {
    let named: std::collections::BTreeSet<u32> =
        bundles.iter().flat_map(|bundle| rests::carriers(bundle)).copied().collect();
    for part in
        parcel.bundles.iter().filter(|other| named.contains(&other.number)).flat_map(|other| &other.parts)
    {
        let shape = Outline::of(part.bare, part.placement, Side::Above);
        outline(canvas, frame, &shape, Pen::Ghost, Paint::Clear);
    }
}

/// Thickness of the board as drawn on each side of length, width and height, mm.
pub(crate) fn board(parcel: &Parcel) -> [f64; 3] {
    let [inside, outside] = [parcel.carton.inside_mm, parcel.carton.outside_mm];
    [0, 1, 2].map(|axis: usize| (0.5 * (outside[axis] - inside[axis])).max(0.0))
}

fn headings(canvas: &mut Canvas, layer: u32, [low, high]: [Point; 2]) {
    let middle = 0.5 * (low[0] + high[0]);
    canvas.words([middle, high[1] - 44.0], Lettering::HEAD.middle(), &format!("Layer {layer}, from above"));
    canvas.words([middle, high[1] - 26.0], Lettering::SMALL.middle(), "BACK (12 o'clock)");
    canvas.words([middle, low[1] + 34.0], Lettering::SMALL.bold().middle(), "FRONT (6 o'clock)");
    // A heavy bar marks the front wall.
    canvas.rectangle([low[0], low[1]], [high[0], low[1] + 4.0], Pen::Bare, Paint::Black);
}

/// Marks the point that a packer measures to, where the number stands elsewhere.
fn cross(canvas: &mut Canvas, [x, y]: Point) {
    canvas.line([x - CROSS, y], [x + CROSS, y], Pen::Hard);
    canvas.line([x, y - CROSS], [x, y + CROSS], Pen::Hard);
}

/// Writes a figure in a place of its own and ties it to its mark when that is far.
fn tied_figure(canvas: &mut Canvas, figure: &str, place: Taken, mark: Point) {
    let middle = [0, 1].map(|axis: usize| 0.5 * (place.from[axis] + place.to[axis]));
    if (middle[0] - mark[0]).hypot(middle[1] - mark[1]) > FAR_FROM_MARK {
        canvas.line(mark, middle, Pen::Fine);
    }
    canvas.rectangle(place.from, place.to, Pen::Bare, Paint::White);
    canvas.words([middle[0], place.to[1] - 3.0], Lettering::SMALL.bold().middle(), figure);
}

/// The distance from the nearest hard part to each of the four walls.
fn wall_clearances(
    canvas: &mut Canvas,
    parts: &[PlacedPart],
    [length, width]: [f64; 2],
    [low, high]: [Point; 2],
    frame: Frame,
    units: Units,
) {
    let shapes: Vec<Outline> =
        parts.iter().map(|part| Outline::of(part.bare, part.placement, Side::Above)).collect();
    for way in [[-1.0, 0.0], [1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
        let reach = |point: &[f64; 2]| way[0] * point[0] + way[1] * point[1];
        let wall = reach(&[length, width]).max(0.0);
        let farthest = shapes.iter().map(|shape| shape.farthest(way));
        let Some(there) = farthest.reduce(|a, b| if reach(&b) > reach(&a) + 1e-6 { b } else { a }) else {
            return;
        };
        let gap = wall - reach(&there);
        let at_wall = [there[0] + gap * way[0], there[1] + gap * way[1]];
        let (from, to) = (frame.on_paper(there), frame.on_paper(at_wall));
        arrow(canvas, from, to);
        let figure = written::clearance(gap, units);
        let small = Lettering::SMALL;
        // Figures stand outside the board, so that they never lie on a piece.
        match way {
            [x, _] if x < 0.0 => canvas.words([low[0] - 5.0, to[1] + 4.0], small.end(), &figure),
            [x, _] if x > 0.0 => canvas.words([high[0] + 5.0, to[1] + 4.0], small, &figure),
            [_, y] if y > 0.0 => canvas.words([to[0], high[1] - 6.0], small.middle(), &figure),
            _ => canvas.words([to[0], low[1] + 18.0], small.middle(), &figure),
        }
    }
}

/// Inside length and width as dimension lines.
fn overall(
    canvas: &mut Canvas,
    [length, width]: [f64; 2],
    [low, high]: [Point; 2],
    frame: Frame,
    units: Units,
) {
    let [left, right] = [0.0, length].map(|x| frame.on_paper([x, 0.0])[0]);
    let level = low[1] + 46.0;
    arrow(canvas, [left, level], [right, level]);
    let words = format!("{} inside", written::size(length, units));
    canvas.words([0.5 * (left + right), level + 14.0], Lettering::SMALL.middle(), &words);

    let [front, back] = [0.0, width].map(|y| frame.on_paper([0.0, y])[1]);
    let column = high[0] + 72.0;
    arrow(canvas, [column, front], [column, back]);
    let words = format!("{} inside", written::size(width, units));
    canvas.words_upwards([column + 15.0, 0.5 * (front + back)], Lettering::SMALL.middle(), &words);
}

/// Marks the least distance between two bundles of the layer and says it in words.
fn least_gap(
    canvas: &mut Canvas,
    parcel: &Parcel,
    bundles: &[&PlacedBundle],
    taken: &[Taken],
    frame: Frame,
    units: Units,
) -> Vec<String> {
    let find = |number: u32| bundles.iter().find(|bundle| bundle.number == number);
    let here = parcel.clearances.iter().filter_map(|pair| Some((pair, find(pair.a)?, find(pair.b)?)));
    let Some((pair, a, b)) =
        here.reduce(|best, next| if next.0.actual_mm < best.0.actual_mm { next } else { best })
    else {
        return Vec::new();
    };
    let PairClearance { required_mm, actual_mm, .. } = *pair;
    let figure = written::clearance(actual_mm, units);
    let shapes = |bundle: &PlacedBundle| -> Vec<Outline> {
        bundle.parts.iter().map(|part| Outline::of(part.bare, part.placement, Side::Above)).collect()
    };
    let others = shapes(b);
    let nearest = shapes(a)
        .iter()
        .flat_map(|one| others.iter().map(|other| one.nearest(other)).collect::<Vec<_>>())
        .reduce(|best, next| if next.2 < best.2 { next } else { best });
    if let Some((p, q, _)) = nearest {
        let (from, to) = (frame.on_paper(p), frame.on_paper(q));
        gap_mark(canvas, from, to);
        let way = [to[0] - from[0], to[1] - from[1]];
        let long = way[0].hypot(way[1]).max(1e-9);
        let middle = [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])];
        let half = [0.5 * text::width(&figure, Lettering::SMALL.size, true) + 1.0, 7.0];
        let [length, width, _] = parcel.carton.inside_mm;
        let inside = Taken { from: frame.on_paper([0.0, width]), to: frame.on_paper([length, 0.0]) };
        let parts = bundles.iter().flat_map(|bundle| &bundle.parts);
        let hard: Vec<Vec<Point>> = parts
            .map(|part| frame.all_on_paper(&Outline::of(part.bare, part.placement, Side::Above).corners()))
            .collect();
        let ground = Ground { taken, hard: &hard, inside };
        if let Some(place) = free_place(middle, half, way.map(|side| side / long), ground) {
            tied_figure(canvas, &figure, place, middle);
        }
    }
    let least = written::clearance(required_mm, units);
    vec![format!("Least gap, bare to bare: {figure}, {} to {} (limit {least}).", pair.a, pair.b)]
}
