//! The shock chart as a drawing: axes, what is allowed, curves with their letters, the piece's own load, key.

use super::sound::{load_words, shock_words};
use super::{CurveMark, ShockChart, ShockSound};
use crate::canvas::{Anchor, Canvas, Lettering, Paint, Pen, Point};
use crate::text;

/// Width of the chart, px, as of the price chart.
const WIDTH: f64 = 520.0;
/// White margin all round, px.
const MARGIN: f64 = 12.0;
/// Height of the plot, px.
const HEIGHT: f64 = 300.0;
/// Least distance of two tick labels of the load axis, px.
const LABEL_GAP: f64 = 4.0;
/// Height of one entry of the key, px.
const ENTRY: f64 = 22.0;
/// Room of a sign before its words, px.
const SIGN: f64 = 50.0;
/// Places that are tried for the letter of a curve.
const PLACES: u32 = 48;
/// Share of the width that is kept free of letters at each end.
const EDGE: f64 = 0.04;
/// Half the ground of a letter, px.
const GROUND: [f64; 2] = [7.0, 8.5];
/// A letter this far from everything stands well, px (judgement).
const FAR_ENOUGH: f64 = 30.0;
/// Lettering of all that is not a heading.
const LABEL: Lettering = Lettering { size: 14.0, bold: false, anchor: Anchor::Start };
const TITLE: Lettering = Lettering { size: 18.0, bold: true, anchor: Anchor::Start };
/// Lines of curves, in turn.
const PENS: [Pen; 4] = [Pen::Hard, Pen::Wrap, Pen::Centre, Pen::Ghost];

fn title(chart: &ShockChart) -> String {
    if chart.title.trim().is_empty() { "Shock behind cushions".to_owned() } else { chart.title.clone() }
}

/// What a curve says under the piece's own load, in words.
fn here(curve: &CurveMark<'_>) -> String {
    curve.here.map_or_else(|| "hard here".to_owned(), |shock| format!("{} G", shock_words(shock)))
}

fn description(chart: &ShockChart, sound: Option<&ShockSound<'_>>) -> String {
    let Some(sound) = sound else { return "There is no cushion to draw yet.".to_owned() };
    let mut sentences = vec!["Peak shock over the load on the cushion, by ratio.".to_owned()];
    if let Some(load) = sound.load {
        sentences.push(format!("This piece loads it with {} {}.", load_words(load), chart.load_unit.trim()));
    }
    if let Some(allowed) = sound.allowed {
        sentences.push(format!("{} G are allowed.", shock_words(allowed)));
    }
    for curve in &sound.curves {
        let verdict = match (curve.here, sound.allowed) {
            (Some(here), Some(allowed)) if here <= allowed => ", enough",
            (Some(_), Some(_)) => ", too much",
            (None, _) | (Some(_), None) => "",
        };
        sentences.push(format!("{}: {}{verdict}.", curve.name.trim(), here(curve)));
    }
    sentences.extend(sound.note());
    sentences.join(" ")
}

/// The shock chart as a standalone SVG document.
///
/// The load axis is by ratio, the shock axis even from nothing; what passes its top is cut off there. Shocks up to
/// the allowed one are pale grey under a heavy line. Each curve has its letter, and a dot where it meets the
/// piece's own load. The document is 520 px wide, in black, white and grey, with `title` and `desc`; all text is
/// escaped, and the same record gives the same text.
#[must_use]
pub fn shock_chart_svg(chart: &ShockChart) -> String {
    let sound = ShockSound::of(chart);
    let title = title(chart);
    let mut canvas = Canvas::default();
    let mut y = MARGIN + 6.0;
    for line in text::broken(&title, 1.1 * TITLE.size, WIDTH - 2.0 * MARGIN, 2) {
        y += 14.0;
        canvas.words([MARGIN, y], TITLE, &line);
        y += 8.0;
    }
    y += 18.0;
    let Some(sound) = sound else {
        canvas.words([MARGIN, y], LABEL, "Nothing to draw yet: no cushion.");
        return canvas.finish_chart([WIDTH, y + MARGIN], &title, &description(chart, None));
    };
    canvas.words([MARGIN, y], LABEL, "Peak shock, multiples of gravity (G)");
    let plot = Plot::of(&sound, y + 12.0);
    y = plot.draw(&mut canvas, chart.load_unit.trim());
    y = key(&mut canvas, &sound, chart, y + 14.0);
    if let Some(note) = sound.note() {
        y += 22.0;
        canvas.words([MARGIN, y], LABEL, &text::cut_to(&note, LABEL.size, WIDTH - 2.0 * MARGIN));
    }
    canvas.finish_chart([WIDTH, y + MARGIN], &title, &description(chart, Some(&sound)))
}

fn pen(index: usize) -> Pen {
    PENS.get(index % PENS.len()).copied().unwrap_or(Pen::Hard)
}

struct Plot<'a> {
    sound: &'a ShockSound<'a>,
    /// Left, top, right and bottom of the frame, px.
    frame: [f64; 4],
}

impl<'a> Plot<'a> {
    fn of(sound: &'a ShockSound<'a>, top: f64) -> Self {
        let ticks = sound.shock_ticks();
        let widest = ticks.iter().map(|tick| text::width(&shock_words(*tick), LABEL.size, false));
        let left = MARGIN + widest.fold(0.0, f64::max).ceil() + 10.0;
        Self { sound, frame: [left, top, WIDTH - MARGIN, top + HEIGHT] }
    }

    fn x(&self, load: f64) -> f64 {
        let [left, _, right, _] = self.frame;
        left + (right - left) * self.sound.across(load)
    }

    fn y(&self, shock: f64) -> f64 {
        let [_, top, _, bottom] = self.frame;
        bottom - (bottom - top) * (shock / self.sound.top).clamp(0.0, 1.0)
    }

    fn draw(&self, canvas: &mut Canvas, unit: &str) -> f64 {
        let [left, top, right, bottom] = self.frame;
        canvas.open("plot");
        if let Some(allowed) = self.sound.allowed {
            canvas.rectangle([left, self.y(allowed)], [right, bottom], Pen::Bare, Paint::Pale);
        }
        for tick in self.sound.shock_ticks() {
            let y = self.y(tick);
            canvas.line([left, y], [right, y], Pen::Grid);
            canvas.words([left - 7.0, y + 5.0], LABEL.end(), &shock_words(tick));
        }
        let foot = self.load_axis(canvas, unit);
        if let Some(load) = self.sound.load {
            canvas.line([self.x(load), top], [self.x(load), bottom], Pen::Cut);
        }
        for (index, curve) in self.sound.curves.iter().enumerate() {
            canvas.open_mark("curve", index, 1.0, &format!("{}: {}", curve.name.trim(), here(curve)));
            for run in self.runs(curve) {
                canvas.polyline(&run, pen(index));
            }
            canvas.close();
        }
        if let Some(allowed) = self.sound.allowed {
            canvas.line([left, self.y(allowed)], [right, self.y(allowed)], Pen::Median);
        }
        let mut taken = Vec::new();
        if let Some(load) = self.sound.load {
            for (index, curve) in self.sound.curves.iter().enumerate() {
                let Some(here) = curve.here.filter(|here| *here <= self.sound.top) else { continue };
                let at = [self.x(load), self.y(here)];
                canvas.open_mark("here", index, 1.0, "");
                canvas.circle(at, 4.0, Pen::Board, Paint::Black);
                canvas.close();
                taken.push(at);
            }
        }
        for (index, curve) in self.sound.curves.iter().enumerate() {
            let Some(at) = self.letter(index, &taken) else { continue };
            let ground = |sign: f64| [at[0] + sign * GROUND[0], at[1] + sign * GROUND[1]];
            canvas.rectangle(ground(-1.0), ground(1.0), Pen::Bare, Paint::White);
            canvas.words([at[0], at[1] + 5.0], LABEL.bold().middle(), &curve.letter.to_string());
            taken.push(at);
        }
        canvas.rectangle([left, top], [right, bottom], Pen::Board, Paint::Clear);
        canvas.close();
        foot
    }

    fn load_axis(&self, canvas: &mut Canvas, unit: &str) -> f64 {
        let [left, _, right, bottom] = self.frame;
        let mut free_from = left - 20.0;
        for (load, words) in self.sound.load_ticks() {
            let x = self.x(load);
            canvas.line([x, bottom], [x, bottom + 4.0], Pen::Fine);
            let half = 0.5 * text::width(&words, LABEL.size, false);
            if x - half >= free_from && x + half <= WIDTH {
                canvas.words([x, bottom + 19.0], LABEL.middle(), &words);
                free_from = x + half + LABEL_GAP;
            }
        }
        let words = format!("Load on the cushion, {unit}: weight over bearing area");
        let words = text::cut_to(&words, LABEL.size, right - left);
        canvas.words([0.5 * (left + right), bottom + 38.0], LABEL.middle(), &words);
        bottom + 44.0
    }

    /// The stretches of a curve below the top, each cut where it passes it.
    fn runs(&self, curve: &CurveMark<'_>) -> Vec<Vec<Point>> {
        let top = self.sound.top;
        let mut runs = Vec::new();
        let mut run: Vec<Point> = Vec::new();
        let place = |load: f64, shock: f64| [self.x(load), self.y(shock)];
        for pair in curve.points.windows(2) {
            let [[load, shock], [next_load, next_shock]] = pair else { continue };
            let crossing = || {
                let share = (top - shock) / (next_shock - shock);
                place(load * (next_load / load).powf(share), top)
            };
            match (*shock <= top, *next_shock <= top) {
                (true, true) => {
                    if run.is_empty() {
                        run.push(place(*load, *shock));
                    }
                    run.push(place(*next_load, *next_shock));
                }
                (true, false) => {
                    if run.is_empty() {
                        run.push(place(*load, *shock));
                    }
                    run.push(crossing());
                    runs.push(std::mem::take(&mut run));
                }
                (false, true) => {
                    run = vec![crossing(), place(*next_load, *next_shock)];
                }
                (false, false) => {}
            }
        }
        if run.len() > 1 {
            runs.push(run);
        }
        runs
    }

    /// Where a curve's letter stands: on it, as far as may be from the others, their letters and the marks. `None`
    /// when none of it is in the frame.
    fn letter(&self, index: usize, taken: &[Point]) -> Option<Point> {
        let curve = self.sound.curves.get(index)?;
        let [_, top, _, bottom] = self.frame;
        let mut best: Option<(f64, Point)> = None;
        for place in 0..=PLACES {
            let share = EDGE + (1.0 - 2.0 * EDGE) * f64::from(place) / f64::from(PLACES);
            let load = self.sound.load_at(share);
            let Some(shock) = curve.at(load).filter(|shock| *shock <= self.sound.top) else { continue };
            let at = [self.x(load), self.y(shock)];
            let others = self.sound.curves.iter().enumerate().filter(|(other, _)| *other != index);
            let to_curves = others
                .filter_map(|(_, other)| other.at(load))
                .map(|shock| (self.y(shock) - at[1]).abs())
                .fold(f64::INFINITY, f64::min);
            let to_taken = taken
                .iter()
                .map(|mark| (mark[0] - at[0]).hypot(mark[1] - at[1]))
                .fold(f64::INFINITY, f64::min);
            let to_allowed = self.sound.allowed.map_or(f64::INFINITY, |g| (self.y(g) - at[1]).abs());
            let to_load = self.sound.load.map_or(f64::INFINITY, |load| (self.x(load) - at[0]).abs());
            let room = to_curves
                .min(to_taken)
                .min(to_allowed)
                .min(to_load)
                .min(at[1] - top)
                .min(bottom - at[1])
                .min(FAR_ENOUGH);
            if best.is_none_or(|(known, _)| room > known) {
                best = Some((room, at));
            }
        }
        best.map(|(_, at)| at)
    }
}

/// What each mark means; gives back where it ends, px.
fn key(canvas: &mut Canvas, sound: &ShockSound<'_>, chart: &ShockChart, top: f64) -> f64 {
    canvas.open("key");
    canvas.words([MARGIN, top + 14.0], Lettering::HEAD, "How to read it");
    let mut y = top + 34.0;
    let room = WIDTH - 2.0 * MARGIN - SIGN;
    let line = |canvas: &mut Canvas, y: f64, sign: Pen, words: &str| {
        canvas.line([MARGIN, y], [MARGIN + 24.0, y], sign);
        canvas.words([MARGIN + SIGN, y + 5.0], LABEL, &text::cut_to(words, LABEL.size, room));
    };
    if let Some(allowed) = sound.allowed {
        line(canvas, y, Pen::Median, &format!("allowed: {} G; enough on the grey", shock_words(allowed)));
        y += ENTRY;
    }
    if let Some(load) = sound.load {
        let words = format!("load of this piece: {} {}", load_words(load), chart.load_unit.trim());
        line(canvas, y, Pen::Cut, &words);
        y += ENTRY;
    }
    for (index, curve) in sound.curves.iter().enumerate() {
        line(canvas, y, pen(index), &format!("{}: {}", curve.name.trim(), here(curve)));
        canvas.words([MARGIN + 36.0, y + 5.0], LABEL.bold().middle(), &curve.letter.to_string());
        y += ENTRY;
    }
    canvas.close();
    y - 6.0
}
