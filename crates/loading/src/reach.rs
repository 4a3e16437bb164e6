/// For every length from 0 to `most`: the longest row of the given lengths that is no longer.
///
/// Each entry of `lengths` is a set of alternative lengths of one kind and how many of the kind there
/// are; a row takes each kind at most that often in all. Bounded knapsack, one pass per kind.
pub(crate) fn longest_rows(most: i32, lengths: &[(Vec<i32>, u32)]) -> Vec<i32> {
    let size = usize::try_from(most).unwrap_or(0) + 1;
    // Least boxes of the present kind that reach a length, or NEVER.
    const NEVER: u32 = u32::MAX;
    let mut reached = vec![false; size];
    reached[0] = true;
    let mut taken = vec![NEVER; size];
    for (alternatives, count) in lengths {
        for (takes, &known) in taken.iter_mut().zip(&reached) {
            *takes = if known { 0 } else { NEVER };
        }
        for at in 0..size {
            if taken[at] == NEVER || taken[at] >= *count {
                continue;
            }
            for &length in alternatives {
                let Some(next) = usize::try_from(length).ok().filter(|&l| l > 0).map(|l| at + l) else {
                    continue;
                };
                if next < size {
                    taken[next] = taken[next].min(taken[at] + 1);
                    reached[next] = true;
                }
            }
        }
    }
    let mut best = 0;
    (0..=most.max(0))
        .zip(&reached)
        .map(|(length, &known)| {
            if known {
                best = length;
            }
            best
        })
        .collect()
}
