//! The price chart for a terminal: one row for each lot size, in plain ASCII.

use crate::CompPrice;
use crate::ascii::{ascii, filled};
use crate::money_axis::{MoneyAxis, amount, tick_words};
use crate::price_chart::{CompPoint, LineMark, LotPrices, PriceChart, Sound};

/// Narrowest plot, in letters; a narrower terminal breaks the lines.
const NARROWEST: usize = 24;
/// Widest plot, in letters (judgement): beyond, an eye loses the row.
const WIDEST: usize = 160;
/// Share of the plot kept free at each end.
const PAD: f64 = 0.02;
/// Letters between two tick labels at least.
const LABEL_GAP: usize = 2;

/// A line of letters that is written place by place.
struct Row(Vec<u8>);

impl Row {
    fn blank(width: usize) -> Self {
        Self(vec![b' '; width])
    }

    fn put(&mut self, place: usize, letter: u8) {
        if let Some(cell) = self.0.get_mut(place) {
            *cell = letter;
        }
    }

    fn fill(&mut self, from: usize, to: usize, letter: u8) {
        (from..=to).for_each(|place| self.put(place, letter));
    }

    /// Puts a mark; where another kind stands already the place holds several.
    fn mark(&mut self, place: usize, letter: u8) {
        let here = self.0.get(place).copied().unwrap_or(b' ');
        // The line between two prices gives way to a mark, and never covers one.
        match (here, letter) {
            (b' ' | b'~', _) => self.put(place, letter),
            (_, b'~') => {}
            (same, new) if same == new => {}
            _ => self.put(place, b'*'),
        }
    }

    fn text(&self) -> String {
        self.0.iter().map(|&letter| char::from(letter)).collect()
    }
}

/// Where amounts stand in a row.
#[derive(Clone, Copy)]
struct Scale {
    axis: MoneyAxis,
    width: usize,
}

impl Scale {
    fn place(self, amount: f64) -> usize {
        // Finite, not negative and at most the width.
        (self.axis.share(amount) * self.width.saturating_sub(1) as f64).round() as usize
    }
}

/// The price chart as plain text, its lines at most `width` letters long.
///
/// One row for each lot size: pieces, median, `p` where it leans on the prior and `x` where it lies beyond the
/// sizes seen, then `|----[==M==]----|`: the next sale in 8 of 10 cases between the bars, in half of them
/// between the brackets, and `M` the median, with `#` where that lies with 80 %. Comps stand in the row above:
/// `o` a price, `<` worth less than here, `>` more, `~~` between, `*` several; the prices of one size as
/// letters. Prices across all sizes are `:` in the rows under their letter. The
/// axis is by ratio, with its amounts beneath, and a legend names the marks that occur.
///
/// Only ASCII, no title, no blanks at the end of a line; every line ends with a line feed. Lines are longer
/// than `width` only where that leaves the plot less than 24 letters beside the amounts. What cannot be drawn
/// is left out, and the last line says so.
#[must_use]
pub fn price_plot(chart: &PriceChart, width: usize) -> String {
    let sound = Sound::of(chart);
    let mut lines = sound.note().into_iter().collect::<Vec<_>>();
    let Some(axis) = MoneyAxis::over(sound.amounts(), PAD) else {
        lines.insert(0, "Nothing to draw yet: no lot size and no comp.".to_owned());
        return ended(&lines);
    };
    let mut sizes: Vec<u32> = sound.lots.iter().map(|lot| lot.pieces).collect();
    sizes.extend(sound.comps.iter().map(|point| point.comp.pieces));
    sizes.sort_unstable();
    sizes.dedup();
    let pieces_width = sizes.iter().map(|size| size.to_string().len()).fold("lot".len(), usize::max);
    let medians = sound.lots.iter().map(|lot| amount(lot.median).len());
    let median_width = medians.fold("median".len(), usize::max);
    let left = |pieces: &str, median: &str, flags: &str| {
        format!("{pieces:>pieces_width$}  {median:>median_width$} {flags:<2} ")
    };
    let beside = left("", "", "").len();
    let scale = Scale { axis, width: width.saturating_sub(beside).clamp(NARROWEST, WIDEST) };

    let mut out = vec![format!("{}{}", left("lot", "median", ""), letters_across(&sound.lines, scale))];
    for size in sizes {
        let lot = sound.lots.iter().find(|lot| lot.pieces == size);
        let comps: Vec<&CompPoint<'_>> =
            sound.comps.iter().filter(|point| point.comp.pieces == size).collect();
        let marks = marks(&comps, &sound.lines, size, scale);
        match lot {
            Some(lot) => {
                if !marks.trim().is_empty() {
                    out.push(format!("{}{marks}", left("", "", "")));
                }
                let flags = [(lot.leans_on_the_prior, "p"), (lot.is_extrapolated, "x")];
                let flags: String = flags.iter().filter(|(is_so, _)| *is_so).map(|(_, flag)| *flag).collect();
                let beside = left(&size.to_string(), &amount(lot.median), &flags);
                out.push(format!("{beside}{}", bar(lot, &sound.lines, scale)));
            }
            None => out.push(format!("{}{marks}", left(&size.to_string(), "-", ""))),
        }
    }
    let has_several = out.iter().any(|line| line.contains('*'));
    out.extend(axis_rows(scale).map(|row| format!("{}{row}", left("", "", ""))));
    out.extend(filled(
        &legend(&sound, has_several),
        (beside + scale.width).min(width.max(beside + NARROWEST)),
    ));
    out.append(&mut lines);
    ended(&out)
}

fn ended(lines: &[String]) -> String {
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

fn bar(lot: &LotPrices, lines: &[LineMark<'_>], scale: Scale) -> String {
    let mut row = Row::blank(scale.width);
    across(lines).for_each(|line| row.put(scale.place(line.amount), b':'));
    let [p10, p25, median, p75, p90, least, most] =
        [lot.p10, lot.p25, lot.median, lot.p75, lot.p90, lot.median_least, lot.median_most]
            .map(|amount| scale.place(amount));
    row.fill(p10, p90, b'-');
    row.put(p10, b'|');
    row.put(p90, b'|');
    row.fill(p25, p75, b'=');
    row.fill(least, most, b'#');
    // After the interval, so that it never hides where half of the sales end.
    row.put(p25, b'[');
    row.put(p75, b']');
    row.put(median, b'M');
    row.text()
}

fn marks(comps: &[&CompPoint<'_>], lines: &[LineMark<'_>], size: u32, scale: Scale) -> String {
    let mut row = Row::blank(scale.width);
    for point in comps {
        match point.price {
            CompPrice::Exact(at) => row.mark(scale.place(at), b'o'),
            CompPrice::Between { low, high } => {
                (scale.place(low)..=scale.place(high)).for_each(|place| row.mark(place, b'~'));
            }
            CompPrice::Below(high) => row.mark(scale.place(high), b'<'),
            CompPrice::Above(low) => row.mark(scale.place(low), b'>'),
        }
    }
    for line in lines.iter().filter(|line| line.pieces == Some(size)) {
        row.put(scale.place(line.amount), byte(line.letter));
    }
    row.text()
}

/// A line's letter, which is one of A to Z.
fn byte(letter: char) -> u8 {
    u8::try_from(letter).unwrap_or(b'?')
}

/// The letters of the lines across all sizes, each at its amount or, where another stands there, beside it.
fn letters_across(lines: &[LineMark<'_>], scale: Scale) -> String {
    let mut row = Row::blank(scale.width);
    for line in across(lines) {
        let place = scale.place(line.amount);
        let free = (place..scale.width).chain((0..place).rev()).find(|&at| row.0.get(at) == Some(&b' '));
        row.put(free.unwrap_or(place), byte(line.letter));
    }
    row.text()
}

fn across<'a>(lines: &'a [LineMark<'a>]) -> impl Iterator<Item = &'a LineMark<'a>> {
    lines.iter().filter(|line| line.pieces.is_none())
}

/// The axis, and the amounts at its ticks.
fn axis_rows(scale: Scale) -> [String; 2] {
    let Scale { axis, width } = scale;
    // The widest label of a first try says how far apart ticks must be.
    let room = |ticks: &[f64]| tick_words(ticks).iter().map(String::len).max().unwrap_or(1) + LABEL_GAP;
    let share = |letters: usize| letters as f64 / width.saturating_sub(1).max(1) as f64;
    let first = axis.ticks(share(3 + LABEL_GAP));
    let ticks = axis.ticks(share(room(&first)));
    let (mut line, mut words) = (Row::blank(width), Row::blank(width));
    line.fill(0, width.saturating_sub(1), b'-');
    let mut free_from = 0;
    for (tick, label) in ticks.iter().zip(tick_words(&ticks)) {
        let place = scale.place(*tick);
        line.put(place, b'+');
        let from = place.saturating_sub(label.len() / 2).min(width.saturating_sub(label.len()));
        if from >= free_from {
            label.bytes().enumerate().for_each(|(k, letter)| words.put(from + k, letter));
            free_from = from + label.len() + LABEL_GAP;
        }
    }
    [line.text(), words.text()]
}

fn legend(sound: &Sound<'_>, has_several: bool) -> Vec<String> {
    let mut entries: Vec<String> = Vec::new();
    let mut add = |words: &str, is_on: bool| {
        if is_on {
            entries.push(words.to_owned());
        }
    };
    let has = |test: fn(CompPrice) -> bool| sound.comps.iter().any(|point| test(point.price));
    let has_lots = !sound.lots.is_empty();
    add("M median", has_lots);
    add("# median, 80 % sure", has_lots);
    add("[ ] next sale, half the cases", has_lots);
    add("| | 8 in 10", has_lots);
    add("p leans on the prior", sound.lots.iter().any(|lot| lot.leans_on_the_prior));
    add("x beyond the sizes seen", sound.lots.iter().any(|lot| lot.is_extrapolated));
    add("o comp", has(|price| matches!(price, CompPrice::Exact(_))));
    add("~ between two prices", has(|price| matches!(price, CompPrice::Between { .. })));
    add("< worth less", has(|price| matches!(price, CompPrice::Below(_))));
    add("> worth more", has(|price| matches!(price, CompPrice::Above(_))));
    add("* several", has_several);
    for (letter, label, only) in sound.line_names() {
        let only = only.map_or_else(String::new, |only| format!(" {}", amount(only)));
        add(&format!("{letter} {}{only}", ascii(label)), true);
    }
    entries
}
