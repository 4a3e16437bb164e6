//! Cheap layouts of a layer: rows by extents, then a few descents from rows and templates.
//!
//! A start is worked off the same way whatever base is asked for, so that what is found, and in which
//! order, depends on the layer and the difference of the sides alone: a base is never refused by what
//! was asked before, and a larger one never where a smaller one was not.

use crate::Standing;
use crate::distance::PlacedFoot;
use crate::energy::{Layout, MARGIN_MM};
use crate::minimise::{COARSE, Manner, Work, descend};
use crate::nest::Nest;
use crate::templates::templates;

const MANNER: Manner = Manner { margin: MARGIN_MM, iterations: 100, gain: COARSE };
/// Templates that are descended from, spread over the list.
const TEMPLATES: usize = 10;
/// Pieces from which on only half as many are: a descent grows with the square of the pieces.
const MANY: usize = 16;
/// Steps along which a basin is followed to the size it leads to.
const FOLLOW: usize = 5;
/// How much a solved layout is squeezed at a time, as a share of the side, and how often.
const SQUEEZE: f64 = 0.025;
const SQUEEZES: usize = 4;
/// Turns that are tried for a piece.
const TURNS: usize = 12;
/// Least gain for which a basin is followed, mm.
const LEAST_GAIN_MM: f64 = 0.01;
/// What a step along a basin adds to the size it leads to, mm: the last tenths are not worth a descent.
const OVER_MM: f64 = 0.05;
/// Halvings of the range in which the least rows are sought.
const HALVINGS: usize = 16;

/// The cheap layouts of one layer, worked off start by start.
pub(crate) struct Quick {
    starts: Vec<Vec<f64>>,
    /// The rectangle that the starts are laid out for.
    from: [f64; 2],
    next: usize,
    best: f64,
}

impl Quick {
    /// The rows, which need no descent, and the starts for the rest.
    pub(crate) fn new(layout: &Layout, difference: f64, floor: f64) -> (Self, Option<Nest>) {
        let rows = rows(layout, difference, floor);
        let best = rows.as_ref().map_or(f64::INFINITY, |nest| nest.short_mm);
        let area: f64 = layout.items.iter().map(|item| item.area).sum();
        let guess = 0.5 * ((difference * difference + 4.0 * area / 0.8).sqrt() - difference);
        let short = guess.max(floor).max(1.0).min(best);
        let from = [short + difference, short];
        let all = templates(layout, from);
        let wanted = if layout.items.len() < MANY { TEMPLATES } else { TEMPLATES / 2 };
        let mut starts: Vec<Vec<f64>> = Vec::new();
        for k in 0..wanted.min(all.len()) {
            starts.extend(all.get(k * all.len() / wanted.min(all.len())).cloned());
        }
        if let Some(nest) = &rows {
            // The rows pressed together: the only start that knows how unlike the pieces are.
            let share = [from[0] / (nest.short_mm + difference).max(1.0), short / nest.short_mm.max(1.0)];
            let pressed = nest.places.iter().enumerate().flat_map(|(i, place)| {
                [place[0] * share[0], place[1] * share[1], layout.scaled(i, place[2])]
            });
            starts.insert(0, pressed.collect());
        }
        (Self { starts, from, next: 0, best }, rows)
    }

    /// Whether every start has been worked off.
    pub(crate) fn done(&self) -> bool {
        self.next >= self.starts.len()
    }

    /// How many starts have been worked off.
    pub(crate) fn worked_off(&self) -> usize {
        self.next
    }

    /// Works off the next start; a layout smaller than every one before it, if it leads to one.
    pub(crate) fn step(&mut self, layout: &Layout, difference: f64, work: &mut Work) -> Option<Nest> {
        let mut x = self.starts.get(self.next)?.clone();
        self.next += 1;
        let mut at = self.from;
        descend(layout, &mut x, at, MANNER, work);
        turn_to_room(layout, &mut x, at, work);
        let mut found = self.follow(layout, &mut x, &mut at, FOLLOW, work);
        let mut best = None;
        // What is solved is squeezed while that leads on, its handles turned anew each time.
        for _ in 0..SQUEEZES {
            if !found {
                break;
            }
            let nest = taken(layout, &x, difference);
            if nest.short_mm < self.best - 1e-9 {
                self.best = nest.short_mm;
                best = Some(nest);
            }
            let short = at[1] * (1.0 - SQUEEZE);
            rescale(&mut x, &mut at, [short + difference, short]);
            descend(layout, &mut x, at, MANNER, work);
            turn_to_room(layout, &mut x, at, work);
            found = self.follow(layout, &mut x, &mut at, FOLLOW, work);
        }
        best
    }

    /// Follows a basin from the rectangle `at` to the size it leads to, if that is below the best.
    fn follow(
        &self,
        layout: &Layout,
        x: &mut [f64],
        at: &mut [f64; 2],
        steps: usize,
        work: &mut Work,
    ) -> bool {
        for _ in 0..=steps {
            let end = descend(layout, x, *at, MANNER, work);
            if end.solved {
                return true;
            }
            let grow = end.missing() + OVER_MM;
            // A size that is no number leads nowhere either.
            if (at[1] + grow).total_cmp(&(self.best - LEAST_GAIN_MM)).is_ge() {
                return false;
            }
            let next = [at[0] + grow, at[1] + grow];
            rescale(x, at, next);
        }
        false
    }
}

fn rescale(x: &mut [f64], from: &mut [f64; 2], to: [f64; 2]) {
    for at in x.chunks_exact_mut(3) {
        at[0] *= to[0] / from[0].max(1e-9);
        at[1] *= to[1] / from[1].max(1e-9);
    }
    *from = to;
}

/// Turns each piece to where it overlaps least among the others.
fn turn_to_room(layout: &Layout, x: &mut [f64], size: [f64; 2], work: &mut Work) {
    for i in 0..layout.items.len() {
        if layout.items[i].round {
            continue;
        }
        layout.place(x, &mut work.feet);
        let own = [x[3 * i], x[3 * i + 1], x[3 * i + 2]];
        let mut best = (layout.alone(i, own, x, size, &work.feet, f64::INFINITY), own[2]);
        for k in 0..TURNS {
            let turn = own[2] + layout.scaled(i, std::f64::consts::TAU * k as f64 / TURNS as f64);
            let energy = layout.alone(i, [own[0], own[1], turn], x, size, &work.feet, best.0);
            if energy < best.0 {
                best = (energy, turn);
            }
        }
        x[3 * i + 2] = best.1;
    }
}

/// A solved layout moved to the corner, with the size it takes.
fn taken(layout: &Layout, x: &[f64], difference: f64) -> Nest {
    let [(left, right), (front, back)] = layout.bounds(x, 0.0);
    let short_mm = (back - front).max(right - left - difference);
    let shift =
        [0.5 * (short_mm + difference - (right - left)) - left, 0.5 * (short_mm - (back - front)) - front];
    let at = |i: usize| [x[3 * i] + shift[0], x[3 * i + 1] + shift[1], layout.angle(x, i)];
    Nest { short_mm, places: (0..layout.items.len()).map(at).collect() }
}

/// A piece's box seen from above in one of two turns.
#[derive(Clone, Copy)]
struct Seen {
    size: [f64; 2],
    /// From the box's low corner to the piece's origin.
    origin: [f64; 2],
    turn: f64,
}

/// The smallest rectangle that takes the pieces' boxes in rows, deep ones first, one turn for all or the
/// other.
fn rows(layout: &Layout, difference: f64, floor: f64) -> Option<Nest> {
    let apart = widest_gap(layout) + MARGIN_MM;
    [true, false]
        .into_iter()
        .filter_map(|flat| {
            let seen: Vec<Seen> = (0..layout.items.len()).map(|i| see(layout, i, flat)).collect();
            let mut order: Vec<usize> = (0..seen.len()).collect();
            order.sort_by(|&a, &b| {
                seen[b].size[1].total_cmp(&seen[a].size[1]).then(seen[b].size[0].total_cmp(&seen[a].size[0]))
            });
            let (mut low, mut high) = (floor.max(1.0), floor.max(1.0));
            let mut doublings = 0;
            while shelve(&seen, &order, [high + difference, high], apart).is_none() {
                doublings += 1;
                if doublings > HALVINGS {
                    return None;
                }
                low = high;
                high *= 1.5;
            }
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if shelve(&seen, &order, [middle + difference, middle], apart).is_some() {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            let places = shelve(&seen, &order, [high + difference, high], apart)?;
            let x: Vec<f64> = places
                .iter()
                .enumerate()
                .flat_map(|(i, at)| [at[0], at[1], layout.scaled(i, at[2])])
                .collect();
            Some(taken(layout, &x, difference))
        })
        .min_by(|a, b| a.short_mm.total_cmp(&b.short_mm))
}

fn see(layout: &Layout, i: usize, flat: bool) -> Seen {
    let look = |turn: f64| {
        let [(left, right), (front, back)] = extent(layout, i, turn);
        Seen { size: [right - left, back - front], origin: [-left, -front], turn }
    };
    let (plain, turned) = (look(0.0), look(std::f64::consts::FRAC_PI_2));
    if (plain.size[1] <= turned.size[1]) == flat { plain } else { turned }
}

/// Lowest and highest coordinates of a piece turned so, with each part's wall distance beyond the
/// reference, along x and y.
fn extent(layout: &Layout, i: usize, turn: f64) -> [(f64, f64); 2] {
    let (sin, cos) = turn.sin_cos();
    let mut extent = [(0.0_f64, 0.0_f64); 2];
    let parts = layout.items.get(i).map_or(&[][..], |item| &item.parts);
    for (k, part) in parts.iter().enumerate() {
        let foot = PlacedFoot::new(part.foot, 0.0, 0.0, cos, sin);
        let asked = part.wall - layout.reference() + MARGIN_MM;
        for (axis, extent) in extent.iter_mut().enumerate() {
            let (low, high) =
                (foot.furthest(axis, -1.0)[axis] - asked, foot.furthest(axis, 1.0)[axis] + asked);
            *extent = if k == 0 { (low, high) } else { (extent.0.min(low), extent.1.max(high)) };
        }
    }
    extent
}

/// The largest distance asked for between any two pieces, mm.
fn widest_gap(layout: &Layout) -> f64 {
    let mut sorts: Vec<&Standing> = Vec::new();
    for &item in &layout.items {
        if !sorts.iter().any(|known| std::ptr::eq(*known, item)) {
            sorts.push(item);
        }
    }
    let gaps = sorts.iter().flat_map(|a| sorts.iter().flat_map(|b| a.gaps(b, layout.crush)));
    gaps.map(|gap| gap.2).fold(0.0, f64::max)
}

/// Places of the boxes in rows; `None` when they don't all go in.
fn shelve(seen: &[Seen], order: &[usize], size: [f64; 2], apart: f64) -> Option<Vec<[f64; 3]>> {
    let mut places = vec![[0.0; 3]; seen.len()];
    // (bottom, depth, filled) of each row; a piece goes into the first row that has room.
    let mut rows: Vec<(f64, f64, f64)> = Vec::new();
    for &i in order {
        let [wide, deep] = seen[i].size;
        let row = rows.iter().position(|row| deep <= row.1 && row.2 + apart + wide <= size[0]);
        let (bottom, left) = match row {
            Some(k) => {
                let left = rows[k].2 + apart;
                rows[k].2 = left + wide;
                (rows[k].0, left)
            }
            None => {
                let bottom = rows.last().map_or(0.0, |row| row.0 + row.1 + apart);
                if bottom + deep > size[1] || wide > size[0] {
                    return None;
                }
                rows.push((bottom, deep, wide));
                (bottom, 0.0)
            }
        };
        places[i] = [left + seen[i].origin[0], bottom + seen[i].origin[1], seen[i].turn];
    }
    Some(places)
}

#[cfg(test)]
mod tests {
    use plan::Crush;
    use shape::{Bundle, Company, Part, PartKind, Placement, Solid, WayUp};

    use super::Quick;
    use crate::Standing;
    use crate::energy::Layout;
    use crate::minimise::Work;

    const BARE: Crush = Crush { sideways: 0.0 };
    /// Least squares known for 2 to 8 discs of 108 mm with a handle 38 mm out and 35 mm wide, mm (layouts
    /// measured with multistart overlap minimisation; 2 and 7 are proved).
    const SQUARES: [f64; 7] = [184.3675, 212.8090, 234.5268, 262.6218, 289.4775, 309.5307, 322.6166];

    #[test]
    fn cheap_layouts_of_handled_discs_come_within_three_per_cent_of_the_best_known() {
        let part =
            |kind, solid, x| Part { kind, solid, placement: Placement::at(x, 0.0, 45.0), wrap_mm: 0.0 };
        let bundle = Bundle {
            label: String::from("mug"),
            contents: Vec::new(),
            parts: vec![
                part(PartKind::Body, Solid::Cylinder { radius_mm: 54.0, height_mm: 90.0 }, 0.0),
                part(PartKind::Handle, Solid::Block { x_mm: 92.0, y_mm: 35.0, z_mm: 60.0 }, 46.0),
            ],
            mass_g: 400.0,
            ways_up: vec![WayUp::Upright],
            wall_clearance_mm: 0.0,
            separation_mm: 0.0,
            bears_load: true,
            company: Company::Breakable,
            wrapped_volume_mm3: 1.0,
        };
        let mug = Standing::new(&bundle, WayUp::Upright, BARE);
        for (k, best) in SQUARES.iter().enumerate() {
            let layout = Layout::new(vec![&mug; k + 2], BARE);
            let (mut quick, _) = Quick::new(&layout, 0.0, 0.0);
            let mut work = Work::new(&layout);
            let mut least = f64::INFINITY;
            while !quick.done() {
                least = quick.step(&layout, 0.0, &mut work).map_or(least, |nest| nest.short_mm);
            }
            assert!(least >= best - 0.01, "{} discs in {least}: below the best known {best}", k + 2);
            assert!(least <= 1.03 * best, "{} discs need {least}, {best} is known", k + 2);
        }
    }
}
