//! What of a shock chart can be drawn: curves in rising load, and the axes that hold them.

use super::ShockChart;

/// Most curves that are told apart by eye (judgement).
const MOST_CURVES: usize = 8;
/// How far above the allowed shock the axis goes at least and at most, as multiples of it (judgement): beyond, all
/// cushions are equally bad.
const ABOVE_ALLOWED: [f64; 2] = [2.0, 4.0];
/// Room above the highest mark, as a ratio.
const AIR: f64 = 1.1;
/// Most ticks of the shock axis.
const MOST_TICKS: f64 = 8.0;
/// Tick amounts of one decade.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];
/// Least and most load and shock that have a place on an axis.
const DRAWN: [f64; 2] = [1e-9, 1e9];

/// A curve that can be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CurveMark<'a> {
    /// What stands beside it.
    pub letter: char,
    /// What it is.
    pub name: &'a str,
    /// Load and shock by rising load, at least two.
    pub points: Vec<[f64; 2]>,
    /// Shock under the piece's own load.
    pub here: Option<f64>,
}

impl CurveMark<'_> {
    /// The shock at a load, between the points beside it; `None` beyond the curve's ends.
    pub(crate) fn at(&self, load: f64) -> Option<f64> {
        self.points.windows(2).find_map(|pair| match pair {
            [[from, low], [to, high]] if (*from..=*to).contains(&load) => {
                let width = (to / from).ln();
                let share = if width > 0.0 { (load / from).ln() / width } else { 0.0 };
                Some(low + share * (high - low))
            }
            _ => None,
        })
    }
}

/// What can be drawn of a chart, and its axes: loads by ratio, shocks evenly from nothing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShockSound<'a> {
    /// The curves.
    pub curves: Vec<CurveMark<'a>>,
    /// Load of the piece, where it can be drawn.
    pub load: Option<f64>,
    /// What is allowed, where it can be drawn.
    pub allowed: Option<f64>,
    /// Lowest and highest load.
    pub loads: [f64; 2],
    /// Highest shock.
    pub top: f64,
    left_out: usize,
}

fn drawn(value: f64) -> Option<f64> {
    (value.is_finite() && (DRAWN[0]..=DRAWN[1]).contains(&value)).then_some(value)
}

impl<'a> ShockSound<'a> {
    /// What can be drawn; `None` when there is no curve.
    pub(crate) fn of(chart: &'a ShockChart) -> Option<Self> {
        let mut curves: Vec<CurveMark<'a>> = Vec::new();
        for curve in &chart.curves {
            let mut points: Vec<[f64; 2]> = (curve.points.iter())
                .filter_map(|&[load, shock]| Some([drawn(load)?, drawn(shock)?]))
                .collect();
            points.sort_by(|a, b| a[0].total_cmp(&b[0]));
            points.dedup_by(|a, b| a[0].total_cmp(&b[0]).is_eq());
            let Some(letter) = ('A'..='Z').nth(curves.len()).filter(|_| curves.len() < MOST_CURVES) else {
                break;
            };
            if points.len() >= 2 {
                curves.push(CurveMark {
                    letter,
                    name: &curve.name,
                    points,
                    here: curve.here.and_then(drawn),
                });
            }
        }
        let left_out = chart.curves.len() - curves.len();
        let (load, allowed) = (drawn(chart.load), drawn(chart.allowed_g));
        let all = curves.iter().flat_map(|curve| &curve.points).map(|point| point[0]).chain(load);
        let (low, high) =
            all.fold((f64::INFINITY, 0.0_f64), |(low, high), load| (low.min(load), high.max(load)));
        if curves.is_empty() {
            return None;
        }
        let least = curves.iter().flat_map(|curve| &curve.points).map(|point| point[1]);
        let anchor = allowed.unwrap_or_else(|| least.fold(f64::INFINITY, f64::min));
        let marks = curves.iter().filter_map(|curve| curve.here).fold(0.0, f64::max);
        let top = (AIR * marks).clamp(ABOVE_ALLOWED[0] * anchor, ABOVE_ALLOWED[1] * anchor);
        let step = step(top);
        Some(Self { curves, load, allowed, loads: [low, high], top: (top / step).ceil() * step, left_out })
    }

    /// Where a load lies, from 0 at the low end to 1 at the high end.
    pub(crate) fn across(&self, load: f64) -> f64 {
        ((load / self.loads[0]).ln() / (self.loads[1] / self.loads[0]).ln()).clamp(0.0, 1.0)
    }

    /// The load at a share of the axis.
    pub(crate) fn load_at(&self, share: f64) -> f64 {
        self.loads[0] * (self.loads[1] / self.loads[0]).powf(share)
    }

    /// Loads at 1, 2 and 5 of every decade, with their words; by tens alone where the axis is long.
    pub(crate) fn load_ticks(&self) -> Vec<(f64, String)> {
        // From -9 to 9 by the bounds of what is drawn.
        let [first, last] = self.loads.map(|load| load.log10().floor() as i32);
        let steps = if last - first > 3 { &STEPS[..1] } else { &STEPS[..] };
        (first..=last)
            .flat_map(|power| steps.iter().map(move |step| (power, *step)))
            .map(|(power, step)| {
                let decimals = usize::try_from(-power).unwrap_or(0);
                let load = step * 10f64.powi(power);
                (load, format!("{load:.decimals$}"))
            })
            .filter(|(load, _)| (self.loads[0]..=self.loads[1]).contains(load))
            .collect()
    }

    /// Shocks at even steps from nothing to the top.
    pub(crate) fn shock_ticks(&self) -> Vec<f64> {
        let step = step(self.top);
        // At most as many as `step` allows, and one for what rounding leaves.
        let count = (self.top / step + 1e-6).floor() as u32;
        (0..=count).map(|k| f64::from(k) * step).collect()
    }

    /// What could not be drawn, as a sentence.
    pub(crate) fn note(&self) -> Option<String> {
        match self.left_out {
            0 => None,
            1 => Some("One cushion is left out: no room, or no figures to draw.".to_owned()),
            count => Some(format!("{count} cushions are left out: no room, or no figures to draw.")),
        }
    }
}

/// The finest step of 1, 2 or 5 that leaves no more ticks than there is room for.
fn step(top: f64) -> f64 {
    let power = (top / MOST_TICKS).log10().floor();
    let unit = 10f64.powf(power);
    STEPS.into_iter().map(|step| step * unit).find(|step| top / step <= MOST_TICKS).unwrap_or(10.0 * unit)
}

/// A shock as it is written: whole, with one decimal under 10.
pub(crate) fn shock_words(shock: f64) -> String {
    if shock < 9.95 && shock.fract() != 0.0 { format!("{shock:.1}") } else { format!("{shock:.0}") }
}

/// A load in three significant digits.
pub(crate) fn load_words(load: f64) -> String {
    let decimals = usize::try_from(2 - load.log10().floor() as i32).unwrap_or(0);
    let text = format!("{load:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::{load_words, shock_words, step};

    #[test]
    fn figures_are_written_short() {
        assert_eq!([0.07461, 0.5, 12.34, 1234.0].map(load_words), ["0.0746", "0.5", "12.3", "1234"]);
        assert_eq!([67.6, 7.25, 8.0].map(shock_words), ["68", "7.2", "8"]);
    }

    #[test]
    fn an_axis_has_three_to_eight_steps() {
        for top in [0.7, 3.0, 56.0, 120.0, 240.0, 399.0, 8.5e4] {
            let steps = top / step(top);
            assert!((3.0..=8.0).contains(&steps), "{top}: {steps}");
        }
    }
}
