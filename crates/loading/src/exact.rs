//! A few boxes in one container, decided for certain: where they lie, or that there is no way.
//!
//! Two boxes are apart when one ends before the other begins along some axis. The search takes boxes one
//! by one, largest first, each in all its ways, and for every pair that is not yet apart tries the six
//! cases; a later case excludes the earlier ones, so that no load is met twice. Along each axis all this
//! is least differences of two coordinates, kept closed under addition (a difference bound matrix), so
//! that a contradiction shows at once and the least coordinates are a load. Pairs with the fewest cases
//! left come first. The first box stands in the nearer half of each axis: mirrored loads are one.
//! (Pairwise cases after Pisinger and Sigurd, INFORMS J. Computing 19, 2007, from memory.)

use crate::{Goods, Load, Placed};

/// Most boxes that are decided this way (judgement: pairs grow with the square, work by the power).
pub(crate) const MOST_EXACT: usize = 8;
/// The container's corner as one more box without size.
const CORNER: usize = MOST_EXACT;
/// No difference is known. Far below any, and no sum of three of them leaves the range.
const UNKNOWN: i32 = i32::MIN / 4;

/// What came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Decision {
    /// All boxes fit, so.
    Fits(Load),
    /// No load holds them all; proved.
    Never,
    /// The work ran out.
    Open,
}

/// Whether all boxes fit, with at most `most_looks` of work, and the work that it took. More than
/// [`MOST_EXACT`] boxes stay open. Sizes have been checked.
pub(crate) fn decide(container: [u32; 3], goods: &[Goods], most_looks: u64) -> (Decision, u64) {
    let count: usize = goods.iter().map(|one| one.count as usize).sum();
    if count > MOST_EXACT {
        return (Decision::Open, 0);
    }
    let inside = container.map(|side| side as i32);
    let mut boxes: Vec<(usize, Vec<[i32; 3]>)> = Vec::with_capacity(count);
    for (kind, one) in goods.iter().enumerate() {
        let ways: Vec<[i32; 3]> = one
            .ways()
            .into_iter()
            .filter(|way| (0..3).all(|axis| way[axis] <= container[axis]))
            .map(|way| way.map(|side| side as i32))
            .collect();
        boxes.extend((0..one.count).map(|_| (kind, ways.clone())));
    }
    // A stable sort: like boxes stay together.
    boxes.sort_by_key(|(kind, _)| std::cmp::Reverse(goods[*kind].volume()));
    let mut search = Search { inside, boxes: &boxes, looks: 0, most_looks };
    let decision = match search.go_on(&State::empty()) {
        Ok(Some(state)) => {
            let whole = |sides: [i32; 3]| sides.map(|side| side.unsigned_abs());
            let placed = boxes.iter().enumerate().map(|(index, (kind, _))| Placed {
                kind: *kind,
                at: whole([0, 1, 2].map(|axis| state.least[axis][CORNER][index])),
                lies: whole(state.lies[index]),
            });
            Decision::Fits(Load::new(placed.collect(), search.looks))
        }
        Ok(None) => Decision::Never,
        Err(OutOfWork) => Decision::Open,
    };
    (decision, search.looks)
}

struct OutOfWork;

/// One of the six ways in which two boxes can be apart.
#[derive(Clone, Copy)]
struct Case {
    axis: usize,
    before: usize,
    after: usize,
}

#[derive(Clone)]
struct State {
    /// Boxes that have been taken.
    taken: usize,
    lies: [[i32; 3]; MOST_EXACT],
    /// Per axis, row and column: least difference of the near coordinate of the column's box less that of
    /// the row's.
    least: [[[i32; MOST_EXACT + 1]; MOST_EXACT + 1]; 3],
}

impl State {
    fn empty() -> Self {
        let mut least = [[[UNKNOWN; MOST_EXACT + 1]; MOST_EXACT + 1]; 3];
        for axis in &mut least {
            for (own, row) in axis.iter_mut().enumerate() {
                row[own] = 0;
            }
        }
        Self { taken: 0, lies: [[0; 3]; MOST_EXACT], least }
    }

    /// Asks that `to` stands at least `difference` beyond `from`; false when it can't.
    fn ask(&mut self, axis: usize, from: usize, to: usize, difference: i32) -> bool {
        let least = &mut self.least[axis];
        if least[from][to] >= difference {
            return true;
        }
        if least[to][from] + difference > 0 {
            return false;
        }
        let onward = least[to];
        for row in least.iter_mut() {
            let through = row[from] + difference;
            for (known, more) in row.iter_mut().zip(onward) {
                *known = (*known).max(through + more);
            }
        }
        true
    }

    fn length(&self, case: Case) -> i32 {
        self.lies[case.before][case.axis]
    }

    /// How far the two could still be apart beyond touching; negative when the case is excluded.
    fn slack(&self, case: Case) -> i32 {
        -(self.least[case.axis][case.after][case.before] + self.length(case))
    }

    fn holds(&self, case: Case) -> bool {
        self.least[case.axis][case.before][case.after] >= self.length(case)
    }
}

/// The six cases of a pair.
fn cases(one: usize, other: usize) -> [Case; 6] {
    let along = |axis| [Case { axis, before: one, after: other }, Case { axis, before: other, after: one }];
    let ([a, b], [c, d], [e, f]) = (along(0), along(1), along(2));
    [a, b, c, d, e, f]
}

struct Search<'a> {
    inside: [i32; 3],
    boxes: &'a [(usize, Vec<[i32; 3]>)],
    looks: u64,
    most_looks: u64,
}

impl Search<'_> {
    /// A complete load that grows out of this one, if there is any.
    fn go_on(&mut self, state: &State) -> Result<Option<State>, OutOfWork> {
        self.looks += 1;
        if self.looks > self.most_looks {
            return Err(OutOfWork);
        }
        let mut fewest: Option<(usize, [Case; 6])> = None;
        for other in 1..state.taken {
            for one in 0..other {
                let all = cases(one, other);
                if all.iter().any(|&case| state.holds(case)) {
                    continue;
                }
                let open = all.iter().filter(|&&case| state.slack(case) >= 0).count();
                if open == 0 {
                    return Ok(None);
                }
                if fewest.is_none_or(|(least, _)| open < least) {
                    fewest = Some((open, all));
                }
            }
        }
        match fewest {
            Some((_, all)) => self.part(state, all),
            None => self.take(state),
        }
    }

    /// Tries the cases of a pair, the roomiest first, each without those before it.
    fn part(&mut self, state: &State, mut all: [Case; 6]) -> Result<Option<State>, OutOfWork> {
        all.sort_by_key(|&case| std::cmp::Reverse(state.slack(case)));
        let mut rest = state.clone();
        for case in all {
            if rest.slack(case) < 0 {
                continue;
            }
            let length = rest.length(case);
            let mut child = rest.clone();
            if child.ask(case.axis, case.before, case.after, length)
                && let Some(found) = self.go_on(&child)?
            {
                return Ok(Some(found));
            }
            if !rest.ask(case.axis, case.after, case.before, 1 - length) {
                break;
            }
        }
        Ok(None)
    }

    /// Takes the next box in each of its ways.
    fn take(&mut self, state: &State) -> Result<Option<State>, OutOfWork> {
        let index = state.taken;
        let Some((_, ways)) = self.boxes.get(index) else { return Ok(Some(state.clone())) };
        for &way in ways {
            let mut child = state.clone();
            child.taken += 1;
            child.lies[index] = way;
            let fits = (0..3).all(|axis| {
                let room = self.inside[axis] - way[axis];
                let farthest = if index == 0 { room / 2 } else { room };
                child.ask(axis, CORNER, index, 0) && child.ask(axis, index, CORNER, -farthest)
            });
            if fits && let Some(found) = self.go_on(&child)? {
                return Ok(Some(found));
            }
        }
        Ok(None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plenty for every question here.
    const LOOKS: u64 = 1_000_000;

    #[test]
    fn four_bricks_around_a_hole_are_found_and_a_fifth_is_proved_to_be_too_many() {
        // No plane cuts this square between two bricks: 3 x 2 each, about a hole of 1 x 1.
        let bricks = |count| [Goods::new([3, 2, 1], count).standing_on([false, false, true])];
        let (Decision::Fits(load), _) = decide([5, 5, 1], &bricks(4), LOOKS) else { panic!("it fits") };
        assert_eq!(load.placed.len(), 4);
        let spread = |axis: usize| load.placed.iter().map(move |one| one.far()[axis]).max();
        assert_eq!([spread(0), spread(1), spread(2)], [Some(5), Some(5), Some(1)]);
        let four_and_a_dot = [bricks(4)[0], Goods::new([1, 1, 1], 1)];
        assert!(matches!(decide([5, 5, 1], &four_and_a_dot, LOOKS).0, Decision::Fits(_)));
        let four_and_two_dots = [bricks(4)[0], Goods::new([1, 1, 1], 2)];
        assert_eq!(decide([5, 5, 1], &four_and_two_dots, LOOKS).0, Decision::Never);
    }

    #[test]
    fn the_largest_box_stands_in_the_middle_where_it_must() {
        let flat = |size, count| Goods::new(size, count).standing_on([false, false, true]);
        let boxes = [flat([3, 3, 1], 1), flat([4, 1, 1], 4)];
        let (Decision::Fits(load), _) = decide([5, 5, 1], &boxes, LOOKS) else { panic!("it fits") };
        assert!(load.placed.iter().any(|one| one.kind == 0 && one.at == [1, 1, 0]));
    }

    #[test]
    fn six_flat_boxes_about_a_cube_need_the_whole_of_three_by_three_by_three() {
        // The six 1 x 2 x 2 and three unit cubes of a well-known puzzle; here with two of the cubes.
        let boxes = [Goods::new([1, 2, 2], 6), Goods::new([1, 1, 1], 2)];
        assert!(matches!(decide([3, 3, 3], &boxes, LOOKS).0, Decision::Fits(_)));
        assert_eq!(decide([3, 3, 2], &[Goods::new([1, 2, 2], 5)], LOOKS).0, Decision::Never);
    }

    #[test]
    fn without_work_or_with_nine_boxes_the_question_stays_open() {
        assert_eq!(decide([3; 3], &[Goods::new([1; 3], 2)], 2), (Decision::Open, 3));
        assert_eq!(decide([9; 3], &[Goods::new([1; 3], 9)], LOOKS), (Decision::Open, 0));
    }

    #[test]
    fn nothing_fits_anywhere() {
        assert!(matches!(decide([1; 3], &[], LOOKS).0, Decision::Fits(load) if load.placed.is_empty()));
    }
}
