//! What hands like: of plans that cost the same, the one that is easiest to follow.
//!
//! Every term counts against a plan, 0 is best, and each has its weight below. Directions and places are
//! those of the public record, so the same judgement serves any layout however it was found.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use plan::{Parcel, PlacedBundle, PlacedPart};
use shape::{PartKind, Placement, Solid};

/// One more way up among pieces of one label (judgement: a piece upside down among its like is the mistake
/// that is made).
const WAYS_UP: f64 = 1.0;
/// One more direction among pieces of one label (judgement).
const TURNS: f64 = 0.15;
/// A parcel in which no piece has a counterpart in its layer (judgement).
const LOPSIDED: f64 = 1.0;
/// A parcel in which every handle and spout ends at a wall (judgement: what sticks out breaks first).
const CRAMPED: f64 = 3.0;
/// One piece put down behind a taller one that is already in (judgement).
const REACHES: f64 = 0.5;
/// A centre of mass at the top of the carton (judgement).
const TOP_HEAVY: f64 = 1.0;
/// Layers that share no place (judgement).
const UNEQUAL: f64 = 0.5;

/// Places that eyes take for the same, mm (judgement).
const EVEN_MM: f64 = 10.0;
/// Turns that hands take for the same, degrees (judgement: a sixth of an hour).
const SAME_TURN_DEG: f64 = 5.0;
/// How much taller a piece must be to be reached over, mm (judgement).
const TALLER_MM: f64 = 10.0;
/// Shortest step out from the body's middle that has a direction, mm.
const LEAST_REACH_MM: f64 = 1.0;

/// What hands have against a plan, term by term; the smaller, the better.
///
/// The order is total: the weighted sum decides, and between equal sums the terms one after another.
///
/// ```
/// # let parcel = plan::Parcel {
/// #     carton: plan::Carton { name: "10 x 8 x 6".into(), inside_mm: [254.0, 203.0, 152.0],
/// #         outside_mm: [260.0, 209.0, 164.0], cut_down_from_mm: None, tare_g: 180.0,
/// #         max_gross_g: 9000.0, board: "single wall".into() },
/// #     crush: plan::Crush { sideways: 0.0 }, layers: vec![], pads: vec![], bundles: vec![],
/// #     clearances: vec![],
/// #     fill: plan::Fill { material: "loose fill".into(), volume_mm3: 7e6, mass_g: 30.0, bed_mm: 50.8 },
/// #     materials: vec![], minutes: plan::Minutes { wrapping: 0.0, boxing: 2.0 }, gross_g: 210.0, inner: None };
/// let empty = packing::Hands::of(&parcel);
/// assert_eq!(empty.dislike(), 0.0);
/// assert_eq!(packing::nicer(&[parcel.clone(), parcel]), Some(0));
/// ```
#[derive(Debug, Clone, Copy)]
pub struct Hands {
    /// Ways up beyond one for each label.
    pub ways_up: u32,
    /// Directions beyond one for each label that has a direction; a half turn counts as none where the
    /// piece looks the same after it.
    pub turns: u32,
    /// Share of pieces without a counterpart in their layer, under whichever of a mirror from left to
    /// right, one from front to back, and a half turn leaves fewest; 0 to 1.
    pub lopsided: f64,
    /// How near to walls handles and spouts end, along where they point: 0 when half the carton's shorter
    /// side lies before each tip, 1 when each touches. A corner leaves more room before a spout than a
    /// wall, and the far side of the carton more than either.
    pub cramped: f64,
    /// Pieces put down behind a taller one of their layer that is already in.
    pub reaches: u32,
    /// Height of the centre of mass as a share of the inside height.
    pub top_heavy: f64,
    /// Share of places, from layer to layer, that do not lie over a like piece turned alike; 0 to 1.
    pub unequal: f64,
}

impl Hands {
    /// Judges a parcel.
    #[must_use]
    pub fn of(parcel: &Parcel) -> Self {
        let pieces: Vec<Piece<'_>> = parcel.bundles.iter().map(Piece::new).collect();
        let labels: BTreeSet<&str> = pieces.iter().map(|piece| piece.label()).collect();
        let ways: BTreeSet<_> = pieces.iter().map(|piece| (piece.label(), piece.stated.way_up)).collect();
        let turned: BTreeSet<_> =
            pieces.iter().filter_map(|piece| Some((piece.label(), piece.turn()?))).collect();
        let directed: BTreeSet<&str> = turned.iter().map(|(label, _)| *label).collect();
        let count = |all: usize, least: usize| u32::try_from(all - least.min(all)).unwrap_or(u32::MAX);
        Self {
            ways_up: count(ways.len(), labels.len()),
            turns: count(turned.len(), directed.len()),
            lopsided: lopsided(&pieces),
            cramped: mean_cramped(&pieces, parcel.carton.inside_mm),
            reaches: reaches(&pieces),
            top_heavy: top_heavy(&pieces, parcel.carton.inside_mm[2]),
            unequal: unequal(&pieces),
        }
    }

    /// The weighted sum of all terms, without unit; 0 is best.
    #[must_use]
    pub fn dislike(&self) -> f64 {
        WAYS_UP * f64::from(self.ways_up)
            + TURNS * f64::from(self.turns)
            + LOPSIDED * self.lopsided
            + CRAMPED * self.cramped
            + REACHES * f64::from(self.reaches)
            + TOP_HEAVY * self.top_heavy
            + UNEQUAL * self.unequal
    }
}

impl Ord for Hands {
    fn cmp(&self, other: &Self) -> Ordering {
        self.dislike()
            .total_cmp(&other.dislike())
            .then(self.ways_up.cmp(&other.ways_up))
            .then(self.reaches.cmp(&other.reaches))
            .then(self.cramped.total_cmp(&other.cramped))
            .then(self.turns.cmp(&other.turns))
            .then(self.lopsided.total_cmp(&other.lopsided))
            .then(self.top_heavy.total_cmp(&other.top_heavy))
            .then(self.unequal.total_cmp(&other.unequal))
    }
}

impl PartialOrd for Hands {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Hands {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Hands {}

/// Which of these plans hands like best: the first of the best; `None` when there are none.
#[must_use]
pub fn nicer(layouts: &[Parcel]) -> Option<usize> {
    let judged = layouts.iter().map(Hands::of).enumerate();
    judged.min_by(|a, b| a.1.cmp(&b.1).then(a.0.cmp(&b.0))).map(|(index, _)| index)
}

/// How near to a wall something ends that points along the unit vector `way` and has its tip there:
/// 0 when at least half the shorter side of the base lies before it, 1 when nothing does.
pub(crate) fn cramped(tip: [f64; 2], way: [f64; 2], inside: [f64; 2]) -> f64 {
    let before = [0, 1]
        .into_iter()
        .filter(|&axis: &usize| way[axis].abs() > 1e-9)
        .map(|axis| {
            let edge = if way[axis] > 0.0 { inside[axis] - tip[axis] } else { tip[axis] };
            edge / way[axis].abs()
        })
        .fold(f64::INFINITY, f64::min);
    let enough = 0.5 * inside[0].min(inside[1]);
    if enough > 0.0 { 1.0 - (before / enough).clamp(0.0, 1.0) } else { 1.0 }
}

/// Whether a part of this kind sticks out of its piece.
pub(crate) const fn sticks_out(kind: PartKind) -> bool {
    match kind {
        PartKind::Handle | PartKind::Spout | PartKind::Knob => true,
        PartKind::Body | PartKind::Stem | PartKind::Foot | PartKind::Lid => false,
    }
}

/// A bundle with what is asked of it over and over.
struct Piece<'a> {
    stated: &'a PlacedBundle,
    /// Middle of what does not stick out, x and y, mm.
    middle: [f64; 2],
    /// Low and high of all hard parts along x, y and z, mm.
    spans: [[f64; 2]; 3],
}

fn spans<'p>(parts: impl Iterator<Item = &'p PlacedPart> + Clone) -> [[f64; 2]; 3] {
    [0, 1, 2].map(|axis| {
        parts
            .clone()
            .map(|part| part.placement.extent_mm(part.bare, axis))
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], (from, to)| [low.min(from), high.max(to)])
    })
}

impl<'a> Piece<'a> {
    fn new(stated: &'a PlacedBundle) -> Self {
        let main = stated.parts.iter().filter(|part| !sticks_out(part.kind));
        let of_main = spans(main);
        let middle = [0, 1].map(|axis: usize| {
            let middle = 0.5 * (of_main[axis][0] + of_main[axis][1]);
            if middle.is_finite() { middle } else { stated.placement.at_mm[axis] }
        });
        Self { stated, middle, spans: spans(stated.parts.iter()) }
    }

    fn label(&self) -> &'a str {
        &self.stated.label
    }

    fn like(&self, other: &Self) -> bool {
        self.label() == other.label() && self.stated.way_up == other.stated.way_up
    }

    /// Whether it looks the same whichever way it is turned.
    fn is_round(&self) -> bool {
        self.stated.parts.iter().all(|part| match part.bare {
            Solid::Cylinder { .. } | Solid::Frustum { .. } => {
                part.placement.direction([0.0, 0.0, 1.0])[2].abs() > 0.999_9
                    && near(part_middle(part), self.middle)
            }
            Solid::Block { .. } => false,
        })
    }

    /// Its direction in steps of [`SAME_TURN_DEG`]; `None` when it has none.
    fn turn(&self) -> Option<i64> {
        if self.is_round() {
            return None;
        }
        let half = self.matches(self, |[x, y]| [2.0 * self.middle[0] - x, 2.0 * self.middle[1] - y]);
        let circle = if half { 180.0 } else { 360.0 };
        let steps = (self.stated.yaw_deg.rem_euclid(circle) / SAME_TURN_DEG).round();
        Some(steps as i64 % (circle / SAME_TURN_DEG) as i64)
    }

    /// Whether each part of this piece, moved by `image`, comes to lie on a like part of the other.
    fn matches(&self, other: &Self, image: impl Fn([f64; 2]) -> [f64; 2]) -> bool {
        self.like(other)
            && self.stated.parts.iter().all(|part| {
                let there = image(part_middle(part));
                let mut parts = other.stated.parts.iter();
                parts.any(|found| found.kind == part.kind && near(part_middle(found), there))
            })
    }
}

fn part_middle(part: &PlacedPart) -> [f64; 2] {
    [part.placement.at_mm[0], part.placement.at_mm[1]]
}

fn near(a: [f64; 2], b: [f64; 2]) -> bool {
    (a[0] - b[0]).hypot(a[1] - b[1]) <= EVEN_MM
}

/// Numbers of the layers that hold something, from the bottom up.
fn layers(pieces: &[Piece<'_>]) -> BTreeSet<u32> {
    pieces.iter().map(|piece| piece.stated.layer).collect()
}

fn share(part: usize, whole: usize) -> f64 {
    if whole == 0 { 0.0 } else { part as f64 / whole as f64 }
}

fn lopsided(pieces: &[Piece<'_>]) -> f64 {
    let mut alone = 0;
    for layer in layers(pieces) {
        let here: Vec<&Piece<'_>> = pieces.iter().filter(|piece| piece.stated.layer == layer).collect();
        if here.len() < 2 {
            // A lone piece is even however it is turned.
            continue;
        }
        let centre = [0, 1].map(|axis: usize| {
            let low = here.iter().map(|piece| piece.middle[axis]).fold(f64::INFINITY, f64::min);
            let high = here.iter().map(|piece| piece.middle[axis]).fold(f64::NEG_INFINITY, f64::max);
            low + high
        });
        let without = |image: &dyn Fn([f64; 2]) -> [f64; 2]| {
            here.iter().filter(|piece| !here.iter().any(|other| piece.matches(other, image))).count()
        };
        let images: [&dyn Fn([f64; 2]) -> [f64; 2]; 3] =
            [&|[x, y]| [centre[0] - x, y], &|[x, y]| [x, centre[1] - y], &|[x, y]| {
                [centre[0] - x, centre[1] - y]
            }];
        alone += images.into_iter().map(without).min().unwrap_or(0);
    }
    share(alone, pieces.len())
}

fn mean_cramped(pieces: &[Piece<'_>], inside_mm: [f64; 3]) -> f64 {
    let inside = [inside_mm[0], inside_mm[1]];
    let (mut sum, mut count) = (0.0, 0.0);
    for piece in pieces {
        let out = piece.stated.parts.iter().filter(|part| sticks_out(part.kind));
        for part in out {
            let there = part_middle(part);
            let step = [there[0] - piece.middle[0], there[1] - piece.middle[1]];
            let length = step[0].hypot(step[1]);
            // What points straight up or down has no wall before it.
            if length < LEAST_REACH_MM {
                continue;
            }
            // A place that is no place is as bad as the wall.
            if !length.is_finite() {
                sum += 1.0;
                count += 1.0;
                continue;
            }
            let way = [step[0] / length, step[1] / length];
            // Turned so that the way is x, the part's extent along x is its reach.
            let level = Placement::yawed(-way[1].atan2(way[0]), [0.0; 3]).after(part.placement);
            let reach = level.extent_mm(part.bare, 0).1 - level.at_mm[0];
            let tip = [there[0] + reach * way[0], there[1] + reach * way[1]];
            sum += cramped(tip, way, inside);
            count += 1.0;
        }
    }
    if count > 0.0 { sum / count } else { 0.0 }
}

fn reaches(pieces: &[Piece<'_>]) -> u32 {
    let over = |piece: &&Piece<'_>| {
        pieces.iter().any(|earlier| {
            let ([x, y, z], [u, v, w]) = (piece.spans, earlier.spans);
            earlier.stated.layer == piece.stated.layer
                && earlier.stated.number < piece.stated.number
                && w[1] > z[1] + TALLER_MM
                && u[0] < x[1]
                && x[0] < u[1]
                && v[0] + v[1] < y[0] + y[1]
        })
    };
    u32::try_from(pieces.iter().filter(over).count()).unwrap_or(u32::MAX)
}

fn top_heavy(pieces: &[Piece<'_>], inside_mm: f64) -> f64 {
    let middle = |piece: &Piece<'_>| 0.5 * (piece.spans[2][0] + piece.spans[2][1]);
    let mass: f64 = pieces.iter().map(|piece| piece.stated.mass_g).sum();
    let moment: f64 = pieces.iter().map(|piece| piece.stated.mass_g * middle(piece)).sum();
    let height = moment / mass / inside_mm;
    // Nothing of weight is not top-heavy; figures that are none are.
    match (mass == 0.0, height.is_finite()) {
        (true, _) => 0.0,
        (false, true) => height,
        (false, false) => 1.0,
    }
}

fn unequal(pieces: &[Piece<'_>]) -> f64 {
    let numbers: Vec<u32> = layers(pieces).into_iter().collect();
    let (mut unlike, mut places) = (0, 0);
    for (lower, upper) in numbers.iter().zip(numbers.iter().skip(1)) {
        let of = |layer: u32| pieces.iter().filter(move |piece| piece.stated.layer == layer);
        let most = of(*lower).count().max(of(*upper).count());
        let alike = of(*upper).filter(|piece| of(*lower).any(|below| piece.matches(below, |at| at))).count();
        places += most;
        unlike += most - alike.min(most);
    }
    share(unlike, places)
}

#[cfg(test)]
mod tests {
    use plan::{Carton, Crush, Fill, Minutes, Rest, WallClearance};
    use shape::{Company, Part, WayUp};

    use super::*;

    /// A mug with a handle at its own x, at this place and turn.
    fn mug(number: u32, layer: u32, at: [f64; 2], yaw_deg: f64) -> PlacedBundle {
        let part =
            |kind, solid, x: f64| Part { kind, solid, placement: Placement::at(x, 0.0, 50.0), wrap_mm: 5.0 };
        let parts = [
            part(PartKind::Body, Solid::Cylinder { radius_mm: 40.0, height_mm: 100.0 }, 0.0),
            part(PartKind::Handle, Solid::Block { x_mm: 30.0, y_mm: 12.0, z_mm: 60.0 }, 55.0),
        ];
        placed(number, layer, at, yaw_deg, "mug", &parts)
    }

    fn jar(number: u32, layer: u32, at: [f64; 2], height_mm: f64) -> PlacedBundle {
        let solid = Solid::Cylinder { radius_mm: 40.0, height_mm };
        let placement = Placement::at(0.0, 0.0, 0.5 * height_mm);
        placed(
            number,
            layer,
            at,
            0.0,
            "jar",
            &[Part { kind: PartKind::Body, solid, placement, wrap_mm: 5.0 }],
        )
    }

    fn placed(
        number: u32,
        layer: u32,
        at: [f64; 2],
        yaw_deg: f64,
        label: &str,
        parts: &[Part],
    ) -> PlacedBundle {
        let height = 20.0 + 110.0 * f64::from(layer - 1);
        let placement = Placement::yawed(yaw_deg.to_radians(), [at[0], at[1], height]);
        PlacedBundle {
            number,
            label: label.into(),
            contents: Vec::new(),
            layer,
            way_up: WayUp::Upright,
            yaw_deg,
            placement,
            mass_g: 400.0,
            rests: Rest::Bed,
            walls: WallClearance { required_mm: 0.0, sides_mm: 0.0, floor_mm: 0.0, top_mm: 0.0 },
            separation_mm: 0.0,
            bears_load: true,
            company: Company::Breakable,
            parts: parts.iter().map(|part| PlacedPart::new(part, placement)).collect(),
        }
    }

    fn parcel(bundles: Vec<PlacedBundle>) -> Parcel {
        Parcel {
            carton: Carton {
                name: "16 x 12 x 12".into(),
                inside_mm: [400.0, 300.0, 300.0],
                outside_mm: [410.0, 310.0, 316.0],
                cut_down_from_mm: None,
                tare_g: 300.0,
                max_gross_g: 1e5,
                board: "single wall".into(),
            },
            crush: Crush { sideways: 0.25 },
            layers: Vec::new(),
            pads: Vec::new(),
            bundles,
            clearances: Vec::new(),
            fill: Fill { material: "fill".into(), volume_mm3: 0.0, mass_g: 0.0, bed_mm: 20.0 },
            materials: Vec::new(),
            minutes: Minutes { wrapping: 0.0, boxing: 0.0 },
            gross_g: 0.0,
            inner: None,
        }
    }

    fn judged(bundles: Vec<PlacedBundle>) -> Hands {
        Hands::of(&parcel(bundles))
    }

    #[test]
    fn a_piece_upside_down_among_its_like_is_one_way_up_too_many() {
        let mut pieces = vec![jar(1, 1, [80.0, 80.0], 100.0), jar(2, 1, [200.0, 80.0], 100.0)];
        assert_eq!(judged(pieces.clone()).ways_up, 0);
        pieces[1].way_up = WayUp::Inverted;
        assert_eq!(judged(pieces.clone()).ways_up, 1);
        pieces[1].label = "other jar".into();
        assert_eq!(judged(pieces).ways_up, 0, "another kind may stand another way");
    }

    #[test]
    fn turns_are_counted_where_a_piece_has_a_direction() {
        let turns = |yaws: [f64; 3]| {
            let at = [[80.0, 80.0], [200.0, 80.0], [320.0, 80.0]];
            judged((0..3).map(|k| mug(k as u32 + 1, 1, at[k], yaws[k])).collect()).turns
        };
        assert_eq!(turns([90.0, 90.0, 90.0]), 0);
        assert_eq!(turns([90.0, 91.0, 89.0]), 0);
        assert_eq!(turns([90.0, 270.0, 90.0]), 1);
        assert_eq!(turns([0.0, 359.0, 1.0]), 0);
        let round = |yaw_deg: f64| PlacedBundle { yaw_deg, ..jar(1, 1, [80.0, 80.0], 100.0) };
        assert_eq!(judged(vec![round(0.0), round(90.0)]).turns, 0);
    }

    #[test]
    fn a_half_turn_of_what_looks_the_same_after_it_is_no_turn() {
        let cup = |number: u32, at: [f64; 2], yaw_deg: f64| {
            let handle = |x: f64| Part {
                kind: PartKind::Handle,
                solid: Solid::Block { x_mm: 30.0, y_mm: 12.0, z_mm: 30.0 },
                placement: Placement::at(x, 0.0, 30.0),
                wrap_mm: 5.0,
            };
            let body = Part {
                kind: PartKind::Body,
                solid: Solid::Cylinder { radius_mm: 40.0, height_mm: 60.0 },
                placement: Placement::at(0.0, 0.0, 30.0),
                wrap_mm: 5.0,
            };
            placed(number, 1, at, yaw_deg, "cup", &[body, handle(55.0), handle(-55.0)])
        };
        let turns = |a: f64, b: f64| judged(vec![cup(1, [80.0, 80.0], a), cup(2, [80.0, 200.0], b)]).turns;
        assert_eq!(turns(30.0, 210.0), 0);
        assert_eq!(turns(30.0, 120.0), 1);
    }

    #[test]
    fn a_layer_that_mirrors_itself_is_even_and_one_piece_out_of_place_is_counted() {
        let even = |yaw_deg: f64, x: f64| {
            judged(vec![
                mug(1, 1, [80.0, 80.0], 90.0),
                mug(2, 1, [320.0, 80.0], 90.0),
                mug(3, 1, [80.0, 220.0], 270.0),
                mug(4, 1, [x, 220.0], yaw_deg),
            ])
            .lopsided
        };
        assert_eq!(even(270.0, 320.0), 0.0);
        assert_eq!(even(270.0, 312.0), 0.0, "within what eyes see");
        assert!(even(180.0, 320.0) > 0.0);
        assert!(even(270.0, 280.0) > 0.0);
    }

    #[test]
    fn a_handle_at_a_wall_is_worse_than_one_to_a_corner_and_that_than_one_to_the_middle() {
        let to = |yaw_deg: f64| judged(vec![mug(1, 1, [90.0, 90.0], yaw_deg)]).cramped;
        let (wall, corner, middle) = (to(180.0), to(225.0), to(45.0));
        assert!(wall > corner && corner > middle, "{wall} {corner} {middle}");
        assert_eq!(middle, 0.0);
        // Tip at 20 mm from the wall, half the shorter side is 150 mm.
        assert!((wall - (1.0 - 20.0 / 150.0)).abs() < 1e-9, "{wall}");
        let expected = 1.0 - (90.0 * 2f64.sqrt() - 70.0) / 150.0;
        assert!((corner - expected).abs() < 1e-9, "{corner}");
    }

    #[test]
    fn reaching_over_is_counted_by_the_order_of_loading() {
        let (low, tall) = ([200.0, 220.0], [200.0, 80.0]);
        assert_eq!(judged(vec![jar(1, 1, tall, 150.0), jar(2, 1, low, 60.0)]).reaches, 1);
        assert_eq!(judged(vec![jar(2, 1, tall, 150.0), jar(1, 1, low, 60.0)]).reaches, 0);
        assert_eq!(judged(vec![jar(1, 1, tall, 65.0), jar(2, 1, low, 60.0)]).reaches, 0);
        assert_eq!(judged(vec![jar(1, 1, [60.0, 80.0], 150.0), jar(2, 1, low, 60.0)]).reaches, 0);
    }

    #[test]
    fn the_heavy_one_low_is_better() {
        let weighed = |low_g: f64, high_g: f64| {
            let mut pieces = vec![jar(1, 1, [80.0, 80.0], 100.0), jar(2, 2, [80.0, 80.0], 100.0)];
            (pieces[0].mass_g, pieces[1].mass_g) = (low_g, high_g);
            judged(pieces).top_heavy
        };
        assert!(weighed(900.0, 100.0) < weighed(100.0, 900.0));
        assert!((weighed(500.0, 500.0) - (70.0 + 180.0) / 2.0 / 300.0).abs() < 1e-9);
    }

    #[test]
    fn layers_alike_are_better_than_layers_unlike() {
        let over = |at: [f64; 2], yaw_deg: f64| {
            judged(vec![mug(1, 1, [80.0, 80.0], 90.0), mug(2, 2, at, yaw_deg)]).unequal
        };
        assert_eq!(over([80.0, 80.0], 90.0), 0.0);
        assert_eq!(over([80.0, 180.0], 90.0), 1.0);
        assert_eq!(over([80.0, 80.0], 180.0), 1.0);
    }

    #[test]
    fn the_order_is_total_and_the_nicer_plan_is_the_first_of_the_best() {
        let out = parcel(vec![mug(1, 1, [90.0, 90.0], 180.0)]);
        let inward = parcel(vec![mug(1, 1, [90.0, 90.0], 0.0)]);
        assert_eq!(nicer(&[out.clone(), inward.clone(), inward.clone()]), Some(1));
        assert_eq!(nicer(&[]), None);
        let mut broken = out.clone();
        broken.bundles[0].mass_g = f64::NAN;
        broken.bundles[0].parts[1].placement.at_mm[0] = f64::NAN;
        assert!(Hands::of(&inward) < Hands::of(&out));
        assert_eq!(nicer(&[broken, inward]), Some(1));
    }
}
