//! Amounts side by side as bars: stock by how long it waits.

use measure::Money;

use crate::canvas::{Paint, Pen};
use crate::narrow_chart::{LABEL, MARGIN, ROOM, WIDTH, opened};
use crate::text;

/// Height of one row: a line of words and a bar beneath, px.
const ROW: f64 = 48.0;
/// Height of a bar, px.
const BAR: f64 = 14.0;
/// Shortest bar of an amount that is not zero, px.
const SHORTEST: f64 = 1.0;
/// Share of the width that a row's name may take before its figures are cut (judgement).
const NAME_SHARE: f64 = 0.5;

/// Amounts to compare.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AmountBars {
    /// What they are of; may be empty.
    pub title: String,
    /// The rows, drawn in this order.
    pub rows: Vec<AmountBar>,
}

/// One amount.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AmountBar {
    /// What it is of ("over 365 days").
    pub name: String,
    /// The amount; one below zero has no bar.
    pub amount: Money,
    /// What stands beside it ("14 pieces"); may be empty.
    pub beside: String,
    /// Whether it needs a look: its bar is hatched.
    pub minded: bool,
}

impl AmountBar {
    fn figures(&self) -> String {
        if self.beside.trim().is_empty() {
            self.amount.write()
        } else {
            format!("{}, {}", self.beside, self.amount)
        }
    }
}

/// The amounts as a standalone SVG document.
///
/// Each row has its name and figures and beneath them the amount as a bar from the left, grey, or hatched where it
/// needs a look; all bars have one scale. The document is 400 px wide, in black, white and grey, with `title` and
/// `desc`; all text is escaped, and the same record gives the same text.
#[must_use]
pub fn amount_bars_svg(bars: &AmountBars) -> String {
    let title = if bars.title.trim().is_empty() { "Amounts" } else { bars.title.trim() };
    let (mut canvas, mut y) = opened(title);
    if bars.rows.is_empty() {
        y += 18.0;
        canvas.words([MARGIN, y], LABEL, "Nothing to compare yet.");
    }
    let most = bars.rows.iter().map(|row| row.amount.cents()).fold(0, i64::max).max(1);
    canvas.open("amounts");
    for (index, row) in bars.rows.iter().enumerate() {
        let figures = row.figures();
        canvas.open_mark("amount", index, 1.0, &format!("{}: {figures}", row.name.trim()));
        let name = text::cut_to(row.name.trim(), LABEL.size, ROOM * NAME_SHARE);
        let left = ROOM - text::width(&name, LABEL.size, false) - MARGIN;
        canvas.words([MARGIN, y + 20.0], LABEL, &name);
        let figures = text::cut_to(&figures, LABEL.size, left);
        canvas.words([WIDTH - MARGIN, y + 20.0], LABEL.end(), &figures);
        let share = row.amount.cents().max(0) as f64 / most as f64;
        if share > 0.0 {
            let end = MARGIN + (share * ROOM).max(SHORTEST);
            let paint = if row.minded { Paint::LightHatch } else { Paint::Grey };
            canvas.rectangle([MARGIN, y + 26.0], [end, y + 26.0 + BAR], Pen::Fine, paint);
        }
        canvas.line([MARGIN, y + 24.0], [MARGIN, y + 28.0 + BAR], Pen::Hard);
        canvas.close();
        y += ROW;
    }
    canvas.close();
    let sentences: Vec<String> =
        bars.rows.iter().map(|row| format!("{}: {}.", row.name.trim(), row.figures())).collect();
    let description =
        if sentences.is_empty() { "Nothing to compare yet.".to_owned() } else { sentences.join(" ") };
    canvas.finish_chart([WIDTH, y + MARGIN], title, &description)
}

#[cfg(test)]
mod tests {
    use super::{AmountBar, AmountBars, amount_bars_svg};
    use measure::Money;

    fn bar(name: &str, cents: i64, minded: bool) -> AmountBar {
        AmountBar {
            name: name.to_owned(),
            amount: Money::from_cents(cents),
            beside: "3 pieces".to_owned(),
            minded,
        }
    }

    fn widths(svg: &str) -> Vec<f64> {
        let bars = svg.lines().filter(|line| line.starts_with("<rect") && line.contains("height=\"14\""));
        bars.filter_map(|line| line.split("width=\"").nth(1)?.split('"').next()?.parse().ok()).collect()
    }

    #[test]
    fn bars_have_one_scale_and_nothing_or_less_has_none() {
        let rows =
            vec![bar("a", 10_000, false), bar("b", 2_500, true), bar("c", 0, false), bar("d", -5, false)];
        let svg = amount_bars_svg(&AmountBars { title: "Stock".to_owned(), rows });
        let widths = widths(&svg);
        assert_eq!(widths.len(), 2, "{svg}");
        assert!((widths[0] - 376.0).abs() < 0.1 && (widths[1] - 94.0).abs() < 0.1, "{widths:?}");
        assert_eq!(svg.matches("url(#chart-hatch)").count(), 1);
    }

    #[test]
    fn the_description_says_every_row_and_words_are_escaped() {
        let rows = vec![bar("<b>", i64::MAX, false), bar("over 365 days", 100, true)];
        let svg = amount_bars_svg(&AmountBars { title: String::new(), rows });
        assert!(!svg.contains("<b>") && svg.contains("over 365 days: 3 pieces, 1.00."), "{svg}");
        assert!(amount_bars_svg(&AmountBars::default()).contains("Nothing to compare yet."));
    }
}
