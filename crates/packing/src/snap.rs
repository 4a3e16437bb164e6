//! Places and turns that a tired person can follow: directions of the clock face, middles on the marks
//! of a tape.
//!
//! A layout that was found keeps its distances to a hair, but nobody sets a cup down at 71.3 mm turned by
//! 47 degrees. From it the nearest layout on the grid is looked for that keeps every distance too: all
//! pieces are rounded, and those that then come too near are moved by marks and hours, the worst first.

use std::f64::consts::{PI, TAU};

use plan::Crush;
use shape::{Bundle, Placement};

use crate::distance::PlacedFoot;
use crate::energy::Layout;
use crate::hands::sticks_out;
use crate::minimise::{COARSE, Manner, Work, descend};
use crate::rng::Rng;
use crate::{Foot, Standing};

/// How coarse places and turns are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Marks {
    /// Middles lie on whole multiples of this from the left wall and from the front, mm.
    pub mark_mm: f64,
    /// Directions round the clock face.
    pub hours: i64,
}

/// From the coarsest to the finest; the first that a layout can be set on is taken (judgement: 5 mm is
/// found without counting, 1 mm is what a tape has; half hours are said as between two hours).
pub(crate) const MARKS: [Marks; 4] = [
    Marks { mark_mm: 5.0, hours: 12 },
    Marks { mark_mm: 5.0, hours: 24 },
    Marks { mark_mm: 2.5, hours: 24 },
    Marks { mark_mm: 1.0, hours: 24 },
];
/// How far the distances of a snapped layout may be short, mm: what the search itself leaves.
const SHORT_MM: f64 = 1e-6;
/// Marks around a piece that are tried at once.
const NEAR: i64 = 2;
/// Moves of one repair for each piece.
const MOVES_EACH: usize = 12;
/// Moves for which a piece that was moved is left alone, at most.
const RESTS: usize = 3;
/// Starts that are repaired.
const STARTS: usize = 10;
/// Distances beyond every distance asked for with which pieces are spread before they are rounded, in
/// marks: what rounding takes is at most half a mark's diagonal for each.
const SPREADS: [f64; 3] = [1.4, 0.7, 0.3];
/// Steps of one spreading.
const SPREADING: usize = 90;
/// What a millimetre from where a piece was found counts beside an overlap, mm (a tie-break).
const HOMESICK: f64 = 1e-4;

/// A piece of a layer.
#[derive(Clone, Copy)]
pub(crate) struct Piece<'a> {
    pub standing: &'a Standing,
    pub bundle: &'a Bundle,
}

/// Where a piece is on the grid: marks from the left wall and from the front, and hour.
type Spot = [i64; 3];

/// A layer on its grid.
pub(crate) struct Grid<'a> {
    pieces: &'a [Piece<'a>],
    layout: Layout<'a>,
    /// Inside length and width, mm.
    inside: [f64; 2],
    marks: Marks,
    /// For each piece and hour, from its origin to the middle that is measured, mm.
    middles: Vec<Vec<[f64; 2]>>,
}

impl Marks {
    /// Radians of an hour's step, counted counter-clockwise from x.
    pub(crate) fn turn(self, hour: i64) -> f64 {
        hour.rem_euclid(self.hours) as f64 * TAU / self.hours as f64
    }

    fn nearest_hour(self, radians: f64) -> i64 {
        let hours = self.hours as f64;
        (radians * hours / TAU).round().rem_euclid(hours) as i64
    }
}

/// From the origin of a standing bundle to the middle of what does not stick out, when turned so, mm.
fn measured_middle(piece: &Piece<'_>, radians: f64) -> [f64; 2] {
    let turn = Placement::yawed(radians, [0.0; 3]).after(piece.standing.base);
    let all_stick_out = piece.bundle.parts.iter().all(|part| sticks_out(part.kind));
    let main = || piece.bundle.parts.iter().filter(|part| all_stick_out || !sticks_out(part.kind));
    [0, 1].map(|axis| {
        let spans = main().map(|part| turn.after(part.placement).extent_mm(part.solid, axis));
        let both = spans.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        both.map_or(0.0, |(low, high)| 0.5 * (low + high))
    })
}

impl<'a> Grid<'a> {
    pub(crate) fn new(pieces: &'a [Piece<'a>], inside: [f64; 2], marks: Marks, crush: Crush) -> Self {
        let layout = Layout::new(pieces.iter().map(|piece| piece.standing).collect(), crush);
        let middles = pieces
            .iter()
            .map(|piece| (0..marks.hours).map(|hour| measured_middle(piece, marks.turn(hour))).collect())
            .collect();
        Self { pieces, layout, inside, marks, middles }
    }

    /// Length and width inside the layer's largest wall distance, in which the search works, mm.
    fn size(&self) -> [f64; 2] {
        self.inside.map(|side| side - 2.0 * self.layout.reference())
    }

    /// The search's variables for places in the carton (x, y and turn of each).
    fn variables(&self, places: &[[f64; 3]]) -> Vec<f64> {
        let from = self.layout.reference();
        let own = |(i, at): (usize, &[f64; 3])| [at[0] - from, at[1] - from, self.layout.scaled(i, at[2])];
        places.iter().enumerate().flat_map(own).collect()
    }

    fn places(&self, x: &[f64]) -> Vec<[f64; 3]> {
        let from = self.layout.reference();
        let own = |i: usize| [x[3 * i] + from, x[3 * i + 1] + from, self.layout.angle(x, i)];
        (0..self.pieces.len()).map(own).collect()
    }

    /// Whether a layout keeps every distance.
    pub(crate) fn keeps(&self, places: &[[f64; 3]], work: &mut Work) -> bool {
        let x = self.variables(places);
        let mut gradient = vec![0.0; x.len()];
        let found = self.layout.energy(&x, self.size(), 0.0, &mut work.feet, &mut gradient, &mut work.share);
        found.deepest <= SHORT_MM
    }

    pub(crate) fn work(&self) -> Work {
        Work::new(&self.layout)
    }

    /// The layout brought to rest from here with `margin` mm to spare where there is room; its distances
    /// need not be kept.
    pub(crate) fn spread(&self, places: &[[f64; 3]], margin: f64, work: &mut Work) -> Vec<[f64; 3]> {
        let mut x = self.variables(places);
        let manner = Manner { margin, iterations: SPREADING, gain: COARSE };
        descend(&self.layout, &mut x, self.size(), manner, work);
        self.places(&x)
    }

    fn middle(&self, i: usize, hour: i64) -> [f64; 2] {
        let hour = if self.pieces[i].standing.round { 0 } else { hour.rem_euclid(self.marks.hours) };
        self.middles[i].get(hour as usize).copied().unwrap_or([0.0; 2])
    }

    fn place(&self, i: usize, spot: Spot) -> [f64; 3] {
        let middle = self.middle(i, spot[2]);
        let turn = if self.pieces[i].standing.round { 0.0 } else { self.marks.turn(spot[2]) };
        [
            spot[0] as f64 * self.marks.mark_mm - middle[0],
            spot[1] as f64 * self.marks.mark_mm - middle[1],
            turn,
        ]
    }

    fn nearest(&self, i: usize, at: [f64; 3], hour: i64) -> Spot {
        let middle = self.middle(i, hour);
        let mark = |axis: usize| ((at[axis] + middle[axis]) / self.marks.mark_mm).round() as i64;
        [mark(0), mark(1), hour]
    }

    fn all(&self, spots: &[Spot]) -> Vec<[f64; 3]> {
        spots.iter().enumerate().map(|(i, &spot)| self.place(i, spot)).collect()
    }

    /// The nearest layout found on the grid that keeps every distance; `None` when none was found.
    pub(crate) fn snapped(&self, from: &[[f64; 3]]) -> Option<Vec<[f64; 3]>> {
        let mut work = self.work();
        let mut rng = Rng::new(0x5_0AB + from.len() as u64);
        for start in 0..STARTS {
            let mut spots = self.start(from, start, &mut rng, &mut work);
            if self.repair(&mut spots, from) && self.keeps(&self.all(&spots), &mut work) {
                self.homeward(&mut spots, from);
                let places = self.all(&spots);
                return self.keeps(&places, &mut work).then_some(places);
            }
        }
        None
    }

    /// Rounded places to begin a repair with: as found, then spread with hours kept, then with other hours.
    fn start(&self, from: &[[f64; 3]], start: usize, rng: &mut Rng, work: &mut Work) -> Vec<Spot> {
        let mut hours: Vec<i64> = from.iter().map(|at| self.marks.nearest_hour(at[2])).collect();
        if start == 0 {
            return (0..from.len()).map(|i| self.nearest(i, from[i], hours[i])).collect();
        }
        let margin = self.marks.mark_mm * SPREADS[(start - 1) % SPREADS.len()];
        let free = if start <= SPREADS.len() {
            from.to_vec()
        } else {
            // The other hour that a turn lies near to, or any where nothing else has helped.
            for (hour, at) in hours.iter_mut().zip(from) {
                if rng.unit() < 0.4 {
                    let off = at[2] - self.marks.turn(*hour);
                    *hour += if off.sin() >= 0.0 { 1 } else { -1 };
                } else if start > STARTS / 2 && rng.unit() < 0.3 {
                    *hour = rng.below(self.marks.hours.unsigned_abs() as usize) as i64;
                }
            }
            self.spread(from, margin, work)
        };
        let fixed: Vec<Standing> = hours.iter().enumerate().map(|(i, &hour)| self.fixed(i, hour)).collect();
        let layout = Layout::new(fixed.iter().collect(), self.layout.crush);
        let reference = self.layout.reference();
        let mut x: Vec<f64> =
            free.iter().flat_map(|at| [at[0] - reference, at[1] - reference, 0.0]).collect();
        let manner = Manner { margin, iterations: SPREADING, gain: COARSE };
        descend(&layout, &mut x, self.size(), manner, &mut Work::new(&layout));
        (0..from.len())
            .map(|i| {
                let at = [x[3 * i] + reference, x[3 * i + 1] + reference, 0.0];
                self.nearest(i, at, hours[i])
            })
            .collect()
    }

    /// A piece turned to an hour once and for all.
    fn fixed(&self, i: usize, hour: i64) -> Standing {
        let standing = self.pieces[i].standing;
        if standing.round {
            return standing.clone();
        }
        let (sin, cos) = self.marks.turn(hour).sin_cos();
        let mut parts = standing.parts.clone();
        for part in &mut parts {
            part.foot = match PlacedFoot::new(part.foot, 0.0, 0.0, cos, sin) {
                PlacedFoot::Disc { c, r } => Foot::Disc { at: c, radius: r },
                PlacedFoot::Rect { c, u, h } => Foot::Rect { at: c, along: u, half: h },
            };
        }
        if let [only] = parts.as_slice() {
            // A lone part that is called round is taken for a disc about the origin; two of it are not.
            parts.push(*only);
        }
        Standing { parts, round: true, ..standing.clone() }
    }

    /// How much piece `i` would overlap at a spot, among the others where they are, mm2.
    fn overlap(&self, i: usize, spot: Spot, x: &[f64], feet: &[PlacedFoot], limit: f64) -> f64 {
        let at = self.place(i, spot);
        let from = self.layout.reference();
        let at = [at[0] - from, at[1] - from, self.layout.scaled(i, at[2])];
        self.layout.alone(i, at, x, self.size(), feet, limit)
    }

    /// Moves the worst piece to its best spot nearby, again and again, until nothing overlaps.
    fn repair(&self, spots: &mut [Spot], from: &[[f64; 3]]) -> bool {
        let n = spots.len();
        let mut x = self.variables(&self.all(spots));
        let mut feet = self.layout.scratch();
        self.layout.place(&x, &mut feet);
        let mut free_from = vec![0usize; n];
        let mut been: Vec<Vec<Spot>> = vec![Vec::new(); n];
        for step in 0..MOVES_EACH * n {
            let now: Vec<f64> = (0..n).map(|i| self.overlap(i, spots[i], &x, &feet, f64::INFINITY)).collect();
            if now.iter().all(|overlap| *overlap < SHORT_MM) {
                return true;
            }
            let worst = (0..n)
                .filter(|&i| free_from[i] <= step && now[i] >= SHORT_MM)
                .max_by(|&a, &b| now[a].total_cmp(&now[b]).then(b.cmp(&a)));
            let Some(i) = worst else { continue };
            let mut best: Option<(f64, Spot)> = None;
            for spot in self.around(i, spots[i]) {
                if been[i].contains(&spot) {
                    continue;
                }
                let home = self.away_from_home(i, spot, from[i]);
                let limit = best.map_or(f64::INFINITY, |best| best.0);
                let cost = self.overlap(i, spot, &x, &feet, limit) + HOMESICK * home;
                if cost < limit {
                    best = Some((cost, spot));
                }
            }
            // Where it has been it does not return to: neighbours must give way instead.
            been[i].push(spots[i]);
            if been[i].len() > 2 * RESTS {
                been[i].remove(0);
            }
            free_from[i] = step + 1 + RESTS.min(n / 2);
            let Some((_, spot)) = best else { continue };
            spots[i] = spot;
            x = self.variables(&self.all(spots));
            self.layout.place(&x, &mut feet);
        }
        false
    }

    /// Spots near a spot: marks around it at the hours beside, and every hour on the spot itself.
    fn around(&self, i: usize, [x, y, hour]: Spot) -> Vec<Spot> {
        let round = self.pieces[i].standing.round;
        let mut found = Vec::new();
        for dx in -NEAR..=NEAR {
            for dy in -NEAR..=NEAR {
                let hours: std::ops::RangeInclusive<i64> = match (round, dx.abs() + dy.abs()) {
                    (true, _) => 0..=0,
                    (false, 0 | 1) => 0..=self.marks.hours - 1,
                    (false, _) => -1..=1,
                };
                // A piece whose middle is not its origin stays in place while it turns.
                found.extend(hours.map(|turn| [x + dx, y + dy, (hour + turn).rem_euclid(self.marks.hours)]));
            }
        }
        found
    }

    /// How far a spot is from where a piece was found, a turn counted at the piece's radius, mm.
    fn away_from_home(&self, i: usize, spot: Spot, home: [f64; 3]) -> f64 {
        let at = self.place(i, spot);
        let middle = self.middle(i, spot[2]);
        let standing = self.pieces[i].standing;
        let was = if standing.round { [0.0; 2] } else { measured_middle(&self.pieces[i], home[2]) };
        let moved = (at[0] + middle[0] - home[0] - was[0]).hypot(at[1] + middle[1] - home[1] - was[1]);
        let off = (at[2] - home[2]).rem_euclid(TAU);
        let turned = if standing.round { 0.0 } else { off.min(TAU - off).min(PI) };
        moved + turned * standing.radius
    }

    /// Brings pieces back toward where they were found, as far as the distances allow.
    fn homeward(&self, spots: &mut [Spot], from: &[[f64; 3]]) {
        let mut x = self.variables(&self.all(spots));
        let mut feet = self.layout.scratch();
        self.layout.place(&x, &mut feet);
        for _ in 0..3 {
            let mut moved = false;
            for i in 0..spots.len() {
                let here = self.away_from_home(i, spots[i], from[i]);
                let mut nearer: Vec<(f64, Spot)> = self
                    .around(i, spots[i])
                    .into_iter()
                    .map(|spot| (self.away_from_home(i, spot, from[i]), spot))
                    .filter(|(away, _)| *away < here - 1e-9)
                    .collect();
                nearer.sort_by(|a, b| a.0.total_cmp(&b.0));
                let free = |spot: Spot| self.overlap(i, spot, &x, &feet, f64::INFINITY) < SHORT_MM;
                if let Some((_, spot)) = nearer.into_iter().find(|(_, spot)| free(*spot)) {
                    spots[i] = spot;
                    moved = true;
                    x = self.variables(&self.all(spots));
                    self.layout.place(&x, &mut feet);
                }
            }
            if !moved {
                break;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use shape::{Company, Part, PartKind, Solid, WayUp};

    use super::*;

    fn mug() -> Bundle {
        let part =
            |kind, solid, x: f64| Part { kind, solid, placement: Placement::at(x, 0.0, 50.0), wrap_mm: 8.0 };
        Bundle {
            label: "mug".into(),
            contents: Vec::new(),
            parts: vec![
                part(PartKind::Body, Solid::Cylinder { radius_mm: 40.0, height_mm: 100.0 }, 0.0),
                part(PartKind::Handle, Solid::Block { x_mm: 30.0, y_mm: 14.0, z_mm: 60.0 }, 55.0),
            ],
            mass_g: 400.0,
            ways_up: vec![WayUp::Upright],
            wall_clearance_mm: 10.0,
            separation_mm: 10.0,
            bears_load: true,
            company: Company::Breakable,
            wrapped_volume_mm3: 1e6,
        }
    }

    /// The nearest layout on the coarsest marks for mugs found there, in a base of these sides.
    fn snapped(inside: [f64; 2], found: &[[f64; 3]]) -> Option<Vec<[f64; 3]>> {
        let (bundle, crush) = (mug(), Crush { sideways: 0.25 });
        let standing = Standing::new(&bundle, WayUp::Upright, crush);
        let pieces = vec![Piece { standing: &standing, bundle: &bundle }; found.len()];
        Grid::new(&pieces, inside, MARKS[0], crush).snapped(found)
    }

    #[test]
    fn with_room_each_piece_goes_to_its_nearest_mark_and_hour() {
        let found = [[81.3, 77.2, 0.5], [212.0, 81.9, 2.0]];
        let snapped = snapped([320.0, 200.0], &found).expect("there is room");
        let expected = [[80.0, 75.0, TAU / 12.0], [210.0, 80.0, TAU / 3.0]];
        for (place, expected) in snapped.iter().zip(expected) {
            assert!(place.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{place:?} {expected:?}");
        }
    }

    #[test]
    fn what_rounding_brings_too_near_is_moved_apart() {
        // Two bodies need 92 mm from middle to middle here; rounding both towards each other leaves 90.
        let found = [[82.6, 100.0, PI], [174.7, 100.0, 0.0]];
        let snapped = snapped([300.0, 200.0], &found).expect("there is room");
        let apart = (snapped[1][0] - snapped[0][0]).hypot(snapped[1][1] - snapped[0][1]);
        assert!(apart >= 92.0, "{snapped:?}");
        assert!(snapped.iter().all(|at| (at[0] / 5.0 - (at[0] / 5.0).round()).abs() < 1e-9));
    }

    #[test]
    fn where_no_mark_is_free_nothing_is_said() {
        // The body's middle may lie from 52 to 52.5 mm from the left wall, and no mark is there.
        assert!(snapped([104.5, 300.0], &[[52.2, 100.0, 1.57]]).is_none());
    }
}
