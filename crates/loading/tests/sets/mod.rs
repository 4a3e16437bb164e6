//! Published sets of questions, and the checker that believes nothing.
#![allow(dead_code, missing_docs, clippy::unwrap_used)]

use loading::{Goods, Load, Support};

/// Bischoff and Ratcliff, OMEGA 23 (1995) 377-390 (BR1-BR7, thpack1-7 of the OR-Library) and Davies and
/// Bischoff, EJOR 114 (1999) 509-527 (BR8-BR15): some problems of each class.
pub struct BrProblem {
    pub class: u32,
    pub problem: u32,
    pub container: [u32; 3],
    pub goods: Vec<Goods>,
}

pub fn br_problems() -> Vec<BrProblem> {
    let mut list: Vec<BrProblem> = Vec::new();
    for line in include_str!("../data/br_problems.txt").lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        let number = |at: usize| words[at].parse::<u32>().unwrap();
        if let Some(class) = words[0].strip_prefix("BR") {
            let container = [number(3), number(4), number(5)];
            list.push(BrProblem {
                class: class.parse().unwrap(),
                problem: number(1),
                container,
                goods: vec![],
            });
        } else {
            let size = [number(1), number(3), number(5)];
            let upright = [number(2) == 1, number(4) == 1, number(6) == 1];
            list.last_mut().unwrap().goods.push(Goods::new(size, number(7)).standing_on(upright));
        }
    }
    list
}

/// A set of Martello, Pisinger and Vigo (Operations Research 48, 2000): the bin's side and the boxes,
/// which may not be turned. Generated from the published rule: draws of POSIX `lrand48` after
/// `srand48(v + n)`, for a class up to 5 its own type six times in ten and otherwise another.
pub fn mpv_set(class: u32, n: u32, v: u32) -> (u32, Vec<Goods>) {
    let mut state = (u64::from(v + n) << 16) + 0x330E;
    let mut draw = |least: u32, most: u32| {
        state = (state.wrapping_mul(0x5_DEEC_E66D).wrapping_add(0xB)) & ((1 << 48) - 1);
        (state >> 17) as u32 % (most - least + 1) + least
    };
    let side = match class {
        6 => 10,
        7 => 40,
        _ => 100,
    };
    let (half, third) = (side / 2, side * 2 / 3);
    let goods = (0..n)
        .map(|_| {
            let mut kind = class;
            if class <= 5 {
                let other = draw(1, 10);
                if other <= 5 {
                    kind = other;
                }
            }
            let spans = match kind {
                1 => [(1, half), (third, side), (third, side)],
                2 => [(third, side), (1, half), (third, side)],
                3 => [(third, side), (third, side), (1, half)],
                4 => [(half, side); 3],
                5 => [(1, half); 3],
                6 => [(1, 10); 3],
                7 => [(1, 35); 3],
                _ => [(1, 100); 3],
            };
            let size = spans.map(|(least, most)| draw(least, most));
            Goods::new([size[0], size[2], size[1]], 1).fixed()
        })
        .collect();
    (side, goods)
}

/// Says what is wrong with a load, by comparing every box with every other.
pub fn fault(container: [u32; 3], goods: &[Goods], support: Support, load: &Load) -> Option<String> {
    let mut counts = vec![0u32; goods.len()];
    let mut volume = 0u64;
    for (index, one) in load.placed.iter().enumerate() {
        counts[one.kind] += 1;
        volume += one.lies.iter().map(|&side| u64::from(side)).product::<u64>();
        if (0..3).any(|axis| one.at[axis] + one.lies[axis] > container[axis]) {
            return Some(format!("box {index} sticks out: {one:?}"));
        }
        // Whether some allowed vertical size and order of the others gives the sides as they lie.
        let kind = &goods[one.kind];
        let allowed = (0..3).any(|vertical| {
            let (u, v) = ((vertical + 1) % 3, (vertical + 2) % 3);
            let rest = [kind.size[u], kind.size[v]];
            let kept = if vertical == 1 { [rest[1], rest[0]] } else { rest };
            kind.upright[vertical]
                && one.lies[2] == kind.size[vertical]
                && (one.lies[..2] == kept || kind.turns && one.lies[0] == kept[1] && one.lies[1] == kept[0])
        });
        if !allowed {
            return Some(format!("box {index} lies in a way that is not allowed: {one:?} of {kind:?}"));
        }
        let shared = |other: &loading::Placed, axis: usize| {
            let far = (one.at[axis] + one.lies[axis]).min(other.at[axis] + other.lies[axis]);
            u64::from(far.saturating_sub(one.at[axis].max(other.at[axis])))
        };
        let mut resting = if one.at[2] == 0 { u64::from(one.lies[0]) * u64::from(one.lies[1]) } else { 0 };
        for (earlier, other) in load.placed.iter().enumerate() {
            if earlier == index {
                continue;
            }
            let over = shared(other, 0) * shared(other, 1);
            if over * shared(other, 2) > 0 {
                return Some(format!("boxes {index} and {earlier} overlap: {one:?} {other:?}"));
            }
            if other.at[2] + other.lies[2] == one.at[2] && earlier < index {
                resting += over;
            }
            if earlier < index && over > 0 && other.at[2] >= one.at[2] + one.lies[2] {
                return Some(format!("box {index} can't be lowered past box {earlier}"));
            }
        }
        let base = u64::from(one.lies[0]) * u64::from(one.lies[1]);
        if support == Support::Full && resting * 1000 < base * 999 {
            return Some(format!("box {index} rests on {resting} of {base}: {one:?}"));
        }
    }
    if let Some(kind) = (0..goods.len()).find(|&kind| counts[kind] > goods[kind].count) {
        return Some(format!("{} of goods {kind}, there are {}", counts[kind], goods[kind].count));
    }
    (volume != load.used_volume).then(|| format!("volume {volume}, said {}", load.used_volume))
}
