use crate::filling::{Filling, Scratch};
use crate::space::Space;
use crate::yard::Yard;

/// Blocks and where their near corners stand: a finished load as the search keeps it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Best {
    pub worth: u64,
    pub stacked: Vec<u32>,
    pub corners: Vec<([i32; 3], [i32; 3])>,
}

/// A filling in the beam.
struct Node {
    filling: Filling,
    /// Worth that the greedy finish reaches from here.
    finished: u64,
}

struct Child {
    parent: usize,
    space: Space,
    block: u32,
    finished: u64,
    worth: u64,
}

/// A search that can be asked for one pass after another.
pub(crate) struct Search<'a> {
    yard: &'a Yard,
    pub best: Best,
    pub scratch: Scratch,
    work: Filling,
    spare: Vec<Filling>,
}

impl<'a> Search<'a> {
    pub fn new(yard: &'a Yard) -> Self {
        Self {
            yard,
            best: Best::default(),
            scratch: Scratch::default(),
            work: Filling::default(),
            spare: Vec::new(),
        }
    }

    fn note(&mut self) {
        if self.work.worth > self.best.worth || self.best.stacked.is_empty() {
            self.best.worth = self.work.worth;
            self.best.stacked.clone_from(&self.work.stacked);
            self.best.corners.clone_from(&self.work.corners);
        }
    }

    pub fn complete(&self) -> bool {
        self.best.worth >= self.yard.all
    }

    /// One pass with a beam of the given width. `go_on(looks, best worth)` is asked after each greedy
    /// finish; false when the pass was broken off.
    pub fn pass(&mut self, width: usize, go_on: &mut impl FnMut(u64, u64) -> bool) -> bool {
        let yard = self.yard;
        let root = Filling::empty(yard);
        self.work.copy_from(&root);
        self.work.finish(yard, &mut self.scratch);
        self.note();
        let mut beam = vec![Node { filling: root, finished: self.work.worth }];
        let mut children: Vec<Child> = Vec::new();
        let mut options: Vec<(f32, u32)> = Vec::new();
        while !beam.is_empty() {
            if self.complete() || !go_on(self.scratch.looks, self.best.worth) {
                return false;
            }
            children.clear();
            for (parent, node) in beam.iter_mut().enumerate() {
                let Some(space) = node.filling.settle(yard, width, &mut self.scratch) else { continue };
                options.clone_from(&self.scratch.best);
                for (rank, &(_, block)) in options.iter().enumerate() {
                    let worth = node.filling.worth + yard.blocks.needs[block as usize].worth;
                    // The greedy finish begins with the best option: its end is known.
                    let finished = if rank == 0 {
                        node.finished
                    } else {
                        self.work.copy_from(&node.filling);
                        self.work.place(yard, &space, block, &mut self.scratch);
                        self.work.finish(yard, &mut self.scratch);
                        let worth = self.work.worth;
                        self.note();
                        if self.complete() || !go_on(self.scratch.looks, self.best.worth) {
                            return false;
                        }
                        worth
                    };
                    children.push(Child { parent, space, block, finished, worth });
                }
            }
            children.sort_by(|a, b| b.finished.cmp(&a.finished).then(b.worth.cmp(&a.worth)));
            let mut next: Vec<Node> = Vec::with_capacity(width);
            let mut last = None;
            for child in &children {
                if next.len() == width {
                    break;
                }
                if last == Some((child.finished, child.worth)) {
                    continue;
                }
                last = Some((child.finished, child.worth));
                let mut filling = self.spare.pop().unwrap_or_default();
                filling.copy_from(&beam[child.parent].filling);
                filling.place(yard, &child.space, child.block, &mut self.scratch);
                next.push(Node { filling, finished: child.finished });
            }
            self.spare.extend(beam.drain(..).map(|node| node.filling));
            beam = next;
        }
        true
    }
}
