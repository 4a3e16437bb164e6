//! The whole sheet: title block, views, key, table and steps, laid out on one width.

use measure::Units;
use plan::{Carton, Parcel, PlacedBundle};

use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::plan_view::{self, Frame, board};
use crate::steps::{layers, steps};
use crate::{key, legend, side_view, text, written};

/// Width of the drawing, px.
const WIDTH: f64 = 800.0;
/// White margin all round, px.
const MARGIN: f64 = 16.0;
/// Smallest scale at which two views stand side by side, px/mm: a cup of 4 in is then 67 px wide.
const LEAST_PAIRED_SCALE: f64 = 0.66;
/// Largest scale, px/mm: a small carton is not blown up beyond easy reading.
const LARGEST_SCALE: f64 = 1.7;
/// Most height that the drawn carton of one view takes, px.
const TALLEST: f64 = 480.0;
/// Shortest side by which the scale is reckoned, mm; guards against a carton without extent.
const LEAST_SIDE_MM: f64 = 20.0;
/// Height of a line of notes or steps, px.
const LINE: f64 = 17.0;
/// Most lines that one step takes.
const STEP_LINES: usize = 6;

/// How the views are set on the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Layout {
    columns: usize,
    cell: f64,
    scale: f64,
}

impl Layout {
    fn of(parcel: &Parcel) -> Self {
        let side = |axis: usize| {
            parcel.carton.outside_mm[axis].max(parcel.carton.inside_mm[axis]).max(LEAST_SIDE_MM)
        };
        let [left, _, right, _] = plan_view::ROOM;
        let [side_left, _, side_right, _] = side_view::ROOM;
        let beside = (left + right).max(side_left + side_right);
        let scale_for = |cell: f64| {
            let across = (cell - beside) / side(0);
            across.min(TALLEST / side(1).max(side(2))).min(LARGEST_SCALE)
        };
        let pair = 0.5 * (WIDTH - 2.0 * MARGIN);
        if scale_for(pair) >= LEAST_PAIRED_SCALE {
            Self { columns: 2, cell: pair, scale: scale_for(pair) }
        } else {
            let cell = WIDTH - 2.0 * MARGIN;
            Self { columns: 1, cell, scale: scale_for(cell) }
        }
    }
}

/// What stands in one cell of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum View {
    Layer(u32),
    Side,
}

/// The drawing of one parcel as a standalone SVG document.
///
/// Every layer from above, the stack from the front, a key, the table of bundles and the steps, all
/// views to one scale, in black, white and grey. The document is 800 px wide (its `viewBox` scales),
/// has `title` and `desc` for who cannot see it, and refers to nothing outside itself. All text from
/// `title` and the parcel is escaped; figures are written in `units`. The same parcel gives the same
/// text. Figures that are not finite are drawn at 0 and written as unknown.
#[must_use]
pub fn parcel_svg(parcel: &Parcel, title: &str, units: Units) -> String {
    let mut canvas = Canvas::default();
    let layout = Layout::of(parcel);
    let mut y = title_block(&mut canvas, parcel, title, units);
    let mut views: Vec<View> = layers(parcel).into_iter().map(View::Layer).collect();
    views.push(View::Side);
    let key_in_row = layout.columns == 2 && views.len() % 2 == 1;
    for row in views.chunks(layout.columns) {
        let bottom = row_of_views(&mut canvas, parcel, row, y, layout, units);
        if key_in_row && row.len() < layout.columns {
            let at = [MARGIN + layout.cell + 16.0, y + 10.0];
            key::draw(&mut canvas, parcel, at, layout.cell - 16.0, layout.scale, units);
            y = bottom.max(y + 10.0 + key::height(parcel, layout.cell));
        } else {
            y = bottom;
        }
    }
    if !key_in_row {
        key::draw(&mut canvas, parcel, [MARGIN, y], WIDTH - 2.0 * MARGIN, layout.scale, units);
        y += key::height(parcel, WIDTH - 2.0 * MARGIN);
    }
    y = legend::draw(&mut canvas, parcel, [MARGIN, y + 8.0], WIDTH - 2.0 * MARGIN, units);
    y = step_list(&mut canvas, parcel, y + 14.0, units);
    canvas.finish([WIDTH, y + MARGIN], &spoken_title(parcel, title), &description(parcel, units))
}

fn spoken_title(parcel: &Parcel, title: &str) -> String {
    if title.trim().is_empty() {
        format!("Parcel in carton {}", parcel.carton.name)
    } else {
        title.to_owned()
    }
}

/// What the drawing shows, in one paragraph, for who cannot see it.
fn description(parcel: &Parcel, units: Units) -> String {
    let [bundles, layers] = [parcel.bundles.len(), layers(parcel).len()];
    format!(
        "Packing drawing of carton {}, inside {}: {bundles} {} in {layers} {}, {} gross. Each layer is seen \
         from above with the front at the bottom, then the stack from the front. The table and the numbered \
         steps below say the same in words.",
        parcel.carton.name,
        written::sides(parcel.carton.inside_mm, units),
        if bundles == 1 { "bundle" } else { "bundles" },
        if layers == 1 { "layer" } else { "layers" },
        written::mass(parcel.gross_g, units)
    )
}

fn title_block(canvas: &mut Canvas, parcel: &Parcel, title: &str, units: Units) -> f64 {
    canvas.open("title");
    let room = WIDTH - 2.0 * MARGIN - 24.0;
    let left = MARGIN + 12.0;
    let mut y = MARGIN + 28.0;
    for line in text::broken(&spoken_title(parcel, title), 1.1 * Lettering::TITLE.size, room, 2) {
        canvas.words([left, y], Lettering::TITLE, &line);
        y += 25.0;
    }
    for [one, other] in facts(parcel, units) {
        for (column, fact) in [one, other].iter().enumerate() {
            let at = [left + 0.5 * room * column as f64, y];
            canvas.words(at, Lettering::BODY, &text::cut_to(fact, Lettering::BODY.size, 0.5 * room - 10.0));
        }
        y += 18.0;
    }
    canvas.rectangle([MARGIN, MARGIN], [WIDTH - MARGIN, y], Pen::Board, Paint::Clear);
    canvas.close();
    y + 10.0
}

fn facts(parcel: &Parcel, units: Units) -> [[String; 2]; 3] {
    let Carton { name, inside_mm, outside_mm, cut_down_from_mm, board, .. } = &parcel.carton;
    let [_, _, height] = *inside_mm;
    let cut = cut_down_from_mm.map_or_else(
        || "Used whole, not cut down".to_owned(),
        |whole| {
            format!(
                "Cut down from {} to {} inside",
                written::size(whole, units),
                written::size(height, units)
            )
        },
    );
    [
        [format!("Carton: {name}"), format!("Gross: {}", written::mass(parcel.gross_g, units))],
        [
            format!("Inside: {}", written::sides(*inside_mm, units)),
            format!("Outside: {}", written::sides(*outside_mm, units)),
        ],
        [cut, format!("Board: {board}")],
    ]
}

/// Draws views side by side; gives back where the row ends, px.
fn row_of_views(
    canvas: &mut Canvas,
    parcel: &Parcel,
    row: &[View],
    top: f64,
    layout: Layout,
    units: Units,
) -> f64 {
    let mut bottom = top;
    for (column, view) in row.iter().enumerate() {
        let cell_left = MARGIN + layout.cell * column as f64;
        let (corner, foot) = corner_of(*view, parcel, [cell_left, top], layout);
        let frame = Frame { corner, scale: layout.scale };
        let notes = match *view {
            View::Layer(layer) => {
                let bundles: Vec<&PlacedBundle> =
                    parcel.bundles.iter().filter(|bundle| bundle.layer == layer).collect();
                plan_view::draw(canvas, parcel, layer, &bundles, frame, units)
            }
            View::Side => side_view::draw(canvas, parcel, frame, units),
        };
        let mut y = foot;
        for note in notes {
            for line in text::broken(&note, Lettering::SMALL.size, layout.cell - 16.0, 3) {
                y += LINE;
                canvas.words([cell_left + 0.5 * layout.cell, y], Lettering::SMALL.middle(), &line);
            }
        }
        bottom = bottom.max(y + 20.0);
    }
    bottom
}

/// Where the inside's lower left corner of a view lies, and where the view's foot is, px.
fn corner_of(view: View, parcel: &Parcel, [cell_left, top]: Point, layout: Layout) -> (Point, f64) {
    let boards = board(parcel);
    let inside = parcel.carton.inside_mm;
    let (room, up, cut) = match view {
        View::Layer(_) => (plan_view::ROOM, 1, 0.0),
        View::Side => {
            let cut = parcel.carton.cut_down_from_mm.map_or(0.0, |_| side_view::ROOM_FOR_CUT);
            (side_view::ROOM, 2, cut)
        }
    };
    let outside = |axis: usize| (inside[axis] + 2.0 * boards[axis]) * layout.scale;
    let spare = layout.cell - room[0] - room[2] - outside(0);
    let left = cell_left + room[0] + 0.5 * spare.max(0.0) + boards[0] * layout.scale;
    let bottom = top + room[1] + cut + outside(up);
    ([left, bottom - boards[up] * layout.scale], bottom + room[3])
}

/// Writes the numbered steps; gives back where they end, px.
fn step_list(canvas: &mut Canvas, parcel: &Parcel, top: f64, units: Units) -> f64 {
    canvas.open("steps");
    canvas.words([MARGIN, top + 16.0], Lettering::HEAD, "Steps");
    let mut y = top + 22.0;
    let indent = 30.0;
    let room = WIDTH - 2.0 * MARGIN - indent;
    for (index, step) in steps(parcel, units).iter().enumerate() {
        for (line, words) in text::broken(step, Lettering::BODY.size, room, STEP_LINES).iter().enumerate() {
            y += LINE;
            if line == 0 {
                let number = format!("{}.", index + 1);
                canvas.words([MARGIN + indent - 8.0, y], Lettering::BODY.bold().end(), &number);
            }
            canvas.words([MARGIN + indent, y], Lettering::BODY, words);
        }
        y += 3.0;
    }
    canvas.close();
    y
}
