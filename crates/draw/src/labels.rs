//! What is written inside a drawn bundle: its number, and its name and handle hour where they fit.

use plan::PlacedBundle;

use crate::canvas::{Canvas, Lettering, Paint, Pen, Point};
use crate::clock::Turn;
use crate::outline::chord;
use crate::text;

/// Radius of a number's circle, px.
pub(crate) const NUMBER_RADIUS: f64 = 11.0;
/// Height of a line of small words, px.
const LINE: f64 = 13.0;
/// Least air between words and the outline of the piece they stand in, px.
const AIR: f64 = 0.5;
/// Half the height of a letter without its tail, px.
const HALF_LETTER: f64 = 5.0;

/// What a figure may cover at most before it is left out: a corner of a hard part, and no words.
const MOST_COVERED: f64 = 8.0;

/// A box on the paper that words or numbers already take, px.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Taken {
    /// Upper left corner.
    pub from: Point,
    /// Lower right corner.
    pub to: Point,
}

impl Taken {
    /// The box of this half width and half height about a point.
    pub(crate) fn around(centre: Point, half: Point) -> Self {
        Self {
            from: [centre[0] - half[0], centre[1] - half[1]],
            to: [centre[0] + half[0], centre[1] + half[1]],
        }
    }

    /// Area shared with another box, px2.
    pub(crate) fn shared(self, other: Self) -> f64 {
        let span = |axis: usize| self.to[axis].min(other.to[axis]) - self.from[axis].max(other.from[axis]);
        span(0).max(0.0) * span(1).max(0.0)
    }
}

/// Whether a line of words about `middle` stays inside the outline of its piece.
fn fits(words: &str, middle: Point, hull: &[Point]) -> bool {
    let half = 0.5 * text::width(words, Lettering::SMALL.size, false) + AIR;
    [-HALF_LETTER, HALF_LETTER].into_iter().all(|edge| {
        chord(hull, middle[1] + edge)
            .is_some_and(|(left, right)| left <= middle[0] - half && right >= middle[0] + half)
    })
}

/// Writes the number of a bundle at `centre`, with name and handle hour below where the outline
/// `hull` of its body (px) leaves room; gives back the box that all of it takes.
pub(crate) fn write(canvas: &mut Canvas, bundle: &PlacedBundle, centre: Point, hull: &[Point]) -> Taken {
    let hints = Turn::of(bundle).hints();
    let name = Some(bundle.label.as_str()).filter(|label| !label.trim().is_empty());
    let mut choices: Vec<Vec<&str>> = Vec::new();
    for hint in &hints {
        let lines = || hint.iter().map(String::as_str);
        choices.extend(name.map(|name| std::iter::once(name).chain(lines()).collect()));
        choices.push(lines().collect());
    }
    choices.extend(name.map(|name| vec![name]));

    let number_middle = |lines: usize| centre[1] - 0.5 * (LINE * lines as f64 + 1.0);
    let line_middle =
        |lines: usize, line: usize| number_middle(lines) + NUMBER_RADIUS + 1.0 + LINE * (line as f64 + 0.5);
    let all_fit = |lines: &Vec<&str>| {
        lines
            .iter()
            .enumerate()
            .all(|(line, words)| fits(words, [centre[0], line_middle(lines.len(), line)], hull))
    };
    let Some(lines) = choices.into_iter().find(all_fit) else {
        canvas.number(centre, NUMBER_RADIUS, bundle.number);
        return Taken::around(centre, [NUMBER_RADIUS; 2]);
    };
    let mut half_width = NUMBER_RADIUS;
    for (line, words) in lines.iter().enumerate() {
        let middle = [centre[0], line_middle(lines.len(), line)];
        let half = 0.5 * text::width(words, Lettering::SMALL.size, false);
        half_width = half_width.max(half);
        // White beneath, so that the inner circle of a tapering piece does not strike the words out.
        let ground = Taken::around(middle, [half - 1.0, 0.5 * LINE - 1.0]);
        canvas.rectangle(ground.from, ground.to, Pen::Bare, Paint::White);
        canvas.words([middle[0], middle[1] + 4.3], Lettering::SMALL.middle(), words);
    }
    let number = [centre[0], number_middle(lines.len())];
    canvas.number(number, NUMBER_RADIUS, bundle.number);
    Taken {
        from: [centre[0] - half_width, number[1] - NUMBER_RADIUS],
        to: [centre[0] + half_width, line_middle(lines.len(), lines.len() - 1) + 0.5 * LINE],
    }
}

/// What a place for a figure should keep clear of.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ground<'a> {
    /// Boxes of words and numbers.
    pub taken: &'a [Taken],
    /// Outlines of hard parts, px; covering one costs, but less than covering words.
    pub hard: &'a [Vec<Point>],
    /// The inside of the carton.
    pub inside: Taken,
}

impl Ground<'_> {
    /// What it costs to put a box here; 0 when it covers nothing.
    fn cost(self, here: Taken) -> f64 {
        let [width, height] = [here.to[0] - here.from[0], here.to[1] - here.from[1]];
        let words: f64 = self.taken.iter().map(|other| here.shared(*other)).sum();
        let outside = width * height - here.shared(self.inside);
        let shares = [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];
        let spots =
            shares.iter().flat_map(|u| shares.map(|v| [here.from[0] + u * width, here.from[1] + v * height]));
        let covered = spots.filter(|[x, y]| {
            self.hard
                .iter()
                .any(|hull| chord(hull, *y).is_some_and(|(left, right)| left <= *x && *x <= right))
        });
        3.0 * words + outside + 4.0 * covered.count() as f64
    }
}

/// The box near a mark that covers least, nearer places first; `None` when each covers too much.
///
/// `half` is half the box's width and height and `way` the direction of the mark, both px.
pub(crate) fn free_place(mark: Point, half: Point, way: Point, ground: Ground<'_>) -> Option<Taken> {
    let across = [-way[1], way[0]];
    let mut best = None;
    let mut least = f64::INFINITY;
    for step in [10.0, 16.0, 24.0, 32.0, 40.0, 48.0, 56.0] {
        for (share, lean) in [(1.0, 0.0), (-1.0, 0.0), (0.8, 0.6), (0.8, -0.6), (-0.8, 0.6), (-0.8, -0.6)] {
            let offset = |axis: usize| step * (share * across[axis] + lean * way[axis]);
            // The half size is added along the step, so that the box clears the mark itself.
            let clear = |axis: usize| offset(axis) + half[axis] * (offset(axis) / step);
            let here = Taken::around([mark[0] + clear(0), mark[1] + clear(1)], half);
            let covers = ground.cost(here);
            if covers <= MOST_COVERED && covers + step < least {
                (best, least) = (Some(here), covers + step);
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::{Ground, Taken, fits, free_place};

    #[test]
    fn words_that_would_cross_the_outline_do_not_fit() {
        let square = [[0.0, 0.0], [80.0, 0.0], [80.0, 80.0], [0.0, 80.0]];
        assert!(fits("cup", [40.0, 40.0], &square));
        assert!(!fits("a very long name indeed", [40.0, 40.0], &square));
        assert!(!fits("cup", [40.0, 78.0], &square), "too near the lower edge");
    }

    #[test]
    fn a_free_place_is_taken_before_a_covered_one() {
        let inside = Taken { from: [0.0, 0.0], to: [400.0, 400.0] };
        let below = Taken { from: [100.0, 205.0], to: [300.0, 300.0] };
        let above = vec![[100.0, 100.0], [300.0, 100.0], [300.0, 195.0], [100.0, 195.0]];
        let find = |hard: &[Vec<[f64; 2]>]| {
            free_place([200.0, 200.0], [20.0, 6.0], [1.0, 0.0], Ground { taken: &[below], hard, inside })
        };
        let place = find(&[]).expect("there is room");
        assert_eq!(place.shared(below), 0.0);
        assert!(place.to[1] < 200.0);
        assert_eq!(find(&[above]), None, "a figure that would cover a piece is left out");
    }
}
