/// A free cuboid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Space {
    pub lo: [i32; 3],
    pub hi: [i32; 3],
    /// How near its nearest corner is to the matching corner of the container, and bits that say which
    /// sides that corner lies on (bit set: the far side of that axis).
    pub reach: i32,
    pub corner: u8,
}

impl Space {
    pub fn sides(&self) -> [i32; 3] {
        [self.hi[0] - self.lo[0], self.hi[1] - self.lo[1], self.hi[2] - self.lo[2]]
    }

    pub fn volume(&self) -> i64 {
        self.sides().iter().map(|&side| i64::from(side)).product()
    }

    pub fn holds(&self, other: &Self) -> bool {
        (self.lo[0] <= other.lo[0])
            & (self.lo[1] <= other.lo[1])
            & (self.lo[2] <= other.lo[2])
            & (self.hi[0] >= other.hi[0])
            & (self.hi[1] >= other.hi[1])
            & (self.hi[2] >= other.hi[2])
    }

    fn meets(&self, lo: [i32; 3], hi: [i32; 3]) -> bool {
        (self.lo[0] < hi[0])
            & (self.lo[1] < hi[1])
            & (self.lo[2] < hi[2])
            & (self.hi[0] > lo[0])
            & (self.hi[1] > lo[1])
            & (self.hi[2] > lo[2])
    }

    /// Finds the corner from which the space will be filled.
    pub fn seen_from(lo: [i32; 3], hi: [i32; 3], container: [i32; 3], on_floor: bool) -> Self {
        let mut reach = 0;
        let mut corner = 0;
        for axis in 0..3 {
            let near = lo[axis];
            let far = container[axis] - hi[axis];
            if far < near && !(on_floor && axis == 2) {
                corner |= 1 << axis;
                reach += far;
            } else {
                reach += near;
            }
        }
        Self { lo, hi, reach, corner }
    }
}

/// Takes a cuboid out of maximal free cuboids that may overlap; what is left is again maximal.
/// Pieces narrower than `least` along any axis are dropped.
pub(crate) fn carve(
    spaces: &mut Vec<Space>,
    fresh: &mut Vec<Space>,
    lo: [i32; 3],
    hi: [i32; 3],
    container: [i32; 3],
    least: [i32; 3],
) {
    fresh.clear();
    spaces.retain(|space| {
        if !space.meets(lo, hi) {
            let sides = space.sides();
            return sides[0] >= least[0] && sides[1] >= least[1] && sides[2] >= least[2];
        }
        let sides = space.sides();
        for axis in 0..3 {
            let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
            if sides[b] < least[b] || sides[c] < least[c] {
                continue;
            }
            if lo[axis] - space.lo[axis] >= least[axis] {
                let mut end = space.hi;
                end[axis] = lo[axis];
                fresh.push(Space::seen_from(space.lo, end, container, false));
            }
            if space.hi[axis] - hi[axis] >= least[axis] {
                let mut start = space.lo;
                start[axis] = hi[axis];
                fresh.push(Space::seen_from(start, space.hi, container, false));
            }
        }
        false
    });
    keep_maximal(spaces, fresh);
}

/// Adds those of the fresh cuboids that no other holds.
pub(crate) fn keep_maximal(spaces: &mut Vec<Space>, fresh: &[Space]) {
    for (index, one) in fresh.iter().enumerate() {
        let inside = |other: &Space| other.holds(one);
        // Of equal ones the first stays.
        let hidden = fresh[..index].iter().any(inside)
            || fresh[index + 1..].iter().any(|other| other.holds(one) && !one.holds(other))
            || spaces.iter().any(inside);
        if !hidden {
            spaces.push(*one);
        }
    }
}
