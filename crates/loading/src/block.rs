use std::collections::{BTreeMap, BTreeSet};

/// Kinds of goods as the search sees them: whole units in `i32`, ways already listed, count bounded by
/// what the container can hold.
#[derive(Debug, Clone)]
pub(crate) struct Kind {
    pub ways: Vec<[i32; 3]>,
    pub count: u16,
    pub volume: u64,
    /// What one box adds to the objective.
    pub worth: u64,
}

/// A cuboid of several boxes that is placed at once.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Block {
    pub sides: [i32; 3],
    /// Attraction of the block by itself: its worth, a little less for many boxes.
    pub weight: f32,
}

/// What a block takes from the goods.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Needs {
    /// One bit per kind, kinds taken modulo 64.
    pub mask: u64,
    first: (u16, u16),
    rest: (u32, u32),
    pub worth: u64,
}

#[derive(Debug, Clone, Copy)]
enum Make {
    Grid { kind: u16, way: u8, times: [u16; 3] },
    Join { axis: u8, near: u32, far: u32 },
}

/// How blocks are made.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BlockRule {
    /// Most blocks in all.
    pub most: usize,
    /// Least share of a block that its boxes fill.
    pub least_fill: f64,
    /// Exponent by which many boxes in a block tell against it.
    pub many: f32,
}

/// All blocks of a question, the weightiest first.
#[derive(Debug, Clone)]
pub(crate) struct Blocks {
    pub list: Vec<Block>,
    pub needs: Vec<Needs>,
    rest: Vec<(u16, u16)>,
    /// Makes in the order of making, and the make of each listed block.
    makes: Vec<(Make, [i32; 3])>,
    origin: Vec<u32>,
}

struct Draft {
    sides: [i32; 3],
    volume: u64,
    worth: u64,
    boxes: u32,
    needs: Vec<(u16, u16)>,
    mask: u64,
}

/// A block's sizes and what it needs of each kind.
type Likeness = ([i32; 3], Vec<(u16, u16)>);

struct Drafts {
    drafts: Vec<Draft>,
    makes: Vec<(Make, [i32; 3])>,
    /// Those that are already there.
    seen: BTreeSet<Likeness>,
}

impl Drafts {
    fn add(&mut self, draft: Draft, make: Make) -> bool {
        if !self.seen.insert((draft.sides, draft.needs.clone())) {
            return false;
        }
        self.makes.push((make, draft.sides));
        self.drafts.push(draft);
        true
    }
}

/// Repeats that are tried along one axis: all small ones, then ever sparser, and the most.
fn repeats(most: u16, dense: u16) -> Vec<u16> {
    let mut list = Vec::new();
    let mut next = 1u16;
    while next <= most {
        list.push(next);
        next = next.saturating_add(1.max(next / dense.max(1)));
    }
    if list.last() != Some(&most) && most > 0 {
        list.push(most);
    }
    list
}

impl Blocks {
    pub fn make(container: [i32; 3], kinds: &[Kind], rule: BlockRule) -> Self {
        let mut made = Drafts { drafts: Vec::new(), makes: Vec::new(), seen: BTreeSet::new() };
        grids(&mut made, container, kinds, rule);
        joins(&mut made, container, kinds, rule);
        let Drafts { drafts, makes, .. } = made;

        let mut order: Vec<u32> = (0..).take(drafts.len()).collect();
        let weight = |draft: &Draft| draft.worth as f32 * (draft.boxes as f32).powf(-rule.many);
        order.sort_by(|&a, &b| {
            let (a, b) = (&drafts[a as usize], &drafts[b as usize]);
            weight(b).total_cmp(&weight(a)).then_with(|| b.sides.cmp(&a.sides))
        });
        let mut blocks =
            Self { list: Vec::new(), needs: Vec::new(), rest: Vec::new(), makes, origin: order.clone() };
        for index in order {
            let draft = &drafts[index as usize];
            let start = blocks.rest.len() as u32;
            blocks.rest.extend_from_slice(&draft.needs[1..]);
            blocks.list.push(Block { sides: draft.sides, weight: weight(draft) });
            blocks.needs.push(Needs {
                mask: draft.mask,
                first: draft.needs[0],
                rest: (start, blocks.rest.len() as u32),
                worth: draft.worth,
            });
        }
        blocks
    }

    /// Whether enough goods are left for a block.
    pub fn affordable(&self, block: u32, left: &[u16]) -> bool {
        let needs = &self.needs[block as usize];
        let enough = |&(kind, count): &(u16, u16)| left[kind as usize] >= count;
        enough(&needs.first) && self.rest[needs.rest.0 as usize..needs.rest.1 as usize].iter().all(enough)
    }

    /// Takes a block's boxes from what is left and says whether some kind has run out.
    pub fn take(&self, block: u32, left: &mut [u16]) -> bool {
        let needs = &self.needs[block as usize];
        let mut out = false;
        let rest = &self.rest[needs.rest.0 as usize..needs.rest.1 as usize];
        for &(kind, count) in std::iter::once(&needs.first).chain(rest) {
            left[kind as usize] -= count;
            out |= left[kind as usize] == 0;
        }
        out
    }

    /// The single boxes of a block whose near corner is at `at`: kind, corner, sizes as it lies.
    pub fn unpack(&self, block: u32, at: [i32; 3], kinds: &[Kind], out: &mut Vec<(u16, [i32; 3], [i32; 3])>) {
        let mut open = vec![(self.origin[block as usize], at)];
        while let Some((index, at)) = open.pop() {
            match self.makes[index as usize].0 {
                Make::Join { axis, near, far } => {
                    open.push((near, at));
                    let mut beyond = at;
                    beyond[axis as usize] += self.makes[near as usize].1[axis as usize];
                    open.push((far, beyond));
                }
                Make::Grid { kind, way, times } => {
                    let lies = kinds[kind as usize].ways[way as usize];
                    for z in 0..i32::from(times[2]) {
                        for y in 0..i32::from(times[1]) {
                            for x in 0..i32::from(times[0]) {
                                let corner = [at[0] + x * lies[0], at[1] + y * lies[1], at[2] + z * lies[2]];
                                out.push((kind, corner, lies));
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Blocks of equal boxes lying the same way.
fn grids(made: &mut Drafts, container: [i32; 3], kinds: &[Kind], rule: BlockRule) {
    // Counts that would flood the list are thinned: denser where there is room, doubling at last.
    for dense in [u16::MAX, 8, 4, 2, 1] {
        made.drafts.clear();
        made.makes.clear();
        made.seen.clear();
        let most = if dense == 1 { usize::MAX } else { rule.most };
        if grids_at(made, container, kinds, dense, most) {
            return;
        }
    }
}

/// False when there would be more than `most`.
fn grids_at(made: &mut Drafts, container: [i32; 3], kinds: &[Kind], dense: u16, most: usize) -> bool {
    for (kind, goods) in (0u16..).zip(kinds) {
        let count = u32::from(goods.count);
        for (way, lies) in (0u8..).zip(&goods.ways) {
            let fits = [0, 1, 2]
                .map(|axis| u16::try_from(container[axis] / lies[axis]).unwrap_or(u16::MAX).min(goods.count));
            let lists = fits.map(|most| repeats(most, dense));
            for &x in &lists[0] {
                for &y in lists[1].iter().take_while(|&&y| u32::from(x) * u32::from(y) <= count) {
                    let row = u32::from(x) * u32::from(y);
                    for &z in lists[2].iter().take_while(|&&z| row * u32::from(z) <= count) {
                        if made.drafts.len() > most {
                            return false;
                        }
                        let boxes = row * u32::from(z);
                        let times = [x, y, z];
                        let draft = Draft {
                            sides: [0, 1, 2].map(|axis| lies[axis] * i32::from(times[axis])),
                            volume: goods.volume * u64::from(boxes),
                            worth: goods.worth * u64::from(boxes),
                            boxes,
                            needs: vec![(kind, boxes as u16)],
                            mask: 1 << (kind % 64),
                        };
                        made.add(draft, Make::Grid { kind, way, times });
                    }
                }
            }
        }
    }
    made.drafts.len() <= most
}

/// Blocks of two blocks side by side, as long as there is room for more.
fn joins(made: &mut Drafts, container: [i32; 3], kinds: &[Kind], rule: BlockRule) {
    // Earlier blocks by their size along one axis, for partners of nearly that size.
    let mut by_side: [BTreeMap<i32, Vec<u32>>; 3] = Default::default();
    let mut index = 0;
    let mut partners: Vec<u32> = Vec::new();
    while index < made.drafts.len() && made.drafts.len() < rule.most {
        let sides = made.drafts[index].sides;
        for axis in 0..3 {
            by_side[axis].entry(sides[axis]).or_default().push(index as u32);
        }
        for axis in 0..3 {
            // A partner must match in the two other sizes; look up by one, test the other.
            let cross = [(axis + 1) % 3, (axis + 2) % 3];
            let (least, most) = (
                (f64::from(sides[cross[0]]) * rule.least_fill).ceil() as i32,
                (f64::from(sides[cross[0]]) / rule.least_fill).floor() as i32,
            );
            partners.clear();
            for list in by_side[cross[0]].range(least..=most.max(least)).map(|(_, list)| list) {
                partners.extend(list.iter().copied().filter(|&partner| {
                    let other = &made.drafts[partner as usize];
                    let (a, b) = (sides[cross[1]], other.sides[cross[1]]);
                    other.sides[axis] + sides[axis] <= container[axis]
                        && f64::from(a.min(b)) >= f64::from(a.max(b)) * rule.least_fill
                }));
            }
            partners.sort_unstable();
            for &partner in &partners {
                if made.drafts.len() >= rule.most {
                    return;
                }
                if let Some(draft) =
                    joined(&made.drafts[index], &made.drafts[partner as usize], axis, kinds, rule)
                {
                    made.add(draft, Make::Join { axis: axis as u8, near: index as u32, far: partner });
                }
            }
        }
        index += 1;
    }
}

fn joined(one: &Draft, other: &Draft, axis: usize, kinds: &[Kind], rule: BlockRule) -> Option<Draft> {
    let mut sides = [0, 1, 2].map(|side| one.sides[side].max(other.sides[side]));
    sides[axis] = one.sides[axis] + other.sides[axis];
    let volume = one.volume + other.volume;
    let whole: u64 = sides.iter().map(|&side| side.unsigned_abs() as u64).product();
    if (volume as f64) < whole as f64 * rule.least_fill {
        return None;
    }
    let mut needs = one.needs.clone();
    for &(kind, count) in &other.needs {
        match needs.iter_mut().find(|need| need.0 == kind) {
            Some(need) => need.1 = need.1.checked_add(count)?,
            None => needs.push((kind, count)),
        }
    }
    if needs.iter().any(|&(kind, count)| count > kinds[kind as usize].count) {
        return None;
    }
    needs.sort_unstable();
    Some(Draft {
        sides,
        volume,
        worth: one.worth + other.worth,
        boxes: one.boxes + other.boxes,
        needs,
        mask: one.mask | other.mask,
    })
}
