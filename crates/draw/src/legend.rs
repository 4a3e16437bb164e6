//! The table of bundles: number, name, way up, layer, turn and mass.

use measure::Units;
use plan::{Parcel, PlacedBundle};

use crate::canvas::{Canvas, Lettering, Pen, Point};
use crate::clock::Turn;
use crate::steps::stance;
use crate::{text, written};

/// A column: its heading, its left edge as px from the table's, and its room in px.
const COLUMNS: [(&str, f64, f64); 6] = [
    ("No.", 0.0, 34.0),
    ("What", 38.0, 252.0),
    ("Way up", 296.0, 86.0),
    ("Layer", 384.0, 42.0),
    ("Turn", 440.0, 232.0),
    ("Mass", 676.0, 92.0),
];
/// Height of a line, px.
const LINE: f64 = 16.0;
/// Air above and below the lines of a row, px.
const AIR: f64 = 5.0;
/// Most lines that one cell takes; the rest of a longer name is cut.
const MOST_LINES: usize = 3;

fn cells(bundle: &PlacedBundle, units: Units) -> [String; 6] {
    [
        bundle.number.to_string(),
        bundle.label.clone(),
        stance(bundle).1.to_owned(),
        bundle.layer.to_string(),
        Turn::of(bundle).words().unwrap_or_else(|| "any way round".to_owned()),
        written::mass(bundle.mass_g, units),
    ]
}

/// Draws the table with its upper left corner at `at`; gives back where it ends, px.
pub(crate) fn draw(canvas: &mut Canvas, parcel: &Parcel, at: Point, width: f64, units: Units) -> f64 {
    canvas.open("table");
    canvas.words([at[0], at[1] + 16.0], Lettering::HEAD, "In the order of loading");
    let mut y = at[1] + 24.0;
    canvas.line([at[0], y], [at[0] + width, y], Pen::Board);
    for (heading, left, _) in COLUMNS {
        canvas.words([at[0] + left, y + LINE], Lettering::BODY.bold(), heading);
    }
    y += LINE + AIR + 1.0;
    canvas.line([at[0], y], [at[0] + width, y], Pen::Board);
    for bundle in &parcel.bundles {
        let cells = cells(bundle, units);
        let mut most = 1;
        for (column, ((_, left, room), cell)) in COLUMNS.iter().zip(&cells).enumerate() {
            let lines = text::broken(cell, Lettering::BODY.size, *room, MOST_LINES);
            most = most.max(lines.len());
            let lettering = if column == 0 { Lettering::BODY.bold() } else { Lettering::BODY };
            for (index, line) in lines.iter().enumerate() {
                canvas.words([at[0] + left, y + LINE * (index as f64 + 1.0)], lettering, line);
            }
        }
        y += LINE * most as f64 + AIR;
        canvas.line([at[0], y], [at[0] + width, y], Pen::Fine);
    }
    canvas.close();
    y
}
