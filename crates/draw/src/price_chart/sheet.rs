//! The price chart as a drawing: axes, boxes, comps, price lines, key.

use std::collections::BTreeSet;

use super::columns::Columns;
use super::sound::{CompPoint, LineMark, Sound};
use super::{CompPrice, LotPrices, PriceChart, key, spoken, swarm};
use crate::canvas::{Anchor, Canvas, Lettering, Paint, Pen, Point};
use crate::dimension::spread;
use crate::labels::Taken;
use crate::money_axis::{MoneyAxis, amount, tick_words};
use crate::text;

/// Width of the chart, px: lettering of 14 px is still 10 px on a telephone 390 px wide.
const WIDTH: f64 = 520.0;
/// White margin all round, px.
const MARGIN: f64 = 12.0;
/// Height of the plot, px.
const HEIGHT: f64 = 320.0;
/// Share of the plot's height kept free above and below, where arrows of open comps run out.
const PAD: f64 = 0.07;
/// Least distance of two ticks, px.
const TICK_GAP: f64 = 22.0;
/// Lettering of all that is not a heading.
pub(crate) const LABEL: Lettering = Lettering { size: 14.0, bold: false, anchor: Anchor::Start };
/// Lettering of the title.
const TITLE: Lettering = Lettering { size: 18.0, bold: true, anchor: Anchor::Start };
/// Room for the letters of lines at the right of the plot, px.
const BADGE: f64 = 18.0;
/// Share of a column's width to each side of its middle that boxes and comps use.
const USED_HALF: f64 = 0.46;
/// Shares of a column's width for its box, and for the air between box and comps.
const BOX_SHARE: f64 = 0.4;
const BOX_AIR: f64 = 0.08;
/// Widest box, px.
const WIDEST_BOX: f64 = 46.0;
/// Comps of one size from which a column may grow as wide as the plot (judgement).
const CROWD: usize = 24;
/// Free room between the frame and the outermost columns, px.
const INSET: f64 = 4.0;
/// Radius of a mark below which comps are drawn with a finer line, px.
const FINE_BELOW: f64 = 3.0;
/// Radius of an exact comp's dot where there is room, and where there is least, px.
const RADIUS: [f64; 2] = [4.0, 2.2];
/// Length of an open comp's arrow, px.
const ARROW: f64 = 18.0;
/// Opacity of a comp that does not count at all; a full comp has 1.
const FAINTEST: f64 = 0.22;
/// Most comps whose names are tried to be written in the chart (judgement); beyond they are clutter.
const MOST_NAMED: usize = 10;
/// Narrowest column whose own price line carries its letter, px.
const ROOM_FOR_LETTER: f64 = 34.0;

/// The price chart as a standalone SVG document.
///
/// One column for each lot size. The price axis is by ratio, so that equal steps are equal ratios and one
/// price twenty times the others does not flatten them. A pale box spans where the next sale falls in 8 of 10
/// cases, a grey one half of the cases (hatched where it leans on the prior, dashed where the size lies beyond
/// those seen), a heavy stroke the median and a thick bar where the median lies with 80 %. Comps stand beside
/// the boxes: dots, bars between two prices, arrows away from a price; the fainter, the less they count.
///
/// The document is 520 px wide (its `viewBox` scales), in black, white and grey, has `title` and `desc` for
/// who cannot see it, and refers to nothing outside itself. All text from the record is escaped. The same
/// record gives the same text. What cannot be drawn is left out, and a note says so.
#[must_use]
pub fn price_chart_svg(chart: &PriceChart) -> String {
    let sound = Sound::of(chart);
    let title = spoken::title(chart);
    let mut canvas = Canvas::default();
    let mut y = MARGIN + 6.0;
    for line in text::broken(&title, 1.1 * TITLE.size, WIDTH - 2.0 * MARGIN, 2) {
        y += 14.0;
        canvas.words([MARGIN, y], TITLE, &line);
        y += 8.0;
    }
    y += 18.0;
    let mut notes: Vec<String> = sound.note().into_iter().collect();
    if let Some(axis) = MoneyAxis::over(sound.amounts(), PAD) {
        canvas.words([MARGIN, y], LABEL, "Delivered price of the lot");
        let plot = Plot::of(&sound, axis, y + 12.0);
        y = plot.draw(&mut canvas, &sound);
        let (lots, drawn) = (sound.lots.len(), plot.shown(&sound).len());
        if drawn < lots {
            notes.push(format!("{drawn} of {lots} lot sizes are drawn; there is no room for more."));
        }
        y = key::draw(&mut canvas, &sound, [MARGIN, y + 16.0], WIDTH - 2.0 * MARGIN);
    } else {
        canvas.words([MARGIN, y], LABEL, "Nothing to draw yet: no lot size and no comp.");
    }
    for note in notes {
        y += 22.0;
        canvas.words([MARGIN, y], LABEL, &text::cut_to(&note, LABEL.size, WIDTH - 2.0 * MARGIN));
    }
    canvas.finish_chart([WIDTH, y + MARGIN], &title, &spoken::description(&sound))
}

fn pen(half: f64) -> Pen {
    if half < FINE_BELOW { Pen::Fine } else { Pen::Hard }
}

/// A bar between two levels, with a cross stroke at each end.
pub(crate) fn interval_bar(canvas: &mut Canvas, x: f64, [top, bottom]: [f64; 2], half: f64) {
    let pen = pen(half);
    canvas.line([x, top], [x, bottom], pen);
    for y in [top, bottom] {
        canvas.line([x - half, y], [x + half, y], pen);
    }
}

/// A cross stroke at a level, and an arrow away from it of this length, px; negative is upwards.
pub(crate) fn arrow(canvas: &mut Canvas, [x, y]: Point, length: f64, half: f64) {
    let tip = y + length;
    let foot = tip - length.signum() * (2.0 * half).min(0.6 * length.abs());
    canvas.line([x - half, y], [x + half, y], pen(half));
    canvas.line([x, y], [x, foot], pen(half));
    canvas.polygon(&[[x, tip], [x - half, foot], [x + half, foot]], Pen::Bare, Paint::Black);
}

/// The plot within its frame.
struct Plot {
    axis: MoneyAxis,
    columns: Columns,
    comp_sizes: BTreeSet<u32>,
    ticks: Vec<f64>,
    /// Left, top, right and bottom of the frame, px.
    frame: [f64; 4],
    /// Half the width of a comp's mark, px.
    radius: f64,
}

impl Plot {
    fn of(sound: &Sound<'_>, axis: MoneyAxis, top: f64) -> Self {
        let ticks = axis.ticks(TICK_GAP / HEIGHT);
        let words = tick_words(&ticks);
        let widest = words.iter().map(|tick| text::width(tick, LABEL.size, false)).fold(0.0, f64::max);
        let has_badges = sound.lines.iter().any(|line| line.pieces.is_none());
        let left = MARGIN + widest.ceil() + 8.0;
        let right = WIDTH - MARGIN - if has_badges { BADGE } else { 0.0 };
        let lots: Vec<u32> = sound.lots.iter().map(|lot| lot.pieces).collect();
        let comps: Vec<u32> = sound.comps.iter().map(|point| point.comp.pieces).collect();
        // Comps stand by rising size, so those of one size are neighbours.
        let is_crowded = comps.chunk_by(|a, b| a == b).any(|same| same.len() >= CROWD);
        let columns = Columns::of(&lots, &comps, [left + INSET, right - INSET], is_crowded);
        let comp_sizes = comps.into_iter().collect();
        let radius = (0.16 * columns.width).clamp(RADIUS[1], RADIUS[0]);
        Self { axis, columns, comp_sizes, ticks, frame: [left, top, right, top + HEIGHT], radius }
    }

    fn level(&self, amount: f64) -> f64 {
        let [_, top, _, bottom] = self.frame;
        bottom - (bottom - top) * self.axis.share(amount)
    }

    /// Left and right edge of the box in a column, px: left of its comps, or in the middle when it has none.
    fn box_sides(&self, column: usize) -> [f64; 2] {
        let middle = self.columns.middle(column);
        let width = (BOX_SHARE * self.columns.width).min(WIDEST_BOX);
        let has_comps = self.columns.sizes.get(column).is_some_and(|size| self.comp_sizes.contains(size));
        let left = if has_comps { middle - USED_HALF * self.columns.width } else { middle - 0.5 * width };
        [left, left + width]
    }

    /// Middle and width of the lane in which the comps of a size stand, px.
    fn lane(&self, pieces: u32, has_box: bool) -> (f64, f64) {
        let Some(column) = self.columns.of_size(pieces) else {
            return (self.columns.between(pieces), 0.0);
        };
        let half = USED_HALF * self.columns.width;
        let [mut left, right] = [-half, half].map(|side| self.columns.middle(column) + side);
        if has_box {
            left = self.box_sides(column)[1] + BOX_AIR * self.columns.width;
        }
        (0.5 * (left + right), right - left)
    }

    /// The lots that have a column, with it.
    fn shown<'a>(&self, sound: &'a Sound<'_>) -> Vec<(usize, &'a LotPrices)> {
        let lots = sound.lots.iter();
        lots.filter_map(|lot| self.columns.of_size(lot.pieces).map(|column| (column, lot))).collect()
    }

    fn draw(&self, canvas: &mut Canvas, sound: &Sound<'_>) -> f64 {
        let [left, top, right, bottom] = self.frame;
        canvas.open("plot");
        self.price_axis(canvas);
        let shown = self.shown(sound);
        self.guide(canvas, &shown);
        let mut taken = Vec::new();
        for (column, lot) in &shown {
            taken.push(self.lot(canvas, *column, lot));
        }
        taken.extend(self.price_lines(canvas, &sound.lines));
        let has_box = |pieces: u32| shown.iter().any(|(_, lot)| lot.pieces == pieces);
        let mut marks: Vec<(Taken, &CompPoint<'_>)> = Vec::new();
        // Only the neighbours in the same lane count as taken, so that many comps stay quick to place.
        let mut lane_taken: Vec<Taken> = Vec::new();
        let mut last_pieces = 0;
        for point in &sound.comps {
            let pieces = point.comp.pieces;
            if pieces != last_pieces {
                lane_taken.clone_from(&taken);
                last_pieces = pieces;
            }
            let mark = self.comp(canvas, point, has_box(pieces), &lane_taken);
            lane_taken.push(mark);
            marks.push((mark, point));
        }
        canvas.rectangle([left, top], [right, bottom], Pen::Board, Paint::Clear);
        self.names(canvas, &marks, taken);
        let foot = self.size_axis(canvas, &shown);
        canvas.close();
        foot
    }

    fn price_axis(&self, canvas: &mut Canvas) {
        let [left, _, right, _] = self.frame;
        for (tick, words) in self.ticks.iter().zip(tick_words(&self.ticks)) {
            let y = self.level(*tick);
            canvas.line([left, y], [right, y], Pen::Grid);
            canvas.line([left - 4.0, y], [left, y], Pen::Fine);
            canvas.words([left - 7.0, y + 5.0], LABEL.end(), &words);
        }
    }

    /// Joins the medians, so that the fall of the price per piece is seen.
    fn guide(&self, canvas: &mut Canvas, shown: &[(usize, &LotPrices)]) {
        let at = |(column, lot): &(usize, &LotPrices)| {
            let [left, right] = self.box_sides(*column);
            [0.5 * (left + right), self.level(lot.median)]
        };
        for pair in shown.windows(2) {
            if let [one, next] = pair {
                canvas.line(at(one), at(next), Pen::Guide);
            }
        }
    }

    fn lot(&self, canvas: &mut Canvas, column: usize, lot: &LotPrices) -> Taken {
        let [left, right] = self.box_sides(column);
        let middle = 0.5 * (left + right);
        let pen = if lot.is_extrapolated { Pen::Wrap } else { Pen::Fine };
        let inner = if lot.leans_on_the_prior { Paint::LightHatch } else { Paint::Grey };
        canvas.open_mark("lot", lot.pieces as usize, 1.0, &spoken::lot(lot));
        let [p10, p25, median, p75, p90, least, most] =
            [lot.p10, lot.p25, lot.median, lot.p75, lot.p90, lot.median_least, lot.median_most]
                .map(|amount| self.level(amount));
        canvas.rectangle([left, p90], [right, p10], pen, Paint::Pale);
        canvas.rectangle([left, p75], [right, p25], pen, inner);
        let half = (0.12 * (right - left)).clamp(0.8, 3.0);
        canvas.rectangle([middle - half, most], [middle + half, least], Pen::Bare, Paint::Black);
        canvas.line([left, median], [right, median], Pen::Median);
        canvas.close();
        Taken { from: [left, p90.min(most)], to: [right, p10.max(least)] }
    }

    /// Draws the price lines; gives back what the comps should keep clear of.
    fn price_lines(&self, canvas: &mut Canvas, lines: &[LineMark<'_>]) -> Vec<Taken> {
        let [left, top, right, bottom] = self.frame;
        let mut taken = Vec::new();
        let mut across: Vec<&LineMark<'_>> = Vec::new();
        for line in lines {
            let y = self.level(line.amount);
            let Some(pieces) = line.pieces else {
                canvas.line([left, y], [right, y], Pen::Price);
                across.push(line);
                continue;
            };
            let Some(column) = self.columns.of_size(pieces) else { continue };
            let half = 0.46 * self.columns.width;
            let middle = self.columns.middle(column);
            let words =
                format!("{}: {} for {}", line.label.trim(), amount(line.amount), spoken::pieces(pieces));
            canvas.open_mark("line", pieces as usize, 1.0, &words);
            if self.columns.width >= ROOM_FOR_LETTER {
                let end = middle + half - 14.0;
                canvas.line([middle - half, y], [end, y], Pen::Price);
                let badge = self.badge([end + 8.0, y], &taken);
                let ground = Taken::around([badge[0], badge[1]], [6.0, 7.0]);
                canvas.rectangle(ground.from, ground.to, Pen::Bare, Paint::White);
                canvas.words([badge[0], badge[1] + 5.0], LABEL.bold().middle(), &line.letter.to_string());
                taken.push(ground);
            } else {
                canvas.line([middle - half, y], [middle + half, y], Pen::Price);
            }
            canvas.close();
        }
        across.sort_by(|a, b| a.amount.total_cmp(&b.amount));
        let mut levels: Vec<f64> = across.iter().map(|line| self.level(line.amount)).collect();
        spread(&mut levels, 15.0, bottom - 6.0, top + 6.0);
        for (line, y) in across.iter().zip(levels) {
            canvas.words(
                [right + 0.5 * BADGE + 2.0, y + 5.0],
                LABEL.bold().middle(),
                &line.letter.to_string(),
            );
        }
        taken
    }

    /// A place for a line's letter that no other letter takes: at the line, else the nearest above or below.
    fn badge(&self, at: Point, taken: &[Taken]) -> Point {
        let [_, top, _, bottom] = self.frame;
        let free = |y: f64| {
            let here = Taken::around([at[0], y], [6.0, 7.0]);
            y - 7.0 >= top && y + 7.0 <= bottom && taken.iter().all(|other| here.shared(*other) == 0.0)
        };
        let ways = (0..8).flat_map(|step| [-1.0, 1.0].map(|way| at[1] + way * 7.5 * f64::from(step)));
        [at[0], ways.into_iter().find(|&y| free(y)).unwrap_or(at[1])]
    }

    fn comp(&self, canvas: &mut Canvas, point: &CompPoint<'_>, has_box: bool, taken: &[Taken]) -> Taken {
        let [_, top, _, bottom] = self.frame;
        let (lane_middle, lane) = self.lane(point.comp.pieces, has_box);
        let half = self.radius;
        let [low, high] = point.price.ends().map(|amount| self.level(amount));
        let span = match point.price {
            CompPrice::Exact(_) => [low - half, low + half],
            CompPrice::Between { .. } => [high - 1.0, low + 1.0],
            CompPrice::Below(_) => [low - 1.0, (low + ARROW).min(bottom - 1.0)],
            CompPrice::Above(_) => [(low - ARROW).max(top + 1.0), low + 1.0],
        };
        let mark = swarm::place(lane_middle, lane, 2.0 * half, span, taken);
        let x = mark.from[0] + half;
        let strength = FAINTEST + (1.0 - FAINTEST) * point.weight;
        canvas.open_mark("comp", point.index, strength, &spoken::comp(point));
        match point.price {
            CompPrice::Exact(_) => canvas.circle([x, low], half, Pen::Bare, Paint::Black),
            CompPrice::Between { .. } => interval_bar(canvas, x, [high, low], half),
            CompPrice::Below(_) => arrow(canvas, [x, low], span[1] - low, half),
            CompPrice::Above(_) => arrow(canvas, [x, low], span[0] - low, half),
        }
        canvas.close();
        mark
    }

    /// Writes the names of a few comps where there is a free place beside them.
    fn names(&self, canvas: &mut Canvas, marks: &[(Taken, &CompPoint<'_>)], mut taken: Vec<Taken>) {
        if marks.len() > MOST_NAMED {
            return;
        }
        let [left, top, right, bottom] = self.frame;
        let inside = Taken { from: [left + 2.0, top + 2.0], to: [right - 2.0, bottom - 2.0] };
        taken.extend(marks.iter().map(|(mark, _)| *mark));
        for (mark, point) in marks {
            let name = point.comp.label.trim();
            if name.is_empty() {
                continue;
            }
            let half = [0.5 * text::width(name, LABEL.size, false), 8.0];
            let [x, y] = [0.5 * (mark.from[0] + mark.to[0]), 0.5 * (mark.from[1] + mark.to[1])];
            let beside = 0.5 * (mark.to[0] - mark.from[0]) + half[0] + 3.0;
            let above = 0.5 * (mark.to[1] - mark.from[1]) + half[1] + 1.0;
            let places = [[x + beside, y], [x, y - above], [x, y + above], [x - beside, y]];
            let area = 4.0 * half[0] * half[1];
            let free = places.into_iter().map(|middle| Taken::around(middle, half)).find(|here| {
                here.shared(inside) >= area * (1.0 - 1e-9)
                    && taken.iter().all(|other| here.shared(*other) == 0.0)
            });
            if let Some(here) = free {
                canvas.rectangle(here.from, here.to, Pen::Bare, Paint::White);
                let at = [0.5 * (here.from[0] + here.to[0]), here.from[1] + 13.0];
                canvas.words(at, LABEL.middle(), name);
                taken.push(here);
            }
        }
    }

    /// Lot sizes beneath the plot, and their medians where all fit; gives back where that ends, px.
    fn size_axis(&self, canvas: &mut Canvas, shown: &[(usize, &LotPrices)]) -> f64 {
        let [left, _, right, bottom] = self.frame;
        let mut y = bottom + 19.0;
        let mut free_from = f64::NEG_INFINITY;
        for (column, size) in self.columns.sizes.iter().enumerate() {
            let x = self.columns.middle(column);
            let words = size.to_string();
            let half = 0.5 * text::width(&words, LABEL.size, true);
            if x - half >= free_from.max(0.0) && x + half <= WIDTH {
                canvas.line([x, bottom], [x, bottom + 4.0], Pen::Fine);
                canvas.words([x, y], LABEL.bold().middle(), &words);
                free_from = x + half + 5.0;
            }
        }
        let medians: Vec<(f64, String)> =
            shown.iter().map(|(column, lot)| (self.columns.middle(*column), amount(lot.median))).collect();
        let fits = medians
            .iter()
            .all(|(_, words)| text::width(words, LABEL.size, false) + 4.0 <= self.columns.width);
        let what = if fits && !medians.is_empty() {
            y += 19.0;
            for (x, words) in &medians {
                canvas.words([*x, y], LABEL.middle(), words);
            }
            "pieces in the lot, and the median beneath"
        } else {
            "pieces in the lot"
        };
        y += 20.0;
        canvas.words([0.5 * (left + right), y], LABEL.middle(), what);
        y
    }
}
