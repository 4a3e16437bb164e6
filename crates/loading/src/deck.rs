//! Free space when every box must rest on its whole base.
//!
//! Then whatever stands over a point stands on something down to the floor, so the load is a height
//! field and a free space is a rectangle of one height, open to the top. Tops of equal height that touch
//! are one deck, so rectangles across several boxes count as support.

use crate::space::Space;

/// Takes the base of a cuboid out of the deck it stands on and adds its top to the deck at that height.
/// However narrow, rectangles stay: a later neighbour may widen them.
pub(crate) fn stand(
    spaces: &mut Vec<Space>,
    fresh: &mut Vec<Space>,
    lo: [i32; 3],
    hi: [i32; 3],
    container: [i32; 3],
) {
    fresh.clear();
    let floor = lo[2];
    spaces.retain(|space| {
        let cut = space.lo[2] == floor
            && space.lo[0] < hi[0]
            && space.lo[1] < hi[1]
            && space.hi[0] > lo[0]
            && space.hi[1] > lo[1];
        if cut {
            for axis in 0..2 {
                if lo[axis] > space.lo[axis] {
                    let mut end = space.hi;
                    end[axis] = lo[axis];
                    fresh.push(Space::seen_from(space.lo, end, container, true));
                }
                if space.hi[axis] > hi[axis] {
                    let mut start = space.lo;
                    start[axis] = hi[axis];
                    fresh.push(Space::seen_from(start, space.hi, container, true));
                }
            }
        }
        !cut
    });
    crate::space::keep_maximal(spaces, fresh);
    if hi[2] < container[2] {
        join(spaces, fresh, [lo[0], lo[1], hi[2]], [hi[0], hi[1], container[2]], container);
    }
}

/// Adds a rectangle to the deck at its height: all maximal rectangles of the union. Two rectangles that
/// touch or overlap along one axis give their union along it, narrowed to what they share along the
/// other; repeated until nothing new appears, this finds every maximal rectangle (consensus method).
fn join(spaces: &mut Vec<Space>, fresh: &mut Vec<Space>, lo: [i32; 3], hi: [i32; 3], container: [i32; 3]) {
    fresh.clear();
    fresh.push(Space::seen_from(lo, hi, container, true));
    while let Some(one) = fresh.pop() {
        if spaces.iter().any(|other| other.lo[2] == one.lo[2] && other.holds(&one)) {
            continue;
        }
        for other in spaces.iter() {
            if other.lo[2] != one.lo[2] {
                continue;
            }
            for axis in 0..2 {
                let cross = 1 - axis;
                let (start, end) = (one.lo[cross].max(other.lo[cross]), one.hi[cross].min(other.hi[cross]));
                if start >= end || one.lo[axis] > other.hi[axis] || other.lo[axis] > one.hi[axis] {
                    continue;
                }
                let (mut from, mut to) = (one.lo, one.hi);
                from[axis] = one.lo[axis].min(other.lo[axis]);
                to[axis] = one.hi[axis].max(other.hi[axis]);
                from[cross] = start;
                to[cross] = end;
                let merged = Space::seen_from(from, to, container, true);
                if !one.holds(&merged) && !other.holds(&merged) {
                    fresh.push(merged);
                }
            }
        }
        spaces.retain(|other| other.lo[2] != one.lo[2] || !one.holds(other));
        spaces.push(one);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_tops_of_one_height_are_one_deck_in_any_order() {
        let container = [4, 4, 9];
        for order in [[0, 1, 2, 3], [3, 2, 1, 0], [2, 0, 3, 1], [1, 3, 0, 2]] {
            let mut spaces = vec![Space::seen_from([0; 3], container, container, true)];
            for quarter in order {
                let lo = [2 * (quarter % 2), 2 * (quarter / 2), 0];
                stand(&mut spaces, &mut Vec::new(), lo, [lo[0] + 2, lo[1] + 2, 3], container);
            }
            let corners: Vec<_> = spaces.iter().map(|space| (space.lo, space.hi)).collect();
            assert_eq!(corners, [([0, 0, 3], [4, 4, 9])]);
        }
    }
}
