//! Dimension lines: arrows from one thing to another, with their figure beside them.

use crate::canvas::{Canvas, Paint, Pen, Point};

/// Length and half width of an arrow head, px.
const HEAD: Point = [7.0, 2.6];
/// Shortest line that holds two heads, px; a shorter one gets cross ticks.
const ROOM_FOR_HEADS: f64 = 18.0;
/// Half length of a cross tick, px.
const TICK: f64 = 4.0;

fn direction(from: Point, to: Point) -> Option<(Point, f64)> {
    let way = [to[0] - from[0], to[1] - from[1]];
    let length = way[0].hypot(way[1]);
    (length > 1e-9).then(|| (way.map(|side| side / length), length))
}

/// A filled arrow head whose tip is at `tip`, pointing along the unit step `way`.
pub(crate) fn head(canvas: &mut Canvas, tip: Point, way: Point) {
    let [length, half] = HEAD;
    let foot = [tip[0] - length * way[0], tip[1] - length * way[1]];
    let side = [-way[1] * half, way[0] * half];
    let corners = [tip, [foot[0] + side[0], foot[1] + side[1]], [foot[0] - side[0], foot[1] - side[1]]];
    canvas.polygon(&corners, Pen::Bare, Paint::Black);
}

/// A line with heads at both ends, or with ticks where it is too short for heads.
pub(crate) fn arrow(canvas: &mut Canvas, from: Point, to: Point) {
    let Some((way, length)) = direction(from, to) else { return };
    canvas.line(from, to, Pen::Fine);
    if length >= ROOM_FOR_HEADS {
        head(canvas, to, way);
        head(canvas, from, way.map(|side| -side));
    } else {
        let across = [-way[1] * TICK, way[0] * TICK];
        for end in [from, to] {
            let ends = [1.0, -1.0].map(|sign| [end[0] + sign * across[0], end[1] + sign * across[1]]);
            canvas.line(ends[0], ends[1], Pen::Fine);
        }
    }
}

/// Two heads that point at each other from outside a narrow gap.
pub(crate) fn gap_mark(canvas: &mut Canvas, one: Point, other: Point) {
    let Some((way, _)) = direction(one, other) else { return };
    head(canvas, one, way);
    head(canvas, other, way.map(|side| -side));
    canvas.line(one, other, Pen::Fine);
}

/// Moves levels apart so that neighbours stand at least `apart` px from each other, in their order,
/// none below `lowest` (y grows downwards; `levels` run from the bottom up).
pub(crate) fn spread(levels: &mut [f64], apart: f64, lowest: f64, highest: f64) {
    let mut floor = lowest;
    for level in levels.iter_mut() {
        *level = level.min(floor);
        floor = *level - apart;
    }
    let mut ceiling = highest;
    for level in levels.iter_mut().rev() {
        if *level >= ceiling {
            break;
        }
        *level = ceiling;
        ceiling += apart;
    }
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn spread_figures_never_overlap_and_keep_their_order() {
        let mut levels = [100.0, 99.0, 98.0, 50.0, 12.0, 11.0];
        spread(&mut levels, 15.0, 110.0, 5.0);
        for pair in levels.windows(2) {
            assert!(pair[0] - pair[1] >= 15.0 - 1e-9, "{levels:?}");
        }
        assert!(levels[5] >= 5.0);
    }
}
