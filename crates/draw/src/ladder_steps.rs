//! The order ladder as steps: what the postage of an order of 1, 2, ... lots comes to, and where its weight takes
//! it over a step of the price list.

use measure::Money;

use crate::canvas::{Anchor, Lettering, Pen};
use crate::narrow_chart::{LABEL, MARGIN, ROOM, WIDTH, opened};
use crate::text;

/// Height of the steps, px.
const HEIGHT: f64 = 210.0;
/// Room over the highest step for its words, px.
const HEADROOM: f64 = 34.0;
/// Narrowest tread whose words fit over it, px.
const WORDS_FIT: f64 = 46.0;
/// Most orders drawn; a longer ladder shows its first ones and says so (judgement: a tread stays 10 px wide).
const MOST: usize = 40;
const SMALL: Lettering = Lettering { size: 12.0, bold: false, anchor: Anchor::Middle };

/// A ladder to draw.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LadderSteps {
    /// What is sold; may be empty.
    pub title: String,
    /// The orders, the smallest first.
    pub rungs: Vec<LadderStep>,
}

/// An order of so many lots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LadderStep {
    /// Lots in it.
    pub lots: u32,
    /// Its weight, packed ("4 lb 2 oz").
    pub weight: String,
    /// The rows of the price list that it is billed by ("5 lb").
    pub billed: String,
    /// Postage over the buyers; `None` where it can't be sent.
    pub postage: Option<Money>,
    /// What the buyer is charged for it.
    pub charged: Money,
}

impl LadderStep {
    fn words(&self) -> String {
        let lots = measure::counted(self.lots, "lot");
        match self.postage {
            None => format!("{lots}: can't be sent"),
            Some(postage) => {
                let charged = if self.charged > Money::ZERO {
                    format!(", charged {}", self.charged)
                } else {
                    String::new()
                };
                format!(
                    "{lots}: {} packed, billed as {}, postage {postage}{charged}",
                    self.weight, self.billed
                )
            }
        }
    }
}

/// The ladder as a standalone SVG document: a tread for each order, at the height of its postage, black; what is
/// charged as a broken line where anything is. Where the billed row changes from one order to the next, a riser
/// joins them. The document is 400 px wide, in black, white and grey, with `title` and `desc`; all text is escaped,
/// and the same record gives the same text.
#[must_use]
pub fn ladder_steps_svg(ladder: &LadderSteps) -> String {
    let title = if ladder.title.trim().is_empty() { "Postage by order" } else { ladder.title.trim() };
    let (mut canvas, mut y) = opened(title);
    let shown = ladder.rungs.get(..MOST.min(ladder.rungs.len())).unwrap_or_default();
    let is_charged = shown.iter().any(|rung| rung.charged > Money::ZERO);
    y += 14.0;
    let key = match (shown.is_empty(), is_charged) {
        (true, _) => "No order yet.",
        (false, true) => "Postage (black), and what is charged (broken)",
        (false, false) => "Postage, packed weight, and the row it is billed by",
    };
    canvas.words([MARGIN, y], LABEL, key);
    y += HEADROOM;
    let most = shown
        .iter()
        .map(|rung| rung.postage.unwrap_or(Money::ZERO).max(rung.charged).cents())
        .fold(0, i64::max)
        .max(1) as f64;
    let base = y + HEIGHT;
    let height = |amount: Money| base - HEIGHT * (amount.cents().max(0) as f64 / most);
    // An empty ladder has no tread, so the width is never used then.
    let tread = ROOM / shown.len().max(1) as f64;
    canvas.open("ladder");
    let mut before: Option<(&LadderStep, f64)> = None;
    for (index, rung) in shown.iter().enumerate() {
        let (left, right) = (MARGIN + tread * index as f64, MARGIN + tread * (index + 1) as f64);
        let middle = f64::midpoint(left, right);
        canvas.open_mark("rung", index, 1.0, &rung.words());
        if let Some(postage) = rung.postage {
            let at = height(postage);
            if let Some((last, from)) = before
                && last.billed != rung.billed
            {
                canvas.line([left, from], [left, at], Pen::Fine);
            }
            canvas.line([left, at], [right, at], Pen::Median);
            if tread >= WORDS_FIT {
                canvas.words([middle, at - 6.0], SMALL.bold(), &postage.write());
                let weight = text::cut_to(&rung.weight, SMALL.size, tread - 4.0);
                canvas.words([middle, at + 16.0], SMALL, &weight);
                let billed = text::cut_to(&format!("as {}", rung.billed), SMALL.size, tread - 4.0);
                canvas.words([middle, at + 30.0], SMALL, &billed);
            }
            before = Some((rung, at));
        } else {
            canvas.words([middle, base - 6.0], SMALL, "-");
            before = None;
        }
        if is_charged {
            let at = height(rung.charged);
            canvas.line([left, at], [right, at], Pen::Price);
        }
        canvas.words([middle, base + 16.0], SMALL, &rung.lots.to_string());
        canvas.close();
    }
    canvas.close();
    if !shown.is_empty() {
        canvas.line([MARGIN, base], [WIDTH - MARGIN, base], Pen::Fine);
        canvas.words([MARGIN, base + 34.0], LABEL, "Lots in one order");
    }
    let mut sentences: Vec<String> = shown.iter().map(|rung| format!("{}.", rung.words())).collect();
    let more = ladder.rungs.len() - shown.len();
    if more > 0 {
        let words = format!(
            "{} are not drawn.",
            measure::counted(u32::try_from(more).unwrap_or(u32::MAX), "larger order")
        );
        canvas.words([WIDTH - MARGIN, base + 34.0], LABEL.end(), &words);
        sentences.push(words);
    }
    if sentences.is_empty() {
        sentences.push("No order yet.".to_owned());
    }
    let bottom = if shown.is_empty() { y } else { base + 42.0 };
    canvas.finish_chart([WIDTH, bottom + MARGIN], title, &sentences.join(" "))
}

#[cfg(test)]
mod tests {
    use super::{LadderStep, LadderSteps, ladder_steps_svg};
    use measure::Money;

    fn rung(lots: u32, billed: &str, postage: Option<i64>, charged: i64) -> LadderStep {
        LadderStep {
            lots,
            weight: format!("{lots} lb 2 oz"),
            billed: billed.to_owned(),
            postage: postage.map(Money::from_cents),
            charged: Money::from_cents(charged),
        }
    }

    #[test]
    fn a_riser_stands_only_where_the_billed_row_changes() {
        let rungs = vec![
            rung(1, "2 lb", Some(900), 0),
            rung(2, "2 lb", Some(900), 0),
            rung(3, "4 lb", Some(1300), 0),
            rung(4, "", None, 0),
        ];
        let svg = ladder_steps_svg(&LadderSteps { title: "Cups".to_owned(), rungs });
        let upright = |line: &&str| {
            let value = |name: &str| line.split(&format!("{name}=\"")).nth(1)?.split('"').next();
            line.starts_with("<line") && value("x1") == value("x2")
        };
        assert_eq!(svg.lines().filter(upright).count(), 1, "{svg}");
        assert!(svg.contains("4 lots: can&#39;t be sent"), "{svg}");
        assert!(!svg.contains("stroke-dasharray=\"10 3 2 3\""), "nothing is charged, so no broken line");
    }

    #[test]
    fn what_is_charged_has_a_broken_line_and_a_long_ladder_says_what_it_leaves_out() {
        let rungs = (1..=43).map(|lots| rung(lots, "2 lb", Some(900), 1000)).collect();
        let svg = ladder_steps_svg(&LadderSteps { title: String::new(), rungs });
        assert_eq!(svg.matches("stroke-dasharray=\"10 3 2 3\"").count(), 40);
        assert!(svg.contains("3 larger orders are not drawn."), "{svg}");
        assert!(ladder_steps_svg(&LadderSteps::default()).contains("No order yet."));
    }
}
