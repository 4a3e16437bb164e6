use crate::block::{BlockRule, Blocks, Kind};
use crate::reach::longest_rows;
use crate::{Goods, Support};

/// How a block is weighed against others for a space.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Taste {
    /// Exponent of the share of surface in contact.
    pub contact: i32,
    /// Gap, as a share of the block's size, that still counts as contact.
    pub slack: f32,
}

/// One question, prepared: everything that no step of the search changes.
#[derive(Debug)]
pub(crate) struct Yard {
    pub container: [i32; 3],
    pub support: Support,
    pub kinds: Vec<Kind>,
    pub blocks: Blocks,
    /// Longest row of boxes within each length, per axis.
    pub rows: [Vec<i32>; 3],
    pub taste: Taste,
    /// Sum of all worths: nothing can be better.
    pub all: u64,
}

impl Yard {
    /// `worth` gives what one box of each kind adds; without it, its volume.
    pub fn new(
        inside: [u32; 3],
        goods: &[Goods],
        support: Support,
        worth: Option<&[u64]>,
        rule: BlockRule,
        taste: Taste,
    ) -> Self {
        let container = inside.map(|side| i32::try_from(side).unwrap_or(i32::MAX));
        let whole: u64 = inside.iter().map(|&side| u64::from(side)).product();
        let kinds: Vec<Kind> = goods
            .iter()
            .enumerate()
            .map(|(index, one)| {
                let volume = one.volume();
                let ways: Vec<[i32; 3]> = one
                    .ways()
                    .into_iter()
                    .filter(|way| (0..3).all(|axis| way[axis] <= inside[axis]))
                    .map(|way| way.map(|side| side as i32))
                    .collect();
                let most = if ways.is_empty() { 0 } else { whole / volume.max(1) };
                let count = u64::from(one.count).min(most).min(u64::from(u16::MAX)) as u16;
                let worth = worth.and_then(|list| list.get(index).copied()).unwrap_or(volume);
                Kind { ways, count, volume, worth }
            })
            .collect();
        let blocks = Blocks::make(container, &kinds, rule);
        let rows = [0, 1, 2].map(|axis| {
            let lengths: Vec<(Vec<i32>, u32)> = kinds
                .iter()
                .filter(|kind| kind.count > 0)
                .map(|kind| {
                    let mut list: Vec<i32> = kind.ways.iter().map(|way| way[axis]).collect();
                    list.sort_unstable();
                    list.dedup();
                    (list, u32::from(kind.count))
                })
                .collect();
            longest_rows(container[axis], &lengths)
        });
        let all = kinds.iter().map(|kind| kind.worth * u64::from(kind.count)).sum();
        Self { container, support, kinds, blocks, rows, taste, all }
    }

    /// Least size along each axis among the kinds that are left.
    pub fn least(&self, left: &[u16]) -> [i32; 3] {
        let mut least = [i32::MAX; 3];
        for (kind, &count) in self.kinds.iter().zip(left) {
            if count > 0 {
                for way in &kind.ways {
                    for axis in 0..3 {
                        least[axis] = least[axis].min(way[axis]);
                    }
                }
            }
        }
        least
    }
}
