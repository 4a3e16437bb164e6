//! Layouts a packer would try first: rows with the handles toward the middle, pinwheels, diagonals.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI, TAU};

use crate::energy::Layout;

/// How the pieces of a template are turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turning {
    /// Front rows point back and back rows point front, so that handles meet in the middle.
    TowardMiddle,
    /// All along the rows.
    Along,
    /// All across the rows.
    Across,
    /// All on the diagonal.
    Diagonal,
    /// A quarter turn further from piece to piece.
    Pinwheel,
}

const TURNINGS: [Turning; 5] =
    [Turning::TowardMiddle, Turning::Along, Turning::Across, Turning::Diagonal, Turning::Pinwheel];

/// Starting layouts in the rectangle `size`, the ones that are easiest for hands first.
pub(crate) fn templates(layout: &Layout, size: [f64; 2]) -> Vec<Vec<f64>> {
    let n = layout.items.len();
    let mut found = Vec::new();
    let most_rows = n.min(5);
    let mut rows: Vec<usize> = (1..=most_rows).collect();
    // The number of rows whose cells are nearest to square comes first.
    let wanted = (n as f64 * size[1] / size[0].max(1e-9)).sqrt();
    rows.sort_by(|a, b| (*a as f64 - wanted).abs().total_cmp(&(*b as f64 - wanted).abs()));
    let all_round = layout.items.iter().all(|item| item.round);
    for &turning in if all_round { &TURNINGS[..1] } else { &TURNINGS[..] } {
        for &count in rows.iter().take(3) {
            found.push(rows_of(layout, size, &even(n, count), turning));
        }
    }
    // Rows in the gaps of the rows before them (2, 3, 2), for what even rows leave open.
    for counts in (2..=most_rows).filter_map(|rows| staggered(n, rows)).flatten() {
        for &turning in if all_round { &TURNINGS[..1] } else { &TURNINGS[..] } {
            found.push(rows_of(layout, size, &counts, turning));
        }
    }
    found.extend(framed(layout, size));
    found
}

/// Where the four longest pieces of a frame lie, as shares of the sides: each with one end in a corner and
/// the other against the next.
const FRAME: [([f64; 2], f64); 4] =
    [([0.4, 0.08], 0.0), ([0.92, 0.4], FRAC_PI_2), ([0.6, 0.92], 0.0), ([0.08, 0.6], FRAC_PI_2)];

/// The four longest pieces along the walls and the others in a heap in the middle, if the four are long.
fn framed(layout: &Layout, size: [f64; 2]) -> Option<Vec<f64>> {
    let n = layout.items.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|&a, &b| layout.items[b].radius.total_cmp(&layout.items[a].radius));
    if n <= FRAME.len() || order.iter().take(FRAME.len()).any(|&i| layout.items[i].round) {
        return None;
    }
    let mut x = vec![0.0; 3 * n];
    for (rank, &i) in order.iter().enumerate() {
        let (at, angle) = FRAME.get(rank).copied().unwrap_or_else(|| {
            // On a small circle, so that no two begin at one place.
            let (sin, cos) = (TAU * rank as f64 / n as f64).sin_cos();
            let far = if n == FRAME.len() + 1 { 0.0 } else { 0.15 };
            ([0.5 + far * cos, 0.5 + far * sin], 0.0)
        });
        x[3 * i..3 * i + 3].copy_from_slice(&[at[0] * size[0], at[1] * size[1], layout.scaled(i, angle)]);
    }
    Some(x)
}

/// `n` pieces in `rows` rows, as even as can be.
fn even(n: usize, rows: usize) -> Vec<usize> {
    let mut left = n;
    (0..rows)
        .map(|row| {
            let here = left.div_ceil(rows - row);
            left -= here;
            here
        })
        .collect()
}

/// Rows that hold one more and one fewer by turns, where the number of pieces comes out so.
fn staggered(n: usize, rows: usize) -> Option<Vec<Vec<usize>>> {
    let found: Vec<Vec<usize>> = [0usize, 1]
        .into_iter()
        .filter_map(|first| {
            let more = (rows + 1 - first) / 2;
            let fewer = n.checked_sub(more)? / rows;
            let counts: Vec<usize> = (0..rows).map(|row| fewer + usize::from(row % 2 == first)).collect();
            (fewer > 0 && counts.iter().sum::<usize>() == n).then_some(counts)
        })
        .collect();
    (!found.is_empty()).then_some(found)
}

fn rows_of(layout: &Layout, size: [f64; 2], counts: &[usize], turning: Turning) -> Vec<f64> {
    let rows = counts.len();
    let mut x = Vec::with_capacity(3 * layout.items.len());
    let mut placed = 0;
    for (row, &in_row) in counts.iter().enumerate() {
        let y = size[1] * (row as f64 + 0.5) / rows as f64;
        for column in 0..in_row {
            let across = size[0] * (column as f64 + 0.5) / in_row as f64;
            let angle = match turning {
                Turning::TowardMiddle if rows == 1 => {
                    if 2 * column < in_row {
                        0.0
                    } else {
                        PI
                    }
                }
                Turning::TowardMiddle => {
                    if 2 * row + 1 < rows {
                        FRAC_PI_2
                    } else if 2 * row + 1 > rows {
                        -FRAC_PI_2
                    } else if 2 * column < in_row {
                        0.0
                    } else {
                        PI
                    }
                }
                Turning::Along => 0.0,
                Turning::Across => FRAC_PI_2,
                Turning::Diagonal => FRAC_PI_4,
                Turning::Pinwheel => FRAC_PI_2 * ((row + column * (1 + 2 * (row % 2))) % 4) as f64,
            };
            x.extend([across, y, layout.scaled(placed, angle)]);
            placed += 1;
        }
    }
    x
}
