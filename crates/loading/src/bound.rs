use crate::Goods;

/// Least number of containers that could hold all the goods, if every kind fits one at all.
///
/// The larger of: volume; boxes of which no two fit one container in any direction; and, per axis, boxes
/// so broad in the two other directions that they can only stand in a row (Martello, Pisinger and Vigo,
/// Operations Research 48, 2000, bound L1 without its last refinement).
pub(crate) fn least_containers(container: [u32; 3], goods: &[Goods], counts: &[u32]) -> usize {
    let sides = container.map(u64::from);
    let whole: u64 = sides.iter().product();
    let mut volume = 0u64;
    let mut alone = 0u64;
    let mut rows = [0u64; 3];
    let mut halves = [0u64; 3];
    for (one, &count) in goods.iter().zip(counts) {
        let count = u64::from(count);
        volume += one.volume() * count;
        let ways = one.ways();
        let least = [0, 1, 2].map(|axis| ways.iter().map(|way| u64::from(way[axis])).min().unwrap_or(0));
        let broad = [0, 1, 2].map(|axis| 2 * least[axis] > sides[axis]);
        if broad == [true; 3] {
            alone += count;
        }
        for axis in 0..3 {
            if broad[(axis + 1) % 3] && broad[(axis + 2) % 3] {
                rows[axis] += least[axis] * count;
                halves[axis] += if broad[axis] { count } else { 0 };
            }
        }
    }
    let mut least = volume.div_ceil(whole).max(alone);
    for axis in 0..3 {
        least = least.max(rows[axis].div_ceil(sides[axis])).max(halves[axis]);
    }
    usize::try_from(least).unwrap_or(usize::MAX)
}
