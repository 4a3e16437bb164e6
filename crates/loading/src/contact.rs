use crate::space::Space;

/// What lies against the six sides of a free space, seen from the corner that is filled.
#[derive(Debug, Default)]
pub(crate) struct Contact {
    /// Per axis, near side then far side: whether it is a wall of the container, and otherwise the
    /// rectangles of boxes against it, as spans along the two other axes from the corner.
    wall: [[bool; 2]; 3],
    rects: [[Vec<[i32; 4]>; 2]; 3],
}

impl Contact {
    pub fn look(&mut self, space: &Space, placed: &[([i32; 3], [i32; 3])], container: [i32; 3]) {
        for (axis, &length) in container.iter().enumerate() {
            let flipped = space.corner >> axis & 1 == 1;
            let low_wall = space.lo[axis] == 0;
            let high_wall = space.hi[axis] == length;
            self.wall[axis] = if flipped { [high_wall, low_wall] } else { [low_wall, high_wall] };
            self.rects[axis][0].clear();
            self.rects[axis][1].clear();
        }
        for (lo, hi) in placed {
            for axis in 0..3 {
                let at_low = hi[axis] == space.lo[axis];
                let at_high = lo[axis] == space.hi[axis];
                if !(at_low || at_high) {
                    continue;
                }
                let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
                let (u0, u1) = span(space, lo, hi, u);
                let (v0, v1) = span(space, lo, hi, v);
                if u0 < u1 && v0 < v1 {
                    let flipped = space.corner >> axis & 1 == 1;
                    self.rects[axis][usize::from(at_low == flipped)].push([u0, u1, v0, v1]);
                }
            }
        }
    }

    /// Share of a block's surface that touches walls and boxes; a side with a gap of up to `slack` of the
    /// block's own size counts as touching.
    #[inline]
    pub fn share(&self, block: [i32; 3], space: [i32; 3], slack: f32) -> f32 {
        let mut touching = 0i64;
        let mut surface = 0i64;
        for axis in 0..3 {
            let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
            let whole = i64::from(block[u]) * i64::from(block[v]);
            surface += 2 * whole;
            touching += self.side(axis, 0, block[u], block[v], whole);
            let gap = space[axis] - block[axis];
            if gap as f32 <= slack * block[axis] as f32 {
                touching += self.side(axis, 1, block[u], block[v], whole);
            }
        }
        touching as f32 / surface as f32
    }

    #[inline]
    fn side(&self, axis: usize, far: usize, u: i32, v: i32, whole: i64) -> i64 {
        if self.wall[axis][far] {
            return whole;
        }
        let mut sum = 0;
        for rect in &self.rects[axis][far] {
            let along = (rect[1].min(u) - rect[0]).max(0);
            let across = (rect[3].min(v) - rect[2]).max(0);
            sum += i64::from(along) * i64::from(across);
        }
        sum
    }
}

/// The part of a box's extent inside the space along an axis, from the filled corner.
#[inline]
fn span(space: &Space, lo: &[i32; 3], hi: &[i32; 3], axis: usize) -> (i32, i32) {
    let (start, end) = (lo[axis].max(space.lo[axis]), hi[axis].min(space.hi[axis]));
    if space.corner >> axis & 1 == 1 {
        (space.hi[axis] - end, space.hi[axis] - start)
    } else {
        (start - space.lo[axis], end - space.lo[axis])
    }
}
