//! A bare piece with its measures: what each figure is taken from, so that none is misread.

use measure::{Length, Units};
use shape::{Part, PartKind, Piece};

use crate::canvas::{Canvas, Lettering, Pen};
use crate::dimension::arrow;
use crate::outline::{Outline, Side};
use crate::plan_view::{Frame, outline, paint_of};
use crate::{text, written};

/// A measure that has a place on the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PieceMeasure {
    /// Across the body at its widest, without handles; the longer side of a block.
    Across,
    /// The shorter level side of a block.
    Width,
    /// From the table up to the rim.
    Height,
    /// The narrowest diameter half way up.
    Waist,
    /// How far a handle stands out beyond the body.
    HandleReach,
    /// A handle across, seen from above.
    HandleWidth,
    /// A handle from its lower to its upper end.
    HandleHeight,
    /// From the table up to a handle's lower end.
    HandleBottom,
    /// How far a spout stands out beyond the body.
    SpoutReach,
    /// A spout across, seen from above.
    SpoutWidth,
    /// A spout from its lower end up to the rim.
    SpoutHeight,
    /// A stem across.
    StemDiameter,
    /// From the foot up to the bowl.
    StemHeight,
    /// Across the foot.
    FootDiameter,
    /// Thickness of the foot.
    FootHeight,
    /// Across a lid.
    LidDiameter,
    /// A lid from its rim to the top of its knob.
    LidHeight,
    /// The knob's share of the lid's height.
    KnobHeight,
    /// A knob across.
    KnobDiameter,
}

/// A figure to stand at its measure.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceFigure {
    /// What it measures.
    pub measure: PieceMeasure,
    /// The letter that stands for it in the form and the table beside the drawing.
    pub letter: char,
    /// Its length.
    pub length: Length,
    /// Whether it was measured; an estimate is marked.
    pub measured: bool,
}

/// Width of the drawing, px.
const WIDTH: f64 = 440.0;
/// White margin, px.
const MARGIN: f64 = 10.0;
/// Most height of one view, px.
const TALLEST: f64 = 250.0;
/// Largest scale, px/mm.
const LARGEST_SCALE: f64 = 2.6;
/// Smallest scale, px/mm: what is out of all proportion is still drawn.
const LEAST_SCALE: f64 = 1e-3;
/// Shortest side by which the scale is reckoned, mm.
const LEAST_SIDE_MM: f64 = 5.0;
/// From a view to its nearest dimension line, and from one line to the next, px.
const STEP: f64 = 26.0;
/// Room for a figure beside an upright line, px.
const BESIDE: f64 = 96.0;
/// Least distance of two figures one above the other, px.
const APART: f64 = 17.0;
/// Room for the heading of a view, px.
const HEADING: f64 = 26.0;
/// How far an extension line passes its dimension line, px.
const PAST: f64 = 5.0;

/// Which side of a view an upright dimension stands at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Beside {
    Left,
    Right,
}

/// A dimension of a view, mm.
#[derive(Debug, Clone)]
enum Line {
    /// Level, below the view: from and to, and the height its extension lines begin at.
    Level { span: [f64; 2], begins: f64, words: String },
    /// Upright, beside the view: from and to, and where its extension lines begin.
    Upright { span: [f64; 2], begins: f64, beside: Beside, words: String },
}

/// One view with its dimensions.
struct View {
    heading: &'static str,
    parts: Vec<Part>,
    side: Side,
    lines: Vec<Line>,
}

/// The drawing of a bare piece with its measures as a standalone SVG document, 440 px wide.
///
/// From the front and from above, the lid beside them where there is one; every figure stands at the line that it
/// measures, with its letter; an estimate has a `~` before it. Handles and spouts are hatched and grey, so that
/// their reach is seen to begin where the body ends. Figures that have no line here are left out. Text is escaped;
/// figures are written in `units`.
#[must_use]
pub fn piece_svg(piece: &Piece, figures: &[PieceFigure], title: &str, units: Units) -> String {
    let said = |figure: &PieceFigure| {
        let guess = if figure.measured { "" } else { "~" };
        format!("{} {guess}{}", figure.letter, written::size(figure.length.mm(), units))
    };
    let mut views = vec![
        View { heading: "From the side", parts: piece.parts.clone(), side: Side::Front, lines: Vec::new() },
        View { heading: "From above", parts: piece.parts.clone(), side: Side::Above, lines: Vec::new() },
    ];
    for lid in &piece.apart {
        views.push(View { heading: "Its lid", parts: lid.clone(), side: Side::Front, lines: Vec::new() });
    }
    for figure in figures {
        place(&mut views, figure, &said(figure));
    }
    let mut canvas = Canvas::default();
    let mut y = MARGIN;
    for view in &views {
        y = draw(&mut canvas, view, y) + 14.0;
    }
    let listed: Vec<String> = figures.iter().map(said).collect();
    let description = format!(
        "A piece with its measures: {}. ~ marks what was not measured. The table beside the drawing says what each \
         letter is.",
        listed.join(", ")
    );
    canvas.finish([WIDTH, y], title, &description)
}

/// Extent of parts of these kinds along an axis, mm.
fn extent(parts: &[Part], kinds: &[PartKind], axis: usize) -> Option<[f64; 2]> {
    let spans = parts.iter().filter(|part| kinds.contains(&part.kind));
    spans
        .map(|part| part.placement.extent_mm(part.solid, axis))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
        .map(|(low, high)| [low, high])
}

/// The first part of a kind along x, and whether it points left.
fn arm(parts: &[Part], kind: PartKind) -> Option<(Vec<Part>, bool)> {
    let first = parts.iter().find(|part| part.kind == kind)?;
    Some((vec![*first], first.placement.at_mm[0] < 0.0))
}

/// Puts a figure at the line it measures, in the view that shows it.
fn place(views: &mut [View], figure: &PieceFigure, words: &str) {
    use PieceMeasure as M;
    const BODY: &[PartKind] = &[PartKind::Body];
    let (view, line) = match figure.measure {
        M::LidDiameter | M::LidHeight | M::KnobHeight | M::KnobDiameter => {
            (2, of_lid(views, figure.measure, words))
        }
        M::Width => {
            let parts = parts(views, 1);
            let upright = extent(parts, BODY, 1)
                .zip(extent(parts, BODY, 0))
                .map(|(span, across)| upright(span, across[0], Beside::Left, words));
            (1, upright)
        }
        M::HandleWidth => (1, arm_width(parts(views, 1), PartKind::Handle, words)),
        M::SpoutWidth => (1, arm_width(parts(views, 1), PartKind::Spout, words)),
        M::Across | M::Waist | M::StemDiameter | M::FootDiameter => {
            (0, level_of(parts(views, 0), figure.measure, figure.length, words))
        }
        M::Height | M::StemHeight | M::FootHeight => (0, height_of(parts(views, 0), figure.measure, words)),
        M::HandleReach => (0, reach(parts(views, 0), PartKind::Handle, words)),
        M::SpoutReach => (0, reach(parts(views, 0), PartKind::Spout, words)),
        M::HandleHeight => (0, arm_height(parts(views, 0), PartKind::Handle, words)),
        M::SpoutHeight => (0, arm_height(parts(views, 0), PartKind::Spout, words)),
        M::HandleBottom => {
            let line = arm(parts(views, 0), PartKind::Handle).and_then(|(handle, left)| {
                let up = extent(&handle, &[PartKind::Handle], 2)?;
                let out = extent(&handle, &[PartKind::Handle], 0)?;
                Some(upright([0.0, up[0]], beyond(out, left), side_of(left), words))
            });
            (0, line)
        }
    };
    if let (Some(view), Some(line)) = (views.get_mut(view), line) {
        view.lines.push(line);
    }
}

fn parts(views: &[View], index: usize) -> &[Part] {
    views.get(index).map_or(&[], |view| view.parts.as_slice())
}

fn upright(span: [f64; 2], begins: f64, beside: Beside, words: &str) -> Line {
    Line::Upright { span, begins, beside, words: words.to_owned() }
}

const fn side_of(left: bool) -> Beside {
    if left { Beside::Left } else { Beside::Right }
}

/// The end of an arm away from the body.
const fn beyond(out: [f64; 2], left: bool) -> f64 {
    if left { out[0] } else { out[1] }
}

fn reach(parts: &[Part], kind: PartKind, words: &str) -> Option<Line> {
    let (arm, left) = arm(parts, kind)?;
    let out = extent(&arm, &[kind], 0)?;
    let up = extent(&arm, &[kind], 2)?;
    let body = extent(parts, &[PartKind::Body], 0)?;
    let span = if left { [out[0], body[0]] } else { [body[1], out[1]] };
    (span[1] > span[0]).then(|| Line::Level { span, begins: up[0], words: words.to_owned() })
}

fn arm_height(parts: &[Part], kind: PartKind, words: &str) -> Option<Line> {
    let (arm, left) = arm(parts, kind)?;
    let out = extent(&arm, &[kind], 0)?;
    Some(upright(extent(&arm, &[kind], 2)?, beyond(out, left), side_of(left), words))
}

fn arm_width(parts: &[Part], kind: PartKind, words: &str) -> Option<Line> {
    let (arm, left) = arm(parts, kind)?;
    let out = extent(&arm, &[kind], 0)?;
    Some(upright(extent(&arm, &[kind], 1)?, beyond(out, left), side_of(left), words))
}

/// A level measure of the standing piece, drawn as long as it is and about the axis.
fn level_of(parts: &[Part], measure: PieceMeasure, length: Length, words: &str) -> Option<Line> {
    let kind = match measure {
        PieceMeasure::StemDiameter => PartKind::Stem,
        PieceMeasure::FootDiameter => PartKind::Foot,
        _ => PartKind::Body,
    };
    let span = extent(parts, &[kind], 0)?;
    let up = extent(parts, &[kind], 2)?;
    let (span, begins) = match measure {
        PieceMeasure::Waist => {
            let half = 0.5 * length.mm();
            ([-half, half], 0.5 * (up[0] + up[1]))
        }
        PieceMeasure::StemDiameter => (span, 0.5 * (up[0] + up[1])),
        _ => (span, up[0]),
    };
    Some(Line::Level { span, begins, words: words.to_owned() })
}

/// A height of the standing piece.
fn height_of(parts: &[Part], measure: PieceMeasure, words: &str) -> Option<Line> {
    let body = extent(parts, &[PartKind::Body], 2)?;
    let across = extent(parts, &[PartKind::Body], 0)?;
    let foot = extent(parts, &[PartKind::Foot], 2);
    let foot_across = extent(parts, &[PartKind::Foot], 0);
    match measure {
        PieceMeasure::FootHeight => Some(upright(foot?, foot_across?[1], Beside::Right, words)),
        PieceMeasure::StemHeight => {
            Some(upright([foot.map_or(0.0, |foot| foot[1]), body[0]], across[1], Beside::Right, words))
        }
        _ => Some(upright([0.0, body[1]], across[0], Beside::Left, words)),
    }
}

fn of_lid(views: &[View], measure: PieceMeasure, words: &str) -> Option<Line> {
    let parts = parts(views, 2);
    let lid = extent(parts, &[PartKind::Lid], 2)?;
    let across = extent(parts, &[PartKind::Lid], 0)?;
    let knob = extent(parts, &[PartKind::Knob], 2);
    let top = knob.map_or(lid[1], |knob| knob[1].max(lid[1]));
    match measure {
        PieceMeasure::LidDiameter => {
            Some(Line::Level { span: across, begins: lid[0], words: words.to_owned() })
        }
        PieceMeasure::KnobDiameter => {
            let span = extent(parts, &[PartKind::Knob], 0)?;
            Some(Line::Level { span, begins: top, words: words.to_owned() })
        }
        PieceMeasure::KnobHeight => {
            let span = extent(parts, &[PartKind::Knob], 0)?;
            Some(upright([lid[1], top], span[1], Beside::Right, words))
        }
        _ => Some(upright([lid[0], top], across[0], Beside::Left, words)),
    }
}

/// A dimension with the row or column it was given, from the view outwards.
struct Set<'a> {
    line: &'a Line,
    row: usize,
}

/// Gives every dimension the nearest row or column that is free for it.
fn rows<'a>(lines: impl Iterator<Item = &'a Line>, scale: f64) -> Vec<Set<'a>> {
    let mut taken: Vec<Vec<[f64; 2]>> = Vec::new();
    let mut set = Vec::new();
    for line in lines {
        let room = match line {
            // A figure that doesn't fit its line stands after its end.
            Line::Level { span, words, .. } => {
                let wide = text::width(words, Lettering::BODY.size, false);
                let long = (span[1] - span[0]) * scale;
                let end = if long > wide + 20.0 { 6.0 } else { wide + 20.0 };
                [span[0] * scale - 6.0, span[1] * scale + end]
            }
            Line::Upright { span, .. } => {
                let middle = 0.5 * (span[0] + span[1]) * scale;
                [(span[0] * scale).min(middle - APART / 2.0), (span[1] * scale).max(middle + APART / 2.0)]
            }
        };
        let free = |row: &Vec<[f64; 2]>| {
            row.iter().all(|other| room[1] <= other[0] + 0.5 || other[1] <= room[0] + 0.5)
        };
        let row = taken.iter().position(free).unwrap_or(taken.len());
        if row == taken.len() {
            taken.push(Vec::new());
        }
        if let Some(there) = taken.get_mut(row) {
            there.push(room);
        }
        set.push(Set { line, row });
    }
    set
}

/// Draws a view from `top` on; gives back where it ends, px.
fn draw(canvas: &mut Canvas, view: &View, top: f64) -> f64 {
    let up = match view.side {
        Side::Above => 1,
        Side::Front => 2,
    };
    let all = [
        PartKind::Body,
        PartKind::Handle,
        PartKind::Spout,
        PartKind::Stem,
        PartKind::Foot,
        PartKind::Knob,
        PartKind::Lid,
    ];
    let finite = |span: Option<[f64; 2]>| {
        span.filter(|span| span.iter().all(|end| end.is_finite())).unwrap_or([0.0, LEAST_SIDE_MM])
    };
    let (x, z) = (finite(extent(&view.parts, &all, 0)), finite(extent(&view.parts, &all, up)));
    let columns = |beside: Beside, scale: f64| {
        let lines =
            view.lines.iter().filter(|line| matches!(line, Line::Upright { beside: b, .. } if *b == beside));
        rows(lines, scale)
    };
    let most = |sets: &[Set<'_>]| sets.iter().map(|set| set.row + 1).max().unwrap_or(0);
    // Columns hang on the scale and the scale on the columns: a first guess at the largest scale is on the safe side
    // of neither, so they are set twice.
    let scale_for = |left: usize, right: usize| {
        let room = WIDTH - 2.0 * MARGIN - BESIDE * (left + right) as f64;
        let side = |span: [f64; 2]| (span[1] - span[0]).max(LEAST_SIDE_MM);
        (room / side(x)).min(TALLEST / side(z)).clamp(LEAST_SCALE, LARGEST_SCALE)
    };
    let guess = scale_for(1, 1);
    let (left, right) = (most(&columns(Beside::Left, guess)), most(&columns(Beside::Right, guess)));
    let scale = scale_for(left, right);
    let (left, right) = (columns(Beside::Left, scale), columns(Beside::Right, scale));
    let wide = (x[1] - x[0]) * scale;
    let room = WIDTH - 2.0 * MARGIN - BESIDE * (most(&left) + most(&right)) as f64;
    let begin = MARGIN + BESIDE * most(&left) as f64 + 0.5 * (room - wide).max(0.0);
    let foot = top + HEADING + (z[1] - z[0]) * scale;
    let frame = Frame { corner: [begin - x[0] * scale, foot + z[0] * scale], scale };
    canvas.open(view.heading);
    canvas.words([MARGIN, top + 14.0], Lettering::HEAD, view.heading);
    // What sticks out is drawn first: the body covers where it begins.
    let sticks_out = |part: &&Part| {
        matches!(part.kind, PartKind::Handle | PartKind::Spout | PartKind::Stem | PartKind::Knob)
    };
    let (out, rest): (Vec<&Part>, Vec<&Part>) = view.parts.iter().partition(sticks_out);
    for part in out.into_iter().chain(rest) {
        let shape = Outline::of(part.solid, part.placement, view.side);
        outline(canvas, frame, &shape, Pen::Hard, paint_of(part.kind));
    }
    if view.side == Side::Front {
        let ground = frame.corner[1];
        canvas.line([begin - 12.0, ground], [begin + wide + 12.0, ground], Pen::Fine);
    }
    for (sets, way, edge) in [(&left, -1.0, begin), (&right, 1.0, begin + wide)] {
        for set in sets {
            if let Line::Upright { span, begins, words, .. } = set.line {
                let at = edge + way * (STEP * 0.7 + BESIDE * set.row as f64);
                let [from, to] = span.map(|level| frame.on_paper([*begins, level]));
                for end in [from, to] {
                    canvas.line([end[0] + way * 2.0, end[1]], [at + way * PAST, end[1]], Pen::Fine);
                }
                arrow(canvas, [at, from[1]], [at, to[1]]);
                let beside = [at + way * 8.0, 0.5 * (from[1] + to[1]) + 4.5];
                let lettering = if way < 0.0 { Lettering::BODY.end() } else { Lettering::BODY };
                canvas.words(beside, lettering, words);
            }
        }
    }
    let levels = rows(view.lines.iter().filter(|line| matches!(line, Line::Level { .. })), scale);
    for set in &levels {
        if let Line::Level { span, begins, words } = set.line {
            let y = foot + STEP * (1.0 + set.row as f64);
            let [from, to] = span.map(|level| frame.on_paper([level, *begins]));
            for end in [from, to] {
                canvas.line([end[0], end[1] + 2.0], [end[0], y + PAST], Pen::Fine);
            }
            arrow(canvas, [from[0], y], [to[0], y]);
            let wide = text::width(words, Lettering::BODY.size, false);
            if to[0] - from[0] > wide + 20.0 {
                canvas.words([0.5 * (from[0] + to[0]), y - 5.0], Lettering::BODY.middle(), words);
            } else {
                canvas.words([to[0] + 9.0, y + 4.5], Lettering::BODY, words);
            }
        }
    }
    canvas.close();
    foot + if levels.is_empty() { 0.0 } else { STEP * most(&levels) as f64 + 10.0 }
}
