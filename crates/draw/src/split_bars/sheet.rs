//! The comparison of plans as a drawing.

use super::{SplitBar, SplitBars, UNKNOWN, hours, per_hour, reach};
use crate::canvas::{Anchor, Canvas, Lettering, Paint, Pen};
use crate::text;

/// Width of the drawing, px, as of the price chart.
const WIDTH: f64 = 520.0;
/// White margin all round, px.
const MARGIN: f64 = 12.0;
/// Height of one plan: a line of words and a bar beneath, px.
const PLAN: f64 = 48.0;
/// Height of a bar, px.
const BAR: f64 = 14.0;
/// Shortest bar of a plan that does not come out at zero, px.
const SHORTEST: f64 = 1.0;
/// Least room for a plan's name, px.
const LEAST_NAME: f64 = 60.0;
const LABEL: Lettering = Lettering { size: 14.0, bold: false, anchor: Anchor::Start };
const TITLE: Lettering = Lettering { size: 18.0, bold: true, anchor: Anchor::Start };

fn title(bars: &SplitBars) -> String {
    if bars.title.trim().is_empty() { "Ways to split".to_owned() } else { bars.title.clone() }
}

/// What a plan earns, in words.
fn figures(plan: &SplitBar) -> String {
    let mut parts = vec![plan.profit.write()];
    let rate = per_hour(plan.per_hour);
    if rate != UNKNOWN {
        parts.push(format!("{rate} an hour"));
    }
    let time = hours(plan.hours);
    if time != UNKNOWN {
        parts.push(format!("{time} h"));
    }
    parts.join(", ")
}

fn description(bars: &SplitBars) -> String {
    if bars.plans.is_empty() {
        return "There is no plan to compare yet.".to_owned();
    }
    let plans = bars.plans.iter().map(|plan| {
        let standing = plan.standing.words().map_or_else(String::new, |words| format!(" ({words})"));
        format!("{}{standing}: {}.", plan.name.trim(), figures(plan))
    });
    let sentences: Vec<String> =
        std::iter::once("Profit of each way to split.".to_owned()).chain(plans).collect();
    sentences.join(" ")
}

/// The comparison of plans as a standalone SVG document.
///
/// For each plan its name and figures, and beneath them the profit as a bar to the right of the zero line or,
/// hatched, the loss to its left; the best plans are black and named so. All bars have one scale. The document
/// is 520 px wide, in black, white and grey, with `title` and `desc`; all text is escaped, and the same record
/// gives the same text.
#[must_use]
pub fn split_bars_svg(bars: &SplitBars) -> String {
    let mut canvas = Canvas::default();
    let title = title(bars);
    let room = WIDTH - 2.0 * MARGIN;
    let mut y = MARGIN + 6.0;
    for line in text::broken(&title, 1.1 * TITLE.size, room, 2) {
        y += 14.0;
        canvas.words([MARGIN, y], TITLE, &line);
        y += 8.0;
    }
    y += 8.0;
    if bars.plans.is_empty() {
        y += 10.0;
        canvas.words([MARGIN, y], LABEL, "Nothing to compare yet: no plan.");
    } else {
        y += 10.0;
        canvas.words([MARGIN, y], LABEL, "Profit in all, for an hour of work, and the hours");
        y += 8.0;
    }
    let [loss, profit] = reach(&bars.plans);
    let scale = room / (loss + profit).max(1.0);
    let zero = MARGIN + loss * scale;
    canvas.open("plans");
    let top = y;
    for (index, plan) in bars.plans.iter().enumerate() {
        let all = figures(plan);
        canvas.open_mark("plan", index, 1.0, &format!("{}: {all}", plan.name.trim()));
        let is_best = plan.standing.words().is_some();
        let factor = if is_best { 1.1 } else { 1.0 };
        // Only absurd figures are cut; the words of the mark have them whole.
        let figures = text::cut_to(&all, factor * LABEL.size, room - LEAST_NAME);
        let lettering = if is_best { LABEL.bold() } else { LABEL };
        let standing = plan.standing.words().map_or_else(String::new, |words| format!(" - {words}"));
        let left = room - text::width(&figures, LABEL.size, is_best) - 12.0;
        let standing_room = text::width(&standing, LABEL.size, is_best);
        let (room_for_name, standing) = match left - standing_room {
            some if some >= LEAST_NAME => (some, standing.as_str()),
            // The bar still shows a best plan: it is black.
            _ => (left.max(0.0), ""),
        };
        let name = text::cut_to(plan.name.trim(), factor * LABEL.size, room_for_name);
        canvas.words([MARGIN, y + 16.0], lettering, &format!("{name}{standing}"));
        canvas.words([WIDTH - MARGIN, y + 16.0], lettering.end(), &figures);
        let cents = plan.profit.cents() as f64;
        let length = (cents.abs() * scale).max(if cents == 0.0 { 0.0 } else { SHORTEST }) * cents.signum();
        let paint = match (cents < 0.0, is_best) {
            (true, _) => Paint::LightHatch,
            (false, true) => Paint::Black,
            (false, false) => Paint::Grey,
        };
        if cents != 0.0 {
            let end = (zero + length).clamp(MARGIN, WIDTH - MARGIN);
            canvas.rectangle([zero, y + 22.0], [end, y + 22.0 + BAR], Pen::Fine, paint);
        }
        canvas.close();
        y += PLAN;
    }
    if !bars.plans.is_empty() {
        for plan in 0..bars.plans.len() {
            let bar = top + PLAN * plan as f64 + 20.0;
            canvas.line([zero, bar], [zero, bar + BAR + 4.0], Pen::Hard);
        }
    }
    canvas.close();
    canvas.finish_chart([WIDTH, y + MARGIN], &title, &description(bars))
}
