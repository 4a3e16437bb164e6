//! What each mark of the price chart means: only the marks that are on it.

use super::CompPrice;
use super::sheet::{LABEL, arrow, interval_bar};
use super::sound::Sound;
use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::money_axis::amount;
use crate::text;

/// Height of one entry, px.
const ENTRY: f64 = 22.0;
/// Room of a sign before its words, px.
const SIGN: f64 = 32.0;

#[derive(Debug, Clone, PartialEq)]
enum Sign {
    EightInTen,
    Half,
    Median,
    MedianInterval,
    Extrapolated,
    Prior,
    Exact,
    Between,
    Below,
    Above,
    Faint,
    Line(char, String),
}

impl Sign {
    fn words(&self) -> String {
        match self {
            Self::EightInTen => "next sale, 8 in 10 cases".to_owned(),
            Self::Half => "next sale, half the cases".to_owned(),
            Self::Median => "median".to_owned(),
            Self::MedianInterval => "median, 80 % sure".to_owned(),
            Self::Extrapolated => "beyond the sizes seen".to_owned(),
            Self::Prior => "half, leaning on the prior".to_owned(),
            Self::Exact => "comp: a known price".to_owned(),
            Self::Between => "comp: between two prices".to_owned(),
            Self::Below => "comp: worth less than this".to_owned(),
            Self::Above => "comp: worth more than this".to_owned(),
            Self::Faint => "fainter: counts for less".to_owned(),
            Self::Line(_, words) => words.clone(),
        }
    }

    fn draw(&self, canvas: &mut Canvas, [x, y]: Point) {
        let (from, to) = ([x, y - 6.0], [x + 22.0, y + 6.0]);
        let middle = [x + 11.0, y];
        match self {
            Self::EightInTen => canvas.rectangle(from, to, Pen::Fine, Paint::Pale),
            Self::Half => canvas.rectangle(from, to, Pen::Fine, Paint::Grey),
            Self::Median => canvas.line([x, y], [x + 22.0, y], Pen::Median),
            Self::MedianInterval => {
                canvas.rectangle([x + 8.5, y - 8.0], [x + 13.5, y + 8.0], Pen::Bare, Paint::Black);
            }
            Self::Extrapolated => canvas.rectangle(from, to, Pen::Wrap, Paint::Clear),
            Self::Prior => canvas.rectangle(from, to, Pen::Fine, Paint::LightHatch),
            Self::Exact => canvas.circle(middle, 4.0, Pen::Bare, Paint::Black),
            Self::Between => interval_bar(canvas, middle[0], [y - 8.0, y + 8.0], 4.0),
            Self::Below => arrow(canvas, [middle[0], y - 7.0], 14.0, 4.0),
            Self::Above => arrow(canvas, [middle[0], y + 7.0], -14.0, 4.0),
            Self::Faint => {
                for (step, strength) in [1.0, 0.6, 0.3].into_iter().enumerate() {
                    canvas.open_mark("sign", step, strength, "");
                    canvas.circle([x + 3.0 + 9.0 * step as f64, y], 4.0, Pen::Bare, Paint::Black);
                    canvas.close();
                }
            }
            Self::Line(letter, _) => {
                canvas.line([x, y], [x + 14.0, y], Pen::Price);
                canvas.words([x + 20.5, y + 5.0], LABEL.bold().middle(), &letter.to_string());
            }
        }
    }
}

fn signs(sound: &Sound<'_>) -> Vec<Sign> {
    let mut signs = Vec::new();
    let mut add = |sign: Sign, is_on: bool| {
        if is_on {
            signs.push(sign);
        }
    };
    let has = |test: fn(CompPrice) -> bool| sound.comps.iter().any(|point| test(point.price));
    let has_lots = !sound.lots.is_empty();
    add(Sign::EightInTen, has_lots);
    add(Sign::Half, sound.lots.iter().any(|lot| !lot.leans_on_the_prior));
    add(Sign::Prior, sound.lots.iter().any(|lot| lot.leans_on_the_prior));
    add(Sign::Median, has_lots);
    add(Sign::MedianInterval, has_lots);
    add(Sign::Extrapolated, sound.lots.iter().any(|lot| lot.is_extrapolated));
    add(Sign::Exact, has(|price| matches!(price, CompPrice::Exact(_))));
    add(Sign::Between, has(|price| matches!(price, CompPrice::Between { .. })));
    add(Sign::Below, has(|price| matches!(price, CompPrice::Below(_))));
    add(Sign::Above, has(|price| matches!(price, CompPrice::Above(_))));
    add(Sign::Faint, sound.comps.iter().any(|point| point.weight < 1.0));
    for (letter, label, only) in sound.line_names() {
        let only = only.map_or_else(String::new, |only| format!(" {}", amount(only)));
        add(Sign::Line(letter, format!("{}{only}", label.trim())), true);
    }
    signs
}

/// Draws the key with its upper left corner at `at`; gives back where it ends, px.
pub(crate) fn draw(canvas: &mut Canvas, sound: &Sound<'_>, at: Point, width: f64) -> f64 {
    let signs = signs(sound);
    if signs.is_empty() {
        return at[1];
    }
    canvas.open("key");
    canvas.words([at[0], at[1] + 14.0], Lettering::HEAD, "How to read it");
    let rows = signs.len().div_ceil(2);
    let column = 0.5 * width;
    for (index, sign) in signs.iter().enumerate() {
        let here = [at[0] + column * (index / rows) as f64, at[1] + 34.0 + ENTRY * (index % rows) as f64];
        sign.draw(canvas, here);
        let words = text::cut_to(&sign.words(), LABEL.size, column - SIGN - 4.0);
        canvas.words([here[0] + SIGN, here[1] + 5.0], LABEL, &words);
    }
    canvas.close();
    at[1] + 34.0 + ENTRY * rows as f64 - 6.0
}

#[cfg(test)]
mod tests {
    use super::{LABEL, SIGN, Sign};
    use crate::text;

    #[test]
    fn no_entry_of_the_key_is_cut() {
        for sign in [
            Sign::EightInTen,
            Sign::Half,
            Sign::Median,
            Sign::MedianInterval,
            Sign::Extrapolated,
            Sign::Prior,
            Sign::Exact,
            Sign::Between,
            Sign::Below,
            Sign::Above,
            Sign::Faint,
        ] {
            let words = sign.words();
            assert_eq!(text::cut_to(&words, LABEL.size, 0.5 * 496.0 - SIGN - 4.0), words);
        }
    }
}
