use crate::contact::Contact;
use crate::space::{Space, carve};
use crate::yard::Yard;
use crate::{Support, deck};

/// A partly filled container.
#[derive(Debug, Default)]
pub(crate) struct Filling {
    pub spaces: Vec<Space>,
    pub left: Vec<u16>,
    /// Blocks that can still be made from what is left, the weightiest first.
    pub blocks: Vec<u32>,
    /// Blocks in place: which, and its two corners.
    pub stacked: Vec<u32>,
    pub corners: Vec<([i32; 3], [i32; 3])>,
    pub worth: u64,
    least: [i32; 3],
}

/// Room to work in, kept between steps so that nothing is allocated.
#[derive(Debug, Default)]
pub(crate) struct Scratch {
    fresh: Vec<Space>,
    contact: Contact,
    pub best: Vec<(f32, u32)>,
    /// Blocks weighed so far.
    pub looks: u64,
}

/// Spaces that take nothing are kept where a deck may still grow into them; they are never chosen.
const CLOSED: i32 = i32::MAX;

impl Filling {
    pub fn empty(yard: &Yard) -> Self {
        let left: Vec<u16> = yard.kinds.iter().map(|kind| kind.count).collect();
        let least = yard.least(&left);
        Self {
            spaces: vec![Space::seen_from([0; 3], yard.container, yard.container, true)],
            blocks: (0..).take(yard.blocks.list.len()).collect(),
            left,
            stacked: Vec::new(),
            corners: Vec::new(),
            worth: 0,
            least,
        }
    }

    pub fn copy_from(&mut self, other: &Self) {
        self.spaces.clone_from(&other.spaces);
        self.left.clone_from(&other.left);
        self.blocks.clone_from(&other.blocks);
        self.stacked.clone_from(&other.stacked);
        self.corners.clone_from(&other.corners);
        self.worth = other.worth;
        self.least = other.least;
    }

    /// The space to fill next: the one nearest a corner of the container, the larger of equals.
    fn next_space(&self) -> Option<usize> {
        let mut best: Option<(i32, i64, usize)> = None;
        for (index, space) in self.spaces.iter().enumerate() {
            if space.reach == CLOSED {
                continue;
            }
            let reach = space.reach;
            match best {
                Some((least, _, _)) if reach > least => continue,
                Some((least, volume, _)) if reach == least && space.volume() <= volume => continue,
                Some(_) | None => best = Some((reach, space.volume(), index)),
            }
        }
        best.map(|(_, _, index)| index)
    }

    /// Finds the next space that takes a block and up to `most` blocks for it, best first, in
    /// `scratch.best`. Spaces that take none are dropped. `None` when the container is full.
    pub fn settle(&mut self, yard: &Yard, most: usize, scratch: &mut Scratch) -> Option<Space> {
        while let Some(index) = self.next_space() {
            let space = self.spaces[index];
            self.weigh(yard, &space, most, scratch);
            if !scratch.best.is_empty() {
                return Some(space);
            }
            match yard.support {
                Support::None => {
                    self.spaces.swap_remove(index);
                }
                Support::Full => self.spaces[index].reach = CLOSED,
            }
        }
        None
    }

    fn weigh(&self, yard: &Yard, space: &Space, most: usize, scratch: &mut Scratch) {
        scratch.best.clear();
        let sides = space.sides();
        let (a, b, c) = (sides[0], sides[1], sides[2]);
        let whole = a as f32 * b as f32 * c as f32;
        let mut looked = false;
        for (seen, &id) in self.blocks.iter().enumerate() {
            let block = &yard.blocks.list[id as usize];
            let [x, y, z] = block.sides;
            if (x > a) | (y > b) | (z > c) {
                continue;
            }
            let full = scratch.best.len() == most;
            let bar = if full { scratch.best[most - 1].0 } else { f32::NEG_INFINITY };
            if block.weight <= bar {
                scratch.looks += seen as u64;
                return;
            }
            let used = (x + yard.rows[0][(a - x) as usize]) as f32
                * (y + yard.rows[1][(b - y) as usize]) as f32
                * (z + yard.rows[2][(c - z) as usize]) as f32;
            let score = block.weight * (used / whole);
            if score <= bar {
                continue;
            }
            if !looked {
                looked = true;
                scratch.contact.look(space, &self.corners, yard.container);
            }
            let share = scratch.contact.share(block.sides, sides, yard.taste.slack);
            let score = score * share.powi(yard.taste.contact);
            if score <= bar {
                continue;
            }
            let at = scratch.best.iter().position(|one| one.0 < score).unwrap_or(scratch.best.len());
            if full {
                scratch.best.pop();
            }
            scratch.best.insert(at, (score, id));
        }
        scratch.looks += self.blocks.len() as u64;
    }

    /// Puts a block into the corner of a space.
    pub fn place(&mut self, yard: &Yard, space: &Space, block: u32, scratch: &mut Scratch) {
        let sides = yard.blocks.list[block as usize].sides;
        let mut lo = space.lo;
        for axis in 0..3 {
            if space.corner >> axis & 1 == 1 {
                lo[axis] = space.hi[axis] - sides[axis];
            }
        }
        let hi = [lo[0] + sides[0], lo[1] + sides[1], lo[2] + sides[2]];
        let needs = yard.blocks.needs[block as usize];
        self.worth += needs.worth;
        self.stacked.push(block);
        self.corners.push((lo, hi));
        if yard.blocks.take(block, &mut self.left) {
            self.least = yard.least(&self.left);
        }
        let left = &self.left;
        self.blocks.retain(|&id| {
            yard.blocks.needs[id as usize].mask & needs.mask == 0 || yard.blocks.affordable(id, left)
        });
        scratch.looks += 20 + self.spaces.len() as u64;
        match yard.support {
            Support::None => {
                carve(&mut self.spaces, &mut scratch.fresh, lo, hi, yard.container, self.least);
            }
            Support::Full => deck::stand(&mut self.spaces, &mut scratch.fresh, lo, hi, yard.container),
        }
    }

    /// Fills up greedily.
    pub fn finish(&mut self, yard: &Yard, scratch: &mut Scratch) {
        while !self.blocks.is_empty() {
            let Some(space) = self.settle(yard, 1, scratch) else { return };
            let Some(&(_, block)) = scratch.best.first() else { return };
            self.place(yard, &space, block, scratch);
        }
    }
}
