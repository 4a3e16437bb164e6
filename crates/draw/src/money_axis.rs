//! An axis of money by ratio: equal steps along it are equal ratios, with ticks at 1-2-5 amounts.

use measure::Money;

/// Least amount drawn, currency units: the cent.
pub(crate) const LEAST_DRAWN: f64 = 0.01;
/// Largest amount drawn, currency units (judgement): a hundred times the largest amount that is read.
pub(crate) const LARGEST_DRAWN: f64 = 1e9;
/// Least ratio of an axis's ends, so that one lone price still has something to stand on (judgement).
const LEAST_RATIO: f64 = 1.6;
/// Least difference of an axis's ends, currency units: two cents hold at least one tick.
const LEAST_SPAN: f64 = 0.02;
/// Ratio of the ends below which ticks are evenly spaced amounts rather than 1-2-5 of every decade.
const NARROW: f64 = 8.0;
/// Tick amounts of one decade.
const STEPS: [f64; 3] = [1.0, 2.0, 5.0];
/// Pulls a tick that lies on the end of the axis inside, against noise in the last bits.
const END_SLACK: f64 = 1e-9;

/// A span of money, drawn by the logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MoneyAxis {
    low: f64,
    high: f64,
}

/// A power of ten times a small whole number, correctly rounded for negative powers too.
fn times_ten_to(count: f64, power: i32) -> f64 {
    if power < 0 { count / 10.0_f64.powi(-power) } else { count * 10.0_f64.powi(power) }
}

impl MoneyAxis {
    /// The axis over these amounts (above 0, currency units) with `pad` of its length free at each end;
    /// `None` when there is no amount. `pad` is from 0 to below 0.5.
    pub(crate) fn over(amounts: impl IntoIterator<Item = f64>, pad: f64) -> Option<Self> {
        let ends = amounts.into_iter().fold(None, |ends: Option<(f64, f64)>, amount| {
            let amount = amount.clamp(LEAST_DRAWN, LARGEST_DRAWN);
            Some(ends.map_or((amount, amount), |(low, high)| (low.min(amount), high.max(amount))))
        });
        let (mut low, mut high) = ends?;
        let missing = (LEAST_RATIO * low / high).max(1.0).sqrt();
        (low, high) = (low / missing, (high * missing).max(low / missing + LEAST_SPAN));
        let air = (high / low).powf(pad / (1.0 - 2.0 * pad));
        Some(Self { low: low / air, high: high * air })
    }

    /// Where an amount lies, from 0 at the low end to 1 at the high end.
    pub(crate) fn share(self, amount: f64) -> f64 {
        ((amount / self.low).ln() / (self.high / self.low).ln()).clamp(0.0, 1.0)
    }

    fn holds(self, amount: f64) -> bool {
        amount >= self.low * (1.0 - END_SLACK) && amount <= self.high * (1.0 + END_SLACK)
    }

    /// Every whole multiple of `step` on the axis.
    fn multiples(self, step: f64, power: i32) -> Vec<f64> {
        let unit = times_ten_to(step, power);
        let (first, last) = ((self.low / unit).floor().max(1.0), (self.high / unit).ceil());
        // The ends are at most `NARROW` apart here and the steps no finer than a hundredth of that.
        let count = (last - first).clamp(0.0, 1000.0) as u32;
        (0..=count)
            .map(|k| times_ten_to((first + f64::from(k)) * step, power))
            .filter(|&amount| self.holds(amount))
            .collect()
    }

    /// The amounts of these steps in every `stride`-th decade.
    fn decades(self, steps: &[f64], stride: i32) -> Vec<f64> {
        // From -3 to 10 by the bounds of what is drawn.
        let (first, last) = (self.low.log10().floor() as i32, self.high.log10().ceil() as i32);
        (first..=last)
            .filter(|power| power.rem_euclid(stride) == 0)
            .flat_map(|power| steps.iter().map(move |&step| times_ten_to(step, power)))
            .filter(|&amount| amount >= LEAST_DRAWN && self.holds(amount))
            .collect()
    }

    fn are_apart(self, ticks: &[f64], gap: f64) -> bool {
        ticks.windows(2).all(|pair| match pair {
            [one, next] => self.share(*next) - self.share(*one) >= gap,
            _ => true,
        })
    }

    /// Ticks in rising order, at least `gap` of the axis's length apart: at 1, 2 and 5 of each decade, on a
    /// short axis at even steps of 1, 2 or 5; as many as that leaves room for, and never none.
    pub(crate) fn ticks(self, gap: f64) -> Vec<f64> {
        let mut sparse = Vec::new();
        if self.high / self.low < NARROW {
            let finest = ((self.high - self.low) / 100.0).log10().floor() as i32;
            let coarsest = self.high.log10().ceil() as i32;
            for power in finest.max(-2)..=coarsest {
                for step in STEPS {
                    let ticks = self.multiples(step, power);
                    if ticks.len() >= 2 && self.are_apart(&ticks, gap) {
                        return ticks;
                    }
                    if !ticks.is_empty() {
                        sparse = ticks;
                    }
                }
            }
        } else {
            let choices = [(&STEPS[..], 1)].into_iter().chain((1..=6).map(|stride| (&[1.0][..], stride)));
            for (steps, stride) in choices {
                let ticks = self.decades(steps, stride);
                if !ticks.is_empty() {
                    if self.are_apart(&ticks, gap) {
                        return ticks;
                    }
                    sparse = ticks;
                }
            }
        }
        // Nothing even has the room: what is left is thinned from the low end.
        let mut kept: Vec<f64> = Vec::new();
        for tick in sparse {
            if kept.last().is_none_or(|last| self.share(tick) - self.share(*last) >= gap) {
                kept.push(tick);
            }
        }
        kept
    }
}

/// An amount in currency units as it is written: to the cent.
pub(crate) fn amount(value: f64) -> String {
    Money::from_cents_rounded(100.0 * value).write()
}

/// The words at ticks: cents only where an amount has them, and on all when small amounts have them.
pub(crate) fn tick_words(ticks: &[f64]) -> Vec<String> {
    let has_cents = |value: f64| !amount(value).ends_with(".00");
    let all = ticks.iter().any(|&tick| has_cents(tick)) && ticks.iter().all(|&tick| tick < 100.0);
    ticks
        .iter()
        .map(|&tick| {
            let words = amount(tick);
            if all { words } else { words.strip_suffix(".00").map_or(words.clone(), str::to_owned) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{MoneyAxis, tick_words};

    fn words(amounts: [f64; 2], gap: f64) -> Vec<String> {
        tick_words(&MoneyAxis::over(amounts, 0.03).expect("amounts").ticks(gap))
    }

    #[test]
    fn ticks_stand_at_one_two_and_five() {
        assert_eq!(words([1.2, 90.0], 0.06), ["2", "5", "10", "20", "50", "100"]);
        assert_eq!(words([14.0, 33.0], 0.12), ["15", "20", "25", "30"]);
        assert_eq!(words([0.4, 60.0], 0.06), ["0.50", "1.00", "2.00", "5.00", "10.00", "20.00", "50.00"]);
        assert_eq!(words([0.01, 1e7], 0.06).last().map(String::as_str), Some("10,000,000"));
    }

    #[test]
    fn no_axis_is_without_a_tick_and_no_two_ticks_are_closer_than_asked() {
        for low in [0.001, 0.0137, 0.07, 0.99, 1.0, 17.3, 4321.0, 8.7e6, 1e12] {
            for ratio in [1.0, 1.001, 1.3, 2.0, 7.9, 8.1, 40.0, 1e4, 1e9] {
                for gap in [0.02, 0.06, 0.2, 0.5] {
                    let axis = MoneyAxis::over([low, low * ratio], 0.05).expect("amounts");
                    let ticks = axis.ticks(gap);
                    assert!(!ticks.is_empty(), "{low} x {ratio}, {gap}");
                    assert!(axis.are_apart(&ticks, gap), "{low} x {ratio}, {gap}: {ticks:?}");
                    assert!(ticks.len() <= 60, "{ticks:?}");
                }
            }
        }
    }

    #[test]
    fn equal_ratios_are_equal_steps() {
        let axis = MoneyAxis::over([1.0, 100.0], 0.0).expect("amounts");
        assert!((axis.share(10.0) - 0.5).abs() < 1e-12);
        assert_eq!((axis.share(0.5), axis.share(1e6)), (0.0, 1.0));
        assert_eq!(MoneyAxis::over([], 0.1), None);
    }
}
