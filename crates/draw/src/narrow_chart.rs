//! How a chart that fits a phone opens: its width, its margin, its title.

use crate::canvas::{Anchor, Canvas, Lettering};
use crate::text;

/// Width of the drawing, px (judgement): on a phone its words stay readable.
pub(crate) const WIDTH: f64 = 400.0;
/// White margin all round, px.
pub(crate) const MARGIN: f64 = 12.0;
/// Width within the margins, px.
pub(crate) const ROOM: f64 = WIDTH - 2.0 * MARGIN;
/// Words beside a mark.
pub(crate) const LABEL: Lettering = Lettering { size: 14.0, bold: false, anchor: Anchor::Start };
const TITLE: Lettering = Lettering { size: 18.0, bold: true, anchor: Anchor::Start };
/// Most lines of a title; what is longer is cut.
const TITLE_LINES: usize = 2;

/// A drawing with its title at the top, and the height at which the rest begins, px.
pub(crate) fn opened(title: &str) -> (Canvas, f64) {
    let mut canvas = Canvas::default();
    let mut y = MARGIN + 6.0;
    for line in text::broken(title, 1.1 * TITLE.size, ROOM, TITLE_LINES) {
        y += 14.0;
        canvas.words([MARGIN, y], TITLE, &line);
        y += 8.0;
    }
    (canvas, y)
}
