//! The exact best mixture of listings, for every number of pieces at once.
//!
//! `F_s(n) = max over k of F_{s-1}(n - s k) + W(s, k)`, with the number of listings as a second dimension
//! where it is limited. Values are whole fixed-point units, so equal plans are equal whatever the order of
//! adding, and ties are broken by rule: fewer listings, then fewer lots, then larger lots.

use std::cmp::{Ordering, Reverse};
use std::collections::BTreeMap;

/// A state that no choice of listings reaches.
const UNREACHED: i128 = i128::MIN;

/// Lots by pieces in the lot.
pub(super) type Parts = BTreeMap<u32, u32>;

/// The listings of one size: the value of 1, 2, 3... lots; none where that many is no choice.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub(super) size: u32,
    pub(super) values: Vec<Option<i128>>,
}

/// Which plans are looked at.
#[derive(Debug, Clone, Copy)]
pub(super) enum Among<'a> {
    /// All.
    All,
    /// Those whose largest lot is not of this size; none stands for the plan without listings.
    NotLedBy(Option<u32>),
    /// All but this one.
    AllBut(&'a Parts),
}

/// A plan found: its parts and what they are worth together, in fixed-point units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pick {
    pub(super) value: i128,
    pub(super) listings: u32,
    pub(super) lots: u32,
    pub(super) parts: Parts,
}

impl Pick {
    /// Better comes later.
    pub(super) fn rank(&self, other: &Self) -> Ordering {
        self.key().cmp(&other.key()).then_with(|| self.parts.iter().rev().cmp(other.parts.iter().rev()))
    }

    fn key(&self) -> Key {
        (self.value, Reverse(self.listings), Reverse(self.lots))
    }
}

type Key = (i128, Reverse<u32>, Reverse<u32>);

/// The best plan from the sizes so far, and how many lots of the last of them it holds.
#[derive(Debug, Clone, Copy)]
struct Cell {
    value: i128,
    listings: u32,
    lots: u32,
    here: u32,
}

impl Cell {
    const EMPTY: Self = Self { value: 0, listings: 0, lots: 0, here: 0 };
    const NONE: Self = Self { value: UNREACHED, ..Self::EMPTY };

    fn key(&self) -> Key {
        (self.value, Reverse(self.listings), Reverse(self.lots))
    }
}

/// How many listings a plan holds, as far as it matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Listings {
    /// Any number: layer 0 holds the plan without listings, layer 1 all others.
    Any,
    /// At most so many: layer `l` holds the plans of exactly `l`.
    AtMost(usize),
}

impl Listings {
    fn top(self) -> usize {
        match self {
            Self::Any => 1,
            Self::AtMost(most) => most,
        }
    }

    /// The highest layer left for the smaller sizes when the larger ones use so many listings.
    fn left(self, used: u32) -> Option<usize> {
        match self {
            Self::Any => Some(1),
            Self::AtMost(most) => most.checked_sub(used as usize),
        }
    }
}

/// The filled table.
pub(super) struct Knapsack {
    lines: Vec<Line>,
    listings: Listings,
    /// After how many sizes, by layer, by pieces.
    tables: Vec<Vec<Vec<Cell>>>,
}

impl Knapsack {
    /// Fills the table; `lines` are in rising order of size.
    pub(super) fn solve(lines: Vec<Line>, pieces: u32, listings: Listings) -> Self {
        let width = pieces as usize + 1;
        let mut first = vec![vec![Cell::EMPTY; width]];
        first.resize(listings.top() + 1, vec![Cell::NONE; width]);
        let mut tables = vec![first];
        for line in &lines {
            if let Some(before) = tables.last() {
                tables.push(after(before, line, listings));
            }
        }
        Self { lines, listings, tables }
    }

    /// The best plan for so many pieces; with `some`, the plan without listings does not count.
    pub(super) fn best(&self, pieces: u32, among: Among<'_>, some: bool) -> Option<Pick> {
        let mut best = Best { knapsack: self, found: None };
        let all = self.lines.len();
        match among {
            Among::All => best.offer(&Head::default(), all, pieces, some),
            Among::NotLedBy(lead) => {
                if lead.is_some() && !some {
                    best.offer(&Head::default(), 0, pieces, false);
                }
                for (before, line) in self.lines.iter().enumerate() {
                    if Some(line.size) != lead {
                        for lots in 1..=pieces / line.size {
                            best.offer_after(&Head::default(), before, line, lots, pieces, false);
                        }
                    }
                }
            }
            // Any other plan agrees with this one from the largest size down to some size, and differs there.
            Among::AllBut(parts) => {
                let (mut head, mut left) = (Head::default(), pieces);
                for (before, line) in self.lines.iter().enumerate().rev() {
                    let same = parts.get(&line.size).copied().unwrap_or(0);
                    for lots in (0..=left / line.size).filter(|&lots| lots != same) {
                        best.offer_after(&head, before, line, lots, left, some);
                    }
                    let Some(next) = head.with(line, same) else { break };
                    head = next;
                    left = left.saturating_sub(line.size.saturating_mul(same));
                }
            }
        }
        best.found
    }

    /// The best cell for so many pieces from the first `sizes` sizes with up to `top` layers.
    fn cell(&self, sizes: usize, top: usize, pieces: u32, some: bool) -> Option<(usize, Cell)> {
        let layers = self.tables.get(sizes)?;
        let cells = layers.iter().enumerate().take(top + 1).skip(usize::from(some));
        let reached = cells.filter_map(|(layer, row)| Some((layer, *row.get(pieces as usize)?)));
        reached.filter(|(_, cell)| cell.value != UNREACHED).max_by_key(|(_, cell)| cell.key())
    }

    /// The parts of a cell.
    fn trace(&self, sizes: usize, layer: usize, pieces: u32) -> Parts {
        let (mut layer, mut left) = (layer, pieces as usize);
        let mut parts = Parts::new();
        for (line, (layers, before)) in
            self.lines.iter().zip(self.tables.iter().skip(1).zip(&self.tables)).take(sizes).rev()
        {
            let here = layers.get(layer).and_then(|row| row.get(left)).map_or(0, |cell| cell.here);
            if here > 0 {
                parts.insert(line.size, here);
                left = left.saturating_sub(line.size as usize * here as usize);
                layer = source(before, layer, left, self.listings);
            }
        }
        parts
    }
}

/// The layer from which a listing leads to `layer`, at so many pieces before it.
fn source(before: &[Vec<Cell>], layer: usize, pieces: usize, listings: Listings) -> usize {
    let below = layer.saturating_sub(1);
    match listings {
        Listings::AtMost(_) => below,
        Listings::Any => {
            let key = |layer: usize| before.get(layer).and_then(|row| row.get(pieces)).map(Cell::key);
            if key(below) >= key(layer) { below } else { layer }
        }
    }
}

/// The table after one more size.
fn after(before: &[Vec<Cell>], line: &Line, listings: Listings) -> Vec<Vec<Cell>> {
    let mut next: Vec<Vec<Cell>> =
        before.iter().map(|row| row.iter().map(|cell| Cell { here: 0, ..*cell }).collect()).collect();
    for (layer, row) in next.iter_mut().enumerate().skip(1) {
        let from: Vec<Cell> = (0..row.len())
            .filter_map(|n| before.get(source(before, layer, n, listings))?.get(n).copied())
            .collect();
        for (lots, value) in (1_u32..).zip(&line.values) {
            let Some(value) = value else { continue };
            let offset = line.size as usize * lots as usize;
            for (cell, from) in row.iter_mut().skip(offset).zip(&from) {
                if from.value == UNREACHED {
                    continue;
                }
                let with = Cell {
                    value: from.value + value,
                    listings: from.listings + 1,
                    lots: from.lots + lots,
                    here: lots,
                };
                // Of equals the later wins: it has more of the larger size.
                if with.key() >= cell.key() {
                    *cell = with;
                }
            }
        }
    }
    next
}

/// Listings that are fixed before the table is asked for the rest.
#[derive(Debug, Clone, Default)]
struct Head {
    value: i128,
    lots: u32,
    parts: Parts,
}

impl Head {
    /// With so many lots more; none when that many is no choice.
    fn with(&self, line: &Line, lots: u32) -> Option<Self> {
        let Some(index) = lots.checked_sub(1) else { return Some(self.clone()) };
        let value = (*line.values.get(index as usize)?)?;
        let mut next = self.clone();
        next.value += value;
        next.lots += lots;
        next.parts.insert(line.size, lots);
        Some(next)
    }
}

/// The best plan so far.
struct Best<'a> {
    knapsack: &'a Knapsack,
    found: Option<Pick>,
}

impl Best<'_> {
    /// Fixes so many lots of one size on top of `head`, the smaller sizes being free.
    fn offer_after(&mut self, head: &Head, before: usize, line: &Line, lots: u32, left: u32, some: bool) {
        if let Some(head) = head.with(line, lots) {
            self.offer(&head, before, left - line.size * lots, some);
        }
    }

    /// Completes `head` by the best of the first `sizes` sizes and keeps the plan if it is better.
    fn offer(&mut self, head: &Head, sizes: usize, left: u32, some: bool) {
        let used = head.parts.len() as u32;
        let Some(top) = self.knapsack.listings.left(used) else { return };
        let some = some && used == 0;
        let Some((layer, cell)) = self.knapsack.cell(sizes, top, left, some) else { return };
        let mut pick = Pick {
            value: head.value + cell.value,
            listings: used + cell.listings,
            lots: head.lots + cell.lots,
            parts: Parts::new(),
        };
        if self.found.as_ref().is_some_and(|found| found.key() > pick.key()) {
            return;
        }
        pick.parts = self.knapsack.trace(sizes, layer, left);
        pick.parts.extend(&head.parts);
        if self.found.as_ref().is_none_or(|found| pick.rank(found) == Ordering::Greater) {
            self.found = Some(pick);
        }
    }
}
