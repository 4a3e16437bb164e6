//! How to read the drawing: what each kind of line means, the clock face, and the scale bar.

use measure::{Length, Units};
use plan::Parcel;
use shape::PartKind;

use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::dimension::gap_mark;
use crate::rests::carriers;

/// Height of one entry, px.
const ENTRY: f64 = 21.0;
/// Room that the clock face takes at the right, px.
const CLOCK: f64 = 134.0;
/// Longest scale bar, px.
const LONGEST_BAR: f64 = 170.0;
/// Whole counts of the unit that a scale bar may show.
const BAR_COUNTS: [u32; 8] = [20, 12, 10, 6, 5, 4, 2, 1];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sign {
    Number,
    Hour,
    Hard,
    Wrap,
    Handle,
    Spout,
    Fill,
    Pad,
    Gap,
    Centre,
    Beneath,
}

impl Sign {
    const ALL: [Self; 11] = [
        Self::Number,
        Self::Hour,
        Self::Hard,
        Self::Wrap,
        Self::Handle,
        Self::Spout,
        Self::Centre,
        Self::Gap,
        Self::Fill,
        Self::Pad,
        Self::Beneath,
    ];

    const fn words(self) -> &'static str {
        match self {
            Self::Number => "its place in the loading order",
            Self::Hour => "hour its handle points to",
            Self::Hard => "edge of a hard part",
            Self::Wrap => "outside of its wrap",
            Self::Handle => "handle or knob",
            Self::Spout => "spout",
            Self::Fill => "loose fill",
            Self::Pad => "pad, wall to wall",
            Self::Gap => "least gap in the layer",
            Self::Centre => "axis of a round piece",
            Self::Beneath => "edge of what it rests on",
        }
    }

    fn is_in(self, parcel: &Parcel) -> bool {
        let any = |test: &dyn Fn(PartKind) -> bool| {
            parcel.bundles.iter().flat_map(|bundle| &bundle.parts).any(|part| test(part.kind))
        };
        match self {
            Self::Number | Self::Hard | Self::Wrap | Self::Centre | Self::Fill => true,
            Self::Hour => any(&|kind| matches!(kind, PartKind::Handle | PartKind::Spout)),
            Self::Handle => any(&|kind| matches!(kind, PartKind::Handle | PartKind::Knob)),
            Self::Spout => any(&|kind| kind == PartKind::Spout),
            Self::Pad => !parcel.pads.is_empty(),
            Self::Gap => !parcel.clearances.is_empty(),
            Self::Beneath => parcel.bundles.iter().any(|bundle| !carriers(bundle).is_empty()),
        }
    }

    fn draw(self, canvas: &mut Canvas, [x, y]: Point) {
        let (from, to) = ([x, y - 6.0], [x + 28.0, y + 6.0]);
        match self {
            Self::Number => {
                canvas.circle([x + 14.0, y], 8.0, Pen::Board, Paint::White);
                canvas.words([x + 14.0, y + 4.0], Lettering::SMALL.bold().middle(), "n");
            }
            Self::Hour => canvas.words([x + 14.0, y + 4.0], Lettering::SMALL.middle(), "to 4"),
            Self::Hard => canvas.line([x, y], [x + 28.0, y], Pen::Hard),
            Self::Wrap => canvas.line([x, y], [x + 28.0, y], Pen::Wrap),
            Self::Centre => canvas.line([x, y], [x + 28.0, y], Pen::Centre),
            Self::Beneath => canvas.line([x, y], [x + 28.0, y], Pen::Ghost),
            Self::Handle => canvas.rectangle(from, to, Pen::Hard, Paint::Hatch),
            Self::Spout => canvas.rectangle(from, to, Pen::Hard, Paint::Grey),
            Self::Fill => canvas.rectangle(from, to, Pen::Fine, Paint::Dots),
            Self::Pad => canvas.rectangle([x, y - 2.0], [x + 28.0, y + 2.0], Pen::Bare, Paint::Black),
            Self::Gap => gap_mark(canvas, [x + 11.0, y], [x + 17.0, y]),
        }
    }
}

fn signs(parcel: &Parcel) -> Vec<Sign> {
    Sign::ALL.into_iter().filter(|sign| sign.is_in(parcel)).collect()
}

const fn columns(width: f64) -> usize {
    if width > 600.0 { 2 } else { 1 }
}

/// Height of the key when drawn this wide, px.
pub(crate) fn height(parcel: &Parcel, width: f64) -> f64 {
    let rows = signs(parcel).len().div_ceil(columns(width));
    (30.0 + ENTRY * rows as f64 + 46.0).max(30.0 + CLOCK + 20.0)
}

/// Draws the key with its upper left corner at `at`.
pub(crate) fn draw(canvas: &mut Canvas, parcel: &Parcel, at: Point, width: f64, scale: f64, units: Units) {
    canvas.open("key");
    canvas.words([at[0], at[1] + 16.0], Lettering::HEAD, "How to read it");
    let signs = signs(parcel);
    let rows = signs.len().div_ceil(columns(width));
    for (index, sign) in signs.iter().enumerate() {
        let (column, row) = (index / rows.max(1), index % rows.max(1));
        let here = [at[0] + 270.0 * column as f64, at[1] + 36.0 + ENTRY * row as f64];
        sign.draw(canvas, here);
        canvas.words([here[0] + 38.0, here[1] + 4.0], Lettering::SMALL, sign.words());
    }
    clock_face(canvas, [at[0] + width - 0.5 * CLOCK, at[1] + 30.0 + 0.5 * CLOCK]);
    scale_bar(canvas, [at[0], at[1] + 36.0 + ENTRY * rows as f64 + 4.0], scale, units);
    canvas.close();
}

fn clock_face(canvas: &mut Canvas, [x, y]: Point) {
    let radius = 48.0;
    canvas.circle([x, y], radius, Pen::Board, Paint::White);
    for hour in 1..=12_u32 {
        let angle = f64::from(hour) * std::f64::consts::TAU / 12.0;
        let out = |r: f64| [x + r * angle.sin(), y - r * angle.cos()];
        canvas.line(out(radius), out(radius - 4.0), Pen::Fine);
        let at = out(radius - 12.0);
        let lettering = if hour % 3 == 0 { Lettering::SMALL.bold() } else { Lettering::SMALL };
        canvas.words([at[0], at[1] + 4.0], lettering.middle(), &hour.to_string());
    }
    canvas.words([x, y - radius - 6.0], Lettering::SMALL.middle(), "back");
    canvas.words([x, y + radius + 15.0], Lettering::SMALL.bold().middle(), "FRONT");
}

fn scale_bar(canvas: &mut Canvas, [x, y]: Point, scale: f64, units: Units) {
    let (unit_mm, word) = match units {
        Units::UsCustomary => (Length::from_inches(1.0).mm(), "in"),
        Units::Metric => (10.0, "cm"),
    };
    let unit = unit_mm * scale;
    let fitting = BAR_COUNTS.into_iter().find(|&count| f64::from(count) * unit <= LONGEST_BAR);
    let count = fitting.unwrap_or(1);
    for step in 0..count {
        let from = x + f64::from(step) * unit;
        let paint = if step % 2 == 0 { Paint::Black } else { Paint::White };
        canvas.rectangle([from, y], [from + unit, y + 6.0], Pen::Fine, paint);
    }
    let end = x + f64::from(count) * unit;
    canvas.words([x, y + 20.0], Lettering::SMALL, "0");
    canvas.words([end, y + 20.0], Lettering::SMALL.middle(), &format!("{count} {word}"));
}
